"""`airwrit today`: a sheet in, a table to act on out."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path

import click

from airwrit.answers.sheets.answers_form import answers_form
from airwrit.cli.exits import EXIT
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shown.standing import show_answer
from airwrit.house.rules import example
from airwrit.intake.mapping import save_mapping
from airwrit.intake.template import write_template
from airwrit.papers.workbook import write_standing


@click.command()
@fleet_options
@click.option(
    "--save-mapping",
    "save_mapping_to",
    type=PATH,
    help="Save how we read the columns in this file, to use later with --mapping.",
)
@click.option(
    "--write-template",
    "write_template_to",
    type=PATH,
    help="Save an empty workbook with every column, and exit.",
)
@click.option(
    "--write-house",
    "write_house_to",
    type=PATH,
    help="Save a sample rules file, with comments, to fill in with your own rules. Then stop.",
)
@click.option("--answers", type=PATH, help="Your filled-in form from --questions.")
@click.option(
    "--questions",
    "questions_to",
    type=PATH,
    help="Save the open questions as a form to fill in, to use later with --answers.",
)
@click.option("--counsel", is_flag=True, help="Also show documents marked for counsel.")
@click.option("--all", "every", is_flag=True, help="Show every finding and every column.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
@click.option("--xlsx", type=PATH, help="Also save the answer as a workbook in this file.")
def command(
    fleet: Fleet,
    save_mapping_to: Path | None,
    write_template_to: Path | None,
    write_house_to: Path | None,
    answers: Path | None,
    questions_to: Path | None,
    counsel: bool,
    every: bool,
    as_json: bool,
    xlsx: Path | None,
) -> int:
    """Show which aircraft and pilots have their papers in order on a day, who is grounded and why, and what
    is due.

    SHEETS are .xlsx, .xls, .ods or .csv files. Without SHEETS, we read the ledger. A sheet shows how things
    are now. For a past day, we assume nothing has changed since, unless the sheet's dates say otherwise.

    \b
    Example:
      airwrit today fleet.xlsx --on 2026-11-25
    """
    if write_template_to is not None:
        return _template(write_template_to)
    if write_house_to is not None:
        return _house_example(write_house_to)
    intake, answer = replace(fleet, answers=answers).judged(counsel=counsel)
    if questions_to is not None:
        form = answers_form(answer, intake.columns)
        written("the form", questions_to, form.encode(), private=False)
    if save_mapping_to is not None:
        keep = partial(save_mapping, intake.columns)
        written("the mapping", save_mapping_to, keep, private=False)
    if xlsx is not None:
        written("the workbook", xlsx, partial(write_standing, answer), private=True)
        fleet.note_given("workbook", xlsx)
    show_answer(answer, intake, every=every, as_json=as_json)
    return EXIT[answer.report.verdict]


def _template(path: Path) -> int:
    written("the template", path, write_template, private=False)
    click.echo(f"Saved {path.name}. Fill it in, then run `airwrit today {path.name}`.")
    return 0


def _house_example(path: Path) -> int:
    written("the example", path, example().encode(), private=False)
    click.echo(f"Saved {path.name}. Change its rows, then run `airwrit today SHEET --house {path.name}`.")
    return 0
