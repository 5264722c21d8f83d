"""`airwrit import`: a sheet's facts into the ledger, shown before they are kept."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import click

from airwrit.answers.taking_in import Taking, note_of_unread, since, taking_in, with_damage
from airwrit.answers.told import told_for_all
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.files import PATH
from airwrit.cli.fleet import answers_told
from airwrit.cli.ledgers import (
    by_option,
    held_in,
    json_option,
    kept_in,
    ledger_option,
    ledger_path,
    may_keep,
    writer,
    yes_option,
)
from airwrit.cli.options import DayType
from airwrit.cli.show import console, show_columns, show_problems
from airwrit.cli.show_ledger import show_taking, taking_json
from airwrit.facts.statement import Problem
from airwrit.facts.words import UsedFor
from airwrit.intake.dates import DAY_FIRST, MONTH_FIRST
from airwrit.intake.sheets import Intake, read_sheets
from airwrit.ledger.store import KeptFile


@click.command("import")
@click.argument("sheets", nargs=-1, type=PATH)
@ledger_option
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
@click.option("--mapping", type=PATH, help="Read columns as this saved file says.")
@click.option(
    "--from", "start", type=DayType(), help="The day from which values without a day of their own hold."
)
@click.option("--replaces", multiple=True, metavar="NAME", help="An earlier file whose place these take.")
@click.option("--note", default="", help="A word on why, kept with the entries.")
@by_option
@yes_option
@json_option
def command(
    sheets: tuple[Path, ...],
    ledger: Path | None,
    use: str | None,
    owner: str | None,
    dates: str | None,
    mapping: Path | None,
    start: date | None,
    replaces: tuple[str, ...],
    note: str,
    by: str | None,
    yes: bool,
    as_json: bool,
) -> int:
    """Put the facts of SHEETS into the ledger: first it is shown what would be added, corrected and contradicted.

    A file is compared with what it said itself the last time; importing it twice adds nothing. Without a terminal
    nothing is kept unless --yes is given.

    \b
    Example:
      airwrit import fleet.xlsx --use work --yes
    """
    if not sheets:
        raise UsageError("no sheet was named", where="import", do="name a file")
    intake = read_sheets(sheets, answers_told(mapping, dates))
    files = _files(sheets, intake)
    known = with_damage(intake.known, intake.problems, intake.sources[0].name)
    known = list(told_for_all(known, UsedFor(use) if use else None, owner))
    known = since(known, start) if start else known
    path = ledger_path(ledger)
    taking = taking_in(
        held_in(path),
        known,
        intake.sources,
        writer(by),
        note=note_of_unread(note, intake.problems),
        replaces=replaces,
    )
    if not as_json:
        out = console()
        show_taking(taking, out)
        show_problems(intake.problems, out)
        show_columns(intake.columns, out, every=False)
    keep = not taking.is_empty and may_keep(yes, lambda: f"\nKeep this in {path.name}?")
    entries = kept_in(path, taking, files) if keep else ()
    done = f"{len(entries)} entries kept in {path.name}"
    if as_json:
        click.echo(
            json.dumps({**taking_json(taking, intake.problems), "kept": [e.seq for e in entries]}, indent=1)
        )
    elif not taking.is_empty:
        click.echo("\n" + (done if entries else "nothing was kept: look it over, then give --yes"))
    return _code(taking, intake.problems, kept=bool(entries))


def _files(sheets: Sequence[Path], intake: Intake) -> list[KeptFile]:
    """The files to keep. UnreadableFile when one changed while it was read."""
    files = []
    for path, source in zip(sheets, intake.sources, strict=True):
        data = path.read_bytes()
        if hashlib.sha256(data).hexdigest() != source.sha256:
            raise UnreadableFile(
                "it changed while it was read", where=path.name, do="save it, then import again"
            )
        files.append(KeptFile(source.name, data))
    return files


def _code(taking: Taking, problems: Sequence[Problem], *, kept: bool) -> int:
    """0 when all is kept or nothing was new; 3 when something stays open."""
    unclear = bool(taking.contradictions) or any(problem.spoils or problem.unread for problem in problems)
    return 3 if unclear or not (kept or taking.is_empty) else 0
