"""A report or forecast and what was looked at, as a JSON document and as facts of a flight."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import ROUND_FLOOR, Decimal

from airwrit.answers.document import CAUTION, SCOPE_OF_WEATHER, Json
from airwrit.answers.law_reading import law_json, reading_json
from airwrit.answers.sky.weather import FlightPlanned, Weather, WeatherAnswer, limits_on, sentences
from airwrit.answers.sky.weather_words import headline
from airwrit.base.verdict import Verdict, worst_of
from airwrit.facts.keys.flights.limits import BELOW_CLOUDS, FLIGHT_VISIBILITY, METAR_VISIBILITY
from airwrit.sky.weather.air import HECTOPASCALS_PER_INCH
from airwrit.sky.weather.forecast import Forecast, ForecastPart, Span
from airwrit.sky.weather.report import WeatherReport
from airwrit.sky.weather.times import DayTime
from airwrit.sky.weather.values import Conditions, Seen, Wind

_PLACES = Decimal("0.0001")
_KEPT = Decimal("0.01")


def weather_json(weather: Weather, flight: FlightPlanned) -> Json:
    """The document: the flight as it was told, each report with its values, groups and points, and the facts of the first."""
    answers = weather.answers
    limits = limits_on(flight)
    return {
        "question": "weather",
        "scope": SCOPE_OF_WEATHER,
        "at": flight.at.isoformat(),
        **reading_json(flight.at),
        "verdict": verdict_of(answers).value,
        "says": headline(answers),
        "decides": sentences()["note"]["decides"],
        "reports": [_answer(answer) for answer in answers],
        "facts": weather_facts(answers, flight),
        "law": [] if limits is None else law_json(limits.readings),
        "problems": [
            {"text": text, "says": sentences()["strange"]["text"].format(text=text)}
            for text in weather.strange
        ],
        "caution": CAUTION,
    }


def verdict_of(answers: Sequence[WeatherAnswer]) -> Verdict:
    """The verdict on all reports together."""
    return worst_of({answer.verdict for answer in answers})


def weather_facts(answers: Sequence[WeatherAnswer], flight: FlightPlanned) -> Json:
    """Facts of a flight's weather: what the first report says of visibility, and what the pilot saw."""
    found: Json = {}
    report = _first_report(answers)
    least = None if report is None else report.lowest_visibility
    if least is not None:
        found[METAR_VISIBILITY.name] = format(least.best.quantize(_KEPT, ROUND_FLOOR).normalize(), "f")
    if flight.saw_sm is not None:
        found[FLIGHT_VISIBILITY.name] = format(flight.saw_sm.normalize(), "f")
    return found


def facts_to_confirm(answers: Sequence[WeatherAnswer], flight: FlightPlanned) -> Json:
    """Facts that a report only suggests, with why: the distance below clouds, at the place and the moment itself."""
    answer = next((one for one in answers if isinstance(one.read, WeatherReport)), None)
    if answer is None or answer.lowest_clouds_ft is None or flight.height_ft is None:
        return {}
    below = max(Decimal(0), answer.lowest_clouds_ft - flight.height_ft)
    return {BELOW_CLOUDS.name: (format(below.normalize(), "f"), sentences()["note"]["confirm_clouds"])}


def _first_report(answers: Sequence[WeatherAnswer]) -> WeatherReport | None:
    return next((answer.read for answer in answers if isinstance(answer.read, WeatherReport)), None)


def _answer(answer: WeatherAnswer) -> Json:
    read = answer.read
    said = sentences()
    return {
        "text": read.text,
        "kind": "TAF" if isinstance(read, Forecast) else read.kind or "METAR",
        "station": read.station or None,
        "issued": _day_time(read.issued),
        "issued_at": _instant(answer.issued_at),
        "age_minutes": None if answer.age is None else int(answer.age.total_seconds() // 60),
        "distance_sm": _number(answer.distance_sm),
        "corrected": read.is_corrected,
        "nil": read.is_missing,
        **(_forecast(read, answer.spans) if isinstance(read, Forecast) else _report(read)),
        "verdict": answer.verdict.value,
        "findings": [point._asdict() | {"verdict": point.verdict.value} for point in answer.points],
        "odd": [{"code": code.value, "says": said["oddity"][code.value]} for code in answer.odd],
        "highest_height_ft_agl": _number(answer.highest_ft),
        "pressure_altitude_ft": None if answer.air is None else _number(answer.air.pressure_ft),
        "density_altitude_ft": None if answer.air is None else _number(answer.air.density_ft),
        "groups": [group._asdict() for group in read.groups],
        "unread": [group._asdict() for group in read.unread],
        "plain_remarks": read.plain_remarks,
    }


def _report(report: WeatherReport) -> Json:
    inhg = report.altimeter_inhg
    return {
        "auto": report.is_auto,
        **_conditions(report.conditions),
        "temperature_degc": _best(report.temperature_degc),
        "dew_point_degc": _best(report.dew_point_degc),
        "temperature_to_tenth_degc": _best(report.exact_temperature_degc),
        "dew_point_to_tenth_degc": _best(report.exact_dew_point_degc),
        "altimeter_inhg": None if inhg is None else float(inhg.best.quantize(_KEPT)),
        "altimeter_hpa": None
        if inhg is None
        else float((inhg.best * HECTOPASCALS_PER_INCH).quantize(Decimal("0.1"))),
        "peak_wind_kt": report.peak_wind_kt,
        "visibility_toward": [{"toward": toward, "sm": _best(seen)} for toward, seen in report.toward],
        "lowest_visibility_sm": _best(report.lowest_visibility),
        "ceiling_varies_ft_agl": None
        if report.varying_ceiling_ft is None
        else list(report.varying_ceiling_ft),
        "sensors_out": list(report.sensors_out),
        "trends": [
            {"word": one.word, "text": one.text, **_conditions(one.conditions)} for one in report.trends
        ],
    }


def _forecast(forecast: Forecast, spans: Sequence[Span]) -> Json:
    return {
        "amended": forecast.is_amended,
        "canceled": forecast.is_canceled,
        "valid_from": _day_time(forecast.valid_from),
        "valid_until": _day_time(forecast.valid_until),
        "parts": [_part(part, span) for part, span in zip(forecast.parts, spans, strict=True)],
    }


def _part(part: ForecastPart, span: Span) -> Json:
    return {
        "word": part.word,
        "text": part.text,
        "from": _day_time(part.start),
        "until": _day_time(part.end),
        "starts_at": _instant(span.start),
        "ends_at": _instant(span.end),
        **_conditions(part.conditions),
    }


def _conditions(conditions: Conditions) -> Json:
    seen = conditions.visibility
    return {
        **_wind(conditions.wind),
        "visibility_sm": None if seen is None else _number(seen.miles.best),
        "visibility_low_sm": None if seen is None else _number(seen.miles.low),
        "visibility_high_sm": None if seen is None or seen.miles.high is None else _number(seen.miles.high),
        "visibility_bound": None if seen is None else seen.bound.value,
        "ceiling_ft_agl": conditions.ceiling_ft,
        "ceiling_is_known": conditions.is_ceiling_told,
        "lowest_clouds_ft_agl": conditions.lowest_base_ft,
        "sky": conditions.sky or None,
        "layers": [
            {"cover": layer.cover.value, "base_ft_agl": layer.base_ft, "kind": layer.kind or None}
            for layer in conditions.layers
        ],
        "weather": list(conditions.weather),
    }


def _wind(wind: Wind | None) -> Json:
    return {
        "wind_direction_deg": None if wind is None else wind.direction_deg,
        "wind_variable": None if wind is None else wind.is_variable,
        "wind_calm": None if wind is None else wind.is_calm,
        "wind_kt": None if wind is None else _number(wind.speed_kt.best),
        "gust_kt": None if wind is None or wind.gust_kt is None else _number(wind.gust_kt.best),
        "wind_varies_deg": None if wind is None or wind.spread is None else list(wind.spread),
    }


def _best(seen: Seen | None) -> float | None:
    return None if seen is None else _number(seen.best)


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value.quantize(_PLACES))


def _day_time(time: DayTime | None) -> str | None:
    """Day, hour and minute as the report names them: 09 20:53Z."""
    return None if time is None else f"{time.day:02} {time.hour:02}:{time.minute:02}Z"


def _instant(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()
