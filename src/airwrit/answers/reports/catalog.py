"""Every report by its name, what it is for, and what has to be told with it."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import NamedTuple

from airwrit.answers.reports.hours import hours_report
from airwrit.answers.reports.insurer import insurer_report
from airwrit.answers.reports.period import month_report, year_report
from airwrit.answers.reports.report import ProgramReport
from airwrit.base.days import add_months
from airwrit.base.errors import UsageError
from airwrit.facts.state import State

_MONTH = re.compile(r"(\d{4})-(\d{2})")


class ReportKind(NamedTuple):
    """A report: its name, its title, the line that says what it is for, and the names of what is told with it."""

    name: str
    title: str
    line: str
    asks: tuple[str, ...]


REPORTS: tuple[ReportKind, ...] = (
    ReportKind("month", "Month", "Every flight in a month, or a page that says there were none.", ("month",)),
    ReportKind("year", "Year", "A year's flights, hours, incidents and rates.", ("year",)),
    ReportKind("insurer", "Insurer", "What an insurer asks for at renewal: aircraft, pilots and losses.", ()),
    ReportKind(
        "client",
        "Client",
        "Papers for the crew and aircraft on a job, checked through its last day.",
        ("from", "until", "aircraft", "person"),
    ),
    ReportKind(
        "board", "Board", "One page with the status, this year compared with last year, and what is due.", ()
    ),
    ReportKind(
        "aircraft-hours",
        "Hours of an aircraft",
        "One aircraft's flights, hours and landings up to a date.",
        ("aircraft",),
    ),
    ReportKind(
        "contractor",
        "Contractors",
        "Contractors and borrowed aircraft, checked for a job.",
        ("from", "until", "aircraft", "person"),
    ),
    ReportKind(
        "inventory",
        "Inventory",
        "Purchases, registrations and a physical count, compared.",
        ("purchases", "count"),
    ),
)
"""The reports in the order in which they are offered."""
KINDS: dict[str, ReportKind] = {one.name: one for one in REPORTS}
OF_STATE = ("month", "year", "insurer", "aircraft-hours")
"""The reports that need no judging: they tell what is on record."""
READS = ("aircraft", "person", "training", "flight", "incident", "defect", "paper")
"""The kinds of subjects that the reports of records look at."""
OF_JOBS = ("client", "contractor")


class ReportAsked(NamedTuple):
    """What was told with a report of records, as typed; "" where nothing was."""

    month: str = ""
    year: str = ""
    aircraft: str = ""


def report_of_state(name: str, state: State, asked: ReportAsked, on: date) -> ProgramReport:
    """A report that tells what is on record. UsageError for a month, a year or an aircraft that it can't use."""
    if name == "month":
        return month_report(state, *month_asked(asked.month, on))
    if name == "year":
        return year_report(state, _year(asked.year, on))
    if name == "insurer":
        return insurer_report(state, on)
    if not asked.aircraft:
        raise UsageError("we need to know which aircraft", where="aircraft", do="name one")
    return hours_report(state, asked.aircraft, on)


def month_asked(text: str, on: date) -> tuple[int, int]:
    """The year and month told; the month before the day asked about where none was."""
    if not text:
        before = add_months(on.replace(day=1), -1)
        return before.year, before.month
    found = _MONTH.fullmatch(text)
    if found is None or not (1 <= int(found[2]) <= 12 and 1 <= int(found[1]) <= 9998):
        raise UsageError(f"{text!r} isn't a month", where="month", do="write it like 2026-11")
    if date(int(found[1]), int(found[2]), 1) > on:
        raise UsageError(f"{text} hasn't begun", where="month", do="choose an earlier month")
    return int(found[1]), int(found[2])


def _year(text: str, on: date) -> int:
    """The year told; that of the day asked about where none was."""
    if not text:
        return on.year
    if not (text.isascii() and text.isdigit() and len(text) == 4 and 1 <= int(text) <= 9998):
        raise UsageError(f"{text!r} isn't a year", where="year", do="write it like 2026")
    if int(text) > on.year:
        raise UsageError(f"{text} hasn't begun", where="year", do="choose an earlier year")
    return int(text)


def last_day_of(name: str, asked: ReportAsked, on: date) -> date:
    """The day as of which a report is asked for: the end of its month or year, where that is past, else the day itself."""
    if name == "month":
        year, month = month_asked(asked.month, on)
        return min(on, add_months(date(year, month, 1), 1) - timedelta(days=1))
    if name == "year":
        return min(on, date(_year(asked.year, on), 12, 31))
    return on
