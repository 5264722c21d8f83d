"""The kinds of airspace data that can be on file."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date, timedelta
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import NamedTuple


class AreaKind(StrEnum):
    """What an edition holds."""

    GRID = "grid"
    CLASS = "class"
    SPECIAL = "special"
    SECURITY = "security"
    TFR = "tfr"
    NOTICE = "notice"
    STADIUM = "stadium"
    AIRPORT = "airport"
    OBSTACLE = "obstacle"
    FRIA = "fria"
    FIXED_SITE = "fixed_site"
    OWN = "own"
    PEOPLE = "people"


TYPED_KINDS = (AreaKind.NOTICE, AreaKind.OWN, AreaKind.PEOPLE, AreaKind.FRIA, AreaKind.FIXED_SITE)
"""Kinds that no answer needs a published file of, so that one area typed never passes for all of them."""


class KindFacts(NamedTuple):
    """Its title, the days an edition is good for (None: until replaced), the data set and where it is published.

    `needed` tells whether an answer needs it, `near_nm` how far off it is still told of.
    """

    title: str
    days: int | None
    published: str
    dataset: str
    needed: bool
    near_nm: float

    def ends(self, edition: date) -> date | None:
        """The first day an edition is out of date; None where it never is."""
        return None if self.days is None else edition + timedelta(days=self.days)


@cache
def kinds() -> Mapping[AreaKind, KindFacts]:
    """The kinds with what is known of each."""
    told = tomllib.loads(Path(__file__).with_name("kinds.toml").read_text(encoding="utf-8"))
    return {
        kind: KindFacts(
            told[kind]["title"],
            told[kind].get("days"),
            told[kind].get("published", ""),
            told[kind].get("dataset", ""),
            told[kind]["needed"],
            told[kind]["near_nm"],
        )
        for kind in AreaKind
    }
