"""`airwrit flight-hours`: flights, hours and battery cycles up to a day."""

from __future__ import annotations

from collections.abc import Sequence

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_RECORDS
from airwrit.answers.flights.totals import Total, Totals, flight_totals, totals_json
from airwrit.cli.console import clean, console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.fleet import Fleet, fleet_options

_LISTED = 6


@click.command()
@fleet_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(fleet: Fleet, as_json: bool) -> int:
    """Count the flights, hours and landings of each aircraft and pilot, and the cycles of each battery pack,
    up to a day.

    We count every flight on record, whether you typed it, sent it from a phone, or imported it from a log.

    \b
    Example:
      airwrit flight-hours --on 2026-11-25
    """
    totals = flight_totals(fleet.standing().report.state)
    if as_json:
        show_json(totals_json(totals))
    else:
        _show(totals, console())
    return EXIT[totals.verdict]


def _show(totals: Totals, out: Console) -> None:
    out.print(Text(f"Flights up to {totals.on}: {totals.flights}", style="bold"))
    out.print(SCOPE_OF_RECORDS)
    for title, all_of in (("AIRCRAFT", totals.aircraft), ("PILOTS", totals.pilots)):
        _table(title, all_of, out, first="FLIGHTS")
    _table("BATTERY PACKS", totals.packs, out, first="CYCLES")
    out.print()
    if any(one.without_minutes or one.without_landings for one in totals.aircraft):
        out.print("At least. Some flights have no minutes or landings, so they count only as flights.")
    for what, subjects in (
        ("with no date, not counted", totals.undated),
        ("with no aircraft or pilot, counted as far as we know", totals.unnamed),
    ):
        if subjects:
            shown = ", ".join(clean(subject) for subject in subjects[:_LISTED])
            out.print(f"{len(subjects)} {what}: {shown}{' ...' if len(subjects) > _LISTED else ''}")
    _doubles(totals, out)
    if totals.later:
        out.print(f"{totals.later} recorded for later days, not counted")
    show_caution(out)


def _doubles(totals: Totals, out: Console) -> None:
    """The flights that may be counted twice, and what to do about it."""
    many = len(totals.doubles)
    if not many:
        return
    told = "1 flight may be" if many == 1 else f"{many} flights may be"
    out.print(
        f"{told} on record twice, with the same aircraft, pilot, day and landing time. We counted both:"
    )
    for double in totals.doubles[:_LISTED]:
        out.print(f"  {clean(double.one)}\n  and {clean(double.other)}")
    if many > _LISTED:
        out.print(f"  and {many - _LISTED} more. Use --json to see all.")
    out.print("If they are one flight, take one back by its name here:")
    out.print('  airwrit record-change "flight/..." flown_on= minutes= landings= packs= --correct')


def _table(title: str, all_of: Sequence[Total], out: Console, *, first: str) -> None:
    if not all_of:
        return
    table = Table(box=None, pad_edge=False, padding=(0, 3, 0, 0), header_style="dim")
    table.add_column(title, overflow="fold")
    for name in (first, "HOURS", "LANDINGS"):
        table.add_column(name, justify="right")
    table.add_column("LAST")
    for one in all_of:
        table.add_row(
            clean(one.name),
            str(one.flights),
            _least(str(one.hours), one.without_minutes, one.flights),
            _least(str(one.landings), one.without_landings, one.flights),
            str(one.last_on or ""),
        )
    out.print()
    out.print(table)


def _least(text: str, without: int, flights: int) -> str:
    """A sum, marked where flights are left out of it; unknown where all are."""
    return "unknown" if without == flights else f"at least {text}" if without else text
