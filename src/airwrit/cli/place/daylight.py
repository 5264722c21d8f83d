"""`airwrit daylight`: sunrise, sunset and twilight at a place, in the clock of the place and in UTC."""

from __future__ import annotations

from datetime import date, datetime

import click

from airwrit.answers.sky.facts_table import facts_toml
from airwrit.answers.sky.light import FIRST_YEAR, LAST_YEAR, light_at, light_of, sentences
from airwrit.answers.sky.light_json import light_json, site_facts, verdict_of
from airwrit.base.errors import UsageError
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.options import at_option, now, on_option
from airwrit.cli.shared.places import NEGATIVE_NUMBERS, typed_place
from airwrit.cli.shown.light import show_light
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
@click.option("--facts", "as_facts", is_flag=True, help="Print only the [site] table for a facts file.")
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

    PLACE is latitude and longitude: "40.0150, -105.2705", "40 00.9 N 105 16.2 W" or "40-00-54N 105-16-14W".

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
