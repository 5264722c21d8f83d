"""The question about a log: the options given with it, and the folders with airspace and terrain data."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import NamedTuple

from airwrit.airspace.here import AreasTouched, layers_on
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.site.area import read_area
from airwrit.base.errors import BadFact, UsageError
from airwrit.base.places import Place
from airwrit.facts.choices import UsedFor
from airwrit.geo.footprint import Footprint
from airwrit.geo.terrain import GroundAlong
from airwrit.tracks.path import Doubts


class FlownQuestion(NamedTuple):
    """What was told with a log: the plan it was flown on, who flew what and what for, where the pilot stood, the zone.

    `day` is the day where the log tells none, `reserve` the share of the battery that was to be left at landing.
    """

    planned: SavedFlight | None = None
    aircraft: str = ""
    pilot: str = ""
    use: UsedFor | None = None
    pilot_at: Place | None = None
    zone_name: str = ""
    day: date | None = None
    reserve: float | None = None
    doubts: Doubts = Doubts()
    near: Footprint | None = None
    """an area that somebody asks about"""
    plans: tuple[SavedFlight, ...] = ()
    """the planned flights on record, of which one may be this one"""
    by_name: bool = False
    """the aircraft was taken from the name of the log or of its folder"""


def area_asked(text: str) -> Footprint:
    """An area that somebody asks about, as typed. UsageError for what is none."""
    try:
        return read_area(text)
    except BadFact as fault:
        raise UsageError(fault.what, where="--near", do=fault.do) from None


@dataclass(frozen=True, slots=True, eq=False)
class FlownFolders:
    """Where airspace and terrain are kept, None where there is none; what was opened is kept for the next flight."""

    airspace: Path | None = None
    terrain: Path | None = None
    _layers: dict[date, list[AreasTouched]] = field(default_factory=dict)
    _grounds: list[GroundAlong] = field(default_factory=list)

    def layers(self, day: date) -> list[AreasTouched]:
        """The layers of airspace on a day; none without a folder."""
        if self.airspace is None or not self.airspace.exists():
            return []
        if day not in self._layers:
            self._layers[day] = layers_on(self.airspace, day, whole=True)
        return self._layers[day]

    def grounds(self) -> GroundAlong | None:
        """The ground by the tiles; None without a folder."""
        if self.terrain is None or not self.terrain.is_dir():
            return None
        if not self._grounds:
            self._grounds.append(GroundAlong(self.terrain))
        return self._grounds[0]
