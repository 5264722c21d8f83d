"""`airwrit standing`: a sheet in, a table to act on out."""

from __future__ import annotations

import gc
import json
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import click
from xlsxwriter.exceptions import FileCreateError

from airwrit.answers.as_json import EXIT, standing_json
from airwrit.answers.standing import Standing, standing
from airwrit.answers.told import told_for_all
from airwrit.base.errors import UsageError
from airwrit.base.times import When
from airwrit.cli.ledgers import AsOf, known_at_option, ledger_option, read_fleet
from airwrit.cli.options import asked, at_option, now, on_option
from airwrit.cli.show import console, show_columns, show_standing
from airwrit.facts.state import State
from airwrit.facts.words import UsedFor
from airwrit.house.rules import NO_HOUSE, House, example, read_house
from airwrit.intake.dates import DAY_FIRST, MONTH_FIRST, DateOrder
from airwrit.intake.mapping import load_mapping, save_mapping
from airwrit.intake.sheets import Answers, Intake
from airwrit.intake.template import write_template
from airwrit.papers.standing_sheet import write_standing

_PATH = click.Path(path_type=Path)


@click.command()
@click.argument("sheets", nargs=-1, type=_PATH)
@on_option
@at_option
@ledger_option
@known_at_option
@click.option(
    "--use",
    type=click.Choice([use.value for use in UsedFor]),
    help="What all are used for, where no row says.",
)
@click.option("--owner", help="Who owns the aircraft, where no row says.")
@click.option(
    "--dates",
    type=click.Choice([MONTH_FIRST, DAY_FIRST]),
    help="How dates like 03/04/2026 are meant, where a column leaves it open.",
)
@click.option("--mapping", type=_PATH, help="Read columns as this saved file says.")
@click.option(
    "--save-mapping",
    "save_mapping_to",
    type=_PATH,
    help="Save how the columns were read, to give back with --mapping.",
)
@click.option(
    "--write-template",
    "write_template_to",
    type=_PATH,
    help="Write an empty workbook with every column, and stop.",
)
@click.option(
    "--house",
    type=_PATH,
    multiple=True,
    help="Judge by this file of house rules too; may be given several times.",
)
@click.option(
    "--write-house",
    "write_house_to",
    type=_PATH,
    help="Write a commented example of house rules, and stop.",
)
@click.option("--counsel", is_flag=True, help="Print what is found on papers marked for counsel too.")
@click.option("--all", "every", is_flag=True, help="Every finding of every subject, and every column.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document in place of text.")
@click.option("--xlsx", type=_PATH, help="Write the answer to this workbook too.")
def command(
    sheets: tuple[Path, ...],
    on: date | None,
    at: datetime | None,
    ledger: Path | None,
    known_at: datetime | None,
    use: str | None,
    owner: str | None,
    dates: str | None,
    mapping: Path | None,
    save_mapping_to: Path | None,
    write_template_to: Path | None,
    house: tuple[Path, ...],
    write_house_to: Path | None,
    counsel: bool,
    every: bool,
    as_json: bool,
    xlsx: Path | None,
) -> int:
    """Who and what may fly on a day, by the law of that day; why not; what is due; what is missing.

    SHEETS are .xlsx, .xls, .ods or .csv files; without any the ledger is asked, with --known-at as it was known then.
    A sheet says how things stand; on a past day it is read as if it had always been so, except where its own dates say
    otherwise.

    \b
    Example:
      airwrit standing fleet.xlsx --on 2026-11-25
    """
    if write_template_to is not None:
        return _template(write_template_to)
    if write_house_to is not None:
        return _house_example(write_house_to)
    when, rules = asked(on, at), read_house(house)
    intake, state = read_fleet(sheets, answers_told(mapping, dates), AsOf(ledger, when, known_at))
    if save_mapping_to is not None:
        written("the mapping", save_mapping_to, lambda path: save_mapping(intake.columns, path))
    answer = answered(
        intake, when, UsedFor(use) if use else None, owner, house=rules, counsel=counsel, state=state
    )
    if xlsx is not None:
        written("the workbook", xlsx, lambda path: write_standing(answer, path))
    show_answer(answer, intake, every=every, as_json=as_json)
    return EXIT[answer.report.verdict]


def answered(
    intake: Intake,
    when: When,
    use: UsedFor | None = None,
    owner: str | None = None,
    *,
    house: House = NO_HOUSE,
    counsel: bool = False,
    state: State | None = None,
) -> Standing:
    """The standing of what was read. The collector is frozen meanwhile: nothing here makes cycles.

    `state` is what the statements of a ledger make; it is used as it is where nothing is told with the question.
    """
    plain = state is not None and use is None and owner is None
    known = state if state is not None and plain else told_for_all(intake.known, use, owner)
    known_at = now() if state is None else state.known_at
    gc.freeze()
    gc.disable()
    try:
        sources = (*intake.sources, *house.sources)
        return standing(known, when, known_at, intake.problems, sources, house.rules, counsel=counsel)
    finally:
        gc.enable()


def show_answer(answer: Standing, intake: Intake, *, every: bool, as_json: bool) -> None:
    """Print a standing and how its columns were read."""
    if as_json:
        document = standing_json(answer)
        document["columns"] = [column._asdict() for column in intake.columns]
        click.echo(json.dumps(document, indent=1))
        return
    out = console()
    show_standing(answer, out, every=every)
    show_columns(intake.columns, out, every=every)


def answers_told(mapping: Path | None, dates: str | None) -> Answers:
    """What the options answer beforehand: how columns are read, and how dates are meant."""
    order: DateOrder | None = None
    if dates is not None:
        order = MONTH_FIRST if dates == MONTH_FIRST else DAY_FIRST
    return Answers(load_mapping(mapping) if mapping else None, order)


def written(what: str, path: Path, write: Callable[[Path], None]) -> None:
    """Write a file whole or not at all: to a name beside it first. UsageError when the folder does not allow it."""
    beside = path.with_name(f".{path.name}.part{path.suffix}")
    try:
        write(beside)
        beside.replace(path)
    except (OSError, FileCreateError) as fault:
        beside.unlink(missing_ok=True)
        raise UsageError(
            f"{what} cannot be written", where=path.name, do="name a file in a folder you may write to"
        ) from fault


def _template(path: Path) -> int:
    written("the template", path, write_template)
    click.echo(f"wrote {path.name}: fill it in, then run `airwrit standing {path.name}`")
    return 0


def _house_example(path: Path) -> int:
    written("the example", path, lambda beside: _write_text(beside, example()))
    click.echo(f"wrote {path.name}: change its rows, then run `airwrit standing SHEET --house {path.name}`")
    return 0


def _write_text(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")
