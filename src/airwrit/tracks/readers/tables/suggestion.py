"""What the columns of a table most likely are, by their headings and first rows, and the questions that are left open.

A unit is taken where the heading says it, a reference of heights likewise. The rest is asked.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.tracks.readers.numbers import number_of
from airwrit.tracks.readers.reading import LogAnswers, LogAsks, LogQuestion
from airwrit.tracks.readers.tables.columns import (
    DAY_FORMS,
    PLACE_FORMS,
    TIME_FORMS,
    UNITS,
    CsvColumn,
    CsvMapping,
    MappedColumn,
    key_of_headings,
)
from airwrit.tracks.readers.tables.text import TableForm
from airwrit.tracks.readers.text_times import iso_instant
from airwrit.tracks.track import HeightDatum

_WORD = re.compile(r"[a-z]+/[a-z]+|[a-zµ%]+-?\d*|\d+")
_CAMEL = re.compile(r"(?<=[a-z0-9])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])")
_DAY = re.compile(r"\s*(\d{1,4})\D(\d{1,2})\D(\d{1,4})")
_DECIMAL_COMMA = re.compile(r"-?\d+,(?!\d{3}$)\d+")
_EITHER = re.compile(r"-?\d{1,3}(?:,\d{3})+")


_THIRTY_YEARS_S = 1e9


class Suggestion(NamedTuple):
    """A mapping as far as headings and cells show it, and what has to be asked before it can be used."""

    mapping: CsvMapping
    questions: tuple[LogQuestion, ...]


@cache
def _words() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


def mapping_for(form: TableForm, answers: LogAnswers) -> Suggestion:
    """The mapping to read a table with: the one given, else the one kept for its headings, else what they say themselves."""
    key = key_of_headings(form.headings)
    kept = next((one for one in answers.saved if key_of_headings(one.headings) == key), None)
    told = answers.mapping or kept
    if told is None:
        return suggestion_for(form, answers)
    ours = {_plain(heading): heading for heading in form.headings}
    columns = tuple(
        one._replace(heading=ours[_plain(one.heading)]) for one in told.columns if _plain(one.heading) in ours
    )
    mapping = told._replace(headings=form.headings, columns=columns, zone=answers.zone or told.zone)
    naive = _is_naive(form, list(columns))
    return Suggestion(mapping, open_questions(mapping, is_naive=naive, day_is_known=answers.day is not None))


def _plain(heading: str) -> str:
    return " ".join(heading.split()).casefold()


def suggestion_for(form: TableForm, answers: LogAnswers) -> Suggestion:
    """What the columns of a table seem to be."""
    columns: list[MappedColumn] = []
    for at, heading in enumerate(form.headings):
        words = words_of(heading)
        column = _column_of(words)
        cells = [row[at] for row in form.sample if at < len(row) and row[at].strip()]
        if column is CsvColumn.TIME and _says_utc(words) and len(cells) == len(form.sample):
            columns = [one for one in columns if one.column is not column or _says_utc(words_of(one.heading))]
        if column is None or (
            column is not CsvColumn.HEIGHT and any(one.column is column for one in columns)
        ):
            continue
        columns.append(_mapped(heading, column, words, cells))
    columns = _heights_as_said(_time_alone(_each_datum_once(columns)), answers.heights_from)
    zone = answers.zone or _zone(columns)
    decimal, asks_decimal = _decimal(form)
    mapping = CsvMapping(form.headings, tuple(columns), zone, decimal)
    asked = open_questions(mapping, is_naive=_is_naive(form, columns), day_is_known=answers.day is not None)
    return Suggestion(
        mapping, (*asked, *([LogQuestion(LogAsks.DECIMAL, "", (".", ","))] if asks_decimal else []))
    )


def _says_utc(words: list[str]) -> bool:
    """Whether a heading says that its times are UTC: such a column is better than one on some other clock."""
    return any(sign in words for sign in _words()["zones"]["UTC"])


def utc_beside(form: TableForm, mapping: CsvMapping) -> str:
    """The heading of a column of times in UTC that isn't used, by which the clock can be checked; "" where there is none."""
    used = {one.heading for one in mapping.columns}
    for heading in form.headings:
        words = words_of(heading)
        if heading not in used and _says_utc(words) and _column_of(words) is CsvColumn.TIME:
            return heading
    return ""


def words_of(heading: str) -> list[str]:
    """The words of a heading in small letters, also those that only capitals keep apart."""
    return _WORD.findall(_CAMEL.sub(" ", heading).replace("_", " ").lower())


def _column_of(words: list[str]) -> CsvColumn | None:
    for one in _words()["columns"]:
        if any(word in words for word in one.get("not", ())):
            continue
        if any(_are_in(wanted, words) for wanted in one["words"]):
            return CsvColumn(one["is"])
    return None


def _are_in(wanted: list[str], words: list[str]) -> bool:
    """Whether words stand in others one behind the other, or are one word there."""
    joined = "".join(wanted)
    return joined in words or any(words[at : at + len(wanted)] == wanted for at in range(len(words)))


def _mapped(heading: str, column: CsvColumn, words: list[str], cells: list[str]) -> MappedColumn:
    since_1970 = _unix_form(words, cells) if column in {CsvColumn.TIME, CsvColumn.ELAPSED} else ""
    if since_1970:
        return MappedColumn(heading, CsvColumn.TIME, since_1970)
    if column in UNITS:
        unit = next(
            (
                unit
                for unit in UNITS[column]
                if any(word in _words()["units"].get(unit, ()) for word in words)
            ),
            "",
        )
        return MappedColumn(heading, column, unit, _datum(words) if column is CsvColumn.HEIGHT else None)
    if column in {CsvColumn.LATITUDE, CsvColumn.LONGITUDE}:
        return MappedColumn(heading, column, _place_form(words, cells))
    if column in {CsvColumn.TIME, CsvColumn.DATE}:
        return _time_column(heading, column, words, cells)
    return MappedColumn(heading, column)


def _unix_form(words: list[str], cells: list[str]) -> str:
    """The form of times since 1970, where the heading says their unit and each would be over thirty years since any start."""
    signs = _words()["units"]
    unit = next(
        (unit for unit in ("s", "ms", "us") if any(word in words for word in signs.get(unit, ()))), ""
    )
    per_second = {"s": 1.0, "ms": 1e3, "us": 1e6}.get(unit)
    if per_second is None or not cells:
        return ""
    seconds = [number_of(cell.replace(",", ".")) / per_second for cell in cells]
    return f"unix_{unit}" if all(_THIRTY_YEARS_S <= one < 10 * _THIRTY_YEARS_S for one in seconds) else ""


def _datum(words: list[str]) -> HeightDatum | None:
    found = {datum for datum, signs in _words()["datums"].items() if any(sign in words for sign in signs)}
    if "take" in words and "off" in words:
        found.add("takeoff")
    if "sea" in words and "level" in words:
        found.add("sea_level")
    return HeightDatum(found.pop()) if len(found) == 1 else None


def _place_form(words: list[str], cells: list[str]) -> str:
    """How places are written, where cells leave no doubt: "" else."""
    cells = [cell for cell in cells if any(sign.isdigit() for sign in cell)]
    if any(sign in cell for cell in cells for sign in "°'\"NSEWnsew"):
        return "dms"
    values = [abs(number_of(cell.replace(",", "."))) for cell in cells]
    if "e7" in words or (values and min(values) > 180 and all(value.is_integer() for value in values)):
        return "degE7"
    return "deg" if values and max(values) <= 180 else ""


def _time_column(heading: str, column: CsvColumn, words: list[str], cells: list[str]) -> MappedColumn:
    said = " ".join(words)
    forms = _words()["time_forms"]
    form = next((form for form, signs in forms.items() if any(sign in said for sign in signs)), "")
    if not form and cells and column is CsvColumn.TIME and all(iso_instant(cell) for cell in cells):
        form = "iso"
    if not form and cells and all(re.match(r"\s*\d{1,2}:\d\d", cell) for cell in cells):
        return MappedColumn(heading, CsvColumn.TIME_OF_DAY)
    if not form and cells and all(_DAY.match(cell) for cell in cells):
        form = _day_order(cells)
        if column is CsvColumn.TIME and not any(":" in cell for cell in cells):
            column = CsvColumn.DATE
    return MappedColumn(heading, column, form)


def _day_order(cells: list[str]) -> str:
    """The order of day, month and year, where one of the cells shows it."""
    parts = [tuple(map(int, found.groups())) for cell in cells if (found := _DAY.match(cell))]
    if all(first > 31 for first, _, _ in parts):
        return "ymd"
    if any(first > 12 for first, _, _ in parts):
        return "dmy"
    return "mdy" if any(second > 12 for _, second, _ in parts) else ""


def _each_datum_once(columns: list[MappedColumn]) -> list[MappedColumn]:
    """Of two heights from the same reference the first is kept."""
    seen: set[HeightDatum] = set()
    kept = []
    for one in columns:
        if one.datum is not None and one.datum in seen:
            continue
        if one.datum is not None:
            seen.add(one.datum)
        kept.append(one)
    return kept


def _heights_as_said(columns: list[MappedColumn], said: HeightDatum | None) -> list[MappedColumn]:
    """Where one column of heights doesn't say what they are measured from, it is what somebody said of the log."""
    open_ones = [one for one in columns if one.column is CsvColumn.HEIGHT and one.datum is None]
    if said is None or len(open_ones) != 1 or any(one.datum is said for one in columns):
        return columns
    return [one._replace(datum=said) if one is open_ones[0] else one for one in columns]


def _time_alone(columns: list[MappedColumn]) -> list[MappedColumn]:
    """Where there is a full time, columns that say it again are left aside; a day alone goes with a time of day."""
    kinds = {one.column for one in columns}
    aside: set[CsvColumn] = set()
    if CsvColumn.TIME in kinds:
        aside = {
            CsvColumn.DATE,
            CsvColumn.TIME_OF_DAY,
            CsvColumn.GPS_WEEK,
            CsvColumn.GPS_SECONDS,
            CsvColumn.ELAPSED,
        }
    elif {CsvColumn.GPS_WEEK, CsvColumn.GPS_SECONDS} <= kinds:
        aside = {CsvColumn.DATE, CsvColumn.TIME_OF_DAY, CsvColumn.ELAPSED}
    elif CsvColumn.TIME_OF_DAY in kinds:
        aside = {CsvColumn.ELAPSED, CsvColumn.GPS_WEEK, CsvColumn.GPS_SECONDS}
    return [one for one in columns if one.column not in aside]


def _zone(columns: list[MappedColumn]) -> str:
    """The zone that the heading of a time names."""
    for one in columns:
        if one.column in {CsvColumn.TIME, CsvColumn.TIME_OF_DAY, CsvColumn.DATE}:
            for zone, signs in _words()["zones"].items():
                if any(sign in words_of(one.heading) for sign in signs):
                    return str(zone)
    return ""


def _is_naive(form: TableForm, columns: list[MappedColumn]) -> bool:
    """Whether times name no zone themselves."""
    time = next((one for one in columns if one.column is CsvColumn.TIME), None)
    if time is None:
        return any(one.column is CsvColumn.TIME_OF_DAY for one in columns)
    if time.unit.startswith("unix"):
        return False
    at = form.headings.index(time.heading)
    told = [iso_instant(row[at]) for row in form.sample if at < len(row)]
    return not any(one is not None and one.is_utc for one in told)


def _decimal(form: TableForm) -> tuple[str, bool]:
    """The sign in front of decimals, and whether it has to be asked."""
    cells = [cell for row in form.sample for cell in row]
    if any(_DECIMAL_COMMA.fullmatch(cell) for cell in cells):
        return ",", False
    points = any(number_of(cell) == number_of(cell) and "." in cell for cell in cells)
    return ".", not points and any(_EITHER.fullmatch(cell) for cell in cells)


_WITH_UNIT = (*UNITS, CsvColumn.LATITUDE, CsvColumn.LONGITUDE)


def open_questions(mapping: CsvMapping, *, is_naive: bool, day_is_known: bool) -> tuple[LogQuestion, ...]:
    """What a mapping leaves open; with an answer to each it can be used."""
    kinds = {one.column for one in mapping.columns}
    asked = [
        LogQuestion(LogAsks.COLUMN, wanted, mapping.headings)
        for wanted in (CsvColumn.LATITUDE, CsvColumn.LONGITUDE)
        if wanted not in kinds
    ]
    has_time = kinds & {CsvColumn.TIME, CsvColumn.TIME_OF_DAY, CsvColumn.ELAPSED}
    if not has_time and not {CsvColumn.GPS_WEEK, CsvColumn.GPS_SECONDS} <= kinds:
        asked.append(LogQuestion(LogAsks.COLUMN, CsvColumn.TIME, mapping.headings))
    for one in mapping.columns:
        asked += _of_column(one)
    if is_naive and not mapping.zone:
        asked.append(LogQuestion(LogAsks.ZONE))
    if CsvColumn.TIME_OF_DAY in kinds and not kinds & {CsvColumn.DATE, CsvColumn.TIME} and not day_is_known:
        asked.append(LogQuestion(LogAsks.DATE))
    return tuple(asked)


def _of_column(one: MappedColumn) -> list[LogQuestion]:
    """The questions about one column: its unit, what its heights are measured from, the form of its times."""
    asked = []
    if one.column in _WITH_UNIT and not one.unit:
        units = tuple(UNITS.get(one.column, PLACE_FORMS))
        asked.append(LogQuestion(LogAsks.UNIT, one.heading, units))
    if one.column is CsvColumn.HEIGHT and one.datum is None:
        asked.append(LogQuestion(LogAsks.DATUM, one.heading, tuple(HeightDatum)))
    if one.column is CsvColumn.TIME and not one.unit:
        asked.append(LogQuestion(LogAsks.TIME_FORM, one.heading, TIME_FORMS))
    if one.column is CsvColumn.DATE and not one.unit:
        asked.append(LogQuestion(LogAsks.DAY_ORDER, one.heading, DAY_FORMS))
    return asked
