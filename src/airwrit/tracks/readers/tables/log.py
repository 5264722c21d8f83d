"""Tables as logs, read with a mapping that leaves nothing open; without one the questions come back instead."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.numbers import HORIZONTAL_95, NAN, VERTICAL_95, number_of, numbers_of
from airwrit.tracks.readers.reading import LogAnswers, LogFile, Reading
from airwrit.tracks.readers.samples import Samples, noted, track_of
from airwrit.tracks.readers.serials import told_serials
from airwrit.tracks.readers.tables.columns import NO_ZONE, UNITS, CsvColumn, CsvMapping
from airwrit.tracks.readers.tables.suggestion import mapping_for, utc_beside
from airwrit.tracks.readers.tables.text import TableForm, TablePiece, form_of_table, pieces_of_table
from airwrit.tracks.readers.text_times import (
    ReadTimes,
    TextTimes,
    clock_of,
    instant_of_day,
    iso_instant,
    ordered_instant,
    past_midnight,
    read_times,
)
from airwrit.tracks.readers.utc import DAY_US, Instant, day_us, utc_of_gps
from airwrit.tracks.track import HeightDatum, TimeSource, TrackDoubt, TrackProblem

_PARTS = re.compile(r"\d+(?:\.\d+)?")
_SIDE = re.compile(r"[NSEW]", re.IGNORECASE)


def degrees_of(cells: list[str], form: str, decimal: str) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Degrees, south and west negative, and which cells hold something that is no place."""
    if form == "deg":
        return numbers_of(cells, decimal)
    if form == "degE7":
        values, bad = numbers_of(cells, decimal)
        return values / 1e7, bad
    plain = [cell.replace(",", ".") if decimal == "," else cell for cell in cells]
    read = _with_minutes if form == "dms" else _run_together
    values = np.array([read(cell.strip()) for cell in plain], dtype=np.float64)
    return values, np.isnan(values) & np.array([bool(cell.strip()) for cell in plain], dtype=np.bool_)


def signed(values: NDArray[np.float64], sides: list[str] | None, negative: str) -> NDArray[np.float64]:
    """Degrees with the sign that a column of sides gives them: S or W, as `negative` says."""
    if sides is None:
        return values
    is_negative = np.array([side.strip()[:1].upper() == negative for side in sides], dtype=np.bool_)
    return np.where(is_negative, -np.abs(values), values)


def _with_minutes(text: str) -> float:
    """44°16'12.5\"N, 44 16 12.5 or -71.5W as degrees."""
    parts = [float(part) for part in _PARTS.findall(text)]
    sides = _SIDE.findall(text)
    if not 1 <= len(parts) <= 3 or len(sides) > 1 or any(part >= 60 for part in parts[1:]):
        return NAN
    value = sum(part / scale for part, scale in zip(parts, (1.0, 60.0, 3600.0), strict=False))
    return -value if text.lstrip().startswith("-") or (sides and sides[0] in "SWsw") else value


def _run_together(text: str) -> float:
    """4416.208 or 04416.208W, degrees and minutes run together, as degrees."""
    sides = _SIDE.findall(text)
    value = number_of(_SIDE.sub("", text).strip())
    degrees, minutes = divmod(abs(value), 100)
    if len(sides) > 1 or value != value or minutes >= 60:  # noqa: PLR0124
        return NAN
    placed = degrees + minutes / 60
    return -placed if value < 0 or (sides and sides[0] in "SWsw") else placed


_NUMBER_FORMS = {"unix_s": 1e6, "unix_ms": 1e3, "unix_us": 1.0, "unix_ns": 1e-3, "excel_days": float(DAY_US)}
_EXCEL_EPOCH_US = -25_569 * DAY_US
_NOTHING = -(2**62)
"""No moment."""
_MINUTE_US = 60_000_000
_ALIKE_US, _OFF_US = 5_000_000, _MINUTE_US
"""By how much the differences of two clocks may differ, and how far off a clock may be before it is set."""
_MOST_SERIALS = 4
_ON = frozenset({"1", "true", "on", "yes", "active", "broadcasting"})
_OFF = frozenset({"0", "false", "off", "no", "inactive"})
_DOUBTS = {
    TrackDoubt.HORIZONTAL: (CsvColumn.HORIZONTAL_DOUBT, HORIZONTAL_95),
    TrackDoubt.VERTICAL: (CsvColumn.VERTICAL_DOUBT, VERTICAL_95),
}


@dataclass(slots=True)
class _TableColumns:
    """What the pieces of a table gave so far, a list of arrays for each column."""

    arrays: dict[str, list[NDArray[Any]]] = field(default_factory=dict)
    bad: dict[str, list[NDArray[np.bool_]]] = field(default_factory=dict)
    serials: dict[str, None] = field(default_factory=dict)
    restarts: int = 0
    is_broken: bool = False
    rows: int = 0

    def keep(self, name: str, values: NDArray[Any], bad: NDArray[np.bool_] | None = None) -> None:
        """A piece of a column, and which of its cells could not be read."""
        self.arrays.setdefault(name, []).append(values)
        if bad is not None:
            self.bad.setdefault(name, []).append(bad)

    def whole(self, name: str) -> NDArray[Any] | None:
        """A column, None where the table has none such."""
        pieces = self.arrays.get(name)
        return None if pieces is None else np.concatenate(pieces)


def read_csv(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """The track of a table, or the questions that are open before it can be read."""
    form = form_of_table(file)
    if form is None:
        raise log.refused("we can't find a table with headings and numbers in the file")
    mapping, questions = mapping_for(form, answers)
    if questions:
        return Reading((), (), questions, mapping)
    columns = _columns(file, form, mapping)
    if not columns.rows:
        raise log.refused("the table has no rows")
    track = track_of(_samples(columns, mapping, answers), log, answers)
    if track is None:
        raise log.refused("no row of the table has a time", "check which column holds the time")
    return Reading((track,), (), (), mapping)


def _columns(file: BinaryIO, form: TableForm, mapping: CsvMapping) -> _TableColumns:
    columns, beside = _TableColumns(), utc_beside(form, mapping)
    for piece in pieces_of_table(file, form):
        columns.is_broken = columns.is_broken or piece.is_broken
        if piece.rows:
            _keep_piece(columns, piece, form, mapping)
            if beside:
                utc = read_times(_cells_under(piece, form, beside), iso_instant)
                columns.keep("utc beside", np.where(utc.utc | utc.local, utc.us, _NOTHING))
        columns.restarts += len(piece.restarts)
        columns.rows += len(piece.rows)
    return columns


def _keep_piece(columns: _TableColumns, piece: TablePiece, form: TableForm, mapping: CsvMapping) -> None:
    segment = np.zeros(len(piece.rows), dtype=np.int32)
    for at in piece.restarts:
        segment[at:] += 1
    columns.keep("segment", segment + columns.restarts)
    columns.keep("row", np.array(piece.lines, dtype=np.int64))
    cells = partial(_cells, piece, form, mapping)
    for place, side, negative in (
        (CsvColumn.LATITUDE, CsvColumn.NORTH_SOUTH, "S"),
        (CsvColumn.LONGITUDE, CsvColumn.EAST_WEST, "W"),
    ):
        unit = mapping.unit_of(place)
        values, bad = degrees_of(cells(place) or [], unit, mapping.decimal)
        columns.keep(place, signed(values, cells(side), negative), bad)
    for one in mapping.columns:
        if one.column is CsvColumn.HEIGHT:
            values, bad = numbers_of(_cells_under(piece, form, one.heading), mapping.decimal)
            columns.keep(f"height {one.datum}", values * UNITS[one.column][one.unit], bad)
        elif one.column in _PLAIN:
            values, bad = numbers_of(cells(one.column) or [], mapping.decimal)
            columns.keep(one.column, values * UNITS.get(one.column, {}).get(one.unit, 1.0), bad)
        elif one.column is CsvColumn.REMOTE_ID:
            columns.keep(
                one.column, np.array([_state(cell) for cell in cells(one.column) or []], dtype=np.int8)
            )
    if len(columns.serials) < _MOST_SERIALS:
        columns.serials |= dict.fromkeys(told_serials(dict.fromkeys(cells(CsvColumn.SERIAL) or [])))
    _keep_times(columns, cells, mapping)


_PLAIN = (
    CsvColumn.SPEED,
    CsvColumn.BATTERY,
    CsvColumn.SATELLITES,
    CsvColumn.HORIZONTAL_DOUBT,
    CsvColumn.VERTICAL_DOUBT,
    CsvColumn.ELAPSED,
    CsvColumn.GPS_WEEK,
    CsvColumn.GPS_SECONDS,
)

_Cells = Callable[[CsvColumn], list[str] | None]


def _cells(piece: TablePiece, form: TableForm, mapping: CsvMapping, column: CsvColumn) -> list[str] | None:
    """The cells of the column that is this, None where there is none."""
    one = mapping.of(column)
    return None if one is None else _cells_under(piece, form, one.heading)


def _cells_under(piece: TablePiece, form: TableForm, heading: str) -> list[str]:
    at = form.headings.index(heading)
    return [row[at] if at < len(row) else "" for row in piece.rows]


def _state(cell: str) -> int:
    word = cell.strip().lower()
    return 1 if word in _ON else 0 if word in _OFF else -1


def _keep_times(columns: _TableColumns, cells: _Cells, mapping: CsvMapping) -> None:
    """The texts of times, read; numbers are read with the other columns."""
    for column in (CsvColumn.TIME, CsvColumn.DATE, CsvColumn.TIME_OF_DAY):
        texts = cells(column)
        if texts is None:
            continue
        unit = mapping.unit_of(column)
        if unit in _NUMBER_FORMS:
            columns.keep(column, *numbers_of(texts, mapping.decimal))
            continue
        read = read_times(texts, _reader_of(column, unit))
        for name, values in zip(ReadTimes._fields, read, strict=True):
            columns.keep(f"{column} {name}", values)


def _reader_of(column: CsvColumn, unit: str) -> Callable[[str], Instant | None]:
    if column is CsvColumn.TIME_OF_DAY:
        return instant_of_day
    return iso_instant if unit in {"iso", ""} else partial(ordered_instant, order=unit)


def _samples(columns: _TableColumns, mapping: CsvMapping, answers: LogAnswers) -> Samples:
    row = _whole(columns, "row")
    times = _by_utc(_times(columns, row, mapping, answers), columns.whole("utc beside"))
    whole = columns.whole
    satellites = whole(CsvColumn.SATELLITES)
    battery = whole(CsvColumn.BATTERY)
    samples = Samples(
        clock_us=times.clock_us,
        timed=times.timed,
        time_from=times.time_from,
        utc_less_clock_us=times.utc_less_clock_us,
        lat_deg=np.concatenate(columns.arrays[CsvColumn.LATITUDE]),
        lon_deg=np.concatenate(columns.arrays[CsvColumn.LONGITUDE]),
        row=row,
        heights_m={
            HeightDatum(name.removeprefix("height ")): np.concatenate(pieces)
            for name, pieces in columns.arrays.items()
            if name.startswith("height ")
        },
        doubt_m={
            whose: np.where(values > 0, values * of_95, np.nan)
            for whose, (name, of_95) in _DOUBTS.items()
            if (values := whole(name)) is not None
        },
        speed_mps=whole(CsvColumn.SPEED),
        battery=None if battery is None else np.where((battery >= 0) & (battery <= 1), battery, np.nan),
        remote_id=whole(CsvColumn.REMOTE_ID),
        satellites=None if satellites is None else _whole_numbers(satellites),
        segment=whole("segment"),
        serials=tuple(columns.serials),
        problems=times.problems,
    )
    for name, pieces in columns.bad.items():
        samples = samples.noting(noted(TrackFault.NUMBER, np.concatenate(pieces), row, name))
    return samples.noting(
        TrackProblem(TrackFault.REPEATED_HEADER, columns.restarts) if columns.restarts else None,
        TrackProblem(TrackFault.DAMAGED) if columns.is_broken else None,
    )


def _whole_numbers(values: NDArray[np.float64]) -> NDArray[np.int16]:
    return np.where((values >= 0) & (values < 1000), np.nan_to_num(values), -1).astype(np.int16)


def _times(
    columns: _TableColumns, row: NDArray[np.int64], mapping: CsvMapping, answers: LogAnswers
) -> TextTimes:
    """The clock of the table, by the columns it has for it."""
    named = answers.zone or mapping.zone
    zone = None if named in {"", NO_ZONE} else named
    kinds = {one.column for one in mapping.columns}
    if CsvColumn.TIME in kinds:
        form = mapping.unit_of(CsvColumn.TIME)
        if form not in _NUMBER_FORMS:
            return clock_of(_read(columns, CsvColumn.TIME), row, zone)
        return _of_numbers(_whole(columns, CsvColumn.TIME), form, row, zone)
    if {CsvColumn.GPS_WEEK, CsvColumn.GPS_SECONDS} <= kinds:
        return _of_weeks(_whole(columns, CsvColumn.GPS_WEEK), _whole(columns, CsvColumn.GPS_SECONDS))
    if CsvColumn.TIME_OF_DAY in kinds:
        return clock_of(_of_days(columns, CsvColumn.DATE in kinds, answers), row, zone)
    elapsed = _whole(columns, CsvColumn.ELAPSED)
    known = np.isfinite(elapsed)
    clock = np.rint(np.where(known, elapsed, 0.0)).astype(np.int64)
    return TextTimes(clock, known, TimeSource.NONE, None, (TrackProblem(TrackFault.NO_DATE, len(row)),))


def _by_utc(times: TextTimes, beside: NDArray[np.int64] | None) -> TextTimes:
    """The clock set by what a second column says in UTC, in a row or more, where it is over a minute away from that."""
    both = times.timed & (beside != _NOTHING) if beside is not None else None
    if beside is None or both is None or not both.any():
        return times
    less = times.utc_less_clock_us or 0
    apart = beside[both] - times.clock_us[both] - less
    off = int(np.median(apart))
    if int(apart.max()) - int(apart.min()) > _ALIKE_US or abs(off) <= _OFF_US:
        return times
    told = TrackProblem(TrackFault.UTC_BESIDE, int(both.sum()), -1, f"{abs(off) / _MINUTE_US:,.0f} minutes")
    return times._replace(
        utc_less_clock_us=less + off, time_from=TimeSource.FILE_UTC, problems=(*times.problems, told)
    )


def _whole(columns: _TableColumns, name: str) -> NDArray[Any]:
    return np.concatenate(columns.arrays[name])


def _read(columns: _TableColumns, column: CsvColumn) -> ReadTimes:
    return ReadTimes(*(_whole(columns, f"{column} {name}") for name in ReadTimes._fields))


def _of_numbers(
    values: NDArray[np.float64], form: str, row: NDArray[np.int64], zone: str | None
) -> TextTimes:
    """Times that are numbers: Unix times are UTC, days of a spreadsheet are of a zone that has to be told."""
    with np.errstate(over="ignore"):
        us = values * _NUMBER_FORMS[form]
    known = np.isfinite(us) & (np.abs(us) < 2**60)
    clock = np.rint(np.where(known, us, 0.0)).astype(np.int64)
    nothing = np.zeros(len(row), dtype=np.bool_)
    if form != "excel_days":
        return clock_of(ReadTimes(clock, known, nothing, nothing), row, zone)
    return clock_of(ReadTimes(clock + _EXCEL_EPOCH_US, nothing, known, nothing), row, zone)


def _of_weeks(weeks: NDArray[np.float64], of_week_us: NDArray[np.float64]) -> TextTimes:
    """GPS weeks and time in them; week 0 is a receiver that doesn't know the week."""
    known = (weeks > 0) & (weeks < 10_000) & (of_week_us >= 0) & (of_week_us <= 7 * DAY_US)
    clock = utc_of_gps(
        np.where(known, np.nan_to_num(weeks), 0).astype(np.int64),
        np.where(known, np.nan_to_num(of_week_us), 0).astype(np.int64),
    )
    return TextTimes(clock, known, TimeSource.GPS_WEEK, 0, ())


def _of_days(columns: _TableColumns, has_date: bool, answers: LogAnswers) -> ReadTimes:
    """Times of day on the days of the date column, else on the day that was told, past midnight on the next."""
    of_day = _read(columns, CsvColumn.TIME_OF_DAY)
    if has_date:
        days = _read(columns, CsvColumn.DATE)
        known = days.utc | days.local
        return ReadTimes(
            days.us + of_day.us, of_day.utc & known, of_day.local & known, of_day.unread | days.unread
        )
    timed = of_day.utc | of_day.local
    us = of_day.us.copy()
    us[timed] = past_midnight(of_day.us[timed])
    return of_day._replace(us=us + (0 if answers.day is None else day_us(answers.day)))
