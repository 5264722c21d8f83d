"""`airwrit report`: a month, a year, an insurer's renewal, a client's pack and others, as text, PDF, workbook or JSON."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.reports.board import board_report
from airwrit.answers.reports.catalog import (
    KINDS,
    OF_STATE,
    READS,
    REPORTS,
    ReportAsked,
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
from airwrit.answers.reports.report import CellKind, ProgramReport, ReportTable, cell_text, report_document
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.errors import UsageError
from airwrit.base.process import resting
from airwrit.cli.console import Width, clean, console, longest_word, print_rows, print_title, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_by_option
from airwrit.cli.shared.options import DayType, json_option
from airwrit.cli.shared.own_rules import house_given
from airwrit.intake.reader.cells import read_book

_SHOWN = 60
_KINDS_TOLD = "\n".join(f"  {one.name:16}{one.line}" for one in REPORTS)


@click.command(
    help=f"""Make a report for an insurer, a client, the board or others.

\b
{_KINDS_TOLD}

The report is as of today, or the day you give with --on. We send nothing to anyone.

\b
Examples:
  airwrit report month --month 2026-11 --pdf november.pdf
  airwrit report aircraft-hours --aircraft "Alder 1" --on 2026-06-30
  airwrit report client --from 2026-12-07 --until 2026-12-11 --aircraft "Alder 1" --person "Nela Quist"
  airwrit report inventory --purchases bought.csv --count shelf.csv
"""
)
@click.argument("kind", type=click.Choice(list(KINDS)), metavar="REPORT")
@fleet_by_option
@click.option(
    "--month", default="", help="The month, like 2026-11 (the last full month if you leave it out)."
)
@click.option("--year", default="", help="The year, like 2026 (this year if you leave it out).")
@click.option(
    "--aircraft", multiple=True, help="An aircraft, by its name. You can use this option more than once."
)
@click.option(
    "--person", "people", multiple=True, help="A person, by name. You can use this option more than once."
)
@click.option("--from", "first", type=DayType(), help="First day of the job.")
@click.option("--until", "last", type=DayType(), help="Last day of the job.")
@click.option(
    "--purchases", type=PATH, help="A sheet that lists what you bought, with serial numbers or names."
)
@click.option("--count", type=PATH, help="A sheet that lists what you counted on the shelf.")
@click.option("--pdf", type=PATH, help="Also save it as a PDF.")
@click.option("--xlsx", type=PATH, help="Also save it as a workbook.")
@json_option
def command(
    kind: str,
    fleet: Fleet,
    month: str,
    year: str,
    aircraft: tuple[str, ...],
    people: tuple[str, ...],
    first: date | None,
    last: date | None,
    purchases: Path | None,
    count: Path | None,
    pdf: Path | None,
    xlsx: Path | None,
    as_json: bool,
) -> int:
    """The help stands above, since it lists the reports."""
    if kind in OF_STATE:
        report = _of_state(kind, fleet, ReportAsked(month, year, "".join(aircraft[:1])))
    elif kind == "board":
        report = board_report(fleet.standing())
    elif kind == "inventory":
        report = _inventory(fleet, purchases, count)
    else:
        report = _of_job(
            kind, fleet, FieldJob(first or fleet.day, last or first or fleet.day, aircraft, people)
        )
    _write(report, fleet, pdf, xlsx)
    if as_json:
        show_json(report_document(report))
    else:
        show_report(report, console())
    return EXIT[report.verdict]


def _of_state(kind: str, fleet: Fleet, asked: ReportAsked) -> ProgramReport:
    on = fleet.day
    day = last_day_of(kind, asked, on)
    of = fleet if day == on else replace(fleet, on=day, at=None)
    state = of.state(READS)
    with resting():
        return report_of_state(kind, state, asked, on)


def _inventory(fleet: Fleet, purchases: Path | None, count: Path | None) -> ProgramReport:
    if purchases is None or count is None:
        raise UsageError(
            "we need both lists",
            where="--purchases, --count",
            do="enter one sheet of what was bought and one of what was counted",
        )
    lists = [items_of(read_book(path)) for path in (purchases, count)]
    return inventory_report(fleet.state(READS[:1]), fleet.day, *lists)


def _of_job(kind: str, fleet: Fleet, job: FieldJob) -> ProgramReport:
    if job.last < job.first:
        raise UsageError("the job ends before it begins", where="--until", do="enter a later day")
    house = house_given(fleet.house).rules
    start = replace(fleet, on=job.first, at=None)
    state = start.state()
    asked, only = named_on(state, job)

    def judged(day: date) -> Standing:
        of = state if day == job.first else start.state_of_day(state, day)
        return standing(of, day, of.known_at, house=house, only=only)

    at_first = judged(job.first)
    later = [judged(day) for day in days_to_check(at_first, asked)]
    make = client_report if kind == "client" else contractor_report
    return make(asked, [at_first, *later])


def _write(report: ProgramReport, fleet: Fleet, pdf: Path | None, xlsx: Path | None) -> None:
    """Save the files asked for, and note in the ledger that they were made."""
    if pdf is not None:
        from airwrit.papers.report_pdf import report_pdf

        written("the report", pdf, report_pdf(report), private=True)
    if xlsx is not None:
        from airwrit.papers.report_xlsx import report_xlsx

        written("the workbook", xlsx, report_xlsx(report), private=True)
    files = [path for path in (pdf, xlsx) if path is not None]
    if files:
        fleet.note_given(f"report {report.name}", *files, about=report.about)
        for path in files:
            click.echo(f"wrote {path.name}", err=True)


def show_report(report: ProgramReport, out: Console) -> None:
    """The report on the terminal: long tables cut, which a file has whole."""
    out.print(Text(f"{report.title}: {report.covers}", style="bold"))
    out.print(report.scope)
    for sentence in report.says:
        out.print(Text(clean(sentence)))
    for table in report.tables:
        print_title(table.title.upper(), out)
        _table(table, out)
    for note in report.notes:
        out.print(Text(clean(note), style="dim"))
    out.print()
    show_caution(out)


def _table(table: ReportTable, out: Console) -> None:
    if not table.rows:
        out.print(table.empty)
        return
    shown = [[clean(cell_text(cell)) for cell in row] for row in table.rows[:_SHOWN]]
    if table.total:
        shown.append([clean(cell_text(cell)) for cell in table.total])
    widths: list[Width] = []
    for at, column in enumerate(table.columns):
        texts = [row[at] for row in shown]
        longest = max([len(text) for text in texts] + [min(len(column.title), 14)])
        is_text = column.kind is CellKind.TEXT and longest > len("a short text of this size")
        widths.append((longest, longest_word(texts)) if is_text else -max(longest, 4))
    print_rows(shown, widths, out, titles=[column.title for column in table.columns])
    if len(table.rows) > _SHOWN:
        out.print(
            Text(f"{len(table.rows) - _SHOWN} more: --pdf, --xlsx and --json have them all.", style="dim")
        )
