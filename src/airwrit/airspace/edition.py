"""An edition: what the files of one day say, under the name of a layer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.airspace.areas import Areas
from airwrit.airspace.grid import Grid
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.problems import UNPLACED, FeatureProblem


class EditionSource(NamedTuple):
    """A file that an edition was read from, by its name and the digest of its bytes."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Edition:
    """What one or more files of a day say, or what was typed, under the name of a layer; the digest of what is kept of it."""

    kind: AreaKind
    layer: str
    on: date
    sources: tuple[EditionSource, ...]
    grid: Grid
    areas: Areas
    problems: tuple[FeatureProblem, ...]
    sha256: str = ""

    @property
    def has_gaps(self) -> bool:
        """Whether something of it has no place, so that nothing is sure anywhere."""
        return any(problem.fault in UNPLACED for problem in self.problems)
