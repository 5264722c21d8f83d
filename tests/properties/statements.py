"""Random statements of two subjects of every kind, and how properties drop facts from them."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import Any

from hypothesis import strategies as st

from airwrit.facts.key import Key, Raw, raw_of
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import ALL_KEYS, TABLES, subject_named
from airwrit.law.contradictions import pairs

KNOWN_AT = datetime(2026, 11, 24, 15, 0, tzinfo=UTC)
NAMES = ("1", "2")
SERIALS = ("ZZ9Z5AAAAA", "ZZ9Z5BBBBB", "0AB-77/2019")
WEIGHTS = ("200", "249.4758035", "250", "900", "24947.58035", "30000")
SHARES = ("0", "0.66", "0.7", "0.75", "1")
TURNS = (
    date(2017, 6, 1),
    date(2019, 2, 24),
    date(2021, 4, 6),
    date(2021, 4, 21),
    date(2023, 9, 17),
    date(2026, 11, 24),
)
NUMBERS = {
    "ft": ("0", "300", "400", "500", "2500", "4000"),
    "kt": ("5", "87", "88"),
    "sm": ("2", "3", "5"),
    "nm": ("2", "3", "4"),
    "mi": ("10", "16", "20", "40"),
    "usd": ("400", "500", "501", "30000"),
}
OF_FLIGHTS = ("flight", "map_cell", "incident", "paper")
POOLS = (
    ALL_KEYS,
    tuple(key for key in ALL_KEYS if key.table not in OF_FLIGHTS),
    tuple(key for key in ALL_KEYS if key.table in OF_FLIGHTS),
)
OFFSETS = (-2600, -1200, -1096, -1095, -730, -400, -100, -20, -1, 0, 1, 40)

days = st.builds(
    lambda turn, offset: turn + timedelta(days=offset), st.sampled_from(TURNS), st.sampled_from(OFFSETS)
)
"""Days near the ones on which the law changed."""
instants = st.builds(
    lambda day, hour: datetime(day.year, day.month, day.day, hour, 40, tzinfo=UTC), days, st.integers(0, 23)
)


def value(key: Key[Any]) -> st.SearchStrategy[Raw]:
    """Raw values of a key that have a chance to meet and to miss its limits."""
    if key.links_to:
        return st.sampled_from(NAMES)
    if key.kind is bool:
        return st.booleans()
    if key.kind is date:
        return (days | instants).map(raw_of) if key.instants else days.map(raw_of)
    if key.kind is Decimal:
        numbers = NUMBERS.get(key.unit, ("0", "400", *WEIGHTS))
        return st.sampled_from(SHARES if "share" in key.name else numbers)
    if issubclass(key.kind, StrEnum):
        return st.sampled_from([raw_of(word) for word in key.kind])
    return st.sampled_from((*SERIALS, *NAMES))


@st.composite
def facts(draw: st.DrawFn, *, most: int = 60) -> list[Known]:
    """Statements of random keys of two subjects of every kind, each key at most once for a subject."""
    pool = draw(st.sampled_from(POOLS))
    pairs = draw(
        st.lists(st.tuples(st.sampled_from(pool), st.sampled_from(NAMES)), max_size=most, unique=True)
    )
    return [
        Known(Statement(subject_named(TABLES[key.table], name), key.name, draw(value(key))), origin=key.name)
        for key, name in pairs
    ]


def without(known: tuple[Known, ...] | list[Known], subject: str, key: Key[Any]) -> list[Known]:
    """The statements but for those of one subject and key."""
    return [item for item in known if (item.statement.subject, item.statement.key) != (subject, key.name)]


@st.composite
def facts_of_a_pair(draw: st.DrawFn) -> list[Known]:
    """Random statements, among them all the facts of a pair that may not go together."""
    pair = draw(st.sampled_from(pairs()))
    told: dict[tuple[str, str], Known] = {}
    for place in pair.places:
        if place.by is not None:
            _add(told, draw, place.by, "1")
        _add(told, draw, place.key, "1")
    for item in draw(facts(most=25)):
        told.setdefault((item.statement.subject, item.statement.key), item)
    return list(told.values())


def _add(told: dict[tuple[str, str], Known], draw: st.DrawFn, key: Key[Any], name: str) -> None:
    subject = subject_named(TABLES[key.table], name)
    said = name if key.links_to else draw(value(key))
    told[subject, key.name] = Known(Statement(subject, key.name, said), origin=key.name)
