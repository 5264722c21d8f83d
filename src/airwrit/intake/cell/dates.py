"""Days from cells, strictly: what is written decides, then what its column shows, then what the user answered."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Literal, NamedTuple

from airwrit.base.days import parse_when
from airwrit.intake.cell.value import NOTHING, FaultCode, Got, clean, is_missing, is_none, joined, shown
from airwrit.intake.reader.cells import Cell, Kind

DateOrder = Literal["month-first", "day-first"]
MONTH_FIRST: DateOrder = "month-first"
DAY_FIRST: DateOrder = "day-first"
FIRST_DAY_OF, LAST_DAY_OF = "first", "last"
"""Which day of a month a month alone stands for."""

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
_FILLER = re.compile(r"9999-?12-?31|12/31/9999|0000-?00-?00|0?0/0?0/0000|0?1/0?1/1900|1900-?01-?0[01]|0")
"""What programs write where a day is not known or never comes."""
_DAY_NUMBER = re.compile(r"[345]\d{4}(?:\.\d+)?")
_FIRST_YEAR, _LAST_YEAR = 1900, 2100
FIRST_YEAR_OF_DRONES = 1990
"""No paper or deed of a drone program is older."""
_EPOCH_1900 = date(1899, 12, 30)

DAY_NUMBER_NOTE = "plain numbers were read as days counted from 1900"
CENTURY_NOTE = "two-digit years were read as 20yy"
TIME_NOTE = "a time had no zone, so we kept only the date"
EIGHT_NOTE = "eight digits were read as year, month, day"
FILLER_NOTE = "filler dates such as 9999-12-31 or 00000000 count as blank"
MONTH_NOTES = {
    FIRST_DAY_OF: "a month without a day was read as its first day",
    LAST_DAY_OF: "a month without a day was read as its last day",
}
ISO = "write the date as year-month-day, like 2026-05-31"
"""What to do about a day that cannot be read."""
_ANSWER = f"{ISO}, or answer --dates month-first or --dates day-first"
SWAPPED = (
    "is a date cell, but other dates in this column stayed text. The program that opened the file may "
    "have swapped its day and month"
)


_MONTHS_OF_A_YEAR, _CENTURY = 12, 2000


class DateColumn(NamedTuple):
    """How a column's dates are read: the order, the text that shows it, and whether date cells may be swapped.

    `month` is which day a month alone stands for, "" where it is no day; `first_year` the first year that can be right.
    """

    order: DateOrder | None = None
    shown_by: str = ""
    suspect: bool = False
    mixed: bool = False
    from_1904: bool = False
    month: str = ""
    first_year: int = _FIRST_YEAR


def shown_order(text: str) -> DateOrder | None:
    """The order a text proves by a part above 12, None when it proves none."""
    match = _PARTS.fullmatch(text)
    if match is None:
        return None
    first, second = int(match[1]), int(match[3])
    if first > 12 >= second:
        return DAY_FIRST
    return MONTH_FIRST if second > 12 >= first else None


def has_two_orders(text: str) -> bool:
    """Whether a text is a day that may be meant month first or day first."""
    match = _PARTS.fullmatch(clean(text).text)
    return (
        match is not None and match[1] != match[3] and max(int(match[1]), int(match[3])) <= _MONTHS_OF_A_YEAR
    )


def year_written(text: str) -> int:
    """The year of a text like 3/4/2028, in whatever order its day and month are meant; 0 for any other text."""
    match = _PARTS.fullmatch(clean(text).text)
    if match is None:
        return 0
    return int(match[4]) if len(match[4]) > 2 else _CENTURY + int(match[4])


def date_column(cells: Iterable[Cell], asked: DateOrder | None, told: DateOrder | None) -> DateColumn:
    """How to read a column: `told` of this column beats what its cells prove, which beats what was `asked` for all."""
    proofs: dict[DateOrder, str] = {}
    days: list[int] = []
    for cell in cells:
        if cell.kind is Kind.TEXT:
            text = clean(cell.text).text
            order = shown_order(text)
            if order is not None and "." not in text:
                proofs.setdefault(order, text)
        elif cell.kind in (Kind.DAY, Kind.INSTANT):
            days.append(int(cell.text[8:10]))
    suspect = bool(proofs) and bool(days) and max(days) <= _MONTHS_OF_A_YEAR
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
    return Got(fault=f"{shown(cell.text)} isn't a date", do=ISO)


def day_of_text(text: str, column: DateColumn, *, instants: bool = False, birth: bool = False) -> Got:
    """The day a clean text writes, read strictly. Never raises."""
    if is_missing(text) or is_none(text):
        return NOTHING
    if not text.isascii():
        return Got(fault=f"{shown(text)} isn't a date", do=ISO)
    if _FILLER.fullmatch(text):
        return Got(note=FILLER_NOTE)
    return _in_years(_day_of_text(text, column, instants=instants, birth=birth), text, column)


def _in_years(got: Got, text: str, column: DateColumn) -> Got:
    """The day, or the fault that its year is before the first that can be right in its column."""
    if isinstance(got.raw, str) and int(got.raw[:4]) < column.first_year:
        return Got(fault=f"the year of {shown(text)} can't be right", do=ISO)
    return got


def _day_of_text(text: str, column: DateColumn, *, instants: bool, birth: bool) -> Got:
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
    return _other(text, column, instants=instants)


_WITHIN = re.compile(r"\b(\d{1,2})/(\d{1,2})/(\d{4}|\d{2})\b|\b(\d{4})-(\d{2})-(\d{2})\b")


@lru_cache(maxsize=1 << 12)
def day_within(text: str) -> date | None:
    """The one day that a text among other words names, month first; None for none or several."""
    found = _WITHIN.findall(text)
    if len(found) != 1:
        return None
    month, day, year, iso_year, iso_month, iso_day = found[0]
    parts = (
        (iso_year, iso_month, iso_day) if iso_year else (year if len(year) == 4 else "20" + year, month, day)
    )
    try:
        return date(*map(int, parts))
    except ValueError:
        return None


def is_month(text: str) -> bool:
    """Whether a text names a month of a year and no day."""
    return _month_of(text) is not None


def looks_like_day(text: str) -> bool:
    """Whether a text or a number is written as a day, be it one that cannot be."""
    if _EIGHT.fullmatch(text):
        return 1 <= int(text[4:6]) <= 12 and 1 <= int(text[6:]) <= 31
    if _FILLER.fullmatch(text) and len(text) > 1:
        return True
    if _DAY_NUMBER.fullmatch(text):
        return text[0] in "45"
    return any(pattern.fullmatch(text) for pattern in (_YEAR_FIRST, _PARTS, _DAY_NAME, _NAME_DAY, _INSTANT))


_INSTANT = re.compile(
    r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:?\d\d)?|\d{1,2}/\d{1,2}/\d{2,4} \d.*"
)


def _month_of(text: str) -> tuple[int, int] | None:
    """Year and month of a text that names a month alone."""
    match = _MONTH_ONLY.fullmatch(text)
    if match is None:
        return None
    name, named_year, month, year, year_first, month_last = match.groups()
    if name:
        return int(named_year if len(named_year) == 4 else f"20{named_year}"), _NAMES[name.lower()]
    found = (int(year), int(month)) if year else (int(year_first), int(month_last))
    return found if 1 <= found[1] <= 12 and _FIRST_YEAR <= found[0] < _LAST_YEAR else None


def _day_of_month(text: str, which: str) -> Got | None:
    """The first or last day of the month that a text names; None where it names none or no day is meant."""
    found = _month_of(text) if which else None
    if found is None:
        return None
    year, month = found
    last = monthrange(year, month)[1]
    return Got(date(year, month, last if which == LAST_DAY_OF else 1).isoformat(), MONTH_NOTES[which])


def _other(text: str, column: DateColumn, *, instants: bool) -> Got:
    """A month where it may stand for a day, an instant with its zone, or the fault that fits the text best."""
    month = _day_of_month(text, column.month)
    if month is not None:
        return month
    try:
        when = parse_when(text)
    except ValueError:
        if _MONTH_ONLY.fullmatch(text):
            return Got(fault=f"{shown(text)} is a month without a day", do=ISO)
        return Got(fault=f"we can't read {shown(text)} as a date", do=ISO)
    if instants:
        return Got(when.isoformat())
    day = when.date() if isinstance(when, datetime) else when
    return Got(day.isoformat(), "we left out a time and kept only the date")


def _either(text: str, why: str, do: str) -> Got:
    what = f"{shown(text)} may be day first or month first: {why}"
    return Got(fault=what, do=do, code=FaultCode.EITHER_ORDER)


def _from_parts(text: str, match: re.Match[str], column: DateColumn, *, birth: bool) -> Got:
    first, second, year, time = match[1], match[3], match[4], match[5]
    if int(first) > 12 and int(second) > 12:
        return Got(fault=f"{shown(text)} isn't a date in any month", do=ISO)
    if match[2] == "." and int(first) <= 31 and int(second) <= 12:
        return _made(text, year, second, first, time, birth=birth)
    order = column.order or (MONTH_FIRST if first == second else shown_order(text))
    if order is None:
        if column.mixed:
            return _either(text, "the column has dates of both kinds", ISO)
        return _either(text, "nothing in the column tells us which", _ANSWER)
    month, day = (first, second) if order == MONTH_FIRST else (second, first)
    if int(month) > 12:
        return Got(fault=f"{shown(text)} can't be {order}, like the rest of its column", do=ISO)
    return _made(text, year, month, day, time, birth=birth)


def _made(text: str, year: str, month: str, day: str, time: str | None, *, birth: bool = False) -> Got:
    """The day of three parts as text; a fault when there is no such day."""
    notes = []
    if len(year) == 2:
        if birth:
            return Got(fault=f"{shown(text)} has a two-digit year", do="write the birth year in full")
        year = "20" + year
        notes.append(CENTURY_NOTE)
    try:
        made = date(int(year), int(month), int(day))
    except ValueError:
        return Got(fault=f"the date {shown(text)} doesn't exist", do=ISO)
    if not _FIRST_YEAR <= made.year < _LAST_YEAR:
        return Got(fault=f"the year of {shown(text)} can't be right", do=ISO)
    if time and time.strip("0:. "):
        notes.append(TIME_NOTE)
    return Got(made.isoformat(), joined(*notes))


def _date_cell(cell: Cell, column: DateColumn) -> Got:
    day = date.fromisoformat(cell.text[:10])
    if column.suspect and day.day <= 12 and day.day != day.month:
        return Got(
            fault=f"{day.isoformat()} {SWAPPED}",
            do="look up the date, and write the whole column as year-month-day",
        )
    if _FILLER.fullmatch(cell.text[:10]):
        return Got(note=FILLER_NOTE)
    if not column.first_year <= day.year < _LAST_YEAR:
        return Got(fault=f"the year of {day.isoformat()} can't be right", do=ISO)
    return Got(day.isoformat(), TIME_NOTE if cell.kind is Kind.INSTANT else "")


def _day_number(text: str, column: DateColumn) -> Got:
    """A day from the plain number a sheet counts days by, 1982 to 2064; a fault where the count's start is in doubt."""
    if _FILLER.fullmatch(text):
        return Got(note=FILLER_NOTE)
    if _EIGHT.fullmatch(text):
        got = _made(text, text[:4], text[4:6], text[6:], None)
        return got._replace(note=EIGHT_NOTE) if got.raw else got
    if not _DAY_NUMBER.fullmatch(text):
        return Got(fault=f"{text} is a number, not a date", do=ISO)
    if column.from_1904:
        return Got(fault=f"{text} may count days from 1904 or from 1900", do=ISO)
    day = _EPOCH_1900 + timedelta(days=int(text.partition(".")[0]))
    return Got(day.isoformat(), DAY_NUMBER_NOTE)
