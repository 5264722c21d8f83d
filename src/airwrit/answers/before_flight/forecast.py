"""A forecast over the days asked about: when it turns, and what it has against a flight at an instant.

It gives no yes and no final no, since the pilot's own look decides: what speaks against a flight leaves it open.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import NamedTuple

from airwrit.answers.sky.weather import FlightPlanned, Weather, WeatherAnswer, WeatherPoint, forecast_points
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.flights.limits import BELOW_CLOUDS, FLIGHT_VISIBILITY, NO_CLOUDS
from airwrit.facts.statement import Known
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
