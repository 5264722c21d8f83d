"""Closed lists that facts are given in; each value is the word a person types in a sheet, a facts file or a form."""

from __future__ import annotations

from enum import StrEnum
from typing import Self


class FactChoice(StrEnum):
    """A word of a closed list: its value is what a statement keeps, `words` what people read."""

    words: str

    def __new__(cls, value: str, words: str = "") -> Self:
        """A member, from its value and, where they differ, its words."""
        one = str.__new__(cls, value)
        one._value_ = value
        one.words = words or value
        return one

    @classmethod
    def _missing_(cls, value: object) -> Self | None:
        """The member whose words are typed in place of its value."""
        return next((one for one in cls if one.words == value), None)


def words_of(value: object) -> str:
    """A value as people read it: the words of a choice, the text of anything else."""
    return value.words if isinstance(value, FactChoice) else str(value)


class UsedFor(FactChoice):
    """What an aircraft is flown for, or a person flies for."""

    WORK = "work"
    RECREATION = "recreation"
    BOTH = "work and recreation"


class OperatedUnder(FactChoice):
    """The body of law the operator says flights are made under; where nothing is said, Part 107 or recreation."""

    PART_107 = "Part 107"
    PUBLIC_COA = "certificate of authorization of a public agency", "a public agency's COA"
    PART_91 = "Part 91 with a 44807 exemption"
    PART_135 = "Part 135 carriage for hire", "Part 135 (carrying goods for hire)"
    PART_137 = "Part 137 agricultural operation", "Part 137 (agricultural work)"
    FOREIGN = "law of another State", "another country's rules"


class RegistrationKind(FactChoice):
    """The kinds of certificate."""

    PER_AIRCRAFT = "Part 48 per aircraft", "Part 48, single aircraft"
    RECREATIONAL = "Part 48 recreational", "Part 48, recreational"
    PART_47 = "Part 47"


class OwnerKind(FactChoice):
    """What kind of owner holds the aircraft."""

    PERSON = "person"
    PARTNERSHIP = "partnership"
    CORPORATION = "corporation"
    TRUST = "trust"
    VOTING_TRUST = "voting trust"
    GOVERNMENT = "government", "government agency"


class HoldsAs(FactChoice):
    """By what right the one who would register has the aircraft."""

    OWNER = "owner in title", "owner"
    BUYER = "buyer in possession", "buyer who already has the aircraft"
    BAILEE = "bailee", "bailee (holds it for the owner)"
    CONDITIONAL = "lessee under a contract of conditional sale", "lessee under a conditional sale contract"
    ASSIGNEE = "assignee of a buyer, bailee or conditional lessee"
    LESSEE = "lessee", "lessee (only leases it)"
    BORROWER = "borrower"


class HeldUnder(FactChoice):
    """Under what an aircraft is in the hands of another than its owner, or of the program though another owns it."""

    LOAN = "loan"
    LEASE = "lease"


class ServiceStatus(FactChoice):
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


class CrewRole(FactChoice):
    """Whether a person flies, or what else the person does for the program."""

    PILOT = "pilot"
    OBSERVER = "visual observer"
    INSTRUCTOR = "instructor"
    CLERK = "office", "office staff"
    OTHER = "other, not flying", "other (doesn't fly)"


class Citizenship(FactChoice):
    """Standing of a person under the citizenship tests."""

    CITIZEN = "citizen"
    RESIDENT = "permanent resident"
    NEITHER = "neither", "not a citizen or permanent resident"


class MarkPlace(FactChoice):
    """Where the registration number is shown on the aircraft."""

    OUTSIDE = "outside"
    INSIDE_NO_TOOL = "inside, opened without a tool", "inside, opens without a tool"
    INSIDE_TOOL = "inside, opened with a tool", "inside, takes a tool to open"
    NOT_MARKED = "not marked"


class RemoteIdWay(FactChoice):
    """How the aircraft meets, or does not meet, the Remote ID duty."""

    STANDARD = "standard", "standard (built in)"
    MODULE = "module", "module (added on)"
    FRIA = "FRIA", "only in a FRIA"
    AUTHORIZATION = "FAA authorization"
    ADS_B_OUT = "ADS-B Out"
    NONE = "none"


class EventKind(FactChoice):
    """Tests and training that count for a remote pilot's recency."""

    INITIAL_TEST = "initial test"
    RECURRENT_TEST = "recurrent test"
    RECURRENT_TRAINING = "recurrent training"
    RECURRENT = "recurrent test or training"
    PART_61_TRAINING = "Part 61 pilot training"


class PaperKind(FactChoice):
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
    LOCAL = "land or local rule", "landowner or local rule"
    OWN_RULES = "the organization's own rules"
    OTHER = "other", "other document"


class NoticeOf(FactChoice):
    """The incidents that a paper of the program asks for notice of."""

    ANY = "any incident"
    HARM = "injury, or damage other than to the aircraft", "injury, or damage to anything but the aircraft"


class ApplicationPart(FactChoice):
    """What an application for registration under Part 48 asks for, in the words of the law's data."""

    OWNER = "name of the owner"
    REPRESENTATIVE = "authorized representative, if the owner is an organization"
    ADDRESS = "physical address, and a mailing address if mail doesn't go there"
    EMAIL = "e-mail address", "email address"
    TELEPHONE = "telephone number", "phone number"
    MAKER_AND_MODEL = "maker and model", "make and model"
    REMOTE_ID_SERIAL = (
        "Remote ID serial of the aircraft or of its module",
        "Remote ID serial number of the aircraft or its module",
    )
