"""`airwrit standing`: a sheet in, a table to act on out."""

from __future__ import annotations

import gc
import json
from datetime import date, datetime
from pathlib import Path

import click

from airwrit.answers.as_json import EXIT, standing_json
from airwrit.answers.standing import Standing, standing
from airwrit.answers.told import told_for_all
from airwrit.base.errors import UsageError
from airwrit.base.times import When
from airwrit.cli.options import asked, at_option, now, on_option
from airwrit.cli.show import console, show_columns, show_standing
from airwrit.facts.words import UsedFor
from airwrit.intake.mapping import load_mapping, save_mapping
from airwrit.intake.sheets import Answers, Intake, read_sheets
from airwrit.intake.template import write_template

_PATH = click.Path(path_type=Path)


@click.command()
@click.argument("sheets", nargs=-1, type=_PATH)
@on_option
@at_option
@click.option("--use", type=click.Choice([use.value for use in UsedFor]), help="What all are used for, where no row says.")
@click.option("--owner", help="Who owns the aircraft, where no row says.")
@click.option(
    "--dates",
    type=click.Choice(["month-first", "day-first"]),
    help="How dates like 03/04/2026 are meant, where a column leaves it open.",
)
@click.option("--mapping", type=_PATH, help="Read columns as this saved file says.")
@click.option("--save-mapping", type=_PATH, help="Save how the columns were read, to give back with --mapping.")
@click.option("--write-template", type=_PATH, help="Write an empty workbook with every column, and stop.")
@click.option("--all", "every", is_flag=True, help="Every finding of every subject, and every column.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document in place of text.")
@click.option("--xlsx", type=_PATH, help="Write the answer to this workbook too.")
def command(
    sheets: tuple[Path, ...],
    on: date | None,
    at: datetime | None,
    use: str | None,
    owner: str | None,
    dates: str | None,
    mapping: Path | None,
    save_mapping: Path | None,
    write_template: Path | None,
    every: bool,
    as_json: bool,
    xlsx: Path | None,
) -> int:
    """Who and what may fly on a day, by the law of that day; why not; what is due; what is missing.

    SHEETS are .xlsx, .xls, .ods or .csv files. A sheet says how things stand; on a past day it is read as if it had
    always been so, except where its own dates say otherwise.

    \b
    Example:
      airwrit standing fleet.xlsx --on 2026-11-25
    """
    if write_template is not None:
        return _template(write_template)
    if not sheets:
        raise UsageError("no sheet was named", where="standing", do="name a file, or try `airwrit demo`")
    when = asked(on, at)
    taken = read_sheets(sheets, _answers(mapping, dates))
    if save_mapping is not None:
        save_mapping_to(taken, save_mapping)
    answer = answered(taken, when, UsedFor(use) if use else None, owner)
    if xlsx is not None:
        _write_xlsx(answer, xlsx)
    if as_json:
        click.echo(json.dumps(standing_json(answer), indent=1))
    else:
        out = console()
        show_standing(answer, out, every=every)
        show_columns(taken.columns, out, every=every)
    return EXIT[answer.report.verdict]
