"""The file in which a person answers what a sheet leaves open: facts for all, some or one, texts, and columns. TOML.

    [[answer]]                      one fact for several at once
    fact = "mark_place"
    value = "outside"
    for = "all"                     or a list of names; `model` or `owner` in its place says whose
    except = ["UAS-7"]

    [each.expires_on]               one fact, one by one
    "UAS-1" = 2027-03-01

    [[word]]                        a text that was not understood
    text = "loaner?"
    means = "doesn't matter"        or what it means: "loaned out"

    [[column]]                      what a column holds
    sheet = "Fleet"
    heading = "Good thru"
    means = "expires_on"            or "ignore"

    [[same]]                        names that are one person
    person = "Dana Haskell"         or "different people"
    names = ["D. Haskell", "Haskell, Dana"]

What is left blank is left open.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.errors import BadFact
from airwrit.facts.key import YES_NO, Key, Raw
from airwrit.facts.vocabulary import TOLD_KEYS
from airwrit.intake.reader.apart import text_of
from airwrit.intake.reader.limits import Limits
from airwrit.intake.typed.facts_file import told_value

_MOST_BYTES = 2**20
ALL = "all"
DIFFERENT = "different people"
"""What is said of names that are not one person's."""
_TABLES = ("answer", "each", "word", "column", "same")
_UNITS = ("_g", "_ft", "_kt", "_sm", "_nm", "_mi", "_usd")


class FactAnswer(NamedTuple):
    """One fact for several subjects. `names` None is for all that say nothing; `model` and `owner` narrow it, "" for none."""

    key: Key[Any]
    value: Raw
    names: tuple[str, ...] | None
    excepted: tuple[str, ...]
    model: str
    owner: str
    where: str


class WordAnswer(NamedTuple):
    """What a text means that was not understood; `names` None is wherever it stands."""

    text: str
    means: str
    names: tuple[str, ...] | None
    where: str


class ColumnAnswer(NamedTuple):
    """What a column holds: of which sheet ("" for any), under which heading."""

    sheet: str
    heading: str
    means: str


class SameAnswer(NamedTuple):
    """Names that are one person, called `person`; or names of different people, where that is "" ."""

    person: str
    names: tuple[str, ...]
    where: str

    @property
    def are_different(self) -> bool:
        """Whether the names are those of different people."""
        return not self.person


@dataclass(frozen=True, slots=True)
class AnswersFile:
    """All that was answered, in the order of the file."""

    name: str
    facts: tuple[FactAnswer, ...] = ()
    words: tuple[WordAnswer, ...] = ()
    columns: tuple[ColumnAnswer, ...] = ()
    same: tuple[SameAnswer, ...] = ()


def load_answers(path: Path) -> AnswersFile:
    """The answers in a file. UnreadableFile when it cannot be read, BadFact when it holds something else."""
    limits = Limits(file_bytes=_MOST_BYTES)
    return read_answers(text_of(path, limits, "answers", "use the form that --questions wrote"), path.name)


def read_answers(text: str, name: str) -> AnswersFile:
    """The answers in a TOML text. BadFact names the first thing that cannot be, and the nearest known."""
    try:
        document = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, RecursionError) as fault:
        raise BadFact(f"we can't read the file as TOML ({fault})", where=name, do="fix that line") from fault
    odd = set(document) - set(_TABLES)
    if odd:
        raise BadFact(
            f"an answers file has no table {min(odd)!r}", where=name, do="use " + ", ".join(_TABLES)
        )
    return AnswersFile(
        name,
        (*_facts(document, name), *_each(document, name)),
        tuple(_words(document, name)),
        tuple(_columns(document, name)),
        tuple(_same(document, name)),
    )


def _rows(document: Mapping[str, Any], table: str, name: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """The tables of a kind, each with where it stands."""
    rows = document.get(table, [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise BadFact("this isn't a list of tables", where=f"{name} {table}", do=f"write [[{table}]]")
    for number, row in enumerate(rows, start=1):
        yield f"{name} {table} {number}", row


def _facts(document: Mapping[str, Any], name: str) -> Iterator[FactAnswer]:
    for where, row in _rows(document, "answer", name):
        _only(row, ("fact", "value", "for", "except", "model", "owner"), where)
        key = _key(_text(row, "fact", where), where)
        if not _is_blank(row.get("value")):
            yield FactAnswer(
                key,
                answer_value(key, row["value"], where),
                _names(row.get("for", ALL), where),
                _names(row.get("except", []), where) or (),
                _text(row, "model", where, "") if "model" in row else "",
                _text(row, "owner", where, "") if "owner" in row else "",
                where,
            )


def _each(document: Mapping[str, Any], name: str) -> Iterator[FactAnswer]:
    tables = document.get("each", {})
    if not isinstance(tables, dict):
        raise BadFact("this isn't a table", where=f"{name} each", do="write [each.FACT]")
    for fact, rows in tables.items():
        where = f"{name} each.{fact}"
        key = _key(fact, where)
        if not isinstance(rows, dict):
            raise BadFact(
                "this isn't a table", where=where, do=f'write [each.{fact}], and "NAME" = VALUE below it'
            )
        for whom, value in rows.items():
            if not _is_blank(value):
                place = f"{where} {whom!r}"
                yield FactAnswer(key, answer_value(key, value, place), (whom,), (), "", "", place)


def _words(document: Mapping[str, Any], name: str) -> Iterator[WordAnswer]:
    for where, row in _rows(document, "word", name):
        _only(row, ("text", "means", "for"), where)
        means = _text(row, "means", where, "")
        if means:
            yield WordAnswer(_text(row, "text", where), means, _names(row.get("for", ALL), where), where)


def _columns(document: Mapping[str, Any], name: str) -> Iterator[ColumnAnswer]:
    for where, row in _rows(document, "column", name):
        _only(row, ("sheet", "heading", "means"), where)
        means = _text(row, "means", where, "")
        if means:
            sheet = _text(row, "sheet", where, "")
            yield ColumnAnswer(sheet, _text(row, "heading", where), means)


def _same(document: Mapping[str, Any], name: str) -> Iterator[SameAnswer]:
    for where, row in _rows(document, "same", name):
        _only(row, ("person", "names"), where)
        person = _text(row, "person", where, "")
        if person:
            person = "" if person.casefold() == DIFFERENT else person
            yield SameAnswer(person, _names(row.get("names", []), where) or (), where)


def _only(row: Mapping[str, Any], known: tuple[str, ...], where: str) -> None:
    odd = set(row) - set(known)
    if odd:
        raise BadFact(f"{min(odd)!r} doesn't belong here", where=where, do="use " + ", ".join(known))


def _text(row: Mapping[str, Any], name: str, where: str, default: str | None = None) -> str:
    found = row.get(name, default)
    if not isinstance(found, str) or (default is None and not found):
        raise BadFact(f"the field {name} isn't text", where=where, do=f'write {name} = "..."')
    return found.strip()


def _names(given: Any, where: str) -> tuple[str, ...] | None:
    """Names in a list; None for all."""
    if given == ALL:
        return None
    if isinstance(given, list) and all(isinstance(one, str) for one in given):
        return tuple(given)
    raise BadFact(f"{given!r} doesn't say who it is for", where=where, do='write "all" or ["NAME", "NAME"]')


def _is_blank(value: Any) -> bool:
    return value is None or (isinstance(value, str) and value.strip() in ("", "?"))


def _key(name: str, where: str) -> Key[Any]:
    full = (
        name if name in TOLD_KEYS else next((name + unit for unit in _UNITS if name + unit in TOLD_KEYS), "")
    )
    if not full:
        near = difflib.get_close_matches(name, TOLD_KEYS, n=1)
        raise BadFact(
            f"no fact is named {name!r}",
            where=where,
            do=f"did you mean {near[0]}?" if near else "`airwrit check-scenario --keys` lists every fact",
        )
    return TOLD_KEYS[full]


def answer_value(key: Key[Any], value: Any, where: str) -> Raw:
    """The value as a statement keeps it. BadFact when it cannot be the fact's.

    A weight or measure may also be a text with its unit, yes and no may be words.
    """
    if key.kind is bool and isinstance(value, str):
        value = YES_NO.get(value.strip().casefold(), value)
    with_unit = key.unit and isinstance(value, str) and any(sign.isalpha() for sign in value)
    name = key.name.removesuffix(f"_{key.unit}") if with_unit else key.name
    try:
        return told_value(key, name, value)
    except BadFact as fault:
        raise BadFact(fault.what, where=where, do=fault.do) from fault
