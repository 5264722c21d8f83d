"""Acts of a person: joins, trains, moves house, changes role, confirms, leaves; and of a paper that somebody answers for."""

from __future__ import annotations

from collections.abc import Iterator

from airwrit.answers.acts.act import Act, ActField, ActInput, refused
from airwrit.answers.acts.aircraft import changed
from airwrit.base.days import day_of
from airwrit.facts.choices import OwnerKind
from airwrit.facts.keys.event import (
    CHANGED_ON,
    CONFIRMED,
    CONFIRMED_AIRCRAFT,
    CONFIRMED_BY,
    CONFIRMED_ON,
    GOOD_UNTIL_ON,
    MOVE_OF,
    WHAT_CHANGED,
)
from airwrit.facts.keys.paper import PAPER_RESPONSIBLE
from airwrit.facts.keys.person import (
    ADDRESS_TOLD_ON,
    COMPLETED_ON,
    CREW_ROLE,
    EVENT_KIND,
    EVENT_OF,
    FLIES_AT_NIGHT,
    FLIES_FOR,
    HAS_CERTIFICATE,
    LEFT_ON,
    PART_61_PILOT,
    ROLE,
    SAFETY_TEST_ON,
    SAFETY_TEST_PROOF,
    TEMPORARY_ISSUED_ON,
)
from airwrit.facts.keys.registration import OWNER_KIND, REGISTERED_TO
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import id_of, subject_named

_ADDRESS = "mailing address"
_DUTIES = (
    ActField("role", ROLE),
    ActField("flies_for", FLIES_FOR),
    ActField("flies_at_night", FLIES_AT_NIGHT),
)


def _duties(told: ActInput) -> Iterator[Statement]:
    for name, key in (("role", ROLE), ("flies_for", FLIES_FOR), ("flies_at_night", FLIES_AT_NIGHT)):
        yield from told.told(name, key)


def _joined(told: ActInput) -> Iterator[Statement]:
    yield from _duties(told)
    yield from told.told("crew_role", CREW_ROLE)
    yield from told.told("has_certificate", HAS_CERTIFICATE)
    yield from told.told("part_61_pilot", PART_61_PILOT)
    yield from told.ends(LEFT_ON)


def _role_changed(told: ActInput) -> Iterator[Statement]:
    if not told.values:
        raise refused("you didn't say what changed", "enter role=, flies_for= or flies_at_night=")
    yield from _duties(told)


def _trained(told: ActInput) -> Iterator[Statement]:
    event = told.event("training", f"{told.get('kind')} of {told.name}")
    yield told.says(EVENT_OF, told.name, event)
    yield from told.told("kind", EVENT_KIND, event)
    yield told.says(COMPLETED_ON, told.on, event)


def _certificated(told: ActInput) -> Iterator[Statement]:
    yield told.says(HAS_CERTIFICATE, True)
    if told.get("temporary"):
        yield told.says(TEMPORARY_ISSUED_ON, told.on)
    else:
        yield from told.ends(TEMPORARY_ISSUED_ON)


def _tested(told: ActInput) -> Iterator[Statement]:
    yield told.says(SAFETY_TEST_ON, told.on)
    yield from told.told("proof", SAFETY_TEST_PROOF) or told.ends(SAFETY_TEST_PROOF)


def _moved(told: ActInput) -> Iterator[Statement]:
    """A pilot's address, and a detail of every registration in the person's own name: each with its own days."""
    event = told.event("change", f"{_ADDRESS} of {told.name}")
    yield told.says(MOVE_OF, told.name, event)
    yield told.says(CHANGED_ON, told.on, event)
    yield told.says(WHAT_CHANGED, _ADDRESS, event)
    if told.get("told"):
        yield told.says(ADDRESS_TOLD_ON, told.on)
    owner = subject_named("owner", told.name)
    if told.held(OWNER_KIND, owner) in (None, OwnerKind.PERSON):
        for registration in told.state.holding(REGISTERED_TO, told.name):
            yield from changed(told, id_of(registration), f"{_ADDRESS} of the owner")


def _address_told(told: ActInput) -> Iterator[Statement]:
    yield told.says(ADDRESS_TOLD_ON, told.on)


def _left(told: ActInput) -> Iterator[Statement]:
    yield told.says(LEFT_ON, told.on)


def _confirmed(told: ActInput) -> Iterator[Statement]:
    until, what = told.get("good_until_on"), told.get("what")
    if until < told.on:
        raise refused(
            f"the last good day {until} is before the check on {told.on}", "fix one of the two dates"
        )
    at = told.get("at")
    if at is not None and day_of(at) != told.on:
        raise refused(
            f"the time {at.isoformat()} isn't on the day of this entry, {told.on}", "fix one of the two"
        )
    event = told.event("confirmation", f"{what} by {told.name}")
    yield told.says(CONFIRMED_BY, told.name, event)
    yield told.says(CONFIRMED, what, event)
    yield told.says(CONFIRMED_ON, at or told.on, event)
    yield told.says(GOOD_UNTIL_ON, until, event)
    yield from told.told("aircraft", CONFIRMED_AIRCRAFT, event)


def _handed_over(told: ActInput) -> Iterator[Statement]:
    yield from told.told("to", PAPER_RESPONSIBLE)


PEOPLE_ACTS: tuple[Act, ...] = (
    Act(
        "join",
        "person",
        "a person joins the program or comes back",
        (
            ActField("role", ROLE, required=True),
            *_DUTIES[1:],
            ActField("crew_role", CREW_ROLE),
            ActField("has_certificate", HAS_CERTIFICATE),
            ActField("part_61_pilot", PART_61_PILOT),
        ),
        _joined,
        follows=("leave",),
        may_be_new=True,
    ),
    Act(
        "train",
        "person",
        "a test or training is completed",
        (ActField("kind", EVENT_KIND, required=True),),
        _trained,
    ),
    Act(
        "get_certificate",
        "person",
        "a remote pilot certificate is issued",
        (ActField("temporary", question="Is it only a temporary certificate?"),),
        _certificated,
        follows=("join",),
    ),
    Act(
        "pass_safety_test",
        "person",
        "the recreational safety test is passed",
        (ActField("proof", SAFETY_TEST_PROOF),),
        _tested,
    ),
    Act(
        "move_house",
        "person",
        "a person's mailing address changes",
        (
            ActField("told", question="Did you notify the FAA of the new address the same day?"),
            ActField("filed", question="Did you file it for registrations in that person's name?"),
        ),
        _moved,
    ),
    Act("tell_address", "person", "the FAA is notified of a new mailing address", (), _address_told),
    Act(
        "change_role",
        "person",
        "a person changes roles",
        _DUTIES,
        _role_changed,
        follows=("join",),
    ),
    Act("leave", "person", "a person leaves the program", (), _left, follows=("join",)),
    Act(
        "confirm",
        "person",
        "a pilot confirms a check, and how long it stays good",
        (
            ActField("what", CONFIRMED, required=True),
            ActField("good_until_on", GOOD_UNTIL_ON, required=True),
            ActField("aircraft", CONFIRMED_AIRCRAFT),
            ActField("at", CONFIRMED_ON, "At what time, if that matters?"),
        ),
        _confirmed,
    ),
    Act(
        "hand_over",
        "paper",
        "someone else becomes responsible for a waiver or other document",
        (ActField("to", PAPER_RESPONSIBLE, "Who is responsible for it now?", required=True),),
        _handed_over,
    ),
)
"""The acts of a person and of a paper."""
