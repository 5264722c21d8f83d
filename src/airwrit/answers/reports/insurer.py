"""What an insurer asks at renewal: aircraft, pilots, five years of losses, and the policies on file, as of a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from airwrit.answers.document import SCOPE_OF_RECORDS
from airwrit.answers.reports.flown import (
    INCIDENT,
    NEAR,
    NOTHING_FLOWN,
    FlownSpan,
    aircraft_between,
    flown_in,
    people_between,
    sums_by,
)
from airwrit.answers.reports.report import CellKind, ProgramReport, ReportCell, ReportColumn, ReportTable
from airwrit.base.days import EARLIEST, add_months, day_of
from airwrit.base.sentences import counted, day_words
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import PaperKind
from airwrit.facts.flight_choices import DamagedProperty, Hurt
from airwrit.facts.keys.aircraft import AIRFRAME_SERIAL, INSPECTED_ON, MAKER, MODEL, REGISTRATION
from airwrit.facts.keys.incident import (
    ANYONE_HURT,
    DAMAGED,
    HAPPENED_ON,
    INCIDENT_AIRCRAFT,
    NEAR_MISS,
    PROPERTY_DAMAGED,
    REPAIR_COST,
)
from airwrit.facts.keys.paper import (
    COVERS_AIRCRAFT,
    COVERS_ALL,
    ENDS_ON,
    GRANTED_ON,
    PAPER_KIND,
    PAPER_NUMBER,
)
from airwrit.facts.keys.person import CERTIFICATE_NUMBER, COMPLETED_ON, EVENT_OF
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, subject_named

YEARS_OF_LOSSES = 5
"""So many years of losses are listed; common practice, no source."""


def insurer_report(state: State, on: date) -> ProgramReport:
    """The renewal's facts as of a day. Nothing is judged."""
    ever = flown_in(state, day_of(EARLIEST), on)
    year, notes = ever.since(add_months(on, -12) + timedelta(1)), ever.notes
    since = add_months(on, -12 * YEARS_OF_LOSSES) + timedelta(days=1)
    losses = tuple(_losses(state, since, on))
    aircraft, pilots = _aircraft(state, on, ever, year), _pilots(state, on, ever, year)
    many = sum(row[1] == INCIDENT for row in losses)
    says = (
        f"{counted(len(aircraft.rows), 'aircraft', 'aircraft')} and {counted(len(pilots.rows), 'pilot')} on "
        f"{day_words(on)}. {_losses_text(many, len(losses) - many)} from {day_words(since)} on."
    )
    tables = (aircraft, pilots, _table_of_losses(losses), policies_table(state, on))
    return ProgramReport(
        "insurer",
        "Insurance renewal",
        day_words(on),
        on,
        SCOPE_OF_RECORDS,
        (says, "Hours are those of flights on record."),
        tables,
        notes,
        Verdict.UNKNOWN if notes or _has_gap(tables) else Verdict.MET,
    )


def _losses_text(incidents: int, near: int) -> str:
    if not incidents and not near:
        return "No incident and no near miss is on record"
    return f"{counted(incidents, 'incident')} and {counted(near, 'near miss', 'near misses')} on record"


def _has_gap(tables: tuple[ReportTable, ...]) -> bool:
    return any(cell is None for table in tables for row in table.rows for cell in row)


def _aircraft(state: State, on: date, ever: FlownSpan, year: FlownSpan) -> ReportTable:
    all_of, last = (sums_by(span.flights, lambda one: one.aircraft) for span in (ever, year))
    rows = []
    for name in sorted(aircraft_between(state, on + timedelta(days=1), on)):
        subject = subject_named("aircraft", name)
        facts = (value_held(state, subject, key) for key in (MAKER, MODEL, AIRFRAME_SERIAL, REGISTRATION))
        rows.append(
            (
                name,
                *facts,
                value_held(state, subject, INSPECTED_ON),
                all_of.get(name, NOTHING_FLOWN).hours,
                last.get(name, NOTHING_FLOWN).hours,
            )
        )
    columns = (
        ReportColumn("aircraft", "Aircraft"),
        ReportColumn(MAKER.name, "Maker"),
        ReportColumn(MODEL.name, "Model"),
        ReportColumn("serial", "Serial number"),
        ReportColumn("registration", "Registration"),
        ReportColumn("inspected_on", "Last inspection", CellKind.DAY),
        ReportColumn("hours", "Hours", CellKind.AMOUNT),
        ReportColumn("hours_12_months", "In 12 months", CellKind.AMOUNT),
    )
    return ReportTable("aircraft", "Aircraft", columns, tuple(rows))


def _pilots(state: State, on: date, ever: FlownSpan, year: FlownSpan) -> ReportTable:
    all_of, last = (sums_by(span.flights, lambda one: one.pilot) for span in (ever, year))
    rows = []
    for name in sorted(people_between(state, on + timedelta(days=1))):
        subject = subject_named("person", name)
        number = value_held(state, subject, CERTIFICATE_NUMBER)
        if number is None and name not in all_of:
            continue
        trained = max(_trainings(state, name, on), default=None)
        flown = all_of.get(name, NOTHING_FLOWN), last.get(name, NOTHING_FLOWN)
        rows.append((name, number, trained, flown[0].flights, flown[0].hours, flown[1].hours))
    columns = (
        ReportColumn("pilot", "Pilot"),
        ReportColumn("certificate", "Certificate"),
        ReportColumn("last_training", "Last test or training", CellKind.DAY),
        ReportColumn("flights", "Flights", CellKind.COUNT),
        ReportColumn("hours", "Hours", CellKind.AMOUNT),
        ReportColumn("hours_12_months", "In 12 months", CellKind.AMOUNT),
    )
    return ReportTable("pilots", "Pilots", columns, tuple(rows))


def _trainings(state: State, name: str, on: date) -> Iterator[date]:
    for event in state.holding(EVENT_OF, name):
        done = value_held(state, event, COMPLETED_ON)
        if done is not None and day_of(done) <= on:
            yield day_of(done)


def _losses(state: State, since: date, on: date) -> Iterator[tuple[ReportCell, ...]]:
    found = []
    for incident in state.subjects("incident"):
        when = value_held(state, incident, HAPPENED_ON)
        if when is None or not since <= day_of(when) <= on:
            continue
        what = NEAR if value_held(state, incident, NEAR_MISS) is True else INCIDENT
        hurt, damaged = value_held(state, incident, ANYONE_HURT), value_held(state, incident, DAMAGED)
        nothing = damaged is DamagedProperty.NOTHING
        told = value_held(state, incident, PROPERTY_DAMAGED) or (None if damaged is None else damaged.value)
        cost = "" if nothing else value_held(state, incident, REPAIR_COST)
        aircraft = value_held(state, incident, INCIDENT_AIRCRAFT)
        found.append((day_of(when), what, aircraft, None if hurt is None else Hurt(hurt).value, told, cost))
    yield from sorted(found, key=lambda row: (row[0], str(row[2])))


def _table_of_losses(rows: tuple[tuple[ReportCell, ...], ...]) -> ReportTable:
    columns = (
        ReportColumn("day", "Day", CellKind.DAY),
        ReportColumn("what", "What"),
        ReportColumn("aircraft", "Aircraft"),
        ReportColumn("hurt", "Anyone hurt"),
        ReportColumn("damaged", "Damaged"),
        ReportColumn("repair_usd", "Repair, USD", CellKind.AMOUNT),
    )
    return ReportTable("losses", f"Losses in {YEARS_OF_LOSSES} years", columns, rows, empty="None on record.")


def policies_table(state: State, on: date) -> ReportTable:
    """The insurance policies on file with their days, those that ended before a day among them."""
    rows = []
    for paper in state.holding(PAPER_KIND, PaperKind.INSURANCE):
        start, end = value_held(state, paper, GRANTED_ON), value_held(state, paper, ENDS_ON)
        covers = value_held(state, paper, COVERS_AIRCRAFT)
        whole = "the whole program" if value_held(state, paper, COVERS_ALL) is True else covers
        in_force = None if start is None or end is None else "yes" if start <= on <= end else "no"
        rows.append((id_of(paper), value_held(state, paper, PAPER_NUMBER), start, end, whole, in_force))
    columns = (
        ReportColumn("policy", "Policy"),
        ReportColumn("number", "Number"),
        ReportColumn("from", "From", CellKind.DAY),
        ReportColumn("until", "Last day", CellKind.DAY),
        ReportColumn("covers", "Covers"),
        ReportColumn("in_force", "In force"),
    )
    return ReportTable(
        "policies", f"Insurance on file, {day_words(on)}", columns, tuple(rows), empty="No policy is on file."
    )
