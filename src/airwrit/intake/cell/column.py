"""One column's cells read as one key asks: each cell once, in the light of the whole column."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import IS_REGISTERED, OWNER, PART_SCALE_ERROR, REGISTRATION, SCALE_ERROR
from airwrit.facts.keys.person import BORN_ON, CERTIFICATE_NUMBER, HAS_CERTIFICATE, RECURRENT_DUE_ON
from airwrit.facts.keys.registration import EXPIRES_ON, OWNER_BORN_ON, REGISTERED_TO
from airwrit.facts.keys.service import INSPECTION_DUE_ON
from airwrit.intake.cell.dates import (
    FIRST_DAY_OF,
    FIRST_YEAR_OF_DRONES,
    LAST_DAY_OF,
    DateColumn,
    DateOrder,
    date_column,
    day_of_cell,
)
from airwrit.intake.cell.quantities import (
    WeightColumn,
    capacity_of_cell,
    comma_of,
    percent_of_cell,
    plain_number_of_cell,
    weight_of_cell,
)
from airwrit.intake.cell.value import (
    LONGEST,
    NOTHING,
    SERIALS,
    Got,
    clean,
    identifier_of_cell,
    is_identifier,
    is_none,
    joined,
    name_of_cell,
)
from airwrit.intake.meaning.values import (
    certificate_held,
    certificate_of,
    choice_in,
    flag_in,
    named_owner,
    registration_of,
    serial_of,
    variant_reader,
)
from airwrit.intake.reader.cells import Cell, Kind

Reader = Callable[[Cell], Got]

_ERRORS = re.compile(r"#(?:N/A|REF!|VALUE!|DIV/0!|NAME\?|NUM!|NULL!)|Err:\d{3}")

PRESENCE: dict[Key[Any], Key[bool]] = {REGISTRATION: IS_REGISTERED, CERTIFICATE_NUMBER: HAS_CERTIFICATE}
"""Keys of numbers, each with the key that says whether there is one."""


@dataclass(frozen=True, slots=True)
class Hints:
    """What is known of a column beside its cells: a unit or an order in its heading, the user's answers, the day count.

    `variant` is the way in which its values say what it holds.
    """

    unit: str = ""
    told_order: DateOrder | None = None
    asked_order: DateOrder | None = None
    from_1904: bool = False
    variant: str = ""


@dataclass(frozen=True, slots=True)
class Read:
    """What each cell of a column gave, and how its dates were read, where it has any."""

    gots: tuple[Got, ...]
    dates: DateColumn | None = None


class _Once(dict[Cell, Got]):
    """What each distinct cell gave."""

    def __init__(self, reader: Reader) -> None:
        super().__init__()
        self.reader = reader

    def __missing__(self, cell: Cell) -> Got:
        got = self[cell] = _unfit(cell) or self.reader(cell)
        return got


def _unfit(cell: Cell) -> Got | None:
    """The fault of a cell that no key can use: an error, or far too much text."""
    if cell.kind is Kind.ERROR or (cell.text[:1] in "#E" and _ERRORS.fullmatch(cell.text)):
        return Got(fault=f"the cell holds an error: {cell.text}", do="fix the formula, or type the value")
    if len(cell.text) > LONGEST:
        return Got(
            fault=f"the cell has {len(cell.text):,} characters. We read up to {LONGEST:,}", do="shorten it"
        )
    return None


def read_column(key: Key[Any] | None, cells: Sequence[Cell], hints: Hints) -> Read:
    """Every cell of a column as `key` asks; None reads names. An error in a cell is a fault whatever is asked."""
    dates = None
    if key is not None and key.kind is date:
        born = key in _BORN
        dates = date_column(dict.fromkeys(cells), hints.asked_order, hints.told_order)._replace(
            from_1904=hints.from_1904,
            month="" if born else LAST_DAY_OF if key in _LAST_DAYS else FIRST_DAY_OF,
            first_year=0 if born else FIRST_YEAR_OF_DRONES,
        )
    once = _Once(_reader(key, cells, hints, dates))
    gots = tuple(map(once.__getitem__, cells))
    return Read(_doubted_by_length(gots) if key is REGISTRATION else gots, dates)


_MANY_NUMBERS, _ALIKE = 4, 0.75


def _doubted_by_length(gots: tuple[Got, ...]) -> tuple[Got, ...]:
    """The same numbers; one that begins with FA and is shorter or longer than nearly all others of its column is in doubt.

    Source: common practice, no source: numbers of Part 48 are all of one length.
    """
    numbers = [got.raw for got in gots if isinstance(got.raw, str) and got.raw.startswith("FA")]
    lengths = Counter(map(len, numbers))
    if len(numbers) < _MANY_NUMBERS or len(lengths) < 2:
        return gots
    usual, many = lengths.most_common(1)[0]
    if many < _ALIKE * len(numbers):
        return gots
    return tuple(
        got._replace(unclear=got.raw)
        if isinstance(got.raw, str) and got.raw.startswith("FA") and len(got.raw) != usual
        else got
        for got in gots
    )


_BORN = (BORN_ON, OWNER_BORN_ON)
_LAST_DAYS: tuple[Key[Any], ...] = (EXPIRES_ON, RECURRENT_DUE_ON, INSPECTION_DUE_ON)
"""Days up to which something holds: a month alone counts whole."""


def _identifier_reader(key: Key[Any]) -> Reader | None:
    """How cells that name one thing are read; None for a key of another kind."""
    if key is REGISTRATION:
        return lambda cell: registration_of(identifier_of_cell(cell, key), cell)
    if key is CERTIFICATE_NUMBER:
        return lambda cell: certificate_of(identifier_of_cell(cell, key), cell)
    if key in SERIALS:
        return lambda cell: serial_of(_number(identifier_of_cell(cell, key), key))
    if is_identifier(key):
        return lambda cell: _number(identifier_of_cell(cell, key), key)
    return None


def _reader(key: Key[Any] | None, cells: Sequence[Cell], hints: Hints, dates: DateColumn | None) -> Reader:
    if key is None:
        return name_of_cell
    by_variant = variant_reader(key, hints.variant)
    if by_variant is not None:
        return by_variant
    if dates is not None:
        return lambda cell: day_of_cell(cell, dates, instants=key.instants, birth=key in _BORN)
    if key.kind is Decimal and key.unit == "g":
        column = WeightColumn(
            hints.unit, comma_of(set(cells)), is_error=key in (SCALE_ERROR, PART_SCALE_ERROR)
        )
        return lambda cell: weight_of_cell(cell, column)
    if key.kind is Decimal:
        comma = comma_of(set(cells))
        if key.unit == "mAh":
            return lambda cell: capacity_of_cell(cell, hints.unit, comma)
        read = percent_of_cell if key.unit == "percent" else plain_number_of_cell
        return lambda cell: read(cell, comma)
    identifier = _identifier_reader(key)
    if identifier is not None:
        return identifier
    if key.kind is bool:
        return _worded(certificate_held if key is HAS_CERTIFICATE else flag_in)
    if issubclass(key.kind, StrEnum):
        return _worded(lambda text: choice_in(key.kind, text))
    if key in (OWNER, REGISTERED_TO):
        return named_owner
    return _verbatim if key.has_many else _text


def _number(got: Got, key: Key[Any]) -> Got:
    """An identifier; a bare yes or no is of use only where another key takes it."""
    if key in PRESENCE or not isinstance(got.raw, bool):
        return got
    return Got(fault="it says yes, but not the number", do="write the number") if got.raw else NOTHING


def _text(cell: Cell) -> Got:
    """A name or words; `none` says nothing is there."""
    got = name_of_cell(cell)
    return NOTHING if isinstance(got.raw, str) and cell.kind is Kind.TEXT and is_none(got.raw) else got


def _verbatim(cell: Cell) -> Got:
    """A quoted text, whatever it is; only an empty cell says nothing."""
    text, note = clean(cell.text)
    return Got(text, note) if text else NOTHING


def _worded(reader: Callable[[str], Got]) -> Reader:
    """A reader of words that takes a cell of any kind by its text."""

    def read(cell: Cell) -> Got:
        text, note = clean(cell.text)
        got = reader(text)
        return got._replace(note=joined(note, got.note)) if note else got

    return read
