"""Terrain on the terminal: the ground under an area, a height over it, the tiles on file."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from airwrit.answers.document import SCOPE_OF_TERRAIN
from airwrit.answers.site.terrain import TerrainAnswer, sentences
from airwrit.answers.site.terrain_json import both, ground_sentences, height_sentences, notes, tile_sentence
from airwrit.cli.console import SIGNS, console, show_caution
from airwrit.geo.terrain import TerrainTile


def show_terrain(answer: TerrainAnswer) -> None:
    """The limit first where a height was asked, then the ground, and what to keep in mind."""
    out = console()
    out.print(Text(SCOPE_OF_TERRAIN, style="dim"))
    around = f", {both(answer.asked.radius_m)} around" if answer.asked.radius_m else ""
    out.print(f"{answer.asked.place}{around}", style="bold")
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
