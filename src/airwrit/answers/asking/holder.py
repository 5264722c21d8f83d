"""A certificate in another name than the owner's: a seller's, a pilot's, or somebody else's."""

from __future__ import annotations

from airwrit.answers.asking.steps import value
from airwrit.base.days import Order, order_of
from airwrit.facts.choices import MarkPlace, OwnerKind
from airwrit.facts.keys.aircraft import MARK_PLACE, OWNER, REGISTRATION, SOLD_ON
from airwrit.facts.keys.registration import OWNER_KIND, REGISTERED_TO
from airwrit.facts.state import State
from airwrit.facts.vocabulary import folded

SELLER, PILOT, ANOTHER = "the seller", "a pilot", "somebody else"
"""Names of a holder of whom only this much was told."""


def other_holder(state: State, aircraft: str) -> str | None:
    """The one its certificate names, where that is not its owner; None where it is, or one of the two is not told."""
    owner, number = value(state, aircraft, OWNER), value(state, aircraft, REGISTRATION)
    named: str | None = None if number is None else value(state, f"registration/{number}", REGISTERED_TO)
    return named if owner and named and folded(owner) != folded(named) else None


def holds_of_holder(state: State, aircraft: str) -> frozenset[str]:
    """The names of what holds of a certificate in another name; none where it is the owner's."""
    named = other_holder(state, aircraft)
    if named is None:
        return frozenset()
    marked = value(state, aircraft, MARK_PLACE) is not MarkPlace.NOT_MARKED
    return frozenset({_whose(named, state, aircraft), "other_name", *(("old_number",) if marked else ())})


def _whose(named: str, state: State, aircraft: str) -> str:
    sold = value(state, aircraft, SOLD_ON)
    if named == SELLER or (sold is not None and order_of(sold, state.on) is not Order.AFTER):
        return "bought_used"
    kind = value(state, f"owner/{value(state, aircraft, OWNER)}", OWNER_KIND)
    person = named == PILOT or f"person/{named}" in state.held
    person = person or value(state, f"owner/{named}", OWNER_KIND) is OwnerKind.PERSON
    return "in_pilots_name" if person and kind not in (None, OwnerKind.PERSON) else "in_another_name"
