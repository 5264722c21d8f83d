"""What the place and the hour bring with them, as facts of the flight: light, airspace on file, a weather report.

Only what is sure becomes a fact. Airspace data shows that something is there, never that nothing is.

A forecast gives no yes and no final no, since the pilot's own look decides: what speaks against a flight leaves it open.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from math import ceil, floor
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.airspace.here import Asked, Here, look_up
from airwrit.airspace.hours import TimeSpan
from airwrit.airspace.limits import GroundSpan, HeightBand
from airwrit.answers.airspace.at import MapAnswer, class_here, in_restricted_area, map_answer, under_notice
from airwrit.answers.airspace.question import sun_days
from airwrit.answers.before_flight.plan import PLANNED, FlightPlan, footprint_of, middle_of
from airwrit.answers.site.area import farthest_m
from airwrit.answers.site.sight import GroundBetween, SightAnswer, SightAsked, sight_of
from airwrit.answers.site.terrain import feet
from airwrit.answers.sky.light import LightAt, LightEvent, Phase
from airwrit.answers.sky.light_json import FACTS
from airwrit.answers.sky.light_words import to_minute
from airwrit.answers.sky.weather import (
    FlightPlanned,
    Weather,
    WeatherAnswer,
    WeatherPoint,
    forecast_points,
    weather_of,
)
from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import held_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.flights.airspace import (
    AIRSPACE_CLASS,
    CELL_NUMBER,
    CELL_OF,
    NOTICE_COVERS,
    RESTRICTED_AREA,
    WASHINGTON_DISTANCE,
)
from airwrit.facts.keys.flights.authority import FLIGHT_STATES
from airwrit.facts.keys.flights.flight import KEPT_IN_SIGHT
from airwrit.facts.keys.flights.limits import (
    BELOW_CLOUDS,
    FLIGHT_VISIBILITY,
    IN_ALASKA,
    NO_CLOUDS,
    SUN_STAYS_UP,
)
from airwrit.facts.keys.flights.planning import BATTERY_RESERVE, EDGE_OUT, FARTHEST_OUT
from airwrit.facts.state import Held
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import id_of
from airwrit.geo.earth import M_PER_FT, geodesic_m
from airwrit.geo.footprint import depth_m
from airwrit.geo.outlines import states_around
from airwrit.geo.terrain import GROUND_ERROR_M, Ground, ground_of
from airwrit.house.rules import row_of
from airwrit.law.rule import Rule
from airwrit.sky.weather.forecast import Forecast

_BY_LOOKING = ("visibility", "clouds")
"""What the pilot's own look settles."""
_AGAINST = (Verdict.NOT_MET, Verdict.UNKNOWN)


class ForecastAgainst(NamedTuple):
    """What a forecast has against a flight, in words, and whether it is expected; else it is possible, or can't be read."""

    says: str
    is_expected: bool


def turns_of_forecasts(weather: Weather | None) -> set[datetime]:
    """The instants at which a part of a forecast begins or ends."""
    return {at for one in _forecasts(weather) for span in one.spans for at in span if at is not None}


def forecast_against(
    weather: Weather | None, flight: FlightPlanned, *, has_looked: bool
) -> ForecastAgainst | None:
    """What forecasts have against a flight at its instant; None outside them. To whom has looked only the wind counts."""
    found = [
        ForecastAgainst(point.says, is_expected and point.verdict is Verdict.NOT_MET)
        for one in _forecasts(weather)
        for is_expected, point in _points(one, flight)
        if point.verdict in _AGAINST
        and not (has_looked and point.about in _BY_LOOKING)
        and (point.about, point.code) != ("wind", "missing")
    ]
    return max(found, key=lambda one: one.is_expected, default=None)


def is_seen(told: Iterable[Known]) -> bool:
    """Whether visibility and clouds were confirmed, as seen from the control station."""
    names = {item.statement.key for item in told}
    return FLIGHT_VISIBILITY.name in names and not names.isdisjoint((NO_CLOUDS.name, BELOW_CLOUDS.name))


def _forecasts(weather: Weather | None) -> Iterator[WeatherAnswer]:
    return (one for one in (() if weather is None else weather.answers) if isinstance(one.read, Forecast))


def _points(one: WeatherAnswer, flight: FlightPlanned) -> Iterator[tuple[bool, WeatherPoint]]:
    """The points of each state of the weather at an instant that the forecast covers, the expected one marked."""
    starts = [span.start for span in one.spans if span.start is not None]
    ends = [span.end for span in one.spans if span.end is not None]
    if not (isinstance(one.read, Forecast) and starts and ends and min(starts) <= flight.at < max(ends)):
        return
    for number, points in enumerate(forecast_points(one.read, flight)):
        yield from ((number == 0, point) for point in points)


FactsHeld = dict[str, dict[Key[Any], Held]]
"""Facts by subject."""

_LIGHT = "the sun at the place"
_AIRSPACE = "airspace on file"
_PLACE = "the place"
_TERRAIN = "terrain on file"
_OUTLINES, _NO_STATE = "the outlines of the States", "none of the States"
_HOUSE = "your rules"
_WASHINGTON = Place(38 + 51 / 60 + 34 / 3600, -(77 + 2 / 60 + 11 / 3600))
"""The radio beacon that 14 CFR 93.335 measures the rings from; its place from memory, used only from far off."""
_FAR_FROM_WASHINGTON_MI = 100
_M_PER_MILE = 1609.344
_MOST_HALF_WIDE_M = 45_000.0
"""More than any plan reaches from its middle."""


class WindLimits(NamedTuple):
    """The strongest wind and gusts of the model, in knots, by its maker; None where nobody said."""

    wind_kt: Decimal | None = None
    gust_kt: Decimal | None = None


NO_LIMITS = WindLimits()


class Surroundings(NamedTuple):
    """What was looked up once for a flight: its airspace (None where no folder is there) and a weather report, if any.

    `ground` is what lies under it by the terrain on file, `sight` what geometry tells from the takeoff point; None without.
    """

    here: Here | None
    weather: Weather | None
    ground: Ground | None = None
    sight: SightAnswer | None = None
    limits: WindLimits = NO_LIMITS


def look_around(
    plan: FlightPlan, folder: Path | None, report: str | None, limits: WindLimits = NO_LIMITS
) -> Surroundings:
    """Look up airspace and terrain on file, and read the weather report given. Terrain lies beside the airspace folder."""
    here, ground, sight = None, None, None
    if folder is not None:
        tiles = folder.with_name("terrain")
        ground = _ground(tiles, plan.area) if tiles.exists() else None
        if tiles.exists() and plan.takeoff is not None:
            sight = _sight(tiles, plan.takeoff, plan.area, float(plan.height_ft) * M_PER_FT)
        if folder.exists():
            here = look_up(folder, _asked(plan, ground))
    return Surroundings(
        here,
        None if report is None else weather_of(report, weather_flight(plan, limits)),
        ground,
        sight,
        limits,
    )


@lru_cache(maxsize=64)
def _ground(tiles: Path, area: str) -> Ground | None:
    """The ground under an area; None where that is too wide, or a tile is missing."""
    try:
        found = ground_of(tiles, footprint_of(area))
    except UsageError:
        return None
    return None if found.lowest_m is None else found


@lru_cache(maxsize=64)
def _sight(tiles: Path, takeoff: Place, area: str, height_m: float) -> SightAnswer:
    return sight_of(tiles, SightAsked(takeoff, footprint_of(area), height_m))


def _asked(plan: FlightPlan, found: Ground | None) -> Asked:
    """The circle, the hours and the heights of a plan, as the airspace on file is asked; a ground typed goes first."""
    span = None if plan.ground_ft is None else GroundSpan(float(plan.ground_ft), float(plan.ground_ft))
    if span is None and found is not None and found.lowest_m is not None and found.highest_m is not None:
        low, high = (
            (found.lowest_m - GROUND_ERROR_M) / M_PER_FT,
            (found.highest_m + GROUND_ERROR_M) / M_PER_FT,
        )
        span = GroundSpan(low, high)
    return Asked(
        plan.footprint,
        TimeSpan(plan.starts, plan.ends),
        HeightBand(0.0, float(plan.height_ft)),
        plan.zone.infos,
        span,
        sun_days(plan.place, TimeSpan(plan.starts, plan.ends), plan.zone.info),
    )


def turns_of_airspace(here: Here | None) -> set[datetime]:
    """The instants at which a volume that was touched begins or ceases to be active."""
    if here is None:
        return set()
    return {at for one in here.touched for span in one.times.spans for at in span}


def weather_flight(plan: FlightPlan, limits: WindLimits) -> FlightPlanned:
    """The flight as the reading of weather asks for it."""
    return FlightPlanned(
        plan.starts, plan.place, None, plan.ground_ft, None, plan.height_ft, limits.wind_kt, limits.gust_kt
    )


def lasting_facts(plan: FlightPlan, around: Surroundings) -> FactsHeld:
    """The facts that hold for the whole flight. A weather report gives none: it informs, and the pilot's own look decides."""
    found: FactsHeld = {PLANNED: {**plan.facts(), **from_washington(plan), **farthest_out(plan)}}
    mine = found[PLANNED]
    if plan.zone.in_alaska is not None:
        mine |= _held(IN_ALASKA, plan.zone.in_alaska, _LIGHT)
    if around.here is not None:
        sure = class_here(around.here)
        if sure is not None:
            mine |= _held(AIRSPACE_CLASS, sure.value, _AIRSPACE)
        if in_restricted_area(around.here):
            mine |= _held(RESTRICTED_AREA, True, _AIRSPACE)
        if under_notice(around.here):
            mine |= _held(NOTICE_COVERS, True, _AIRSPACE)
        found |= _cells(around.here)
    if around.sight is not None and around.sight.ground is GroundBetween.BLOCKED:
        mine |= _held(KEPT_IN_SIGHT, False, _TERRAIN)
    return found


def light_facts(plan: FlightPlan, light: LightAt, shift: timedelta = timedelta()) -> dict[Key[Any], Held]:
    """The sun's moments nearest to an instant, all of them earlier or later by a shift where they are in doubt."""
    moments = {kind: moment.at for kind, moment in light.nearest.items()} | _merged(light)
    found: dict[Key[Any], Held] = {}
    for kind, key in FACTS:
        if kind in moments:
            local = to_minute(moments[kind] + shift).astimezone(plan.zone.info)
            found |= _held(key, local.isoformat(), _LIGHT)
    if light.phases == (Phase.DAY,) and not any(kind in moments for kind, _ in FACTS):
        found |= _held(SUN_STAYS_UP, True, _LIGHT)
    return found


def _merged(light: LightAt) -> dict[LightEvent, datetime]:
    """Two moments of the sun that fall together in the far north, where the light surely isn't what they part.

    Where civil twilight lasts all night, it ends and starts at solar midnight; where the sun stays down all day, it rises
    and sets at solar noon. Nothing where other moments are missing too.
    """
    sun, twilight = (LightEvent.SUNSET, LightEvent.SUNRISE), (LightEvent.DAWN, LightEvent.DUSK)
    for (first, last), missing, never in (
        (sun, twilight, {Phase.NIGHT, Phase.BOTH}),
        (twilight, sun, {Phase.DAY}),
    ):
        has_both = first in light.nearest and last in light.nearest
        if has_both and not any(kind in light.nearest for kind in missing) and never.isdisjoint(light.phases):
            start, end = light.nearest[first].at, light.nearest[last].at
            middle = start + (end - start) / 2
            half = timedelta(hours=12) if end < start else timedelta()
            at = min((middle - half, middle + half), key=lambda one: abs(one - light.at))
            return dict.fromkeys(missing, at)
    return {}


def from_washington(plan: FlightPlan) -> dict[Key[Any], Held]:
    """The distance to the center of the Washington rings, where it is so far off that a few miles change nothing."""
    miles = _miles_from_washington(plan.place)
    return _held(WASHINGTON_DISTANCE, str(int(miles)), _PLACE) if miles > _FAR_FROM_WASHINGTON_MI else {}


@lru_cache(maxsize=256)
def _miles_from_washington(place: Place) -> float:
    """Statute miles to the rings' center, from the edge of the widest flight."""
    return (geodesic_m(place, _WASHINGTON) - _MOST_HALF_WIDE_M) / _M_PER_MILE


def farthest_out(plan: FlightPlan) -> dict[Key[Any], Held]:
    """How far the flight gets from its takeoff point, at most and at least; across the area where nobody told that point."""
    found = _held(FARTHEST_OUT, str(_farthest_ft(plan.area, plan.takeoff)), _PLACE)
    if plan.takeoff is None:
        return found
    return found | _held(EDGE_OUT, str(_edge_ft(plan.area, plan.takeoff)), _PLACE)


@lru_cache(maxsize=256)
def _edge_ft(area: str, takeoff: Place) -> int:
    return max(0, floor(feet(depth_m(footprint_of(area), takeoff))))


@lru_cache(maxsize=256)
def _farthest_ft(area: str, takeoff: Place | None) -> int:
    if takeoff is not None:
        return ceil(feet(farthest_m(takeoff, footprint_of(area))))
    return ceil(2 * feet(farthest_m(middle_of(area), footprint_of(area))))


def reserve_of(house: Iterable[Rule]) -> dict[Key[Any], Held]:
    """The battery reserve that house rules ask for of every flight, the largest of several; none where none does."""
    rows = [row for rule in house if (row := row_of(rule)) is not None and not row.scope]
    asked = [row.limit for row in rows if row.key is BATTERY_RESERVE and row.kind == "at_least"]
    return _held(BATTERY_RESERVE, str(max(asked)), _HOUSE) if asked else {}


def state_of_flight(plan: FlightPlan) -> dict[Key[Any], Held]:
    """The State a flight is in, where its whole area is sure to lie in one alone, or outside them all."""
    found = _states_around(plan.area)
    return _held(FLIGHT_STATES, next(iter(found)) or _NO_STATE, _OUTLINES) if len(found) == 1 else {}


@lru_cache(maxsize=256)
def _states_around(area: str) -> frozenset[str]:
    middle = middle_of(area)
    return states_around(middle, farthest_m(middle, footprint_of(area)))


def _cells(here: Here) -> FactsHeld:
    """The cells of the facility map that the flight touches, each with its number; none where the map can't tell."""
    if map_answer(here)[0] in (MapAnswer.UNKNOWN, MapAnswer.NO_CELL):
        return {}
    return {
        f"cell/{place}": {
            **_held(CELL_OF, id_of(PLANNED), _AIRSPACE),
            **_held(CELL_NUMBER, str(number), _AIRSPACE),
        }
        for place, number in enumerate(sorted(set(here.numbers_ft)), 1)
    }


def _held(key: Key[Any], raw: Raw, origin: str) -> dict[Key[Any], Held]:
    held = held_of(key, raw, (origin,))
    return {} if held is None else {key: held}
