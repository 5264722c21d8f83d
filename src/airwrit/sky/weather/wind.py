"""Wind groups: 22015G25KT, VRB03KT, 00000KT, 34002MPS, /////KT, 350V040."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from airwrit.base.measured import METERS_AN_HOUR
from airwrit.sky.weather.draft import ReportDraft, said
from airwrit.sky.weather.values import Bound, Seen, Wind

_WIND = re.compile(
    r"(?P<from>\d{3}|VRB|///)(?P<more>P|ABV)?(?P<speed>\d{2,3}|//)(?:G(?P<gust_more>P)?(?P<gust>\d{2,3}|//))?"
    r"(?P<unit>KTS?|MPS|KMH|KPH)"
)
_SPREAD = re.compile(r"(\d{3})V(\d{3})")
_UNITS = {"KT": "kt", "KTS": "kt", "MPS": "m/s", "KMH": "km/h", "KPH": "km/h"}
_HALF = Decimal("0.5")
_CIRCLE = 360


def read_wind(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """A wind group; its speed is whole, so it may be off by half of one of its unit."""
    found = _WIND.fullmatch(signs[at])
    if found is None:
        return 0
    text, origin = signs[at], found["from"]
    if found["speed"] == "//":
        draft.refuse(text, "missing")
        return 1
    if origin.isdigit() and int(origin) > _CIRCLE:
        draft.refuse(text, "direction")
        return 1
    wind = _wind(found, origin)
    if draft.wind is None:
        draft.wind = wind
        draft.read(text, _means(wind, origin))
        return 1
    draft.refuse(text, "worse")
    if wind.strongest_kt.best > draft.wind.strongest_kt.best:
        draft.wind = wind
    return 1


def _wind(found: re.Match[str], origin: str) -> Wind:
    unit = _UNITS[found["unit"]]
    speed = _knots(found["speed"], unit, _bound(found["more"]))
    gust = None
    if found["gust"] and found["gust"] != "//":
        gust = _knots(found["gust"], unit, _bound(found["gust_more"]))
    calm = speed.best == 0 and gust is None
    direction = int(origin) if origin.isdigit() and not calm else None
    return Wind(direction, origin == "VRB", speed, gust)


def read_spread(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """The ends between which the direction varies."""
    found = _SPREAD.fullmatch(signs[at])
    if found is None:
        return 0
    first, second = int(found[1]), int(found[2])
    if draft.wind is None or max(first, second) > _CIRCLE:
        draft.refuse(signs[at], "direction" if max(first, second) > _CIRCLE else "unknown")
        return 1
    draft.wind = draft.wind._replace(spread=(first, second))
    draft.read(signs[at], said("spread", first=first, second=second))
    return 1


def _bound(sign: str | None) -> Bound:
    return Bound.MORE if sign else Bound.EXACT


def _knots(text: str, unit: str, bound: Bound) -> Seen:
    factor = METERS_AN_HOUR[unit] / METERS_AN_HOUR["kt"]
    value = Decimal(text)
    best = value * factor
    low = max(Decimal(0), (value - _HALF) * factor) if value else Decimal(0)
    return Seen(
        best, best if bound is Bound.MORE else low, None if bound is Bound.MORE else (value + _HALF) * factor
    )


def _means(wind: Wind, origin: str) -> str:
    if wind.is_calm:
        return said("calm")
    direction = said("from", degrees=origin) if origin.isdigit() else ""
    direction = direction or said("variable" if wind.is_variable else "no_direction")
    gust = "" if wind.gust_kt is None else said("gust", gust=whole(wind.gust_kt.best))
    return said("wind", direction=direction.lower(), speed=whole(wind.speed_kt.best), gust=gust)


def whole(value: Decimal) -> str:
    """A number as people say it: without needless places, at most two, thousands apart."""
    rounded = value.quantize(Decimal("0.01")).normalize()
    return f"{rounded:,f}"
