"""Facts as fields of a form that only looks: a question each, its choices, and what was answered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from airwrit.base.errors import BadFact
from airwrit.facts.choices import words_of
from airwrit.facts.key import Key, Raw
from airwrit.intake.typed.reply import read_reply

LONGEST = 200
_YES_NO = (("yes", "yes"), ("no", "no"))
_HINTS = {
    "g": "With its unit, like 249 g or 2 lb.",
    "kt": "In knots, or with a unit like 15 m/s.",
    "ft": "In feet, or with a unit like 60 m.",
}
_MOMENT = "With its time zone, like 2026-05-31T14:00-05:00."


class FactField(NamedTuple):
    """A field of the form: the fact's name, its question, how to write it, the choices where it has a list of them."""

    name: str
    question: str
    hint: str
    choices: tuple[tuple[str, str], ...]


def fact_field(key: Key[Any], names: Iterable[str] = ()) -> FactField:
    """The field of a fact; `names` are those a link may point at."""
    if key.kind is bool:
        return FactField(key.name, key.question, "", _YES_NO)
    if key.links_to:
        return FactField(key.name, key.question, "", tuple((name, name) for name in names))
    if key.unit or key.kind is str or key.instants:
        return FactField(key.name, key.question, _MOMENT if key.instants else _HINTS.get(key.unit, ""), ())
    return FactField(key.name, key.question, "", tuple((one.value, words_of(one)) for one in key.kind))


def facts_answered(
    keys: Iterable[Key[Any]], said: Mapping[str, str], wrong: dict[str, str]
) -> dict[Key[Any], Raw]:
    """What was answered; what can't be read is noted at its field."""
    found: dict[Key[Any], Raw] = {}
    for key in keys:
        if said.get(key.name):
            try:
                found[key] = read_reply(key, said[key.name])
            except BadFact as fault:
                wrong[key.name] = fault.says
    return found
