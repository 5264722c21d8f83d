"""`airwrit height-near-tower`: how high you may fly next to a tower or building."""

from __future__ import annotations

from datetime import date

import click

from airwrit.answers.site.structure import StructureAsked, feet_of, structure_json, structure_of, top_ft
from airwrit.base.measured import with_error
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.lengths import AreaType, LengthType
from airwrit.cli.shared.options import json_option, now, on_option
from airwrit.cli.shared.places import NEGATIVE_NUMBERS, typed_place
from airwrit.cli.shown.geometry import show_structure
from airwrit.geo.footprint import Footprint


@click.command(context_settings=NEGATIVE_NUMBERS)
@click.argument("place", nargs=-1, required=True)
@click.option(
    "--area", type=AreaType(), required=True, help='Area of the flight, like "36.05, -79.98 within 300 ft".'
)
@click.option("--height", type=LengthType(), required=True, help="Highest height above ground.")
@click.option("--top", type=LengthType(), help="Top of the structure above ground.")
@click.option(
    "--top-above-sea",
    type=LengthType(below_zero=True),
    help="Top of the structure above sea level, as on charts. Use it with --ground.",
)
@click.option(
    "--ground",
    type=LengthType(below_zero=True),
    help="How high the ground at the structure is above sea level.",
)
@click.option("--top-error", type=LengthType(), default="0", help="How far off the top may be.")
@click.option("--position-error", type=LengthType(), default="0", help="How far off its position may be.")
@click.option("--height-error", type=LengthType(), default="0", help="How far off --height may be.")
@click.option("--controlled/--uncontrolled", default=None, help="Whether the airspace is controlled.")
@click.option("--authorized", type=LengthType(), help="The height in your airspace authorization.")
@on_option
@json_option
def command(
    place: tuple[str, ...],
    area: Footprint,
    height: float,
    top: float | None,
    top_above_sea: float | None,
    ground: float | None,
    top_error: float,
    position_error: float,
    height_error: float,
    controlled: bool | None,
    authorized: float | None,
    on: date | None,
    as_json: bool,
) -> int:
    """Show how high you may fly near a structure. Within 400 ft of it, the limit is 400 ft above its top.

    PLACE is the structure: latitude and longitude. Lengths are in feet unless you give a unit. If you have an
    authorization, follow its height limit.

    \b
    Example:
      airwrit height-near-tower 36.0542, -79.9792 --top 1200 --area "36.0542, -79.9792 within 350 ft" --height 1600
    """
    answer = structure_of(
        StructureAsked(
            typed_place(place, "structure"),
            with_error(top_ft(top, top_above_sea, ground), feet_of(top_error)),
            area,
            with_error(feet_of(height), feet_of(height_error)),
            on or now().astimezone().date(),
            feet_of(position_error),
            controlled,
            None if authorized is None else feet_of(authorized),
        )
    )
    if as_json:
        show_json(structure_json(answer))
    else:
        show_structure(answer)
    return EXIT[answer.verdict]
