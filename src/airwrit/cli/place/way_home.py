"""`airwrit way-home`: the ground speed home against the wind, and whether the battery holds with its reserve."""

from __future__ import annotations

import json

import click
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_HOME
from airwrit.answers.site.way_home import HomeFound, WayHome, home_json, home_lines, way_home, way_typed
from airwrit.cli.console import SIGNS, console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.shared.options import json_option


@click.command()
@click.option("--airspeed", required=True, help="Cruise speed through the air, in knots or like 12 m/s.")
@click.option("--wind", required=True, help="The wind, including gusts, in knots or like 8 m/s.")
@click.option("--farthest", required=True, help="How far out you'll fly, in feet or like 800 m.")
@click.option("--battery", required=True, help="How many minutes a full battery lasts.")
@click.option(
    "--reserve", default="25%", help="How much battery must be left at landing (25% if you leave it out)."
)
@click.option("--wind-from", help="Where the wind blows from, in degrees true.")
@click.option("--course-home", help="The course home from the farthest point, in degrees true.")
@json_option
def command(as_json: bool, **typed: str | None) -> int:
    """Check whether the battery lasts to the farthest point and home against the wind, and still leaves the reserve.

    Without --wind-from and --course-home, we assume a straight headwind on the way home.

    \b
    Example:
      airwrit way-home --airspeed "12 m/s" --wind 15 --farthest 2500 --battery 22 --reserve 30%
    """
    told = way_typed({name: text for name, text in typed.items() if text is not None})
    found = way_home(told)
    if as_json:
        click.echo(json.dumps(home_json(told, found), indent=1))
    else:
        _show(told, found)
    return EXIT[found.verdict]


def _show(told: WayHome, found: HomeFound) -> None:
    out = console()
    out.print(Text(SCOPE_OF_HOME, style="dim"))
    first, *others = home_lines(told, found)
    out.print(f"{SIGNS[found.verdict]} {first}", style="bold")
    for line in others:
        out.print(line)
    show_caution(out)
