"""Facts of a subject as label and value, for the items of a record sheet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from airwrit.answers.history.shown import PRIVATE
from airwrit.base.verdict import Why
from airwrit.facts.key import Key
from airwrit.facts.state import State
from airwrit.facts.vocabulary import subject_named
from airwrit.law.wording import shown
from airwrit.web.parts.clauses import label_of

_WHY = {
    Why.CONFLICT: "entries disagree, see its history",
    Why.DAMAGED: "can't be read, see its history",
    Why.WITHIN_DOUBT: "changes on this day",
}


class FactShown(NamedTuple):
    """One fact: its label, its value, whether it can be told, the subject it points at, its anchor on the sheet, its name."""

    label: str
    value: str
    known: bool
    points_at: str
    anchor: str
    name: str


def facts_told(
    state: State, subject: str, keys: Iterable[Key[Any]], always: Iterable[Key[Any]] = ()
) -> tuple[FactShown, ...]:
    """The facts held of some keys, in their order; those of `always` also where nothing is held."""
    wanted, held = set(always), state.held.get(subject, {})
    return tuple(_told(state, subject, key) for key in keys if key in held or key in wanted)


def _told(state: State, subject: str, key: Key[Any]) -> FactShown:
    held, anchor = state.held.get(subject, {}).get(key), f"f-{key.name}"
    label = label_of(key)
    if held is None:
        return FactShown(label, "not on file", False, "", "", key.name)
    if held.why is not None:
        return FactShown(label, _WHY.get(held.why, held.why.value), False, "", anchor, key.name)
    if key.private:
        return FactShown(label, PRIVATE, True, "", anchor, key.name)
    points_at = subject_named(key.links_to, held.value) if key.links_to else ""
    unit = f" {key.unit}" if key.unit else ""
    return FactShown(label, shown(held.value) + unit, True, points_at, anchor, key.name)
