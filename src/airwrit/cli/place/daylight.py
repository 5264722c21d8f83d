"""`airwrit daylight`: sunrise, sunset and twilight at a place, in the clock of the place and in UTC."""

from __future__ import annotations

from datetime import date, datetime

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_LIGHT
from airwrit.answers.sky.facts_table import facts_toml
from airwrit.answers.sky.light import (
    FIRST_YEAR,
    LAST_YEAR,
    LightAt,
    LightEvent,
    LightOfDay,
    light_at,
    light_of,
    sentences,
)
from airwrit.answers.sky.light_json import light_json, site_facts, verdict_of
from airwrit.answers.sky.light_words import (
    clock_words,
    in_a_sentence,
    minute_of,
    notes,
    phases_words,
    rows_of,
    stays_words,
)
from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.cli.console import console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.options import at_option, now, on_option
from airwrit.cli.shared.places import NEGATIVE_NUMBERS, typed_place
from airwrit.sky.zones import Zone, zone_named, zone_of


@click.command(context_settings=NEGATIVE_NUMBERS)
@click.argument("place", nargs=-1, required=True)
@on_option
@at_option
@click.option("--year", "whole_year", is_flag=True, help="Show a table of the whole year.")
@click.option("--zone", "zone_name", help="The time zone, such as America/Denver, if it isn't the local one.")
@click.option(
    "--alaska/--no-alaska", "alaska", default=None, help="Whether the place is in Alaska, if we can't tell."
)
@click.option(
    "--facts",
    "as_facts",
    is_flag=True,
    help="Print only the [site] table, to paste into FACTS for check-scenario.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(
    place: tuple[str, ...],
    on: date | None,
    at: datetime | None,
    whole_year: bool,
    zone_name: str | None,
    alaska: bool | None,
    as_facts: bool,
    as_json: bool,
) -> int:
    """Show sunrise, sunset, twilight and night at a place, in local time and in UTC.

    PLACE is latitude and longitude ("40.0150, -105.2705", "40 00.9 N 105 16.2 W", "40-00-54N 105-16-14W"), a
    National Grid or MGRS reference ("13T DE 76915 29457"), or UTM ("13T 476915 4429457").

    \b
    Example:
      airwrit daylight 40.0150, -105.2705 --on 2026-12-01
    """
    where = typed_place(place, "daylight")
    zone = zone_named(zone_name, where) if zone_name else zone_of(where)
    zone = zone if alaska is None else zone._replace(in_alaska=alaska)
    first, last = _span(on, at, zone, whole_year=whole_year)
    days = light_of(where, zone, first, last)
    then = None if at is None else light_at(where, zone, at)
    if as_json:
        show_json(light_json(where, zone, days, then))
    elif as_facts:
        if then is not None and len(then.phases) > 1:
            click.echo(f"# {sentences()['note']['too_close_facts']}")
        click.echo(facts_toml("site", site_facts(zone, days[0], then)), nl=False)
    else:
        show_light(where, zone, days, then)
    return EXIT[verdict_of(zone, days, then)]


def _span(on: date | None, at: datetime | None, zone: Zone, *, whole_year: bool) -> tuple[date, date]:
    """The first and the last day asked about. UsageError for years the sun isn't worked out for."""
    if on is not None and at is not None and not whole_year:
        raise UsageError("you used both a date and a time", where="--on, --at", do="use only one of the two")
    day = on or (at or now()).astimezone(zone.info).date()
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise UsageError(
            f"we can't work out sunrise and sunset for {day.year}",
            do=f"use a year from {FIRST_YEAR} to {LAST_YEAR}",
        )
    return (date(day.year, 1, 1), date(day.year, 12, 31)) if whole_year else (day, day)


def show_light(place: Place, zone: Zone, days: tuple[LightOfDay, ...], at: LightAt | None) -> None:
    """The light of a day or year, that of an instant where one was given, and what to keep in mind."""
    out = console()
    show_late(days[0].on, out)
    out.print(Text(SCOPE_OF_LIGHT, style="dim"))
    if at is not None:
        _show_at(at, zone, out)
    if len(days) > 1:
        _show_year(place, zone, days, out)
    else:
        _show_day(place, zone, days[0], out)
    out.print()
    for note in notes(zone, (at or days[0]).rules):
        options = f" ({' or '.join(note.options)})" if note.options else ""
        out.print(Text(note.says + options, style="dim"))
    show_caution(out)


def _show_at(at: LightAt, zone: Zone, out: Console) -> None:
    words = sentences()
    out.print(f"{_day(at.at.astimezone(zone.info).date())}, {clock_words(at.at, zone)}:", style="bold")
    if len(at.phases) > 1:
        out.print(words["note"]["too_close"])
    for phase in phases_words(at):
        out.print(f"  {phase}")
    out.print()


def _show_day(place: Place, zone: Zone, day: LightOfDay, out: Console) -> None:
    out.print(f"Light on {_day(day.on)} at {place}", style="bold")
    sentence = in_a_sentence(day, zone)
    if sentence and day.horizon is None:
        out.print(sentence)
    out.print(f"Clock: {zone.name}")
    rows = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
    for row in rows_of(day, zone):
        rows.add_row(row.local, row.utc, row.says + (f" ({row.cites})" if row.cites else ""))
    if rows.row_count:
        out.print(rows)
    for words in stays_words(day):
        out.print(words)


def _show_year(place: Place, zone: Zone, days: tuple[LightOfDay, ...], out: Console) -> None:
    words = sentences()
    out.print(f"Light in {days[0].on.year} at {place}", style="bold")
    out.print(f"Clock: {zone.name}, daylight saving time included")
    kinds = [kind for kind in LightEvent if any(day.of(kind) for day in days)]
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="bold")
    for heading in ("Day", *(words["column"][kind.value] for kind in kinds)):
        table.add_column(heading)
    for day in days:
        cells = (", ".join(minute_of(one, zone) for one in day.of(kind)) for kind in kinds)
        table.add_row(f"{day.on:%b} {day.on.day}", *(cell or "none" for cell in cells))
    out.print(table)


def _day(day: date) -> str:
    return f"{day:%b} {day.day}, {day.year}"
