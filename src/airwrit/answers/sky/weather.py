"""A report or forecast beside the limits of Part 107: visibility, room under the clouds, wind, density altitude, age, distance.

A report informs: nothing of it says yes to the flight visibility, which is what the remote pilot sees at the control station.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import ROUND_FLOOR, Decimal
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import BadFact
from airwrit.base.measured import METERS
from airwrit.base.places import Place
from airwrit.base.verdict import Undecided, Verdict, worst_of
from airwrit.geo.earth import geodesic_m
from airwrit.intake.cell.measures import read_measure
from airwrit.law.flight.limits import CLOUD_BELOW, CLOUD_BESIDE, LEAST_VISIBILITY
from airwrit.law.parameters import Law, LawReading
from airwrit.law.shared_parameters import HEIGHT_LIMIT
from airwrit.sky.density import AirAltitudes, air_altitudes
from airwrit.sky.weather.forecast import Forecast, Span, expected_at, read_forecast, spans_of
from airwrit.sky.weather.oddities import Oddity, oddities
from airwrit.sky.weather.report import WeatherReport, read_report
from airwrit.sky.weather.texts import pieces
from airwrit.sky.weather.times import DayTime, instant_near
from airwrit.sky.weather.values import Bound, Conditions, Seen, Unread
from airwrit.sky.weather.visibility import miles_words
from airwrit.sky.weather.wind import whole

OLD_AFTER = timedelta(hours=1)
"""A routine report is made every hour; an older one says little of now. Common practice, no source."""
FUTURE_AFTER = timedelta(minutes=5)
"""A report ahead of the clock by no more may be a clock that is a little off. Our own figure, no source."""
_ORDER = (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE)


@dataclass(frozen=True, slots=True)
class FlightPlanned:
    """What is known of the flight the weather is for; None where nothing was said. Heights and elevations in feet."""

    at: datetime
    place: Place | None = None
    station: Place | None = None
    elevation_ft: Decimal | None = None
    station_elevation_ft: Decimal | None = None
    height_ft: Decimal | None = None
    wind_limit_kt: Decimal | None = None
    gust_limit_kt: Decimal | None = None
    saw_sm: Decimal | None = None


NUMBERS = {"elevation": "ft", "station_elevation": "ft", "height": "ft", "wind_limit": "kt", "saw": "sm"}
"""The numbers that may be told of a flight, by the names they go by on every face, and the unit of a bare one."""
_MAY_BE_BELOW_ZERO = ("elevation", "station_elevation")
_MOST = Decimal(100_000)


def number_told(name: str, text: str) -> Decimal:
    """A number of a flight with its unit or without, in the unit of `NUMBERS`. BadFact where it is none or can't be."""
    unit = NUMBERS[name]
    value = Decimal(read_measure(text, unit))
    least = -_MOST if name in _MAY_BE_BELOW_ZERO else Decimal(0)
    if not least <= value <= _MOST:
        raise BadFact(f"{text.strip()[:40]!r} can't be right", do=f"write it like 120 {unit}")
    return value


class WeatherPoint(NamedTuple):
    """One thing that was looked at: its subject and code, the verdict on it, the sentence, the section of law if any."""

    about: str
    code: str
    verdict: Verdict
    says: str
    cites: str = ""
    options: str = ""
    """the options of the command that tell more"""


class WeatherLimits(NamedTuple):
    """The limits of the day's law."""

    visibility_sm: int
    below_ft: int
    beside_ft: int
    height_ft: int
    readings: tuple[LawReading, ...]


@dataclass(frozen=True, slots=True)
class WeatherAnswer:
    """A report or forecast as it was read, what was looked at, and what doesn't fit together in it."""

    read: WeatherReport | Forecast
    issued_at: datetime | None
    age: timedelta | None
    distance_sm: Decimal | None
    points: tuple[WeatherPoint, ...]
    odd: tuple[Oddity, ...]
    air: AirAltitudes | None
    highest_ft: Decimal | None
    lowest_clouds_ft: Decimal | None
    limits: WeatherLimits | None
    spans: tuple[Span, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Of all that was looked at and is held against something."""
        return worst_of({point.verdict for point in self.points} - {Verdict.NOT_APPLICABLE})


class Weather(NamedTuple):
    """The answers to all reports and forecasts of a text, and what in it is neither."""

    answers: tuple[WeatherAnswer, ...]
    strange: tuple[str, ...]


@cache
def sentences() -> Mapping[str, Mapping[str, str]]:
    """The words of points, cautions and oddities."""
    return tomllib.loads(Path(__file__).with_name("weather.toml").read_text(encoding="utf-8"))


def weather_of(text: str, flight: FlightPlanned) -> Weather:
    """An answer for each report and forecast of a text, in order."""
    limits = limits_on(flight)
    answers, strange = [], []
    for piece in pieces(text):
        read = read_forecast(piece) if piece.is_forecast else read_report(piece)
        if not read.groups:
            strange.append(piece.text)
        elif isinstance(read, Forecast):
            answers.append(_forecast_answer(read, flight, limits))
        else:
            answers.append(_report_answer(read, flight, limits))
    return Weather(tuple(answers), tuple(strange))


def limits_on(flight: FlightPlanned) -> WeatherLimits | None:
    """The limits on the day of the flight; None where that day's law was not read."""
    used: list[LawReading] = []
    law = Law(flight.at.date(), used)
    try:
        values = law[LEAST_VISIBILITY], law[CLOUD_BELOW], law[CLOUD_BESIDE], law[HEIGHT_LIMIT]
    except Undecided:
        return None
    return WeatherLimits(*values, tuple(used))


def _report_answer(
    report: WeatherReport, flight: FlightPlanned, limits: WeatherLimits | None
) -> WeatherAnswer:
    issued = _issued(report.issued, flight.at)
    age = None if issued is None else flight.at - issued
    distance = _distance_sm(flight)
    points = [_age_point(age), _distance_point(distance)]
    if report.is_missing:
        points.append(_point("report", "nil", Verdict.UNKNOWN, "missing"))
        return WeatherAnswer(report, issued, age, distance, tuple(points), (), None, None, None, limits)
    case = _Case("", report.lowest_visibility, report.conditions, report.peak_wind_kt)
    highest = None
    if limits is not None:
        points += [
            _visibility_point([case], limits),
            _seen_point(flight, limits),
            _clouds_point([case], flight, limits),
        ]
        highest = highest_ft(report.conditions, flight, limits)
    else:
        points.append(_point("limits", "law_not_read", Verdict.UNKNOWN))
    points.append(_wind_point([case], flight))
    odd = oddities(report)
    points += _doubts(report.unread, odd)
    air = _air(report, flight)
    if flight.elevation_ft is not None:
        points.append(_air_point(air, flight.elevation_ft))
    return WeatherAnswer(
        report,
        issued,
        age,
        distance,
        tuple(points),
        oddities(report),
        air,
        highest,
        _lowest_ft(report, flight),
        limits,
    )


def _forecast_answer(
    forecast: Forecast, flight: FlightPlanned, limits: WeatherLimits | None
) -> WeatherAnswer:
    issued = _issued(forecast.issued, flight.at)
    distance = _distance_sm(flight)
    points = [_validity_point(forecast, flight.at), _distance_point(distance)]
    cases = _cases_at(forecast, flight.at)
    highest = None
    if cases:
        if limits is not None:
            points += [
                _visibility_point(cases, limits),
                _seen_point(flight, limits),
                _clouds_point(cases, flight, limits),
            ]
            heights = [highest_ft(case.conditions, flight, limits) for case in cases]
            highest = None if None in heights else min(height for height in heights if height is not None)
        else:
            points.append(_point("limits", "law_not_read", Verdict.UNKNOWN))
        points.append(_wind_point(cases, flight))
        points += _doubts(forecast.unread, ())
    age = None if issued is None else flight.at - issued
    spans = spans_of(forecast, flight.at)
    return WeatherAnswer(
        forecast, issued, age, distance, tuple(points), (), None, highest, None, limits, spans
    )


class _Case(NamedTuple):
    """A state of the weather that may hold: its word in a forecast, the least visibility, the rest, a peak wind."""

    word: str
    miles: Seen | None
    conditions: Conditions
    peak_kt: int | None = None

    @property
    def before(self) -> str:
        """The words that stand before what is said of it."""
        said = sentences()["case"]
        if self.word.startswith("PROB"):
            return said["PROB"].format(chance=self.word[4:6])
        return said[self.word]


def _cases_at(forecast: Forecast, at: datetime) -> list[_Case]:
    """What a forecast has for an instant: what is expected first, then what is possible; none outside it."""
    expected = expected_at(forecast, at)
    if expected is None:
        return []
    cases = (("", expected.main), *expected.possible)
    return [_Case(word, _miles(one), one) for word, one in cases]


def forecast_points(forecast: Forecast, flight: FlightPlanned) -> list[tuple[WeatherPoint, ...]]:
    """Visibility, clouds and wind in each state of the weather that a forecast has for that hour, the expected first."""
    limits = limits_on(flight)
    if limits is None:
        return []
    return [
        (_visibility_of(case, limits.visibility_sm), _clouds_of(case, flight, limits), _wind_of(case, flight))
        for case in _cases_at(forecast, flight.at)
    ]


def _miles(conditions: Conditions) -> Seen | None:
    return None if conditions.visibility is None else conditions.visibility.miles


def _point(
    about: str, code: str, verdict: Verdict, table: str = "", before: str = "", **parts: object
) -> WeatherPoint:
    said = sentences()
    text = said[table or about][code].format(**parts)
    options = said["options"].get(f"{about}_{code}", "")
    return WeatherPoint(about, code, verdict, before + text, said["cites"].get(about, ""), options)


def _worst(points: Sequence[WeatherPoint]) -> WeatherPoint:
    return min(points, key=lambda point: _ORDER.index(point.verdict))


def _issued(issued: DayTime | None, at: datetime) -> datetime | None:
    return None if issued is None else instant_near(issued, at)


def _age_point(age: timedelta | None) -> WeatherPoint:
    if age is None:
        return _point("age", "unknown", Verdict.UNKNOWN)
    if age < -FUTURE_AFTER:
        return _point("age", "future", Verdict.UNKNOWN, age=span_words(-age))
    if age > OLD_AFTER:
        return _point("age", "old", Verdict.UNKNOWN, age=span_words(age))
    return _point("age", "fresh", Verdict.MET, age=span_words(max(age, timedelta())))


def _doubts(unread: Sequence[Unread], odd: Sequence[Oddity]) -> list[WeatherPoint]:
    """What keeps a report from being taken whole: groups that could not be read, values that don't fit together."""
    found = []
    if unread:
        found.append(_point("whole", "unread", Verdict.UNKNOWN))
    if set(odd) - {Oddity.VISIBILITY_LESS_TOWARD}:
        found.append(_point("whole", "odd", Verdict.UNKNOWN))
    return found


def _validity_point(forecast: Forecast, at: datetime) -> WeatherPoint:
    if forecast.is_missing or forecast.is_canceled:
        return _point("report", "canceled" if forecast.is_canceled else "nil", Verdict.UNKNOWN, "missing")
    issued = _issued(forecast.issued, at) or at
    first, last = (_issued(end, issued) for end in (forecast.valid_from, forecast.valid_until))
    if first is None or last is None or last <= first:
        return _point("age", "forecast_unknown", Verdict.UNKNOWN)
    if at < first:
        return _point("age", "not_yet", Verdict.UNKNOWN, age=span_words(first - at))
    if at >= last:
        return _point("age", "over", Verdict.UNKNOWN, age=span_words(at - last))
    return _point("age", "holds", Verdict.MET)


def span_words(span: timedelta) -> str:
    """A length of time as people say it: 12 minutes, 3 hours, 2 days."""
    minutes = int(span.total_seconds() // 60)
    for size, name in ((2880, "day"), (120, "hour")):
        if minutes >= size:
            return f"{minutes // (1440 if name == 'day' else 60)} {name}s"
    return f"{minutes} minute{'' if minutes == 1 else 's'}"


def _distance_sm(flight: FlightPlanned) -> Decimal | None:
    if flight.place is None or flight.station is None:
        return None
    return Decimal(geodesic_m(flight.place, flight.station)) / METERS["sm"]


def _distance_point(distance_sm: Decimal | None) -> WeatherPoint:
    if distance_sm is None:
        return _point("distance", "unknown", Verdict.NOT_APPLICABLE)
    nautical = distance_sm * METERS["sm"] / METERS["nm"]
    return _point(
        "distance", "known", Verdict.NOT_APPLICABLE, miles=_tenth(distance_sm), nautical=_tenth(nautical)
    )


def _tenth(value: Decimal) -> str:
    return format(value.quantize(Decimal("0.1")), "f")


def _visibility_point(cases: Sequence[_Case], limits: WeatherLimits) -> WeatherPoint:
    return _worst([_visibility_of(case, limits.visibility_sm) for case in cases])


def _visibility_of(case: _Case, least: int) -> WeatherPoint:
    if case.miles is None:
        return _point("visibility", "missing", Verdict.UNKNOWN, before=case.before, least=least)
    seen, bound = case.miles, case.conditions.visibility.bound if case.conditions.visibility else Bound.EXACT
    told = {
        Bound.EXACT: miles_words(seen.best),
        Bound.LESS: f"less than {miles_words(seen.best)}",
        Bound.MORE: f"{miles_words(seen.best)} or more",
    }[bound]
    if seen.best < least:
        return _point("visibility", "too_low", Verdict.NOT_MET, before=case.before, told=told, least=least)
    if seen.low < least:
        low = miles_words(seen.low)
        return _point(
            "visibility", "too_close", Verdict.UNKNOWN, before=case.before, told=told, low=low, least=least
        )
    return _point("visibility", "far_enough", Verdict.MET, before=case.before, told=told, least=least)


def _seen_point(flight: FlightPlanned, limits: WeatherLimits) -> WeatherPoint:
    """The pilot's own look, which decides."""
    if flight.saw_sm is None:
        return _point("seen", "unknown", Verdict.UNKNOWN)
    code, verdict = (
        ("far_enough", Verdict.MET) if flight.saw_sm >= limits.visibility_sm else ("too_low", Verdict.NOT_MET)
    )
    return _point("seen", code, verdict, saw=miles_words(flight.saw_sm), least=limits.visibility_sm)


class _Base(NamedTuple):
    """The lowest clouds in feet above the ground named, and what that may be off."""

    feet: Decimal
    error_ft: Decimal
    ground: str


def _base_of(conditions: Conditions, flight: FlightPlanned) -> _Base | None:
    """The lowest clouds above the site where both elevations are known, else above the airport; None without any."""
    base = conditions.lowest_base_ft
    if base is None:
        return None
    step = 100 if base <= 5000 else 500 if base <= 10000 else 1000
    if flight.elevation_ft is None or flight.station_elevation_ft is None:
        return _Base(Decimal(base), Decimal(step) / 2, "airport")
    return _Base(base + flight.station_elevation_ft - flight.elevation_ft, Decimal(step) / 2, "place you fly")


def _lowest_ft(report: WeatherReport, flight: FlightPlanned) -> Decimal | None:
    """The least the base of the lowest clouds may be, above the site where both elevations are known."""
    base = _base_of(report.conditions, flight)
    return None if base is None else base.feet - base.error_ft


def highest_ft(conditions: Conditions, flight: FlightPlanned, limits: WeatherLimits) -> Decimal | None:
    """The greatest height above the ground that keeps below clouds and inside the limit; 0 is no room, None unknown."""
    base = _base_of(conditions, flight)
    if base is None:
        return Decimal(limits.height_ft) if conditions.is_sky_told and not conditions.layers else None
    room = (base.feet - limits.below_ft).to_integral_value(ROUND_FLOOR)
    return max(Decimal(0), min(Decimal(limits.height_ft), room))


def _clouds_point(cases: Sequence[_Case], flight: FlightPlanned, limits: WeatherLimits) -> WeatherPoint:
    return _worst([_clouds_of(case, flight, limits) for case in cases])


def _clouds_of(case: _Case, flight: FlightPlanned, limits: WeatherLimits) -> WeatherPoint:
    base, highest = _base_of(case.conditions, flight), highest_ft(case.conditions, flight, limits)
    if highest is None:
        return _point("clouds", "missing", Verdict.UNKNOWN, before=case.before, below=limits.below_ft)
    if base is None:
        return _point("clouds", "none", Verdict.MET, before=case.before, limit=limits.height_ft)
    code, verdict = _cloud_code(base, highest, flight.height_ft, limits)
    return _point(
        "clouds",
        code,
        verdict,
        before=case.before,
        base=whole(base.feet),
        error=whole(base.error_ft),
        ground=base.ground,
        below=limits.below_ft,
        limit=limits.height_ft,
        highest=whole(highest),
        height=None if flight.height_ft is None else whole(flight.height_ft),
    )


def _cloud_code(
    base: _Base, highest: Decimal, height: Decimal | None, limits: WeatherLimits
) -> tuple[str, Verdict]:
    if highest <= 0:
        return "no_room", Verdict.NOT_MET
    sure = base.feet - base.error_ft - limits.below_ft
    if height is not None:
        if height > base.feet + base.error_ft - limits.below_ft:
            return "too_high", Verdict.NOT_MET
        return ("fits", Verdict.MET) if height <= sure else ("too_close", Verdict.UNKNOWN)
    return ("limit", Verdict.MET) if sure >= limits.height_ft else ("highest", Verdict.UNKNOWN)


def _wind_point(cases: Sequence[_Case], flight: FlightPlanned) -> WeatherPoint:
    return _worst([_wind_of(case, flight) for case in cases])


def _wind_of(case: _Case, flight: FlightPlanned) -> WeatherPoint:
    """The strongest wind against the aircraft's limit: that for gusts, where it has one and the steady wind is in bounds."""
    wind, limit = case.conditions.wind, flight.wind_limit_kt
    if wind is None:
        return _point("wind", "missing", Verdict.UNKNOWN, before=case.before)
    if flight.gust_limit_kt is not None and (limit is None or wind.speed_kt.best <= limit):
        limit = flight.gust_limit_kt
    strongest = wind.strongest_kt
    if case.peak_kt is not None and case.peak_kt > strongest.best:
        strongest = Seen(Decimal(case.peak_kt), Decimal(case.peak_kt), Decimal(case.peak_kt))
    told = whole(strongest.best)
    if limit is None:
        return _point("wind", "no_limit", Verdict.NOT_APPLICABLE, before=case.before, wind=told)
    if strongest.best > limit:
        code, verdict = "above", Verdict.NOT_MET
    elif strongest.high is None or strongest.high > limit:
        code, verdict = "too_close", Verdict.UNKNOWN
    else:
        code, verdict = "within", Verdict.MET
    return _point("wind", code, verdict, before=case.before, wind=told, limit=whole(limit))


def _air(report: WeatherReport, flight: FlightPlanned) -> AirAltitudes | None:
    """Pressure and density altitude of the site; by the temperature to the tenth where it rounds to the one reported."""
    temperature, inhg = report.temperature_degc, report.altimeter_inhg
    if flight.elevation_ft is None or temperature is None or inhg is None:
        return None
    exact = report.exact_temperature_degc
    if exact is not None and Oddity.TENTHS_DIFFER not in oddities(report):
        temperature = exact
    return air_altitudes(flight.elevation_ft, inhg.best, temperature.best)


def _air_point(air: AirAltitudes | None, elevation_ft: Decimal) -> WeatherPoint:
    if air is None:
        return _point("air", "missing", Verdict.NOT_APPLICABLE)
    pressure, density = (f"{value.quantize(Decimal(1)):,}" for value in air)
    return _point(
        "air",
        "known",
        Verdict.NOT_APPLICABLE,
        density=density,
        pressure=pressure,
        elevation=f"{elevation_ft:,}",
    )
