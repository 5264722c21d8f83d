"""A report while it is read: the values found so far, each group with its meaning, and what could not be read."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from airwrit.sky.weather.values import Conditions, Group, Layer, Seen, Unread, Visibility, Wind


@cache
def words() -> Mapping[str, Mapping[str, str]]:
    """The words of reports, by list and sign."""
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


def said(form: str, **parts: object) -> str:
    """A sentence of the list of forms with its parts filled in, its first letter large."""
    text = words()["form"][form].format(**parts)
    return text[:1].upper() + text[1:]


@dataclass(slots=True)
class ReportDraft:
    """What was read of a report or of a part of a forecast so far.

    `is_auto` is the word AUTO; `by_station` that an automated station rounded the values, which A01 and A02 in the remarks
    tell too, of a report that somebody looked over.
    """

    wind: Wind | None = None
    visibility: Visibility | None = None
    toward: list[tuple[str, Seen]] = field(default_factory=list)
    layers: list[Layer] = field(default_factory=list)
    sky: str = ""
    weather: list[str] = field(default_factory=list)
    temperature_degc: Seen | None = None
    dew_point_degc: Seen | None = None
    altimeter_inhg: Seen | None = None
    exact_temperature_degc: Seen | None = None
    exact_dew_point_degc: Seen | None = None
    peak_wind_kt: int | None = None
    varying_visibility: tuple[Seen, Seen] | None = None
    varying_ceiling_ft: tuple[int, int] | None = None
    sensors: list[str] = field(default_factory=list)
    is_auto: bool = False
    by_station: bool = False
    is_corrected: bool = False
    is_amended: bool = False
    is_missing: bool = False
    groups: list[Group] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    plain: list[str] = field(default_factory=list)

    def read(self, text: str, means: str) -> None:
        """Note a group with its meaning."""
        self.groups.append(Group(text, means))

    def refuse(self, text: str, why: str) -> None:
        """Note a group that can't be read, by a reason of the list."""
        self.unread.append(Unread(text, words()["why"][why]))

    def conditions(self) -> Conditions:
        """Wind, visibility, sky and weather as they stand."""
        return Conditions(self.wind, self.visibility, tuple(self.layers), self.sky, tuple(self.weather))


Reader = Callable[[Sequence[str], int, ReportDraft], int]
"""Reads the group at a place among the signs, if it is one of its own: how many signs it took, 0 if none."""


def read_groups(signs: Sequence[str], draft: ReportDraft, readers: Sequence[Reader]) -> list[str]:
    """Every group by the first reader that takes it; the ones that none takes."""
    left, at = [], 0
    while at < len(signs):
        used = next((took for reader in readers if (took := reader(signs, at, draft))), 0)
        if not used:
            left.append(signs[at])
        at += used or 1
    return left
