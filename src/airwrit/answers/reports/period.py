"""The month's report, also of a month without a flight, and the year's with its rates."""

from __future__ import annotations

from calendar import month_name, monthrange
from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from airwrit.answers.document import SCOPE_OF_RECORDS
from airwrit.answers.reports.flown import (
    DEFECT_FOUND,
    INCIDENT,
    NEAR,
    NOTHING_FLOWN,
    SUM_COLUMNS,
    FlownSpan,
    aircraft_between,
    events_table,
    flown_in,
    people_between,
    sum_cells,
    sums_by,
    sums_of,
)
from airwrit.answers.reports.report import CellKind, ProgramReport, ReportCell, ReportColumn, ReportTable
from airwrit.base.days import day_of
from airwrit.base.sentences import counted, day_words
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import subject_named

_RATE = Decimal("0.1")
_HUNDRED = Decimal(100)
_WHATS = (INCIDENT, NEAR, DEFECT_FOUND)


def month_report(state: State, year: int, month: int) -> ProgramReport:
    """The flights of a month by aircraft, pilot and day; every aircraft on file stands there, flown or not.

    It goes no further than the day of the state.
    """
    first, end = date(year, month, 1), date(year, month, monthrange(year, month)[1])
    last = min(end, day_of(state.on))
    span, name = flown_in(state, first, last), f"{month_name[month]} {year}"
    notes = span.notes
    return ProgramReport(
        "month",
        "Monthly flight report",
        _covers(name, last, end),
        last,
        SCOPE_OF_RECORDS,
        (_in_short(span, name), _events_in_short(span)),
        (_aircraft(state, span), _pilots(state, span), _flights(span), events_table(span)),
        notes,
        Verdict.UNKNOWN if notes else Verdict.MET,
    )


def year_report(state: State, year: int) -> ProgramReport:
    """A year by months, its rates, and its sums by aircraft, pilot and use; no further than the day of the state."""
    end = date(year, 12, 31)
    span = flown_in(state, date(year, 1, 1), min(end, day_of(state.on)))
    notes = span.notes
    return ProgramReport(
        "year",
        "Yearly report",
        _covers(str(year), span.last, end),
        span.last,
        SCOPE_OF_RECORDS,
        (_in_short(span, str(year)), _events_in_short(span)),
        (
            _months(span),
            rates_table(span),
            _aircraft(state, span),
            _pilots(state, span),
            _uses(span),
            events_table(span),
        ),
        notes,
        Verdict.UNKNOWN if notes else Verdict.MET,
    )


def _covers(name: str, last: date, end: date) -> str:
    """What a report covers: all of its month or year, or as far as it has come."""
    return name if last == end else f"{name}, through {day_words(last)}"


def _in_short(span: FlownSpan, name: str) -> str:
    if not span.flights:
        return f"No flights in {name}. This is a report of zero flights."
    sums = sums_of(span.flights)
    aircraft = len({one.aircraft for one in span.flights if one.aircraft})
    pilots = len({one.pilot for one in span.flights if one.pilot})
    return (
        f"{counted(sums.flights, 'flight')} in {name}: {sums.in_words}, with {aircraft} aircraft and "
        f"{counted(pilots, 'pilot')}."
    )


def _events_in_short(span: FlownSpan) -> str:
    told = [
        counted(many, what, "near misses" if what == NEAR else "")
        for what in _WHATS
        if (many := span.many(what))
    ]
    return f"On record: {', '.join(told)}." if told else "No incident, near miss or defect is on record."


def _aircraft(state: State, span: FlownSpan) -> ReportTable:
    by = sums_by(span.flights, lambda one: one.aircraft)
    names = (*dict.fromkeys((*aircraft_between(state, span.first, span.last), *filter(None, by))),)
    rows = tuple(
        (
            name,
            value_held(state, subject_named("aircraft", name), REGISTRATION),
            *sum_cells(by.get(name, NOTHING_FLOWN)),
        )
        for name in sorted(names)
    )
    columns = (
        ReportColumn("aircraft", "Aircraft"),
        ReportColumn("registration", "Registration"),
        *SUM_COLUMNS,
    )
    named = sums_of(one for one in span.flights if one.aircraft)
    return ReportTable("aircraft", "By aircraft", columns, rows, ("Total", "", *sum_cells(named)))


def _pilots(state: State, span: FlownSpan) -> ReportTable:
    by = sums_by(span.flights, lambda one: one.pilot)
    here = {name for name in by if name} | ({*by} & {*people_between(state, span.first)})
    rows = tuple((name, *sum_cells(by[name])) for name in sorted(here))
    named = sums_of(one for one in span.flights if one.pilot)
    return ReportTable(
        "pilots",
        "By pilot",
        (ReportColumn("pilot", "Pilot"), *SUM_COLUMNS),
        rows,
        ("Total", *sum_cells(named)) if rows else (),
        "Nobody flew.",
    )


def _flights(span: FlownSpan) -> ReportTable:
    columns = (
        ReportColumn("day", "Day", CellKind.DAY),
        ReportColumn("aircraft", "Aircraft"),
        ReportColumn("pilot", "Pilot"),
        ReportColumn("minutes", "Minutes", CellKind.AMOUNT),
        ReportColumn("landings", "Landings", CellKind.AMOUNT),
        ReportColumn("use", "For"),
    )
    rows = tuple(
        (
            one.day,
            one.aircraft or None,
            one.pilot or None,
            one.minutes,
            one.landings,
            one.use and one.use.value,
        )
        for one in span.flights
    )
    return ReportTable("flights", "Flight by flight", columns, rows, empty="No flights.")


def _months(span: FlownSpan) -> ReportTable:
    by = sums_by(span.flights, lambda one: one.day.month)
    rows = []
    for month in range(1, 13):
        events = [sum(e.what == what and e.day.month == month for e in span.events) for what in _WHATS]
        rows.append((month_name[month], *sum_cells(by.get(month, NOTHING_FLOWN)), *events))
    total = ("Total", *sum_cells(sums_of(span.flights)), *map(span.many, _WHATS))
    columns = (ReportColumn("month", "Month"), *SUM_COLUMNS, *_event_columns())
    return ReportTable("months", "By month", columns, tuple(rows), total)


def _event_columns() -> Sequence[ReportColumn]:
    return (
        ReportColumn("incidents", "Incidents", CellKind.COUNT),
        ReportColumn("near_misses", "Near misses", CellKind.COUNT),
        ReportColumn("defects", "Defects", CellKind.COUNT),
    )


def rates_table(span: FlownSpan) -> ReportTable:
    """Events for each 100 flights and each 100 hours; not known where nothing was flown, or minutes are missing."""
    sums = sums_of(span.flights)
    whole = all(one.minutes is not None for one in span.flights)
    rows = []
    for what in _WHATS:
        many = span.many(what)
        by_flights = None if not sums.flights else (_HUNDRED * many / sums.flights).quantize(_RATE)
        by_hours = (_HUNDRED * 60 * many / sums.minutes).quantize(_RATE) if whole and sums.minutes else None
        rows.append((f"{what.capitalize()}s" if what != NEAR else "Near misses", many, by_flights, by_hours))
    columns = (
        ReportColumn("what", "Events"),
        ReportColumn("many", "Number", CellKind.COUNT),
        ReportColumn("per_100_flights", "Per 100 flights", CellKind.AMOUNT),
        ReportColumn("per_100_hours", "Per 100 hours", CellKind.AMOUNT),
    )
    return ReportTable("rates", "Rates", columns, tuple(rows))


def _uses(span: FlownSpan) -> ReportTable:
    by = sums_by(span.flights, lambda one: "" if one.use is None else one.use.value)
    rows: tuple[tuple[ReportCell, ...], ...] = tuple(
        (name or None, *sum_cells(by[name])) for name in sorted(by)
    )
    columns = (ReportColumn("use", "Flown for"), *SUM_COLUMNS)
    return ReportTable("uses", "By use", columns, rows, empty="No flights.")
