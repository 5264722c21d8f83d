"""`airwrit batteries`, `battery`, `maintenance` and `training`: what keeps aircraft and people fit, with what to do."""

from __future__ import annotations

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE
from airwrit.answers.upkeep.batteries import batteries_of
from airwrit.answers.upkeep.maintenance import maintenance_of
from airwrit.answers.upkeep.training import training_of
from airwrit.answers.upkeep.view import UpkeepAnswer, UpkeepSection, upkeep_json
from airwrit.base.days import day_of
from airwrit.base.sentences import day_words
from airwrit.cli.console import SIGNS, Cell, clean, console, print_rows, print_title, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option

_NAME, _CELL = 24, 18


@click.command("batteries")
@fleet_options
@json_option
def batteries(fleet: Fleet, as_json: bool) -> int:
    """Show every battery: whether you can fly with it, its cycles, and what is left of its capacity.

    Cycles are the count last read off the battery, plus the flights on record since then.

    \b
    Example:
      airwrit batteries --on 2026-11-25
    """
    return _show(batteries_of(fleet.standing()), as_json=as_json)


@click.command("battery")
@click.argument("name")
@fleet_options
@json_option
def battery(name: str, fleet: Fleet, as_json: bool) -> int:
    """Show one battery: whether you can fly with it, and if not, why. Also its cycles, and what is left of its capacity.

    \b
    Example:
      airwrit battery TF-B1 --on 2026-11-25
    """
    return _show(batteries_of(fleet.standing(), name), as_json=as_json)


@click.command("maintenance")
@fleet_options
@click.option("--aircraft", default="", help="Only this aircraft.")
@json_option
def maintenance(fleet: Fleet, aircraft: str, as_json: bool) -> int:
    """Show what keeps aircraft out of service, what maintenance is due next, defects, work done, and settings.

    Your house rules set what is due next, by hours, flights, landings or days since a task.

    \b
    Example:
      airwrit maintenance --house rules.toml --aircraft "Alder 1"
    """
    return _show(maintenance_of(fleet.standing(), aircraft), as_json=as_json)


@click.command("training")
@fleet_options
@click.option("--person", default="", help="Only this person.")
@json_option
def training(fleet: Fleet, person: str, as_json: bool) -> int:
    """Show the gaps in everybody's training, how recently they flew each model, and the courses on record.

    Your house rules set the training plan: courses by role, and landings or hours on a model.

    \b
    Example:
      airwrit training --house rules.toml --person "Nela Quist"
    """
    return _show(training_of(fleet.standing(), person), as_json=as_json)


def _show(answer: UpkeepAnswer, *, as_json: bool) -> int:
    """Print the answer; the exit code of its verdict."""
    if as_json:
        show_json(upkeep_json(answer))
        return EXIT[answer.verdict]
    out = console()
    out.print(Text(f"{answer.title} on {day_words(day_of(answer.standing.report.on))}", style="bold"))
    out.print(SCOPE)
    out.print(answer.say)
    for section in answer.sections:
        _section(section, "--person" if answer.question == "training" else "--aircraft", out)
    if answer.notes:
        out.print()
    for note in answer.notes:
        out.print(clean(said(note)))
    show_caution(out)
    return EXIT[answer.verdict]


def _section(section: UpkeepSection, narrowed_by: str, out: Console) -> None:
    print_title(section.title.upper(), out)
    rows: list[tuple[Cell, ...]] = [("", "", *(Text(one, style="dim") for one in section.headings))]
    for row in section.rows:
        rows.append((SIGNS[row.verdict], clean(row.name), *(clean(said(cell)) for cell in row.cells)))
    if section.rows:
        print_rows(rows, (-4, _NAME, *(_CELL for _ in section.headings)), out, gap=1)
    for row in section.rows:
        for sentence in row.says:
            print_rows([("", f"{clean(row.name)}: {clean(said(sentence))}")], (-4, 90), out, gap=1)
    if section.later:
        told = f"{section.later_says}. Use {narrowed_by} or --json to see them."
        print_rows([("", told)], (-4, 90), out, gap=1)
