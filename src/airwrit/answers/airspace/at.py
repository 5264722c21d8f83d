"""What applies to a flight by the airspace on file: the number of the facility map, the class, what is open, what to ask."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

from airwrit.airspace.here import AreasTouched, Here, VolumeTouched
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import Reach
from airwrit.airspace.shelf import ShelfState
from airwrit.base.verdict import Undecided, Verdict
from airwrit.facts.flight_choices import AirspaceClass
from airwrit.law.flight.airspace import CONTROLLED
from airwrit.law.parameters import Law, Param
from airwrit.law.rings import ASSET_HEIGHT, ASSET_RING, STADIUM_LEAST, STADIUM_MINUTES

CLASSES = {
    "CLASS_B": AirspaceClass.B,
    "CLASS_C": AirspaceClass.C,
    "CLASS_D": AirspaceClass.D,
    "CLASS_E2": AirspaceClass.E_SURFACE,
    "CLASS_E3": AirspaceClass.E_EXTENSION,
    "CLASS_E4": AirspaceClass.E_EXTENSION,
}
"""Types of class airspace that make a flight ask for authorization, the most restrictive first."""

RESTRICTED = ("P", "R")
NOTICES = (AreaKind.TFR, AreaKind.SECURITY, AreaKind.NOTICE)
INFORMS = (AreaKind.AIRPORT, AreaKind.OBSTACLE, AreaKind.PEOPLE, AreaKind.FRIA, AreaKind.FIXED_SITE)
"""Kinds that are told of and restrict nothing by themselves."""


class MapAnswer(StrEnum):
    """What the facility map says. Zero and no cell are different answers."""

    HIGHEST = "highest"
    ZERO = "zero"
    NO_CELL = "no_cell"
    UNKNOWN = "unknown"


class OpenPoint(StrEnum):
    """What files of airspace can't answer, and somebody has to."""

    STADIUM_EVENT = "stadium_event"
    MOVING_ASSET = "moving_asset"


class OpenQuestion(NamedTuple):
    """A question to the person who flies: which, about what, and the numbers of the law of the day, by name."""

    point: OpenPoint
    about: str
    numbers: dict[str, int]


def is_sure(layer: AreasTouched) -> bool:
    """Whether a layer can answer for the day: an edition in force, and nothing in it without a place."""
    return layer.edition is not None and not layer.edition.has_gaps


def answers_all(layers: Sequence[AreasTouched]) -> bool:
    """Whether every layer that restricts flights can answer for its day; one that informs does so where it can be read."""
    return all(
        layer.day.state is not ShelfState.DAMAGED if layer.day.kind in INFORMS else is_sure(layer)
        for layer in layers
    )


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
    sure = {CLASSES.get(one.area.type) for one in volumes if one.is_met}
    out = (Reach.BELOW_FLOOR, Reach.ABOVE_CEILING)
    open_ones = {CLASSES.get(one.area.type) for one in volumes if not one.is_met and one.reach not in out}
    for found in dict.fromkeys(CLASSES.values()):
        if found in sure:
            return found
        if found in open_ones:
            return None
    return None


def in_restricted_area(here: Here) -> bool:
    """Whether a prohibited or restricted area surely reaches the flight. False is no proof that none does."""
    return bool(restricting(here)["restricted"])


def under_notice(here: Here) -> bool:
    """Whether a temporary or security restriction surely covers the flight. False is no proof that none does."""
    return bool(restricting(here)["notice"])


def restricting(here: Here) -> dict[str, list[str]]:
    """The names of what surely restricts the flight: notices, areas, controlled airspace and its extensions, stadiums."""
    met = [one for one in here.touched if one.is_met]
    classes = [(one.area.name, CLASSES.get(one.area.type)) for one in met if one.kind is AreaKind.CLASS]
    return {
        "notice": [one.area.name for one in met if one.kind in NOTICES],
        "restricted": [one.area.name for one in met if _is_restricted(one)],
        "controlled": [name for name, found in classes if found in CONTROLLED],
        "extension": [name for name, found in classes if found is AirspaceClass.E_EXTENSION],
        "stadium": [one.area.name for one in met if one.kind is AreaKind.STADIUM],
    }


def _is_restricted(one: VolumeTouched) -> bool:
    return one.kind is AreaKind.SPECIAL and one.area.type in RESTRICTED


def is_open(one: VolumeTouched) -> bool:
    """Whether a volume that was touched leaves something open: its heights can't be compared, or its record is damaged."""
    if one.kind in INFORMS:
        return False
    return one.may_be_met and (one.reach is Reach.CANT_TELL or bool(one.area.problems))


def verdict_of(here: Here) -> Verdict:
    """Met where every question could be answered from editions in force, whatever the answer; else unknown."""
    open_layers = not answers_all(here.layers)
    doubts = any(is_open(one) for one in here.touched) or any(cell.problems for cell in here.cells)
    event = any(one.kind is AreaKind.STADIUM and one.may_be_met for one in here.touched)
    nothing = map_answer(here)[0] is MapAnswer.NO_CELL and class_here(here) is None
    return Verdict.UNKNOWN if open_layers or doubts or event or nothing else Verdict.MET


def open_questions(here: Here) -> list[OpenQuestion]:
    """What to ask before the flight: events at the stadiums touched, and convoys and vessels on the move."""
    law = Law(here.asked.days[0])
    found = [
        OpenQuestion(
            OpenPoint.STADIUM_EVENT,
            one.area.name,
            _numbers(law, seats=STADIUM_LEAST, minutes=STADIUM_MINUTES),
        )
        for one in here.touched
        if one.kind is AreaKind.STADIUM and one.may_be_met
    ]
    return [
        *found,
        OpenQuestion(OpenPoint.MOVING_ASSET, "", _numbers(law, ring_ft=ASSET_RING, height_ft=ASSET_HEIGHT)),
    ]


def _numbers(law: Law, **params: Param[int]) -> dict[str, int]:
    """The numbers of the law of the day; empty where one was not read for it."""
    try:
        return {name: law[param] for name, param in params.items()}
    except Undecided:
        return {}
