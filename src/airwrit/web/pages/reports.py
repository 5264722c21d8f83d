"""Reports: each with the few fields it asks for, its answer and tables, and the same as a PDF and a workbook."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_RECORDS, Json
from airwrit.answers.reports.board import board_report
from airwrit.answers.reports.catalog import (
    KINDS,
    OF_STATE,
    REPORTS,
    ReportAsked,
    ReportKind,
    last_day_of,
    report_of_state,
)
from airwrit.answers.reports.inventory import inventory_report, items_of
from airwrit.answers.reports.job_check import (
    FieldJob,
    client_report,
    contractor_report,
    days_to_check,
    named_on,
)
from airwrit.answers.reports.report import CellKind, ProgramReport, cell_text, report_document
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.days import parse_day
from airwrit.base.errors import AirwritError, UsageError
from airwrit.facts.state import State
from airwrit.intake.reader.cells import book_of
from airwrit.papers.report_pdf import report_pdf
from airwrit.papers.report_xlsx import report_xlsx
from airwrit.web.server.forms import Ticket, Typed, ticket
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, Download, PageSheet, Visit

MOST_BYTES = 20_000_000
"""The most bytes of a form with the lists of an inventory."""
_LONGEST, _SHOWN, _FEW = 600, 300, 12
_LISTS = ("purchases", "count")
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_FILES = (("pdf", "Get the PDF"), ("xlsx", "Get the workbook"))
_FIELDS = {
    "month": ("Which month?", "Like 2026-11. The last full month if you leave it blank."),
    "year": ("Which year?", "Like 2026. This year if you leave it blank."),
    "from": ("First day of the job", ""),
    "until": ("Last day of the job", ""),
    "aircraft": ("Which aircraft?", "By name, with commas between several."),
    "person": ("Who?", "By name, with commas between several."),
    "purchases": ("What was bought", "A sheet with a heading Serial number, Registration or Name."),
    "count": ("What was counted", "A sheet with a heading Serial number, Registration or Name."),
}


class FieldOfReport(NamedTuple):
    """A field that a report asks for: its name, its label, its hint, and the kind of field."""

    name: str
    label: str
    hint: str
    kind: str


class TableShown(NamedTuple):
    """A table as the page shows it: its title, headings with whether they stand right, texts, and how many rows there are."""

    title: str
    empty: str
    columns: tuple[tuple[str, bool], ...]
    rows: tuple[tuple[str, ...], ...]
    total: tuple[str, ...]
    many: int

    @property
    def is_long(self) -> bool:
        """Whether a phone shows it only when asked to."""
        return len(self.rows) > _FEW


@dataclass(frozen=True, slots=True)
class ReportsPage:
    """The whole page: the list of reports, and the one asked for with its fields and its answer."""

    kinds: tuple[ReportKind, ...]
    kind: ReportKind | None = None
    fields: tuple[FieldOfReport, ...] = ()
    form: Typed | None = None
    ticket: Ticket | None = None
    report: ProgramReport | None = None
    tables: tuple[TableShown, ...] = ()
    files: tuple[tuple[str, str], ...] = ()


def show(visit: Visit) -> Answer:  # noqa: ARG001 - every page is shown alike
    """The list of reports."""
    twin = {"question": "reports", "reports": [one._asdict() for one in REPORTS], "caution": CAUTION}
    return PageSheet("reports.html", "Reports", ReportsPage(REPORTS), lambda: twin)


def show_one(visit: Visit) -> Answer:
    """One report with its fields; a list to be sent, or a job nobody named, waits for its form."""
    kind, said = _kind(visit), _cut(visit.query)
    waits = kind.name == "inventory" or ("aircraft" in kind.asks and not set(said) & {"aircraft", "person"})
    return _sheet(visit, kind, said, None if waits else lambda: _made(visit, kind, said))


def act(visit: Visit) -> Answer:
    """The inventory by two lists that were sent, on the page or as the file asked for; the lists are read and not kept."""
    kind, form = _kind(visit), visit.said.get("way", "")
    if not form:
        return _sheet(visit, kind, {}, lambda: _inventory(visit))
    try:
        report = _inventory(visit)
    except AirwritError as fault:
        return _sheet(visit, kind, {}, partial(_again, fault))
    return _saved(visit, kind, report, form)


def _again(fault: AirwritError) -> ProgramReport:
    raise fault


def save(visit: Visit) -> Answer:
    """A report as a PDF or a workbook."""
    kind, form = _kind(visit), visit.named["form"]
    try:
        report = _made(visit, kind, _cut(visit.query))
    except AirwritError as fault:
        raise Refused(Trouble(422, "No report", fault.what, visit.path, NOTHING_WRITTEN, fault.do)) from fault
    return _saved(visit, kind, report, form)


def _saved(visit: Visit, kind: ReportKind, report: ProgramReport, form: str) -> Download:
    """A report as the file of a form: PDF or workbook."""
    if form == "pdf":
        return Download(f"{kind.name}.pdf", "application/pdf", report_pdf(report), "report", report.about)
    if form == "xlsx":
        return Download(f"{kind.name}.xlsx", _XLSX, report_xlsx(report), "report", report.about)
    raise Refused(
        Trouble(
            404,
            "No such file",
            f"no file {form[:20]!r}",
            visit.path,
            NOTHING_WRITTEN,
            "choose PDF or workbook",
        )
    )


def _kind(visit: Visit) -> ReportKind:
    name = visit.named["kind"]
    if name not in KINDS:
        do = "choose one on the page Reports"
        raise Refused(
            Trouble(
                404, "No such report", f"no report is called {name[:60]!r}", visit.path, NOTHING_WRITTEN, do
            )
        )
    return KINDS[name]


def _cut(said: Mapping[str, str]) -> dict[str, str]:
    return {name: text.strip()[:_LONGEST] for name, text in said.items() if name in _FIELDS and text.strip()}


def _sheet(
    visit: Visit, kind: ReportKind, said: Mapping[str, str], make: Callable[[], ProgramReport] | None
) -> PageSheet:
    report, wrong = None, dict[str, str]()
    try:
        report = None if make is None else make()
    except AirwritError as fault:
        field = fault.where if fault.where in kind.asks else kind.asks[0] if kind.asks else "report"
        wrong[field] = f"{fault.what}; {fault.do}"
    form = Typed(said, wrong)
    fields = tuple(FieldOfReport(name, *_FIELDS[name], _field_kind(name)) for name in kind.asks)
    files = _FILES if report is not None or kind.name == "inventory" else ()
    page = ReportsPage(
        REPORTS,
        kind,
        fields,
        form,
        ticket(visit.desk),
        report,
        () if report is None else _tables(report),
        files,
    )
    twin: Json = {"question": "report", "report": kind.name, "wrong": wrong, "caution": CAUTION}
    sheet = form.sheet(
        "reports.html", kind.title, page, lambda: twin if report is None else report_document(report)
    )
    return sheet._replace(scope=SCOPE_OF_RECORDS if report is None else report.scope)


def _field_kind(name: str) -> str:
    return "file" if name in _LISTS else "date" if name in ("from", "until") else "text"


def _tables(report: ProgramReport) -> tuple[TableShown, ...]:
    return tuple(
        TableShown(
            one.title,
            one.empty,
            tuple((column.title, column.kind in (CellKind.COUNT, CellKind.AMOUNT)) for column in one.columns),
            tuple(tuple(map(cell_text, row)) for row in one.rows[:_SHOWN]),
            tuple(map(cell_text, one.total)),
            len(one.rows),
        )
        for one in report.tables
    )


def _made(visit: Visit, kind: ReportKind, said: Mapping[str, str]) -> ProgramReport:
    if kind.name == "board":
        return visit.desk.made_of("board report", visit.asked, board_report)
    if kind.name in OF_STATE:
        asked = ReportAsked(said.get("month", ""), said.get("year", ""), said.get("aircraft", ""))
        day = last_day_of(kind.name, asked, visit.asked.on)
        return report_of_state(kind.name, _state_on(visit, day), asked, visit.asked.on)
    if kind.name == "inventory":
        raise UsageError(
            "we need both lists", where="purchases", do="send them on the page, or use the command"
        )
    return _of_job(visit, kind, said)


def _state_on(visit: Visit, day: date) -> State:
    """How things stood on a day: the state that was judged where it is the day asked about."""
    if day == visit.asked.on:
        return visit.desk.judged_on(visit.asked).state
    with visit.desk.opened() as book, book.reading():
        return book.state(day, visit.desk.known_at(book, visit.asked))


def _of_day(visit: Visit, whole: State, day: date) -> State:
    with visit.desk.opened() as book:
        return book.state_of_day(whole, day)


def _of_job(visit: Visit, kind: ReportKind, said: Mapping[str, str]) -> ProgramReport:
    first = _day(said, "from") or visit.asked.on
    job = FieldJob(first, _day(said, "until") or first, _names(said, "aircraft"), _names(said, "person"))
    if job.last < job.first:
        raise UsageError("the job ends before it begins", where="until", do="enter a later day")
    house = visit.desk.house().rules
    whole = _state_on(visit, job.first)
    asked, only = named_on(whole, job)

    def judged(day: date) -> Standing:
        state = whole if day == job.first else _of_day(visit, whole, day)
        return standing(state, day, state.known_at, house=house, only=only)

    at_first = judged(job.first)
    days = [at_first, *map(judged, days_to_check(at_first, asked))]
    return (client_report if kind.name == "client" else contractor_report)(asked, days)


def _day(said: Mapping[str, str], name: str) -> date | None:
    try:
        return parse_day(said[name]) if name in said else None
    except ValueError as fault:
        raise UsageError(f"{said[name]!r} isn't a date", where=name, do="write it like 2026-05-31") from fault


def _names(said: Mapping[str, str], name: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in said.get(name, "").split(",") if part.strip())


def _inventory(visit: Visit) -> ProgramReport:
    """The inventory by the lists of a form."""
    lists = []
    for name in _LISTS:
        sent = next((one for one in visit.files.get(name, ()) if one.name), None)
        if sent is None:
            raise UsageError("no file was sent", where=name, do="pick both lists")
        lists.append(items_of(book_of(sent.data, sent.name)))
    return inventory_report(_state_on(visit, visit.asked.on), visit.asked.on, *lists)
