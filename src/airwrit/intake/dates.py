"""Days from cells, strictly: what is written decides, then what its column shows, then what the user answered."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Literal, NamedTuple

from airwrit.base.days import parse_when
from airwrit.intake.cells import Cell, Kind
from airwrit.intake.got import NOTHING, Got, clean, joined
from airwrit.intake.words import is_missing, is_none, shown

DateOrder = Literal["month-first", "day-first"]
MONTH_FIRST: DateOrder = "month-first"
DAY_FIRST: DateOrder = "day-first"

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FULL = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
_NAMES = {name: number for names in (_MONTHS, _FULL) for number, name in enumerate(names, 1)} | {"sept": 9}
_NAME = "(" + "|".join(sorted(_NAMES, key=len, reverse=True)) + r")\.?"
_TIME = r"(?:[ tT,]+(\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?: ?[aApP]\.?[mM]\.?)?))?"
_WEEKDAY = r"(?:(?:mon|tue|tues|wed|thu|thur|thurs|fri|sat|sun)(?:day|nesday|sday|rsday|urday)?\.?,? )?"
_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})" + _TIME)
_PARTS = re.compile(r"(\d{1,2}) ?([-/.]) ?(\d{1,2}) ?\2 ?(\d{4}|\d{2})" + _TIME)
_DAY_NAME = re.compile(
    _WEEKDAY + r"(\d{1,2})(?:st|nd|rd|th)?[ ./-]*(?:of )?" + _NAME + r"[ ,./-]*(\d{4}|\d{2})" + _TIME,
    re.IGNORECASE,
)
_NAME_DAY = re.compile(
    _WEEKDAY + _NAME + r"[ ./-]*(\d{1,2})(?:st|nd|rd|th)?[ ,./-]+(\d{4}|\d{2})" + _TIME, re.IGNORECASE
)
_MONTH_ONLY = re.compile(
    _NAME + r"[ ,./-]*(\d{4}|\d{2})|(\d{1,2})[/.-](\d{4})|(\d{4})[/.-](\d{1,2})", re.IGNORECASE
)
_EIGHT = re.compile(r"(?:19|20)\d{6}")
_DAY_NUMBER = re.compile(r"[345]\d{4}(?:\.\d+)?")
_FIRST_YEAR, _LAST_YEAR = 1900, 2100
_EPOCH_1900 = date(1899, 12, 30)

DAY_NUMBER_NOTE = "plain day numbers were read as days counted from 1900"
CENTURY_NOTE = "years of two digits were read as 20yy"
TIME_NOTE = "a time without its zone was left out, only the day was kept"
EIGHT_NOTE = "eight digits were read as year, month, day"
_ISO = "write the day as year-month-day, like 2026-05-31"
_ANSWER = f"{_ISO}, or answer --dates month-first or --dates day-first"
AMBIGUOUS = "may be day-month or month-day"
SWAPPED = (
    "is a date cell among dates that stayed text because their day is above 12: the program that opened the file may "
    "have swapped its day and month"
)


class DateColumn(NamedTuple):
    """How a column's dates are read: the order, the text that shows it, and whether date cells may be swapped."""

    order: DateOrder | None = None
    shown_by: str = ""
    suspect: bool = False
    mixed: bool = False
    from_1904: bool = False


def shown_order(text: str) -> DateOrder | None:
    """The order a text proves by a part above 12, None when it proves none."""
    match = _PARTS.fullmatch(text)
    if match is None:
        return None
    first, second = int(match[1]), int(match[3])
    if first > 12 >= second:
        return DAY_FIRST
    return MONTH_FIRST if second > 12 >= first else None


def date_column(cells: Iterable[Cell], asked: DateOrder | None, told: DateOrder | None) -> DateColumn:
    """How to read a column: `told` of this column beats what its cells prove, which beats what was `asked` for all."""
    proofs: dict[DateOrder, str] = {}
    has_days = False
    for cell in cells:
        if cell.kind is Kind.TEXT:
            text = clean(cell.text).text
            order = shown_order(text)
            if order is not None:
                proofs.setdefault(order, text)
        elif cell.kind in (Kind.DAY, Kind.INSTANT):
            has_days = True
    suspect = has_days and bool(proofs)
    if told is not None:
        return DateColumn(told, "", suspect)
    if len(proofs) == 1:
        ((order, text),) = proofs.items()
        return DateColumn(order, text, suspect)
    return DateColumn(None if proofs else asked, "", suspect, mixed=bool(proofs))


def day_of_cell(cell: Cell, column: DateColumn, *, instants: bool = False, birth: bool = False) -> Got:
    """The day a cell holds; with `instants`, also an instant with its zone. `birth` refuses two-digit years."""
    if cell.kind is Kind.DAY or cell.kind is Kind.INSTANT:
        return _date_cell(cell, column)
    if cell.kind is Kind.NUMBER:
        return _day_number(cell.text, column)
    if cell.kind is Kind.TEXT:
        text, note = clean(cell.text)
        got = day_of_text(text, column, instants=instants, birth=birth)
        return got._replace(note=joined(note, got.note)) if note else got
    if cell.kind is Kind.EMPTY or cell.text == "no":
        return NOTHING
    return Got(fault=f"{shown(cell.text)} is not a day", do=_ISO)


def day_of_text(text: str, column: DateColumn, *, instants: bool = False, birth: bool = False) -> Got:
    """The day a clean text writes, read strictly. Never raises."""
    if is_missing(text) or is_none(text):
        return NOTHING
    if not text.isascii():
        return Got(fault=f"{shown(text)} is not a day", do=_ISO)
    match = _YEAR_FIRST.fullmatch(text)
    if match:
        return _made(text, match[1], match[3], match[4], match[5])
    match = _PARTS.fullmatch(text)
    if match:
        return _from_parts(text, match, column, birth=birth)
    for pattern, month, day in ((_DAY_NAME, 2, 1), (_NAME_DAY, 1, 2)):
        match = pattern.fullmatch(text)
        if match:
            number = str(_NAMES[match[month].lower()])
            return _made(text, match[3], number, match[day], match[4], birth=birth)
    if _EIGHT.fullmatch(text):
        got = _made(text, text[:4], text[4:6], text[6:], None)
        return got._replace(note=EIGHT_NOTE) if got.raw else got
    if _DAY_NUMBER.fullmatch(text):
        return _day_number(text, column)
    return _other(text, instants=instants)


def _other(text: str, *, instants: bool) -> Got:
    """An instant with its zone, or the fault that fits the text best."""
    try:
        when = parse_when(text)
    except ValueError:
        if _MONTH_ONLY.fullmatch(text):
            return Got(fault=f"{shown(text)} names a month, not a day", do=_ISO)
        return Got(fault=f"{shown(text)} is not a day that can be read", do=_ISO)
    if instants:
        return Got(when.isoformat())
    day = when.date() if isinstance(when, datetime) else when
    return Got(day.isoformat(), "a time was left out, only the day was kept")


def _from_parts(text: str, match: re.Match[str], column: DateColumn, *, birth: bool) -> Got:
    first, second, year, time = match[1], match[3], match[4], match[5]
    if int(first) > 12 and int(second) > 12:
        return Got(fault=f"{shown(text)} is no day of any month", do=_ISO)
    order = column.order or (MONTH_FIRST if first == second else shown_order(text))
    if order is None:
        if column.mixed:
            return Got(fault=f"{shown(text)} {AMBIGUOUS}: the column has dates of both kinds", do=_ISO)
        return Got(fault=f"{shown(text)} {AMBIGUOUS}: nothing in the column tells which", do=_ANSWER)
    month, day = (first, second) if order == MONTH_FIRST else (second, first)
    if int(month) > 12:
        return Got(fault=f"{shown(text)} cannot be {order}, as its column was told to be", do=_ISO)
    return _made(text, year, month, day, time, birth=birth)


def _made(text: str, year: str, month: str, day: str, time: str | None, *, birth: bool = False) -> Got:
    """The day of three parts as text; a fault when there is no such day."""
    notes = []
    if len(year) == 2:
        if birth:
            return Got(fault=f"{shown(text)} has a year of two digits", do="write the year of birth in full")
        year = "20" + year
        notes.append(CENTURY_NOTE)
    try:
        made = date(int(year), int(month), int(day))
    except ValueError:
        return Got(fault=f"there is no such day as {shown(text)}", do=_ISO)
    if not _FIRST_YEAR <= made.year < _LAST_YEAR:
        return Got(fault=f"the year of {shown(text)} cannot be right", do=_ISO)
    if time and time.strip("0:. "):
        notes.append(TIME_NOTE)
    return Got(made.isoformat(), joined(*notes))


def _date_cell(cell: Cell, column: DateColumn) -> Got:
    day = date.fromisoformat(cell.text[:10])
    if column.suspect and day.day <= 12 and day.day != day.month:
        return Got(
            fault=f"{day.isoformat()} {SWAPPED}",
            do="look the day up and write the whole column as year-month-day",
        )
    if not _FIRST_YEAR <= day.year < _LAST_YEAR:
        return Got(fault=f"the year of {day.isoformat()} cannot be right", do=_ISO)
    return Got(day.isoformat(), TIME_NOTE if cell.kind is Kind.INSTANT else "")


def _day_number(text: str, column: DateColumn) -> Got:
    """A day from the plain number a sheet counts days by, 1982 to 2064; a fault where the count's start is in doubt."""
    if _EIGHT.fullmatch(text):
        got = _made(text, text[:4], text[4:6], text[6:], None)
        return got._replace(note=EIGHT_NOTE) if got.raw else got
    if not _DAY_NUMBER.fullmatch(text):
        return Got(fault=f"{text} is a number, not a day", do=_ISO)
    if column.from_1904:
        return Got(fault=f"{text} may count days from 1904 or from 1900", do=_ISO)
    day = _EPOCH_1900 + timedelta(days=int(text.partition(".")[0]))
    return Got(day.isoformat(), DAY_NUMBER_NOTE)
