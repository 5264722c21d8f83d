"""One page for a board: status, this year beside the last, what is overdue and due next, notices after incidents."""

from __future__ import annotations

from collections import Counter
from datetime import date

from airwrit.answers.document import SCOPE
from airwrit.answers.due.deadlines import weeks_of
from airwrit.answers.incident.clocks import owed_notices
from airwrit.answers.reports.flown import DEFECT_FOUND, INCIDENT, NEAR, FlownSpan, flown_in, sums_of
from airwrit.answers.reports.period import rates_table
from airwrit.answers.reports.report import CellKind, ProgramReport, ReportCell, ReportColumn, ReportTable
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import NEAR as SPAN
from airwrit.answers.standing.today import answer_in_short
from airwrit.answers.standing.view import BY_URGENCY
from airwrit.base.days import add_months, day_of
from airwrit.base.sentences import day_words
from airwrit.facts.vocabulary import id_of, kind_of

_MOST = 12


def board_report(standing: Standing) -> ProgramReport:
    """The page as of the day of a standing."""
    on = day_of(standing.report.on)
    state = standing.report.state
    last_on = add_months(on, -12)
    both = flown_in(state, date(last_on.year, 1, 1), on)
    this, last = both.since(date(on.year, 1, 1)), both.until(last_on)
    return ProgramReport(
        "board",
        "For the board",
        day_words(on),
        on,
        SCOPE,
        tuple(answer_in_short(standing.rows)),
        (_status(standing), _years(this, last), rates_table(this), _due(standing), _notices(standing)),
        this.notes,
        standing.report.verdict,
    )


def _status(standing: Standing) -> ReportTable:
    many = Counter((row.headline, kind_of(row.subject)) for row in standing.rows)
    shown = [one for one in BY_URGENCY if many[one, "aircraft"] or many[one, "person"]]
    rows: tuple[tuple[ReportCell, ...], ...] = tuple(
        (f"{one.value[:1].upper()}{one.value[1:]}", many[one, "aircraft"], many[one, "person"])
        for one in shown
    )
    columns = (
        ReportColumn("status", "Status"),
        ReportColumn("aircraft", "Aircraft", CellKind.COUNT),
        ReportColumn("people", "People", CellKind.COUNT),
    )
    total: tuple[ReportCell, ...] = (
        "Total",
        *(sum(many[one, kind] for one in shown) for kind in ("aircraft", "person")),
    )
    return ReportTable("status", "Status", columns, rows, total if rows else ())


def _years(this: FlownSpan, last: FlownSpan) -> ReportTable:
    sums = [sums_of(span.flights) for span in (this, last)]
    rows: tuple[tuple[ReportCell, ...], ...] = (
        ("Flights", *(one.flights for one in sums)),
        ("Hours", *(one.hours for one in sums)),
        ("Landings", *(one.landings_known for one in sums)),
        ("Incidents", *(span.many(INCIDENT) for span in (this, last))),
        ("Near misses", *(span.many(NEAR) for span in (this, last))),
        ("Defects", *(span.many(DEFECT_FOUND) for span in (this, last))),
    )
    columns = (
        ReportColumn("what", "From January 1"),
        ReportColumn("this_year", f"To {day_words(this.last)}", CellKind.AMOUNT),
        ReportColumn("last_year", f"To {day_words(last.last)}", CellKind.AMOUNT),
    )
    return ReportTable("years", "This year and last year", columns, rows)


def _due(standing: Standing) -> ReportTable:
    weeks = weeks_of(standing.report, standing.due, SPAN)
    lines = [(line, week.monday is None) for week in weeks for line in week.lines]
    rows = tuple(
        (line.day, "overdue" if late else "", line.what, ", ".join(line.who[:3]))
        for line, late in lines[:_MOST]
    )
    columns = (
        ReportColumn("day", "Last day", CellKind.DAY),
        ReportColumn("overdue", "Overdue"),
        ReportColumn("what", "What"),
        ReportColumn("who", "Who"),
    )
    more = f", the first {_MOST} of {len(lines)}" if len(lines) > _MOST else ""
    return ReportTable(
        "due", f"Overdue, and due in {SPAN} days{more}", columns, rows, empty="Nothing is due."
    )


def _notices(standing: Standing) -> ReportTable:
    notices = owed_notices(standing.report.state)
    rows = tuple((id_of(one.incident), one.to, one.what, one.by_when, one.who) for one in notices)
    columns = (
        ReportColumn("incident", "Incident"),
        ReportColumn("to", "To"),
        ReportColumn("how", "How"),
        ReportColumn("by_when", "By when"),
        ReportColumn("who", "Who"),
    )
    return ReportTable("notices", "Notices open after incidents", columns, rows, empty="None.")
