"""An aircraft that was sold, destroyed, exported or lost, and one whose certificate is in another name than the owner's."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from enum import StrEnum
from typing import NamedTuple

from airwrit.answers.asking.kind import part_of
from airwrit.answers.asking.steps import words
from airwrit.base.days import Order, day_of, order_of
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import MarkPlace, OwnerKind
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    DESTROYED_ON,
    EXPORTED_ON,
    IS_REGISTERED,
    LOST_ON,
    MARK_PLACE,
    OWNER,
    REGISTRATION,
    SOLD_ON,
)
from airwrit.facts.keys.registration import OWNER_KIND, REGISTERED_TO
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import folded
from airwrit.law import wording
from airwrit.law.aircraft.filings import CANCEL_REGISTRATION_RULE
from airwrit.law.rule import Finding

SELLER, PILOT, ANOTHER = "the seller", "a pilot", "somebody else"
"""Names of a holder of whom only this much was told."""


def other_holder(state: State, aircraft: str) -> str | None:
    """The one its certificate names, where that is not its owner; None where it is, or one of the two is not told."""
    owner, number = value_held(state, aircraft, OWNER), value_held(state, aircraft, REGISTRATION)
    named: str | None = None if number is None else value_held(state, f"registration/{number}", REGISTERED_TO)
    return named if owner and named and folded(owner) != folded(named) else None


def holds_of_holder(state: State, aircraft: str) -> frozenset[str]:
    """The names of what holds of a certificate in another name; none where it is the owner's."""
    named = other_holder(state, aircraft)
    if named is None:
        return frozenset()
    marked = value_held(state, aircraft, MARK_PLACE) is not MarkPlace.NOT_MARKED
    return frozenset({_whose(named, state, aircraft), "other_name", *(("old_number",) if marked else ())})


def _whose(named: str, state: State, aircraft: str) -> str:
    sold = value_held(state, aircraft, SOLD_ON)
    if named == SELLER or (sold is not None and order_of(sold, state.on) is not Order.AFTER):
        return "bought_used"
    kind = value_held(state, f"owner/{value_held(state, aircraft, OWNER)}", OWNER_KIND)
    person = named == PILOT or f"person/{named}" in state.held
    person = person or value_held(state, f"owner/{named}", OWNER_KIND) is OwnerKind.PERSON
    return "in_pilots_name" if person and kind not in (None, OwnerKind.PERSON) else "in_another_name"


_CANCELED = ("cancelled", "cancelled_late")


class What(StrEnum):
    """What became of an aircraft."""

    SOLD = "sold"
    DESTROYED = "destroyed"
    EXPORTED = "exported"
    LOST = "lost"


DAYS: dict[What, Key[date]] = {
    What.SOLD: SOLD_ON,
    What.DESTROYED: DESTROYED_ON,
    What.EXPORTED: EXPORTED_ON,
    What.LOST: LOST_ON,
}
"""The fact that tells the day of each; the first that is on file counts."""


class AircraftGone(NamedTuple):
    """What became of an aircraft, when, what is left to do of its registration, and what holds of it, by name."""

    what: What
    day: date | None
    title: str
    because: str
    outcome: Outcome
    holding: frozenset[str]


def gone_of(state: State, aircraft: str, findings: Iterable[Finding]) -> AircraftGone | None:
    """What became of an aircraft up to the day; None while it is there, or where another has bought it.

    `findings` have what the law finds of canceling its registration.
    """
    canceling = next(
        (f for f in findings if f.subject == aircraft and f.rule is CANCEL_REGISTRATION_RULE), None
    )
    found = what_became_of(state, aircraft)
    if canceling is None or found is None or canceling.outcome.code == "nothing_happened":
        return None
    if found is What.SOLD and other_holder(state, aircraft) is not None:
        return None
    holding = frozenset(_holding(found, canceling, state, aircraft))
    day = value_held(state, aircraft, DAYS[found])
    table = words()["gone"]
    title = str(table["titles"][_title(found, holding)])
    parts = [str(table["because"][found.value]).format(on="" if day is None else f" on {day_of(day)}")]
    if not holding & {"canceled", "unregistered"} and found is not What.LOST:
        told = wording.worded(canceling, state)
        parts += [told.says, told.do] if told.do else [told.says]
    return AircraftGone(
        found,
        None if day is None else day_of(day),
        title,
        " ".join(parts),
        canceling.outcome,
        holding,
    )


def what_became_of(state: State, aircraft: str) -> What | None:
    """What became of an aircraft up to the day; told without its day, as long as only one thing is."""
    told = {what: state.held.get(aircraft, {}).get(key) for what, key in DAYS.items()}
    for what, held in told.items():
        if held is not None and held.why is None and order_of(held.value, state.on) is not Order.AFTER:
            return what
    without_day = [what for what, held in told.items() if held is not None and held.why is Why.MISSING]
    return without_day[0] if len(without_day) == 1 else None


def _holding(what: What, canceling: Finding, state: State, aircraft: str) -> Iterable[str]:
    yield what.value
    number = value_held(state, aircraft, REGISTRATION)
    if canceling.verdict is Verdict.NOT_APPLICABLE or value_held(state, aircraft, IS_REGISTERED) is False:
        yield "unregistered"
    elif canceling.outcome.code in _CANCELED:
        yield "canceled"
    else:
        yield part_of(state, number)


def _title(what: What, holding: frozenset[str]) -> str:
    for name in ("unregistered", "canceled"):
        if name in holding:
            return name
    if what is What.LOST:
        return "lost"
    if "part_47" in holding:
        return "export_47" if what is What.EXPORTED else "return_47"
    return "cancel"
