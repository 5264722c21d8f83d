"""`airwrit registration-sheets`: a page for each aircraft, to register it or put it right."""

from __future__ import annotations

from pathlib import Path

import click
from rich.text import Text

from airwrit.answers.document import SCOPE
from airwrit.answers.registration.filing import Worksheets, worksheets_json, worksheets_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import counted
from airwrit.cli.console import SIGNS, clean, console, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shown.standing import listed
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.papers.filing_pdf import worksheet_pdf
from airwrit.papers.typeset import PAPERS


@click.command()
@fleet_options
@click.option(
    "--aircraft", "only", multiple=True, help="Only this aircraft. You can use this option more than once."
)
@click.option(
    "--all", "every", is_flag=True, help="Make a page for every aircraft, even if there is nothing to do."
)
@click.option(
    "--out",
    type=PATH,
    default=Path("worksheet.pdf"),
    help="The PDF to save (worksheet.pdf if you leave it out).",
)
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    default=PAPERS[0],
    help="The paper size (letter if you leave it out).",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(fleet: Fleet, only: tuple[str, ...], every: bool, out: Path, paper: str, as_json: bool) -> int:
    """Make a page for each aircraft that says what to have ready and what to do, in order, to register it or
    fix its record.

    The first page shows what the fleet's registrations cost for one term.

    \b
    Example:
      airwrit registration-sheets fleet.xlsx --aircraft "Alder 2" --out alder-2.pdf
    """
    standing = fleet.standing()
    known = {row.subject for row in standing.rows}
    for name in only:
        if subject_named("aircraft", name) not in known:
            raise UsageError(
                f"no aircraft is named {name!r}",
                where="--aircraft",
                do="write the name exactly as in the sheet",
            )
    worksheets = worksheets_of(standing, [subject_named("aircraft", name) for name in only], every=every)
    made = worksheet_pdf(worksheets, fleet.day, paper=paper)
    written("the worksheet", out, made, private=True)
    fleet.note_given("worksheet", out)
    if as_json:
        show_json(worksheets_json(worksheets) | {"file": out.name})
    else:
        _show(worksheets, out)
    return EXIT[worksheets.verdict]


def _show(worksheets: Worksheets, out: Path) -> None:
    shown = console()
    shown.print(
        Text(f"{counted(len(worksheets.sheets), 'worksheet')} saved to {clean(out.name)}.", style="bold")
    )
    shown.print(SCOPE)
    for sheet in worksheets.sheets:
        if sheet.steps:
            first = sheet.steps[0]
            more = f" (and {len(sheet.steps) - 1} more)" if len(sheet.steps) > 1 else ""
            words = (
                f"{SIGNS[first.verdict]} {clean(id_of(sheet.subject))}: {said(first.do or first.says)}{more}"
            )
            shown.print(words)
    if worksheets.quiet:
        shown.print(f"Nothing to do: {listed(worksheets.quiet)}")
    fees = worksheets.fees
    more = "" if fees.complete else ", not counting what we can't tell yet"
    shown.print(f"Registration fees over {fees.years} years: ${fees.total_usd}{more}")
    show_caution(shown)
