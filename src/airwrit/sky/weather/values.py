"""What a report or forecast says, as values: wind, visibility, clouds, weather, with what each may be off."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple


class Seen(NamedTuple):
    """A number as reported, and the least and greatest it may stand for; None is without end."""

    best: Decimal
    low: Decimal
    high: Decimal | None


class Bound(StrEnum):
    """What a reported number is: the value, or only an end of what it may be."""

    EXACT = ""
    LESS = "less"
    MORE = "more"


class Cover(StrEnum):
    """How much of the sky a layer covers; unknown where the report has slashes."""

    FEW = "FEW"
    SCATTERED = "SCT"
    BROKEN = "BKN"
    OVERCAST = "OVC"
    HIDDEN = "VV"
    UNKNOWN = "///"

    @property
    def makes_ceiling(self) -> bool:
        """Whether a layer of it is a ceiling: broken, overcast, or the sky hidden (AIM 7-1-15, seen at second hand)."""
        return self in (Cover.BROKEN, Cover.OVERCAST, Cover.HIDDEN)


class Wind(NamedTuple):
    """Wind in knots. No direction where it is variable, calm or missing; `spread` are the ends it varies between."""

    direction_deg: int | None
    is_variable: bool
    speed_kt: Seen
    gust_kt: Seen | None
    spread: tuple[int, int] | None = None

    @property
    def is_calm(self) -> bool:
        """Whether no wind was measured."""
        return self.speed_kt.best == 0 and self.gust_kt is None

    @property
    def strongest_kt(self) -> Seen:
        """The gust, or the wind without one; the greater of the two."""
        gust = self.gust_kt
        return self.speed_kt if gust is None or gust.best < self.speed_kt.best else gust


class Visibility(NamedTuple):
    """Visibility in statute miles, and whether the number is only an end of it."""

    miles: Seen
    bound: Bound


class Layer(NamedTuple):
    """A layer of cloud: cover, base in feet above the airport's ground (None where it is missing), CB or TCU."""

    cover: Cover
    base_ft: int | None
    kind: str


class Group(NamedTuple):
    """A group of a report as it was written, and what it means."""

    text: str
    means: str


class Unread(NamedTuple):
    """A group that was not understood or can't be right, and why."""

    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Conditions:
    """Wind, visibility, sky and weather of a report, or of a part of a forecast; None and empty where nothing was said.

    `sky` is the word of a sky without reported layers: SKC, CLR, NSC, NCD or CAVOK.
    """

    wind: Wind | None = None
    visibility: Visibility | None = None
    layers: tuple[Layer, ...] = ()
    sky: str = ""
    weather: tuple[str, ...] = ()

    @property
    def lowest_base_ft(self) -> int | None:
        """The base of the lowest layer of any cover; None without one, or where a base is missing."""
        bases = [layer.base_ft for layer in self.layers]
        known = [base for base in bases if base is not None]
        return min(known) if known and (len(known) == len(bases) or bases[0] is not None) else None

    @property
    def ceiling_ft(self) -> int | None:
        """The lowest broken or overcast layer, or the height seen into a hidden sky; None without one that has a height."""
        bases = [
            layer.base_ft for layer in self.layers if layer.cover.makes_ceiling and layer.base_ft is not None
        ]
        return min(bases, default=None)

    @property
    def is_sky_told(self) -> bool:
        """Whether clouds or their absence were told, without a gap."""
        gaps = any(layer.cover is Cover.UNKNOWN or layer.base_ft is None for layer in self.layers)
        return bool(self.sky) or (bool(self.layers) and not gaps)

    @property
    def is_ceiling_told(self) -> bool:
        """Whether the ceiling or its absence is known: a layer of unknown cover or height leaves it open."""
        if self.ceiling_ft is not None:
            return True
        return self.is_sky_told
