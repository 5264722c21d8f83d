"""`airwrit terrain`: put terrain tiles on file, list them, ask the ground under an area and a height over it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import click
from rich.text import Text

from airwrit.answers.airspace.question import places_typed
from airwrit.answers.document import SCOPE_OF_TERRAIN
from airwrit.answers.site.terrain import HeightAbove, TerrainAnswer, TerrainAsked, sentences, terrain_of
from airwrit.answers.site.terrain_json import (
    area_words,
    facts_of,
    ground_sentences,
    height_sentences,
    notes,
    terrain_json,
    tile_sentence,
    tiles_json,
)
from airwrit.base.errors import UsageError
from airwrit.base.places import read_place
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, console, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.lengths import LengthType
from airwrit.cli.shared.options import json_option, ledger_path, now, on_option
from airwrit.cli.shared.places import NEGATIVE_NUMBERS, typed_words
from airwrit.geo.terrain import TerrainTile, tiles_on_file
from airwrit.geo.tiles_kept import keep_tiles

folder_option = click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder with the tiles (`terrain` next to the ledger if you leave it out).",
)


@click.group()
def command() -> None:
    """Add terrain tiles, list them, and check the ground elevation in an area. This doesn't change the
    records.

    Tiles are .hgt files of one degree, such as N44W072.hgt, as the US Geological Survey publishes them. Where there
    is no tile, the height is unknown, never 0. Each of the three commands takes --json.

    \b
    Example:
      airwrit terrain import N44W072.hgt
      airwrit terrain at 44.2705, -71.3033 --radius "300 m" --height 400 --above takeoff --takeoff "44.2600, -71.3000"
    """


@command.command("import")
@click.argument("files", nargs=-1, required=True, type=PATH)
@folder_option
@json_option
def import_command(files: tuple[Path, ...], folder: Path | None, as_json: bool) -> int:
    """Add .hgt or GeoTIFF FILES. We refuse other files, and never change a tile that is on file.

    \b
    Example:
      airwrit terrain import N44W072.hgt N44W071.hgt
    """
    kept = [one for path in files for one in keep_tiles(terrain_folder(folder), path)]
    if as_json:
        rows = [{**row, "is_new": is_new} for (tile, is_new) in kept for row in tiles_json([tile])]
        show_json({"question": "terrain_import", "tiles": rows})
    else:
        show_kept(kept)
    return EXIT[Verdict.MET]


@command.command("list")
@folder_option
@json_option
def list_command(folder: Path | None, as_json: bool) -> int:
    """List the terrain tiles on file.

    \b
    Example:
      airwrit terrain list
    """
    tiles = tiles_on_file(terrain_folder(folder))
    if as_json:
        show_json({"question": "terrain_list", "tiles": tiles_json(tiles)})
    else:
        show_tiles(tiles)
    return EXIT[Verdict.MET]


@command.command("at", context_settings=NEGATIVE_NUMBERS)
@click.argument("place", nargs=-1, required=True)
@on_option
@click.option(
    "--radius",
    type=LengthType(),
    default="0",
    help="How far around the place or to each side of the line, in feet or with a unit.",
)
@click.option("--area", "is_area", is_flag=True, help="The places are the corners of an area.")
@click.option(
    "--height",
    type=LengthType(below_zero=True),
    help="A height to convert, in feet or with a unit.",
)
@click.option(
    "--above",
    type=click.Choice([one.value for one in HeightAbove]),
    default=HeightAbove.GROUND.value,
    help="What --height is measured from (ground if you leave it out).",
)
@click.option("--height-error", type=LengthType(), default="0", help="How far off --height may be.")
@click.option("--takeoff", help="The takeoff point: latitude and longitude in quotes.")
@click.option("--facts", "as_facts", is_flag=True, help="Print only the [flight] table for a facts file.")
@folder_option
@json_option
def at_command(
    place: tuple[str, ...],
    on: date | None,
    radius: float,
    is_area: bool,
    height: float | None,
    above: str,
    height_error: float,
    takeoff: str | None,
    as_facts: bool,
    folder: Path | None,
    as_json: bool,
) -> int:
    """Show the lowest and highest ground under a PLACE, a line or an area, and a height above ground, takeoff point and sea
    level.

    PLACE is latitude and longitude ("40.0150, -105.2705", "40 00.9 N 105 16.2 W", "40-00-54N 105-16-14W"), a
    National Grid or MGRS reference ("13T DE 76915 29457"), or UTM ("13T 476915 4429457").
    Several places with semicolons between them make a line. With --area, they are corners.

    \b
    Example:
      airwrit terrain at 44.2705, -71.3033 --radius 1000 --height 350 --above takeoff --takeoff "44.2600, -71.3000"
    """
    told_from = HeightAbove(above)
    if height is not None and told_from is HeightAbove.TAKEOFF and takeoff is None:
        raise UsageError(
            "we don't know the takeoff point", where="--takeoff", do="enter its latitude and longitude"
        )
    where = None if takeoff is None else read_place(takeoff)
    asked = TerrainAsked(
        places_typed(typed_words(place, "terrain at")),
        on or now().astimezone().date(),
        radius,
        is_area,
        height,
        told_from,
        height_error,
        where,
    )
    answer = terrain_of(terrain_folder(folder), asked)
    if as_json:
        show_json(terrain_json(answer))
    elif as_facts:
        click.echo(facts_of(answer), nl=False)
    else:
        show_terrain(answer)
    return EXIT[answer.verdict]


def terrain_folder(told: Path | None) -> Path:
    """The folder of tiles: the one told, else the one beside the ledger."""
    return told or ledger_path(None).parent / "terrain"


def show_terrain(answer: TerrainAnswer) -> None:
    """The limit first where a height was asked, then the ground, and what to keep in mind."""
    out = console()
    out.print(Text(SCOPE_OF_TERRAIN, style="dim"))
    out.print(area_words(answer.asked), style="bold")
    heights = height_sentences(answer)
    if heights:
        out.print(f"{SIGNS[answer.verdict]} {heights[0]}")
    for said in (*heights[1:], *ground_sentences(answer)):
        out.print(said)
    out.print()
    for note in notes(answer):
        out.print(Text(note, style="dim"))
    show_caution(out)


def show_kept(kept: Sequence[tuple[TerrainTile, bool]]) -> None:
    """What was put on file."""
    out, said = console(), sentences()["list"]
    for tile, is_new in kept:
        out.print(said["new" if is_new else "old"].format(name=tile.name))


def show_tiles(tiles: Sequence[TerrainTile]) -> None:
    """The tiles on file, a line for each."""
    out = console()
    for tile in tiles:
        out.print(tile_sentence(tile))
    if not tiles:
        out.print(sentences()["list"]["none"])
        out.print(sentences()["note"]["published"])
