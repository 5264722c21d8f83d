"""Closed lists that facts are given in; each value is the word a person types in a sheet, a facts file or a form."""

from __future__ import annotations

from enum import StrEnum


class UsedFor(StrEnum):
    """What an aircraft is flown for, or a person flies for."""

    WORK = "work"
    RECREATION = "recreation"
    BOTH = "work and recreation"


class OperatedUnder(StrEnum):
    """The body of law the operator says flights are made under; where nothing is said, Part 107 or recreation."""

    PART_107 = "Part 107"
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
    VOTING_TRUST = "voting trust"
    GOVERNMENT = "government"


class HoldsAs(StrEnum):
    """By what right the one who would register has the aircraft."""

    OWNER = "owner in title"
    BUYER = "buyer in possession"
    BAILEE = "bailee"
    CONDITIONAL = "lessee under a contract of conditional sale"
    ASSIGNEE = "assignee of a buyer, bailee or conditional lessee"
    LESSEE = "lessee"
    BORROWER = "borrower"


class HeldUnder(StrEnum):
    """Under what an aircraft is in the hands of another than its owner, or of the program though another owns it."""

    LOAN = "loan"
    LEASE = "lease"


class ServiceStatus(StrEnum):
    """Whether the program has an aircraft, and whether it is fit for use."""

    IN_SERVICE = "in service"
    OUT_OF_SERVICE = "out of service"
    SPARE = "spare"
    LOANED_OUT = "loaned out"
    RETIRED = "retired"
    SOLD = "sold"
    DESTROYED = "destroyed"
    LOST = "lost"
    RETURNED = "given back to its owner"


class CrewRole(StrEnum):
    """Whether a person flies, or what else the person does for the program."""

    PILOT = "pilot"
    OBSERVER = "visual observer"
    INSTRUCTOR = "instructor"
    CLERK = "office"
    OTHER = "other, not flying"


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
    SGI = "Special Governmental Interest approval"
    FRIA = "FRIA recognition"
    INSURANCE = "insurance policy"
    EXEMPTION = "exemption"
    DECLARATION = "airworthiness or category declaration"
    MEDICAL = "medical certificate"
    LOCAL = "land or local rule"
    OWN_RULES = "the organization's own rules"
    OTHER = "other"


class NoticeOf(StrEnum):
    """The incidents that a paper of the program asks for notice of."""

    ANY = "any incident"
    HARM = "injury, or damage other than to the aircraft"


class ApplicationPart(StrEnum):
    """What an application for registration under Part 48 asks for, in the words of the law's data."""

    OWNER = "name of the owner"
    REPRESENTATIVE = "authorized representative, if the owner is an organization"
    ADDRESS = "physical address, and a mailing address if mail doesn't go there"
    EMAIL = "e-mail address"
    TELEPHONE = "telephone number"
    MAKER_AND_MODEL = "maker and model"
    REMOTE_ID_SERIAL = "Remote ID serial of the aircraft or of its module"
