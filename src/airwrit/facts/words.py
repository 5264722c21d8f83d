"""Closed lists that facts are given in; each value is the word a person types in a sheet, a facts file or a form."""

from __future__ import annotations

from enum import StrEnum


class UsedFor(StrEnum):
    """What an aircraft is flown for, or a person flies for."""

    WORK = "work"
    RECREATION = "recreation"
    BOTH = "work and recreation"


class OperatedUnder(StrEnum):
    """The body of law the operator says the flights are made under, where it is not Part 107 or recreation."""

    PUBLIC_COA = "certificate of authorization of a public agency"
    PART_91 = "Part 91 with a 44807 exemption"
    PART_135 = "Part 135 carriage for hire"
    PART_137 = "Part 137 agricultural operation"
    FOREIGN = "law of another State"


class RegistrationKind(StrEnum):
    """The kinds of certificate."""

    PER_AIRCRAFT = "Part 48 per aircraft"
    RECREATIONAL = "Part 48 recreational"
    PART_47 = "Part 47"


class OwnerKind(StrEnum):
    """What kind of owner holds the aircraft."""

    PERSON = "person"
    PARTNERSHIP = "partnership"
    CORPORATION = "corporation"
    TRUST = "trust"
    GOVERNMENT = "government"


class Citizenship(StrEnum):
    """Standing of a person under the citizenship tests."""

    CITIZEN = "citizen"
    RESIDENT = "permanent resident"
    NEITHER = "neither"


class MarkPlace(StrEnum):
    """Where the registration number is shown on the aircraft."""

    OUTSIDE = "outside"
    INSIDE_NO_TOOL = "inside, opened without a tool"
    INSIDE_TOOL = "inside, opened with a tool"
    NOT_MARKED = "not marked"


class RemoteIdWay(StrEnum):
    """How the aircraft meets, or does not meet, the Remote ID duty."""

    STANDARD = "standard"
    MODULE = "module"
    FRIA = "FRIA"
    AUTHORIZATION = "FAA authorization"
    ADS_B_OUT = "ADS-B Out"
    NONE = "none"


class EventKind(StrEnum):
    """Tests and training that count for a remote pilot's recency."""

    INITIAL_TEST = "initial test"
    RECURRENT_TEST = "recurrent test"
    RECURRENT_TRAINING = "recurrent training"
    RECURRENT = "recurrent test or training"
    PART_61_TRAINING = "Part 61 pilot training"


class PaperKind(StrEnum):
    """The kinds of papers a program holds beside certificates and registrations."""

    WAIVER = "waiver"
    AUTHORIZATION = "authorization"
    COA = "COA"
    FRIA = "FRIA recognition"
    INSURANCE = "insurance policy"
    EXEMPTION = "exemption"
    DECLARATION = "airworthiness or category declaration"
    MEDICAL = "medical certificate"
    OTHER = "other"


class FlownFrom(StrEnum):
    """Where the one who flies is."""

    STILL = "a place that stands still"
    AIRCRAFT = "a moving aircraft"
    VEHICLE = "a moving vehicle or boat"


class Dispensed(StrEnum):
    """What an aircraft drops, sprays or spreads."""

    NOTHING = "nothing"
    SEED = "seed or other plant material"
    POISON = "weed killer or pesticide"
    NOURISHMENT = "fertilizer or soil treatment"
    INSECTS = "live insects"
    WATER = "water on a fire"
    OTHER = "something else"


class PeopleBelow(StrEnum):
    """Who is below a flight."""

    NOBODY = "nobody"
    PARTICIPANTS = "only people who take direct part"
    SHELTERED = "people under a covered structure that protects"
    PARKED = "people in a stationary vehicle that protects"
    OTHERS = "people who take no part and are not sheltered"


class Category(StrEnum):
    """The ways of 14 CFR 107 subpart D to fly over people."""

    ONE = "Category 1"
    TWO = "Category 2"
    THREE = "Category 3"
    FOUR = "Category 4"
    NONE = "none"


class AirspaceClass(StrEnum):
    """Airspace as a rule of authorization sees it."""

    B = "B"
    C = "C"
    D = "D"
    E_SURFACE = "E surface area of an airport"
    E_EXTENSION = "E extension of a surface area"
    E_OTHER = "E elsewhere"
    G = "G"


class GivenBy(StrEnum):
    """How an airspace authorization was given."""

    SERVICE = "FAA automated service"
    REQUEST = "FAA web request"
    COA = "certificate of authorization"
    SPOKEN = "spoken word"


class LandBelow(StrEnum):
    """Whose land a flight is over or from."""

    PARK = "National Park Service"
    REFUGE = "wildlife refuge or wilderness"
    OTHER_PUBLIC = "other public or tribal land"
    PRIVATE = "private land"


class Section(StrEnum):
    """The sections a waiver is asked for."""

    MOVING = "107.25 moving vehicle"
    DAYLIGHT = "107.29 daylight operation"
    NIGHT_LIGHTS = "107.29(a)(2) lights at night"
    TWILIGHT_LIGHTS = "107.29(b) lights in twilight"
    SIGHT = "107.31 line of sight"
    OBSERVER = "107.33 visual observer"
    SEVERAL = "107.35 several aircraft"
    YIELDING = "107.37(a) yielding right of way"
    PEOPLE = "107.39 over people"
    AIRSPACE = "107.41 controlled airspace"
    LIMITS = "107.51 speed, height, visibility, clouds"
    VEHICLES = "107.145 over moving vehicles"
    OTHER = "another section"


class DamagedProperty(StrEnum):
    """What an incident damaged apart from the aircraft."""

    NOTHING = "nothing"
    OTHERS = "property apart from the aircraft"
    CARRIED = "only what the aircraft carried"


class Cause(StrEnum):
    """What went wrong; the first seven are on the NTSB's list of serious incidents."""

    CONTROL = "flight control system failed"
    FLYAWAY = "flew away out of control"
    CREW = "pilot or crew unable by injury or illness"
    FIRE = "fire in flight"
    COLLISION = "collision with an aircraft in flight"
    BLADE = "part of a propeller blade came off in the air"
    PROPERTY = "damage to other property over 25,000 USD"
    LOST_LINK = "lost link, and it behaved as expected"
    OTHER = "none of these"
