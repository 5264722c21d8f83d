"""How much one aircraft was flown up to a day: flights, hours and landings, flight by flight with the running sum."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from airwrit.answers.document import SCOPE_OF_RECORDS
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.reports.flown import TENTH, flown_in, sums_of
from airwrit.answers.reports.report import CellKind, ProgramReport, ReportColumn, ReportTable
from airwrit.base.days import EARLIEST, day_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import counted, day_words
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import AIRFRAME_SERIAL, MAKER, MODEL, REGISTRATION
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of


def hours_report(state: State, name: str, on: date) -> ProgramReport:
    """The hours of an aircraft at the end of a day. UsageError for a name that nothing is on file of."""
    subject = aircraft_called(state, name)
    span = flown_in(state, day_of(EARLIEST), on)
    mine = tuple(one for one in span.flights if one.aircraft == id_of(subject))
    undated = tuple(one for one in span.undated if one in ("", id_of(subject)))
    own = replace(span, flights=mine, undated=undated)
    sums, notes = sums_of(mine), own.notes
    running, rows = Decimal(0), []
    for one in mine:
        running += one.minutes or 0
        rows.append((one.day, one.pilot or None, one.minutes, one.landings, (running / 60).quantize(TENTH)))
    columns = (
        ReportColumn("day", "Day", CellKind.DAY),
        ReportColumn("pilot", "Pilot"),
        ReportColumn("minutes", "Minutes", CellKind.AMOUNT),
        ReportColumn("landings", "Landings", CellKind.AMOUNT),
        ReportColumn("hours_so_far", "Hours so far", CellKind.AMOUNT),
    )
    says = (
        f"{id_of(subject)} on {day_words(on)}: {counted(sums.flights, 'flight')} on record, {sums.in_words}."
    )
    return ProgramReport(
        "aircraft-hours",
        "Hours of an aircraft",
        f"{id_of(subject)}, {day_words(on)}",
        on,
        SCOPE_OF_RECORDS,
        (says,),
        (
            _card(state, subject),
            ReportTable("flights", "Flight by flight", columns, tuple(rows), empty="No flights."),
        ),
        notes,
        Verdict.UNKNOWN if notes or not mine else Verdict.MET,
        (subject,),
    )


def _card(state: State, subject: str) -> ReportTable:
    keys: tuple[Key[str], ...] = (MAKER, MODEL, AIRFRAME_SERIAL, REGISTRATION)
    rows = tuple((key.meaning[:1].upper() + key.meaning[1:], value_held(state, subject, key)) for key in keys)
    columns = (ReportColumn("fact", "The aircraft"), ReportColumn("value", "On file"))
    return ReportTable("aircraft", "The aircraft", columns, rows)


def aircraft_called(state: State, name: str) -> str:
    """The aircraft of a name. UsageError where none is on file."""
    subject = the_one_called(name, [one for one in state.subjects("aircraft") if state.held[one]])
    if subject not in state.held:
        raise UsageError(
            f"there is no aircraft named {name!r}", where="aircraft", do="`airwrit today` lists the names"
        )
    return subject
