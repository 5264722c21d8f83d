"""What a column of a sheet may hold, in words to choose from: the likeliest first, then the rest by what it is about."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cache
from typing import NamedTuple

from airwrit.facts.keys.person import ALSO_CALLED, NOT_CALLED
from airwrit.facts.keys.service import HOLDS
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.columns import ASK, EVENT, ID, IGNORE, WEIGHT, Column, match_of, meanings_of

NOT_USED, NOT_KNOWN = "not used", "not known yet"
_NOTHING = frozenset({"nothing", "not used", "leave it out", "left out", IGNORE})
_OWN = {
    ID: "name",
    "": NOT_USED,
    IGNORE: NOT_USED,
    ASK: NOT_KNOWN,
    WEIGHT: "takeoff weight with everything on it",
    "remarks": "notes",
    "count": "how many there are",
    "person_status": "status of the person",
    "is_canceled": "whether the registration was canceled",
    "first_name": "first name",
    "last_name": "last name",
    "aircraft": "aircraft it is about",
    "valid_from": "first day it applies",
    "valid_until": "last day it applies",
}
"""Meanings of columns that are no facts."""
_LIKELY = {
    "aircraft": (
        ID,
        "registration",
        "expires_on",
        "remote_id_serial",
        "model",
        "maker",
        "takeoff_weight_g",
        "service_status",
        "mark_place",
        "remarks",
    ),
    "person": (
        ID,
        "certificate_number",
        "has_certificate",
        EVENT + "recurrent test or training",
        EVENT + "initial test",
        "recurrent_due_on",
        "role",
        "person_status",
        "left_on",
        "remarks",
    ),
}
"""What columns of the two kinds of table hold most of the time."""
_ABOUT = {
    "aircraft": "the aircraft",
    "mark": "the aircraft",
    "registration": "its registration",
    "remote_id": "Remote ID",
    "owner": "its owner",
    "pilot": "the person",
}
_MOST_LIKELY, _DATES, _OTHER = "most likely", "dates", "other"
_ORDER = (
    _MOST_LIKELY,
    "the aircraft",
    "the person",
    "its registration",
    "Remote ID",
    "its owner",
    _DATES,
    _OTHER,
)
_NEVER = frozenset({ALSO_CALLED.name, NOT_CALLED.name}).union(
    *({one.text.name, one.released.name} for one in HOLDS.values())
)
"""Facts that answers make, and no column."""


class MeaningGroup(NamedTuple):
    """Meanings about one thing: what that is, and each by its name with its words."""

    about: str
    choices: tuple[tuple[str, str], ...]


def meaning_words(name: str) -> str:
    """What a column may hold, in words; a question with yes or no as one."""
    if name.startswith(EVENT):
        return f"date of the {name.removeprefix(EVENT)}"
    words = KEYS[name].meaning if name in KEYS else _OWN.get(name, name.replace("_", " "))
    return f"{words.removeprefix('whether ')} (yes or no)" if words.startswith("whether ") else words


def column_words(column: Column) -> str:
    """What a column was read as, in words."""
    return NOT_KNOWN if column.why else meaning_words(column.key or column.meaning)


@cache
def meaning_groups(table: str) -> tuple[MeaningGroup, ...]:
    """All that a column of a kind of table may hold: the likeliest, then by what it is about; not that it is not used."""
    found: dict[str, list[tuple[str, str]]] = {about: [] for about in _ORDER}
    likely = _LIKELY.get(table, (ID,))
    found[_MOST_LIKELY] = [(name, meaning_words(name)) for name in likely]
    other = {"count", "is_canceled"} if table == "person" else {"person_status"}
    for name in meanings_of(table) - {ASK, IGNORE, WEIGHT} - _NEVER - other - set(likely):
        found[_about(name)].append((name, meaning_words(name)))
    return tuple(
        MeaningGroup(
            about, tuple(choices if about == _MOST_LIKELY else sorted(choices, key=lambda one: one[1]))
        )
        for about, choices in found.items()
        if choices
    )


def _about(name: str) -> str:
    key = KEYS.get(name)
    if name.startswith(EVENT) or (key is not None and key.kind is date):
        return _DATES
    return _OTHER if key is None else _ABOUT.get(key.table, _OTHER)


def meaning_named(text: str, table: str) -> str:
    """The meaning that somebody names: by its words, by a usual heading, or by the name of the fact; "" for none."""
    said = " ".join(text.casefold().split())
    if said in _NOTHING:
        return IGNORE
    if text in meanings_of(table):
        return text
    by_words = next((name for name, words in _all(table) if words.casefold() == said), "")
    return by_words or match_of(text, table).meaning


def _all(table: str) -> Iterator[tuple[str, str]]:
    for group in meaning_groups(table):
        yield from group.choices
