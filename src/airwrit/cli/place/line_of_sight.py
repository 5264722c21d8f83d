"""`airwrit line-of-sight`: what geometry tells of sight: how far, how large it looks, whether the ground is in the way."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.site.sight import SightAsked, sight_json, sight_of
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.place.terrain import folder_option, terrain_folder
from airwrit.cli.shared.lengths import AreaType, LengthType
from airwrit.cli.shared.options import json_option
from airwrit.cli.shared.places import NEGATIVE_NUMBERS, typed_place
from airwrit.cli.shown.geometry import show_sight
from airwrit.geo.footprint import Footprint


@click.command("line-of-sight", context_settings=NEGATIVE_NUMBERS)
@click.argument("pilot", nargs=-1, required=True)
@click.option(
    "--area", type=AreaType(), required=True, help='Area of the flight, like "36.05, -79.98 within 300 ft".'
)
@click.option(
    "--height", type=LengthType(), required=True, help="Highest height above ground, in feet or with a unit."
)
@click.option("--size", type=LengthType(), help='How wide the aircraft is, in feet or like "350 mm".')
@click.option("--visibility", type=LengthType(), help='How far you can see, like "3 sm".')
@folder_option
@json_option
def command(
    pilot: tuple[str, ...],
    area: Footprint,
    height: float,
    size: float | None,
    visibility: float | None,
    folder: Path | None,
    as_json: bool,
) -> int:
    """Show how far away the aircraft gets, how large it looks there, and whether the ground hides it.

    PILOT is where the remote pilot stands: latitude and longitude. This can rule a flight out, but it never
    says you're OK to fly. Your own eyes decide.

    \b
    Example:
      airwrit line-of-sight 44.2600, -71.3000 --area "44.2705, -71.3033 within 500 ft" --height 300 --size "0.35 m"
    """
    answer = sight_of(
        terrain_folder(folder),
        SightAsked(typed_place(pilot, "line-of-sight"), area, height, size, visibility),
    )
    if as_json:
        show_json(sight_json(answer))
    else:
        show_sight(answer)
    return EXIT[answer.verdict]
