"""A facts file in TOML to statements: each table speaks of one subject, and tables about the only aircraft or person meet."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.base.days import EARLIEST, Order, When, order_of, parse_when
from airwrit.base.errors import AirwritError, BadFact, UnreadableFile
from airwrit.facts.key import Key, Raw, value_of
from airwrit.facts.keys.aircraft import IS_REGISTERED, OWNER, PART_OF, REGISTRATION
from airwrit.facts.keys.equipment import CONFIGURATION_OF
from airwrit.facts.keys.flights.airspace import CELL_OF
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.incident import INCIDENT_AIRCRAFT, INCIDENT_PILOT
from airwrit.facts.keys.maintenance import DEFECT_OF
from airwrit.facts.keys.person import COURSE_OF, EVENT_OF
from airwrit.facts.keys.registration import REGISTERED_TO
from airwrit.facts.statement import GoesWithoutSaying, Known, Statement
from airwrit.facts.vocabulary import FLIGHT_TABLES, TABLES, TELLABLE, TOLD_KEYS, key_named, subject_named
from airwrit.intake.cell.measures import read_measure
from airwrit.intake.cell.quantities import WeightColumn, weight_of_text
from airwrit.intake.cell.value import choice_of, normal, shown

_ALSO_ID = {
    "mark": "aircraft",
    "remote_id": "aircraft",
    "site": "flight",
    "weather": "flight",
    "crew": "flight",
    "registration": "number",
    "owner": "name",
    "pilot": "name",
}
_MOST_BYTES = 1 << 20
_ABOUT = ("id", "from", "until")
_ALONE = {
    "aircraft": "A",
    "owner": "owner",
    "person": "pilot",
    "flight": "flight",
    "incident": "incident",
    "battery": "battery",
}
_NUMBERED = ("part", "training", "paper", "map_cell", "configuration", "defect", "maintenance", "course")
_UNITS = ("g", "ft", "kt", "sm", "nm", "mi", "usd")
_NAMED = ("model", "bulletin")
"""Kinds of subject that are known by a name of their own, which no other table can tell."""
_LINKS: tuple[tuple[Key[str], str, str], ...] = (
    (REGISTRATION, "aircraft", "registration"),
    (OWNER, "aircraft", "owner"),
    (REGISTERED_TO, "registration", "owner"),
    (EVENT_OF, "training", "person"),
    (PART_OF, "part", "aircraft"),
    (FLIGHT_AIRCRAFT, "flight", "aircraft"),
    (FLIGHT_PILOT, "flight", "person"),
    (CELL_OF, "cell", "flight"),
    (INCIDENT_AIRCRAFT, "incident", "aircraft"),
    (INCIDENT_PILOT, "incident", "person"),
    (CONFIGURATION_OF, "configuration", "aircraft"),
    (DEFECT_OF, "defect", "aircraft"),
    (COURSE_OF, "course", "person"),
)
"""Links that go without saying where there is one subject of the second kind: key, kind that holds it, kind it points at."""


@dataclass(frozen=True, slots=True)
class FactsFile:
    """What a facts file says: the day or instant it asks about, if any, and its statements."""

    on: str | None
    known: tuple[Known, ...]


class _Row(NamedTuple):
    """One table of the file: where messages find it, its name, its content, its subject."""

    where: str
    table: str
    content: Mapping[str, Any]
    subject: str


def read_facts(text: str, name: str) -> FactsFile:
    """The statements of a facts file. BadFact names table and key of the first thing that cannot be, and the nearest known."""
    try:
        document = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, RecursionError) as fault:
        raise BadFact(f"we can't read the file as TOML ({fault})", where=name, do="fix that line") from fault
    on = document.pop("on", None)
    asked = None if on is None else _when(on, f"{name} on").isoformat()
    rows = _rows(document, name)
    known = [item for row in rows for item in _stated(row)]
    return FactsFile(asked, (*known, *_links(rows, known, name)))


def facts_text(data: bytes, name: str) -> str:
    """The text of a file of facts. UnreadableFile for what is no text, or too large."""
    if len(data) > _MOST_BYTES:
        raise UnreadableFile(
            "the file is too large for a file of facts", where=name, do="use a plain text file in TOML format"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise UnreadableFile("this isn't text", where=name, do="save it as UTF-8 text") from fault


def told_in_file(text: str, name: str) -> tuple[Statement, ...]:
    """The statements of a facts file, each text in one line. BadFact names the first thing in it that can't be."""
    return tuple(
        one._replace(value="; ".join(filter(None, map(str.strip, one.value.splitlines()))))
        if isinstance(one.value, str) and "\n" in one.value
        else one
        for one in (item.statement for item in read_facts(text, name).known)
    )


def _rows(document: Mapping[str, Any], name: str) -> list[_Row]:
    """Every table with the subject it speaks of."""
    found = []
    for table, content in document.items():
        if table not in TELLABLE:
            near = difflib.get_close_matches(table, TELLABLE, n=1)
            raise BadFact(
                f"no table is named {table!r}",
                where=name,
                do=f"did you mean [{near[0]}]?" if near else "the tables are " + ", ".join(TELLABLE),
            )
        several = content if isinstance(content, list) else [content]
        for number, row in enumerate(several, 1):
            where = f"{name} [{table}]" + (f" number {number}" if len(several) > 1 else "")
            if not isinstance(row, dict):
                raise BadFact(
                    "this isn't a table", where=where, do=f"write [{table}], and its facts below it"
                )
            found.append((where, table, number, row))
    given = [(TABLES[table], _id_given(where, table, row)) for where, table, _, row in found]
    return [
        _Row(
            where,
            table,
            row,
            subject_named(kind, identifier or _default_id(where, table, number, row, given, found)),
        )
        for (where, table, number, row), (kind, identifier) in zip(found, given, strict=True)
    ]


def _id_given(where: str, table: str, row: Mapping[str, Any]) -> str:
    """The name a table gives its subject, "" when it gives none."""
    names = [row[key] for key in ("id", _ALSO_ID.get(table, "id")) if key in row]
    for name in names:
        if not isinstance(name, str) or not name.strip():
            raise BadFact(f"{name!r} isn't a name", where=where, do='write it in quotes, like id = "A"')
    if len(set(names)) > 1:
        raise BadFact(
            f"the record has two names, {names[0]!r} and {names[1]!r}",
            where=where,
            do="keep only one of them",
        )
    return names[0] if names else ""


def _default_id(
    where: str,
    table: str,
    number: int,
    row: Mapping[str, Any],
    given: Sequence[tuple[str, str]],
    found: Sequence[tuple[str, str, int, Mapping[str, Any]]],
) -> str:
    """The name of a subject whose table gives none: the only one of its kind. BadFact when there are several."""
    kind = TABLES[table]
    names = {name for other, name in given if other == kind and name}
    if table in _NUMBERED:
        return f"{table} {number}"
    if not names:
        links = {key.name for key, _, target in _LINKS if target == kind}
        told = (content[name] for _, _, _, content in found for name in links & set(content))
        names = {name for name in told if isinstance(name, str)}
    if len(names) > 1:
        raise BadFact(f"it doesn't say which {kind} it is about", where=where, do="add an id")
    if not names and kind in _NAMED:
        raise BadFact(f"the {kind} has no name", where=where, do='add its name, like id = "Sarvo 4"')
    if not names and kind not in _ALONE:
        raise BadFact(
            "the table has no registration number",
            where=where,
            do='add its number, like number = "FA00TEST01"',
        )
    if number > 1 and not {"from", "until"} & set(row):
        raise BadFact(
            "two tables are about the same thing",
            where=where,
            do="add an id to each table, or from and until dates",
        )
    return str(names.pop()) if names else _ALONE[kind]


def _stated(row: _Row) -> Iterator[Known]:
    start = _when(row.content["from"], f"{row.where} from") if "from" in row.content else EARLIEST
    end = _when(row.content["until"], f"{row.where} until") if "until" in row.content else None
    if end is not None and order_of(start, end) in (Order.AFTER, Order.SAME):
        raise BadFact(
            "the last day has to be after the first day",
            where=row.where,
            do="'until' is the first day it no longer applies",
        )
    about = (*_ABOUT, _ALSO_ID.get(row.table, "id"))
    for name, value in row.content.items():
        if name in about:
            continue
        where = f"{row.where} {name}"
        try:
            key = _key(name, row)
            raw = told_value(key, name, value)
        except BadFact as fault:
            raise BadFact(fault.what, where=where, do=fault.do) from fault
        yield Known(Statement(row.subject, key.name, raw, start, end), where)


def _key(name: str, row: _Row) -> Key[Any]:
    """The key of that name, also without its unit's ending. BadFact when it is unknown, twice there, or of another table."""
    full = next((f"{name}_{unit}" for unit in _UNITS if f"{name}_{unit}" in TOLD_KEYS), name)
    if name not in TOLD_KEYS and full in TOLD_KEYS:
        if full in row.content:
            raise BadFact(f"{name!r} and {full!r} are the same fact", do="keep one")
        name = full
    elif name not in TOLD_KEYS:
        own = [key.name for key in TOLD_KEYS.values() if TABLES[key.table] == TABLES[row.table]]
        near = difflib.get_close_matches(name, own, n=1) or difflib.get_close_matches(name, TOLD_KEYS, n=1)
        raise BadFact(
            f"no fact is named {name!r}",
            do=f"did you mean {near[0]}?" if near else "`airwrit check-scenario --keys` lists every fact",
        )
    key = key_named(name)
    if key.table != row.table and not {key.table, row.table} <= FLIGHT_TABLES:
        raise BadFact(f"the fact {key.name} doesn't belong in [{row.table}]", do=f"move it to [{key.table}]")
    return key


def told_value(key: Key[Any], name: str, value: Any) -> Raw:
    """The value as a statement keeps it, checked against its key."""
    if name != key.name:
        return _weight(key, value) if key.unit == "g" else _measure(key, value)
    raw = _plain(key, value)
    if isinstance(raw, str) and issubclass(key.kind, StrEnum):
        return _word(key.kind, key, raw)
    checked = value_of(key, raw)
    if key.unit == "g" and (checked < 0 or (checked == 0 and not _may_be_zero(key))):
        raise BadFact(f"we can't use {value} as a weight", do="write the weight in grams, above zero")
    return raw


def _word(kind: type[StrEnum], key: Key[Any], text: str) -> Raw:
    """The word of a closed list, or the one that a word of the trade stands for without any doubt."""
    choice, word = choice_of(kind), normal(text)
    if word in choice.unclear:
        raise BadFact(f"{shown(text)} is unclear: {choice.unclear[word]}", do=_what_it_is(key))
    raw = text if word in choice.notes else choice.values.get(word, text)
    value_of(key, raw)
    return raw


def _plain(key: Key[Any], value: Any) -> Raw:
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise BadFact(
                f"the time '{value}' has no time zone", do="add the time zone, like 2026-06-01T14:00:00-05:00"
            )
        value = value.isoformat()
    elif isinstance(value, date) and key.kind is date:
        value = value.isoformat()
    elif isinstance(value, Decimal) and key.kind is Decimal:
        value = format(value, "f") if value.is_finite() else str(value)
    if isinstance(value, str | bool) or (isinstance(value, int) and key.kind is Decimal):
        return value
    raise BadFact(f"we can't use {_told(value)} for {key.name}", do=_what_it_is(key))


def _told(value: Any) -> str:
    return "a list or table" if isinstance(value, list | dict) else repr(str(value))


def _what_it_is(key: Key[Any]) -> str:
    """What to write for a key, by its kind; the same words as for a text that cannot be it."""
    try:
        value_of(key, None)
    except AirwritError as fault:
        return fault.do
    return "write it as text"


def _weight(key: Key[Any], value: Any) -> str:
    """Grams of a weight written with its unit."""
    if not isinstance(value, str):
        raise BadFact(
            f"the weight {value} has no unit",
            do=f'write it with its unit, like "0.5 lb", or as {key.name}',
        )
    got = weight_of_text(value, WeightColumn(is_error=_may_be_zero(key)))
    if not isinstance(got.raw, str):
        raise BadFact(got.fault or f"{value!r} isn't a weight", do=got.do or "write a weight with its unit")
    return got.raw


def _measure(key: Key[Any], value: Any) -> str:
    """The number in the key's unit of a text with its unit."""
    if not isinstance(value, str):
        raise BadFact(
            f"the number {value} has no unit",
            do=f'write it with its unit, like "120 {key.unit}", or as {key.name}',
        )
    raw = read_measure(value, key.unit)
    value_of(key, raw)
    return raw


def _may_be_zero(key: Key[Any]) -> bool:
    return "error" in key.name


def _when(value: Any, where: str) -> When:
    """A civil day or an instant with its zone."""
    if isinstance(value, datetime) and value.tzinfo is None:
        raise BadFact(
            f"the time '{value}' has no time zone", where=where, do="write a date, or a time with its zone"
        )
    if isinstance(value, date):
        return value
    try:
        return parse_when(str(value))
    except ValueError as fault:
        raise BadFact(str(fault), where=where, do="write a date like 2026-05-31") from fault


def _links(rows: Sequence[_Row], known: Sequence[Known], name: str) -> list[Known]:
    """The links that go without saying, for subjects that do not state them."""
    subjects: dict[str, list[str]] = {}
    for row in rows:
        mine = subjects.setdefault(TABLES[row.table], [])
        if row.subject not in mine:
            mine.append(row.subject)
    stated = {(item.statement.subject, item.statement.key): item.statement.value for item in known}
    found = []
    for key, kind, target in _LINKS:
        targets, holders = subjects.get(target, []), subjects.get(kind, [])
        if len(targets) != 1 or (key is REGISTRATION and len(holders) != 1):
            continue
        origin = GoesWithoutSaying(f"{name}: the only {target} there is")
        for holder in holders:
            if (holder, key.name) in stated or (
                key is REGISTRATION and stated.get((holder, IS_REGISTERED.name)) is False
            ):
                continue
            found.append(Known(Statement(holder, key.name, targets[0].partition("/")[2]), origin))
            if key is REGISTRATION and (holder, IS_REGISTERED.name) not in stated:
                found.append(Known(Statement(holder, IS_REGISTERED.name, True), origin))
    return found
