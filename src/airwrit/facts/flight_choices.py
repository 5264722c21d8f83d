"""Closed lists that facts of flights, grants and incidents are given in, as a person types them."""

from __future__ import annotations

from airwrit.facts.choices import FactChoice


class EducationBy(FactChoice):
    """Who operates a flight that is called education, as the statute tells them apart."""

    HIGHER_EDUCATION = "institution of higher education"
    OFFICERS = "junior officers' training program (JROTC)"
    CHARTERED = "program chartered by a recognized community-based organization"
    SCHOOL = "elementary or secondary school"
    OTHER = "somebody else", "someone else"


class EducationFor(FactChoice):
    """What a flight that is called education is for."""

    EDUCATION = "education or research"
    CUSTOMER = "work for a customer"
    MARKETING = "marketing or publicity"
    BUILDINGS = "buildings, grounds or security"
    OTHER = "something else"


class FlownFrom(FactChoice):
    """Where the one who flies is."""

    STILL = "a place that stands still", "the ground or another fixed place"
    AIRCRAFT = "a moving aircraft"
    VEHICLE = "a moving vehicle or boat"


class Dispensed(FactChoice):
    """What an aircraft drops, sprays or spreads."""

    NOTHING = "nothing"
    SEED = "seed or other plant material"
    POISON = "weed killer or pesticide"
    NOURISHMENT = "fertilizer or soil treatment"
    INSECTS = "live insects"
    WATER = "water on a fire"
    OTHER = "something else"


class PeopleBelow(FactChoice):
    """Who is below a flight."""

    NOBODY = "nobody"
    PARTICIPANTS = "only people who take direct part", "only people directly taking part"
    SHELTERED = (
        "people under a covered structure that protects",
        "people under a covered structure that protects them",
    )
    PARKED = (
        "people in a stationary vehicle that protects",
        "people in a stationary vehicle that protects them",
    )
    OTHERS = (
        "people who take no part and are not sheltered",
        "people who aren't taking part and aren't sheltered",
    )


class OverAssembly(FactChoice):
    """Flight over an open-air assembly of people."""

    NONE = "none"
    PASSING = "passing over it once", "crossing it once"
    SUSTAINED = "sustained", "staying over it"


class Category(FactChoice):
    """The ways of 14 CFR 107 subpart D to fly over people."""

    ONE = "Category 1"
    TWO = "Category 2"
    THREE = "Category 3"
    FOUR = "Category 4"
    NONE = "none"


class AirspaceClass(FactChoice):
    """Airspace as a rule of authorization sees it."""

    B = "B"
    C = "C"
    D = "D"
    E_SURFACE = "E surface area of an airport"
    E_EXTENSION = "E extension of a surface area"
    E_OTHER = "E elsewhere"
    G = "G"


class GivenBy(FactChoice):
    """How an airspace authorization was given."""

    SERVICE = "FAA automated service", "automated FAA service"
    REQUEST = "FAA web request", "request on the FAA website"
    COA = "certificate of authorization"
    SPOKEN = "spoken word", "spoken approval"


class PaperState(FactChoice):
    """How far the request for a paper has come."""

    REQUESTED = "requested"
    GRANTED = "granted"
    DENIED = "denied"
    WITHDRAWN = "withdrawn"


class LandBelow(FactChoice):
    """Whose land a flight is over or from."""

    PARK = "National Park Service"
    REFUGE = "wildlife refuge or wilderness"
    OTHER_PUBLIC = "other public or tribal land"
    PRIVATE = "private land"


class WaiverSection(FactChoice):
    """The sections a waiver is asked for."""

    MOVING = "107.25 moving vehicle", "107.25 from a moving vehicle"
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

    @property
    def section(self) -> str:
        """The section alone; of another one nothing is known."""
        return "" if self is WaiverSection.OTHER else self.value.split()[0]


class DamagedProperty(FactChoice):
    """What an incident damaged apart from the aircraft."""

    NOTHING = "nothing"
    OTHERS = "property apart from the aircraft"
    CARRIED = "only what the aircraft carried"


class IncidentUnder(FactChoice):
    """The rules an incident's flight was made under."""

    PART_107 = "Part 107"
    RECREATION = "recreation"
    COA = "COA of a public agency", "a public agency's COA"
    OTHER = "other rules"


class Hurt(FactChoice):
    """How badly anyone was hurt, in the words of somebody at the place."""

    NOBODY = "nobody"
    FIRST_AID = "first aid only, and nobody passed out"
    MORE = "more than first aid, or somebody passed out", "more than first aid, or someone passed out"
    DIED = "somebody died", "someone died"


class EmployeeHarm(FactChoice):
    """What happened to an employee, as 29 CFR 1904.39 tells it apart."""

    NONE = "no employee was hurt"
    TREATED = "hurt, but not admitted to a hospital"
    OBSERVED = "in a hospital for observation or tests only"
    ADMITTED = "admitted to a hospital for care or treatment"
    AMPUTATION = "amputation"
    EYE = "loss of an eye"
    DIED = "died"


class Cause(FactChoice):
    """What went wrong; all but the last two are on the NTSB's list of serious incidents, or beside it an overdue aircraft."""

    CONTROL = "flight control system failed"
    FLYAWAY = "flew away out of control"
    CREW = (
        "pilot or crew unable by injury or illness",
        "pilot or crew unable to continue because of injury or illness",
    )
    FIRE = "fire in flight"
    COLLISION = "collision with an aircraft in flight"
    BLADE = "part of a propeller blade came off in the air", "part of a propeller blade came off in flight"
    ROTOR = "rotor blades of a helicopter damaged", "helicopter rotor blades damaged"
    MISSING = "overdue and believed to have crashed"
    LISTED = "another incident of 49 CFR 830.5(a)", "another incident listed in 49 CFR 830.5(a)"
    LOST_LINK = "lost link, and it behaved as expected", "lost link, and the aircraft behaved as expected"
    OTHER = "none of these"


class NoticeKind(FactChoice):
    """The notices that may be due after an incident."""

    NTSB = "NTSB, at once", "NTSB, right away"
    FAA = "FAA safety event report"
    OSHA = "OSHA"
    NTSB_WRITTEN = "NTSB, in writing"
    FAA_ASKED = "FAA report of an emergency"
    NASA = "NASA safety report"
    INSURER = "insurer"
    COA = "holder of the COA", "COA holder"
    OWN = "your own program"
    OTHER = "another paper", "another document"


class Likelihood(FactChoice):
    """How likely a hazard is."""

    UNLIKELY = "unlikely"
    POSSIBLE = "possible"
    LIKELY = "likely"


class Severity(FactChoice):
    """How bad a hazard would be."""

    MINOR = "minor"
    SERIOUS = "serious"
    FATAL = "fatal"
