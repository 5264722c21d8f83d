"""Places, areas and lengths out of the fields of a form, with what can't be read noted at its field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from airwrit.answers.airspace.question import places_typed
from airwrit.answers.site.area import read_area
from airwrit.base.errors import AirwritError, BadFact
from airwrit.base.measured import METERS
from airwrit.base.places import Place, read_place
from airwrit.geo.footprint import Footprint
from airwrit.intake.cell.measures import read_measure

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class PlaceFields:
    """What was typed by name, and what is wrong with it. Each field gives None where nothing usable is in it."""

    said: Mapping[str, str]
    wrong: dict[str, str] = field(default_factory=dict)

    def place(self, name: str) -> Place | None:
        """A place."""
        return self._read(name, read_place)

    def places(self, name: str) -> tuple[Place, ...] | None:
        """One place or several, with semicolons or line ends between them."""
        return self._read(name, places_typed)

    def area(self, name: str) -> Footprint | None:
        """An area: a place and a radius with its unit, or corners."""
        return self._read(name, read_area)

    def meters(self, name: str, *, below_zero: bool = False) -> float | None:
        """A length in meters, feet where it has no unit; below zero only where that can be meant."""
        return self._read(name, lambda text: _meters(text, below_zero=below_zero))

    def need(self, *names: str) -> None:
        """Note at each of some fields that nothing is in it."""
        for name in names:
            if not self.said.get(name):
                self.wrong.setdefault(name, "We need this.")

    def _read(self, name: str, read: Callable[[str], T]) -> T | None:
        if not self.said.get(name):
            return None
        try:
            return read(self.said[name])
        except AirwritError as fault:
            self.wrong[name] = fault.says
            return None


def _meters(text: str, *, below_zero: bool) -> float:
    meters = float(read_measure(text, "ft")) * float(METERS["ft"])
    if meters < 0 and not below_zero:
        raise BadFact(f"{text!r} is below zero", do="write it like 120 ft")
    return meters
