"""`airwrit planned-flights`: the planned flights of a day, each judged again, and what two of them want at once."""

from __future__ import annotations

import json
from pathlib import Path

import click
from rich.text import Text

from airwrit.answers.before_flight.day import (
    FlightDay,
    PlannedFlight,
    clash_text,
    day_json,
    flight_day,
    release_text,
)
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import without_plans
from airwrit.answers.before_flight.view import plan_text, words
from airwrit.answers.document import SCOPE_OF_FLIGHT
from airwrit.base.sentences import with_days
from airwrit.cli.console import SIGNS, clean, console, print_rows, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.shared.fleet import Fleet, fleet_by_option
from airwrit.cli.shared.options import json_option, ledger_path
from airwrit.facts.vocabulary import id_of


@click.command()
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder with airspace data (`airspace` next to the ledger if you leave it out).",
)
@fleet_by_option
@json_option
def command(folder: Path | None, fleet: Fleet, as_json: bool) -> int:
    """Check every flight planned for a day against what is on record now.

    \b
    Example:
      airwrit planned-flights --on 2026-12-02
    """
    stated = fleet.stated(fleet.when)
    spoiled = [pair for problem in stated.problems for pair in problem.spoils]
    program = Program(without_plans(stated.known), stated.known_at, stated.house, (), spoiled)
    day = flight_day(
        fleet.day, stated.known, program, folder or ledger_path(fleet.ledger).parent / "airspace"
    )
    if as_json:
        click.echo(json.dumps(day_json(day), indent=1))
    else:
        _show(day)
    return EXIT[day.verdict]


def _show(day: FlightDay) -> None:
    """Print the day: what clashes, then the flights by takeoff."""
    out = console()
    on = with_days(day.on.isoformat())
    out.print(Text(f"Planned flights on {on}", style="bold"))
    out.print(Text(SCOPE_OF_FLIGHT, style="dim"))
    for clash in day.clashes:
        out.print(clean(clash_text(clash)), style="bold")
    if day.flights:
        out.print()
        print_rows((_row(one) for one in day.flights), (-4, 24, 50, 50), out)
    else:
        out.print(words()["day"]["none"].format(day=on))
    show_caution(out)


def _row(one: PlannedFlight) -> tuple[str, ...]:
    left = f" {one.left} to confirm." if one.left else ""
    again = f" {words()['day']['again']}" if one.saved.outdated else ""
    return (
        SIGNS[one.verdict],
        clean(id_of(one.saved.subject)),
        clean(plan_text(one.saved.plan)),
        said(f"{one.says}{left}{again} {release_text(one.saved)}"),
    )
