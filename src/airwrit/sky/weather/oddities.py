"""What a report says that can't all be so, or that a reader of it has to know."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from airwrit.sky.weather.report import WeatherReport
from airwrit.sky.weather.values import Conditions, Layer, Seen, Wind


class Oddity(StrEnum):
    """What doesn't fit together in a report, by a code."""

    DEW_POINT_ABOVE = "dew_point_above_temperature"
    GUST_BELOW = "gust_below_wind"
    PEAK_BELOW = "peak_wind_below_gust"
    TENTHS_DIFFER = "tenths_differ_from_temperature"
    LAYERS_OUT_OF_ORDER = "layers_out_of_order"
    WIND_FROM_NOWHERE = "calm_with_direction"
    CAVOK_WITH_CLOUDS = "cavok_with_clouds"
    VISIBILITY_LESS_TOWARD = "visibility_less_in_a_direction"


def oddities(report: WeatherReport) -> tuple[Oddity, ...]:
    """Every oddity of a report, in the order of the list."""
    found = {
        Oddity.DEW_POINT_ABOVE: _is_above(report.dew_point_degc, report.temperature_degc)
        or _is_above(report.exact_dew_point_degc, report.exact_temperature_degc),
        Oddity.GUST_BELOW: has_gust_below(report.conditions.wind),
        Oddity.PEAK_BELOW: _is_peak_below(report),
        Oddity.TENTHS_DIFFER: _differ(report.temperature_degc, report.exact_temperature_degc)
        or _differ(report.dew_point_degc, report.exact_dew_point_degc),
        Oddity.LAYERS_OUT_OF_ORDER: _out_of_order(report.conditions.layers),
        Oddity.WIND_FROM_NOWHERE: _is_calm_with_spread(report.conditions.wind),
        Oddity.CAVOK_WITH_CLOUDS: _is_cavok_with_clouds(report.conditions),
        Oddity.VISIBILITY_LESS_TOWARD: _is_less_toward(report),
    }
    return tuple(code for code, is_so in found.items() if is_so)


def has_gust_below(wind: Wind | None) -> bool:
    """Whether the gust is no stronger than the wind."""
    return wind is not None and wind.gust_kt is not None and wind.gust_kt.best <= wind.speed_kt.best


def _is_above(lower: Seen | None, upper: Seen | None) -> bool:
    return lower is not None and upper is not None and lower.best > upper.best


def _is_peak_below(report: WeatherReport) -> bool:
    wind, peak = report.conditions.wind, report.peak_wind_kt
    return wind is not None and peak is not None and Decimal(peak) < wind.strongest_kt.low


def _differ(whole: Seen | None, exact: Seen | None) -> bool:
    if whole is None or exact is None:
        return False
    return exact.best < whole.low or (whole.high is not None and exact.best > whole.high)


def _out_of_order(layers: tuple[Layer, ...]) -> bool:
    bases = [layer.base_ft for layer in layers if layer.base_ft is not None]
    return any(later < earlier for earlier, later in pairwise(bases))


def _is_calm_with_spread(wind: Wind | None) -> bool:
    return wind is not None and wind.is_calm and (wind.spread is not None or wind.is_variable)


def _is_cavok_with_clouds(conditions: Conditions) -> bool:
    return conditions.sky == "CAVOK" and bool(conditions.layers or conditions.weather)


def _is_less_toward(report: WeatherReport) -> bool:
    seen, least = report.conditions.visibility, report.lowest_visibility
    return seen is not None and least is not None and least.best < seen.miles.best
