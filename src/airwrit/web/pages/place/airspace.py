"""Airspace: the editions on file, and what of them applies to a place, a line or an area. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from airwrit.airspace.here import Asked, Here, look_up
from airwrit.answers.airspace.at import open_questions, verdict_of
from airwrit.answers.airspace.at_json import here_json
from airwrit.answers.airspace.at_words import (
    asked_text,
    groups_of,
    headlines,
    layer_sentences,
    notes,
    problem_text,
    question_sentence,
    volume_sentences,
)
from airwrit.answers.airspace.on_file import list_json
from airwrit.answers.airspace.question import TypedQuestion, asked_of, with_ground_on_file
from airwrit.answers.document import Json
from airwrit.base.errors import AirwritError, BadPlace, UsageError
from airwrit.base.verdict import Verdict
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST, _LONGEST_PLACES, _LONGEST_TEXT = 100, 20_000, 500
_NUMBERS = ("height", "low", "radius")
_FIELDS = {
    "--radius": "radius",
    "--height": "height",
    "--ground": "ground",
    "heights": "low",
    "times": "start",
}


class VolumeShown(NamedTuple):
    """A volume as the page tells it: its name, its sentences, what is wrong with it, its own text."""

    name: str
    says: tuple[str, ...]
    problems: tuple[str, ...]
    text: str


class GroupShown(NamedTuple):
    """Volumes under a title."""

    title: str
    volumes: tuple[VolumeShown, ...]


@dataclass(frozen=True, slots=True)
class AirspacePage:
    """The page: the form, what is on file for the day, and, where a place was asked, what applies there."""

    form: Typed
    on_file: tuple[str, ...]
    editions: tuple[tuple[str, str, str], ...]
    asked: str = ""
    verdict: Verdict | None = None
    headlines: tuple[str, ...] = ()
    groups: tuple[GroupShown, ...] = ()
    questions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def show(visit: Visit) -> Answer:
    """The form and what is on file; with a place in the address what applies there."""
    said = {
        name: text.strip()[: _LONGEST_PLACES if name == "place" else _LONGEST]
        for name, text in visit.query.items()
    }
    wrong: dict[str, str] = {}
    folder = visit.desk.ledger.parent / "airspace"
    here = None
    if said.get("place"):
        asked = _asked(said, visit, wrong)
        here = None if asked is None else _looked_up(folder, asked, wrong)
    form = Typed(said, wrong)
    if here is not None:
        found = here
        return PageSheet("airspace.html", "Airspace", _answered(form, found), lambda: here_json(found))
    document = list_json(folder, visit.asked.on)
    return form.sheet(
        "airspace.html", "Airspace", _listed(form, document), lambda: {**document, "wrong": wrong}
    )


def _listed(form: Typed, document: Json) -> AirspacePage:
    editions = tuple(
        (one["title"], f"{one['layer']}, {one['edition']}", "damaged" if one["damaged"] else one["sha256"])
        for one in document["editions"]
    )
    return AirspacePage(form, tuple(document["says"]), editions, notes=tuple(document["notes"]))


def _answered(form: Typed, here: Here) -> AirspacePage:
    zone = here.asked.zones[0]
    groups = tuple(
        GroupShown(
            group.title,
            tuple(
                VolumeShown(
                    f"{one.area.name} ({one.area.type})" if one.area.type else one.area.name,
                    tuple(volume_sentences(one, zone)),
                    tuple(map(problem_text, one.area.problems)),
                    one.area.text[:_LONGEST_TEXT],
                )
                for one in group.volumes
            ),
        )
        for group in groups_of(here)
    )
    return AirspacePage(
        form,
        tuple(layer_sentences(here)),
        (),
        asked_text(here.asked),
        verdict_of(here),
        tuple(headlines(here)),
        groups,
        tuple(map(question_sentence, open_questions(here))),
        tuple(notes(here)),
    )


def _asked(said: Mapping[str, str], visit: Visit, wrong: dict[str, str]) -> Asked | None:
    """What the form asks; None, with what is wrong noted at the fields, where it can't be read."""
    numbers = {name: _number(said, name, wrong) for name in _NUMBERS}
    if not said.get("height"):
        wrong["height"] = "enter how high you fly"
    if wrong:
        return None
    typed = TypedQuestion(
        said["place"],
        visit.asked.on,
        numbers["height"],
        numbers["low"],
        said.get("above") == "sea",
        numbers["radius"],
        bool(said.get("area")),
        said.get("start", ""),
        said.get("end", ""),
        said.get("ground", ""),
    )
    try:
        return with_ground_on_file(asked_of(typed), visit.desk.ledger.parent / "terrain")
    except (BadPlace, UsageError) as fault:
        wrong[_FIELDS.get(fault.where, "place")] = fault.says
        return None


def _looked_up(folder: Path, asked: Asked, wrong: dict[str, str]) -> Here | None:
    try:
        return look_up(folder, asked)
    except AirwritError as fault:
        wrong[_FIELDS.get(fault.where, "place")] = fault.says
        return None


def _number(said: Mapping[str, str], name: str, wrong: dict[str, str]) -> float:
    text = said.get(name, "").replace(",", "").removesuffix("ft").strip()
    try:
        number = float(text or 0)
    except ValueError:
        number = -1.0
    if not 0 <= number < 1_000_000:
        wrong[name] = "that isn't a number of feet. Write it like 200"
        return 0.0
    return number
