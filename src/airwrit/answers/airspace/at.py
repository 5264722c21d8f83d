"""What applies at a place by the airspace on file: the number of the facility map, the volumes, and what can't be told."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date, timedelta
from enum import StrEnum
from functools import cache
from pathlib import Path

from airwrit.airspace.here import AreasTouched, Here, VolumeTouched
from airwrit.airspace.kinds import AreaKind, kinds
from airwrit.airspace.limits import HeightLimit, Reach, Reference
from airwrit.airspace.problems import UNPLACED, FeatureProblem
from airwrit.airspace.shelf import ShelfState
from airwrit.answers.document import Json
from airwrit.base.verdict import Verdict
from airwrit.facts.flight_choices import AirspaceClass

_CLASSES = {
    "CLASS_B": AirspaceClass.B,
    "CLASS_C": AirspaceClass.C,
    "CLASS_D": AirspaceClass.D,
    "CLASS_E2": AirspaceClass.E_SURFACE,
    "CLASS_E3": AirspaceClass.E_EXTENSION,
    "CLASS_E4": AirspaceClass.E_EXTENSION,
}
"""Types of class airspace that make a flight ask for authorization, the most restrictive first."""

_RESTRICTED = ("P", "R")


class MapAnswer(StrEnum):
    """What the facility map says. Zero and no cell are different answers."""

    HIGHEST = "highest"
    ZERO = "zero"
    NO_CELL = "no_cell"
    UNKNOWN = "unknown"


@cache
def words() -> Mapping[str, Mapping[str, str]]:
    """The sentences."""
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


def is_sure(layer: AreasTouched) -> bool:
    """Whether a layer can answer for the day: an edition in force, and nothing in it without a place."""
    return layer.edition is not None and not layer.edition.has_gaps


def map_answer(here: Here) -> tuple[MapAnswer, int | None]:
    """What the facility map says, with the lowest number of all cells touched."""
    if not all(is_sure(layer) for layer in here.layers if layer.day.kind is AreaKind.GRID):
        return MapAnswer.UNKNOWN, None
    lowest = min(here.numbers_ft, default=None)
    if lowest is None:
        return MapAnswer.NO_CELL, None
    return (MapAnswer.HIGHEST if lowest else MapAnswer.ZERO), lowest


def class_here(here: Here) -> AirspaceClass | None:
    """The most restrictive class that a volume on file surely brings; None where none does. Never a class that asks nothing."""
    if not all(is_sure(layer) for layer in here.layers if layer.day.kind is AreaKind.CLASS):
        return None
    volumes = [one for one in here.touched if one.kind is AreaKind.CLASS]
    sure = {_CLASSES.get(one.area.type) for one in volumes if one.reach is Reach.IN}
    open_ones = {_CLASSES.get(one.area.type) for one in volumes if one.reach is Reach.CANT_TELL}
    for found in dict.fromkeys(_CLASSES.values()):
        if found in sure:
            return found
        if found in open_ones:
            return None
    return None


def in_restricted_area(here: Here) -> bool:
    """Whether a prohibited or restricted area surely reaches the flight. False is no proof that none does."""
    return any(
        one.kind is AreaKind.SPECIAL and one.area.type in _RESTRICTED and one.reach is Reach.IN
        for one in here.touched
    )


def verdict_of(here: Here) -> Verdict:
    """Met where every question could be answered from editions in force, whatever the answer; else unknown."""
    open_layers = not all(is_sure(layer) for layer in here.layers)
    doubts = any(one.reach is Reach.CANT_TELL or one.area.problems for one in here.touched)
    damaged = any(cell.problems for cell in here.cells)
    answer, _ = map_answer(here)
    nothing = answer is MapAnswer.NO_CELL and class_here(here) is None
    return Verdict.UNKNOWN if open_layers or doubts or damaged or nothing else Verdict.MET


def map_sentences(here: Here) -> list[str]:
    """What the facility map says, in sentences."""
    answer, lowest = map_answer(here)
    said = words()["map"]
    found = [said[answer.value].format(feet=lowest)]
    if lowest is not None and here.asked.height_ft > lowest:
        found.append(said["above"].format(height=f"{here.asked.height_ft:g}"))
    return found


def layer_sentences(here: Here) -> list[str]:
    """The edition of each layer, or that there is none and where it is published."""
    return [said for layer in here.layers for said in layer_of_day(layer, here.asked.on)]


def layer_of_day(layer: AreasTouched, day: date) -> list[str]:
    """The edition of a layer on a day, or that there is none, in sentences."""
    said, facts, told = words()["layer"], kinds()[layer.day.kind], layer.day
    named = {
        "title": title_text(told.kind),
        "name": "" if told.layer == told.kind.value else f" ({told.layer})",
        "day": day_text(day),
        "published": facts.published,
    }
    if told.edition is None:
        return [said["missing" if facts.published else "missing_own"].format(**named)]
    ends = facts.ends(told.edition.on)
    named["on"] = day_text(told.edition.on)
    if told.state is ShelfState.OLD and ends is not None:
        return [said["old"].format(ends=day_text(ends), **named)]
    until = said["until"].format(last=day_text(ends - timedelta(days=1))) if ends else ""
    found = [said["current"].format(until=until, **named)]
    if layer.edition is not None and layer.edition.has_gaps:
        count = sum(problem.fault in UNPLACED for problem in layer.edition.problems)
        found.append(said["gaps"].format(count=count, **named))
    return found


def notes(here: Here) -> list[str]:
    """What to keep in mind about the answer."""
    said = words()["note"]
    found = []
    if not here.touched:
        found.append(said["nothing"])
    if class_here(here) is None:
        found.append(said["no_class"])
    floors = [one.area.floor.reference for one in here.touched if one.reach is Reach.CANT_TELL]
    if Reference.SEA in floors:
        found.append(said["ground"])
    if any(one.area.problems for one in here.touched) or any(cell.problems for cell in here.cells):
        found.append(said["doubt"])
    if any(one.area.hours for one in here.touched):
        found.append(said["hours"])
    return [*found, said["look"]]


def reach_sentence(one: VolumeTouched) -> str:
    """Whether a volume reaches the heights asked about."""
    return words()["reach"][one.reach.value]


def title_text(kind: AreaKind) -> str:
    """The title of a kind, as a line begins with it."""
    title = kinds()[kind].title
    return title[:1].upper() + title[1:]


def limit_text(limit: HeightLimit, *, floor: bool) -> str:
    """A limit as people write it."""
    if limit.reference is Reference.NONE:
        return "ground" if floor else "no end"
    if limit.reference is Reference.PRESSURE:
        return f"FL{limit.feet // 100:03}"
    if limit.reference is Reference.SEA:
        return f"{limit.feet:,} ft above sea level"
    return f"{limit.feet:,} ft above ground" if limit.feet else "ground"


def problem_text(problem: FeatureProblem) -> str:
    """A problem in one line."""
    detail = f" ({problem.detail})" if problem.detail else ""
    return f"{problem.feature} {words()['fault'][problem.fault.value]}{detail}"


def problem_json(problem: FeatureProblem) -> Json:
    """A problem of a feature."""
    return {
        "code": problem.fault.value,
        "feature": problem.feature,
        "detail": problem.detail,
        "says": problem_text(problem),
    }


def day_text(day: date) -> str:
    """A day for people: Nov 30, 2026."""
    return f"{day:%b} {day.day}, {day.year}"
