"""Airspace on the terminal: what was put on file, what is there, what applies at a place."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rich.console import Console
from rich.text import Text

from airwrit.airspace.edition import Edition
from airwrit.airspace.here import Here, VolumeTouched
from airwrit.airspace.kinds import AreaKind
from airwrit.answers.airspace.at import (
    day_text,
    layer_sentences,
    limit_text,
    map_sentences,
    notes,
    problem_text,
    reach_sentence,
    title_text,
    words,
)
from airwrit.answers.document import Json
from airwrit.cli.console import clean, console, show_caution

_MOST_PROBLEMS = 20


def show_here(here: Here) -> None:
    """The facility map, the volumes, the editions and what to keep in mind."""
    out = console()
    out.print(Text(words()["note"]["scope"], style="dim"))
    asked = here.asked
    around = f", {asked.radius_ft:g} ft around" if asked.radius_ft else ""
    out.print(
        f"{asked.place}{around}, up to {asked.height_ft:g} ft above ground, {day_text(asked.on)}",
        style="bold",
    )
    out.print()
    for said in map_sentences(here):
        out.print(said)
    out.print()
    for one in here.touched:
        _show_volume(one, out)
    for said in (*layer_sentences(here), *notes(here)):
        out.print(said)
    show_caution(out)


def _show_volume(one: VolumeTouched, out: Console) -> None:
    area = one.area
    out.print(clean(f"{area.name} ({area.type})" if area.type else area.name), style="bold")
    out.print(f"  {reach_sentence(one)}")
    out.print(f"  From {limit_text(area.floor, floor=True)} to {limit_text(area.ceiling, floor=False)}.")
    if area.hours:
        out.print(clean(f"  Hours as written: {area.hours}"))
    for problem in area.problems:
        out.print(clean(f"  {problem_text(problem)}"))
    out.print()


def show_imported(edition: Edition, path: Path, *, is_new: bool) -> None:
    """What was put on file, and what is wrong in it."""
    out = console()
    counts = [(len(edition.grid.keys), "cells"), (len(edition.areas.facts), "areas")]
    held = ", ".join(f"{count} {name}" for count, name in counts if count) or "nothing usable"
    said = "is now on file" if is_new else "was on file already"
    title = title_text(edition.kind)
    out.print(f"{title}, edition of {day_text(edition.on)}, {said}: {held}.")
    out.print(clean(f"Kept in {path.name}."))
    for problem in edition.problems[:_MOST_PROBLEMS]:
        out.print(clean(f"  {problem_text(problem)}"))
    if len(edition.problems) > _MOST_PROBLEMS:
        out.print(f"  and {len(edition.problems) - _MOST_PROBLEMS} more: --json shows all")
    out.print(words()["note"]["look"])
    show_caution(out)


def show_list(document: Json) -> None:
    """Every edition on file, and the state of each layer on the day."""
    out = console()
    for one in document["editions"]:
        name = "" if one["layer"] == one["kind"] else f" ({one['layer']})"
        out.print(
            f"{title_text(AreaKind(one['kind']))}{name}: {day_text(date.fromisoformat(one['edition']))}"
        )
    if not document["editions"]:
        out.print("No airspace data is on file.")
    out.print()
    out.print(f"For {day_text(date.fromisoformat(document['on']))}:", style="bold")
    for said in (*document["says"], *document["notes"]):
        out.print(said)
    show_caution(out)
