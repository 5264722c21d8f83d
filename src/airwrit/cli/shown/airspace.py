"""Airspace on the terminal: what was put on file, what is there, what applies to a flight."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from rich.console import Console
from rich.text import Text

from airwrit.airspace.edition import Edition
from airwrit.airspace.here import Here, VolumeTouched
from airwrit.airspace.kinds import AreaKind
from airwrit.answers.airspace.at import open_questions
from airwrit.answers.airspace.at_words import (
    asked_text,
    groups_of,
    headlines,
    layer_sentences,
    notes,
    problem_text,
    question_sentence,
    title_text,
    volume_sentences,
    words,
)
from airwrit.answers.document import SCOPE_OF_AIRSPACE, Json
from airwrit.base.sentences import counted, day_words
from airwrit.cli.console import clean, console, show_caution

_MOST_PROBLEMS = 20
_LONGEST_TEXT = 500


def show_here(here: Here) -> None:
    """The facility map, the volumes, what to ask, the editions and what to keep in mind."""
    out = console()
    out.print(Text(SCOPE_OF_AIRSPACE, style="dim"))
    out.print(clean(asked_text(here.asked)), style="bold")
    out.print()
    for said in headlines(here):
        out.print(clean(said))
    for group in groups_of(here):
        out.print()
        out.print(group.title, style="bold underline")
        for one in group.volumes:
            _show_volume(one, here.asked.zones[0], out)
    out.print()
    out.print(words()["group"]["ask"], style="bold underline")
    for open_one in open_questions(here):
        out.print(clean(question_sentence(open_one)))
    out.print()
    for said in (*layer_sentences(here), *notes(here)):
        out.print(said)
    show_caution(out)


def _show_volume(one: VolumeTouched, zone: ZoneInfo, out: Console) -> None:
    area = one.area
    out.print(clean(f"{area.name} ({area.type})" if area.type else area.name), style="bold")
    for said in volume_sentences(one, zone):
        out.print(clean(f"  {said}"))
    if area.text:
        out.print(clean(f"  {area.text[:_LONGEST_TEXT]}"), style="dim")
    for problem in area.problems:
        out.print(clean(f"  {problem_text(problem)}"))


def show_imported(edition: Edition, path: Path, *, is_new: bool) -> None:
    """What was put on file, and what is wrong in it."""
    out = console()
    counts = [(len(edition.grid.keys), "cell"), (len(edition.areas), "area")]
    held = ", ".join(counted(count, name) for count, name in counts if count) or "nothing usable"
    said = "is now on file" if is_new else "was on file already"
    out.print(f"{title_text(edition.kind)}, edition of {day_words(edition.on)}, {said}: {held}.")
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
        name = "" if one["layer"] == one["kind"].replace("_", "-") else f" ({one['layer']})"
        out.print(
            f"{title_text(AreaKind(one['kind']))}{name}: {day_words(date.fromisoformat(one['edition']))}"
        )
    if not document["editions"]:
        out.print("No airspace data is on file.")
    out.print()
    out.print(f"For {day_words(date.fromisoformat(document['on']))}:", style="bold")
    for said in (*document["says"], *document["notes"]):
        out.print(said)
    show_caution(out)
