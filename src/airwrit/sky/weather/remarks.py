"""Remarks of a report that bear on a flight or can be told by their form; the rest stays plain language."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from airwrit.sky.weather.air import tenths
from airwrit.sky.weather.clouds import weather_words
from airwrit.sky.weather.draft import Reader, ReportDraft, read_groups, said, words
from airwrit.sky.weather.values import Seen
from airwrit.sky.weather.visibility import around, fraction_of, miles_words
from airwrit.sky.weather.wind import whole

_PRESSURE = re.compile(r"SLP(\d{3})")
_TENTHS = re.compile(r"T([01]\d{3})([01]\d{3})?")
_PEAK = re.compile(r"(\d{3})(\d{2,3})/(?:\d{2})?\d{2}")
_NUMBER = re.compile(r"\d{1,2}/\d{1,2}|\d{1,2}")
_VARYING = re.compile(r"(?P<low>\d{1,2}/\d{1,2}|\d{1,2})V(?P<high>\d{1,2}/\d{1,2}|\d{1,2})")
_COMPASS = re.compile(r"(?:[NS]?[EW]|[NS])(?:-(?:[NS]?[EW]|[NS]))*")
_CEILING = re.compile(r"(\d{3})V(\d{3})")
_BEGAN = re.compile(r"(?:(?:[A-Z]{2})+(?:[BE]\d{2}(?:\d{2})?)+)+")
_AMOUNTS = (
    (re.compile(r"P(\d{4})"), "rain_hour"),
    (re.compile(r"6(\d{4})"), "rain_six"),
    (re.compile(r"7(\d{4})"), "rain_day"),
)
_ICE = re.compile(r"I[136](\d{3})")
_EXTREMES = {"1": "highest", "2": "lowest"}
_COVER = re.compile(r"(FEW|SCT|BKN|OVC)(\d{3})?")


def read_remarks(signs: Sequence[str], draft: ReportDraft) -> None:
    """Read what can be told by its form; the rest is kept as plain language."""
    draft.plain += read_groups(signs, draft, _REMARKS)


def _word(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """A word of the lists: a sensor that is out, what kind of station it is."""
    sign, lists = signs[at], words()
    if sign in lists["sensor"]:
        draft.sensors.append(sign)
        draft.read(sign, lists["sensor"][sign])
        return 1
    if sign in lists["remark"]:
        draft.read(sign, lists["remark"][sign])
        return 1
    return 0


def _pressure(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """SLP982 is 998.2 hPa, SLP045 is 1004.5."""
    found = _PRESSURE.fullmatch(signs[at])
    if found is None:
        return 0
    tenth = int(found[1])
    draft.read(signs[at], said("pressure", hpa=Decimal(tenth + (9000 if tenth >= 500 else 10000)) / 10))
    return 1


def _exact_temperature(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """T01820159: 18.2 and 15.9 degrees."""
    found = _TENTHS.fullmatch(signs[at])
    if found is None or draft.exact_temperature_degc is not None:
        return 0
    draft.exact_temperature_degc = tenths(found[1])
    draft.exact_dew_point_degc = tenths(found[2]) if found[2] else None
    dew = whole(draft.exact_dew_point_degc.best) + " °C" if draft.exact_dew_point_degc else "missing"
    draft.read(
        signs[at], said("exact_temperature", temperature=whole(draft.exact_temperature_degc.best), dew=dew)
    )
    return 1


def _peak_wind(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """PK WND 28045/15: 45 knots."""
    if list(signs[at : at + 2]) != ["PK", "WND"] or at + 2 >= len(signs):
        return 0
    found = _PEAK.fullmatch(signs[at + 2])
    if found is None:
        return 0
    draft.peak_wind_kt = int(found[2])
    draft.read(" ".join(signs[at : at + 3]), said("peak", degrees=found[1], speed=int(found[2])))
    return 3


def _wind_shift(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """WSHFT 1812, and FROPA behind it by itself."""
    if signs[at] != "WSHFT" or at + 1 >= len(signs) or not re.fullmatch(r"\d{2,4}", signs[at + 1]):
        return 0
    draft.read(" ".join(signs[at : at + 2]), said("wind_shift"))
    return 2


def _visibility(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """VIS 1/2V2, VIS NE 2 1/2, VIS 2 1/2 RWY11, TWR VIS 1 1/2, SFC VIS 3."""
    place = at + 1 if signs[at] in ("TWR", "SFC") else at
    if place >= len(signs) or signs[place] != "VIS":
        return 0
    toward, start = "", place + 1
    if place == at and start < len(signs) and _COMPASS.fullmatch(signs[start]):
        toward, start = signs[start], start + 1
    used, number = _miles(signs, start)
    text = " ".join(signs[at : start + used])
    if place > at:
        if number is None:
            return 0
        site = "tower" if signs[at] == "TWR" else "surface"
        draft.read(text, said("site_visibility", miles=miles_words(number.best), site=site))
        return start + used - at
    if number is None:
        return _varying_visibility(signs, at, start, draft)
    behind = signs[start + used] if start + used < len(signs) else ""
    if toward:
        draft.toward.append((toward, number))
        draft.read(text, said("sector", miles=miles_words(number.best), toward=toward))
    elif behind.startswith("RWY"):
        draft.read(
            f"{text} {behind}",
            said("second_site", miles=miles_words(number.best), runway=behind[3:] or "unknown"),
        )
        return start + used + 1 - at
    else:
        return 0
    return start + used - at


def _varying_visibility(signs: Sequence[str], at: int, start: int, draft: ReportDraft) -> int:
    """1/2V2 and 1 1/2V3 behind VIS."""
    ahead = Decimal(0)
    if start + 1 < len(signs) and re.fullmatch(r"\d{1,2}", signs[start]):
        ahead, start = Decimal(signs[start]), start + 1
    found = _VARYING.fullmatch(signs[start]) if start < len(signs) else None
    if found is None:
        return 0
    ends, end = [fraction_of(found["low"]), fraction_of(found["high"])], start + 1
    if end < len(signs) and "/" in signs[end] and "/" not in found["high"] and _NUMBER.fullmatch(signs[end]):
        ends[1], end = fraction_of(f"{found['high']} {signs[end]}"), end + 1
    low, high = ends
    if low is None or high is None or ahead + low > high:
        return 0
    draft.varying_visibility = (
        around(ahead + low, by_station=draft.by_station),
        around(high, by_station=draft.by_station),
    )
    text = " ".join(signs[at:end])
    draft.read(text, said("variable_visibility", low=miles_words(ahead + low), high=miles_words(high)))
    return end - at


def _miles(signs: Sequence[str], start: int) -> tuple[int, Seen | None]:
    """How many signs a number of miles takes, and the number: 3, 1/2, or 2 1/2."""
    if start >= len(signs) or not _NUMBER.fullmatch(signs[start]):
        return 0, None
    used, text = 1, signs[start]
    behind = signs[start + 1] if start + 1 < len(signs) else ""
    if "/" not in text and "/" in behind:
        if not _NUMBER.fullmatch(behind):
            return 0, None
        used, text = 2, f"{text} {behind}"
    number = fraction_of(text)
    return (used, None) if number is None else (used, around(number, by_station=False))


def _ceiling(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """CIG 003V007: 300 to 700 ft."""
    if signs[at] != "CIG" or at + 1 >= len(signs):
        return 0
    found = _CEILING.fullmatch(signs[at + 1])
    if found is None:
        return 0
    low, high = int(found[1]) * 100, int(found[2]) * 100
    draft.varying_ceiling_ft = (low, high)
    draft.read(" ".join(signs[at : at + 2]), said("variable_ceiling", low=low, high=high))
    return 2


def _cover(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """BKN014 V OVC, and what hides the sky: FG SCT000, FU BKN020."""
    found = _COVER.fullmatch(signs[at])
    covers = words()["cover"]
    if found is not None and at + 2 < len(signs) and signs[at + 1] == "V" and signs[at + 2] in covers:
        means = said("variable_cover", first=covers[found[1]], second=covers[signs[at + 2]])
        draft.read(" ".join(signs[at : at + 3]), means)
        return 3
    what = weather_words(signs[at])
    behind = _COVER.fullmatch(signs[at + 1]) if what and at + 1 < len(signs) else None
    if behind is None or not behind[2]:
        return 0
    means = said(
        "obscured", what=what.rstrip(".").lower(), cover=f"{covers[behind[1]]} at {int(behind[2]) * 100:,} ft"
    )
    draft.read(" ".join(signs[at : at + 2]), means)
    return 2


def _times(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """RAB05E30SNB20E55, TSB0159E30, LTGICCC."""
    sign = signs[at]
    if sign.startswith("LTG"):
        draft.read(sign, said("lightning"))
        return 1
    if not _BEGAN.fullmatch(sign):
        return 0
    draft.read(sign, said("began_ended"))
    return 1


def _amounts(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """P0012, 60217, 70125, I1003, 10144, 20106, 401890083, 53017."""
    sign = signs[at]
    means = ""
    for form, name in _AMOUNTS:
        found = form.fullmatch(sign)
        if found is not None:
            means = said(name, inches=Decimal(found[1]) / 100)
    ice = _ICE.fullmatch(sign)
    if ice is not None:
        means = said("icing", inches=Decimal(ice[1]) / 100)
    if re.fullmatch(r"[12][01]\d{3}", sign):
        means = said(_EXTREMES[sign[0]], degrees=whole(tenths(sign[1:]).best))
    if re.fullmatch(r"4[01]\d{3}[01]\d{3}", sign):
        means = said("extremes")
    if re.fullmatch(r"5[0-8]\d{3}", sign):
        means = said("tendency")
    if not means:
        return 0
    draft.read(sign, means)
    return 1


_REMARKS: tuple[Reader, ...] = (
    _word,
    _pressure,
    _exact_temperature,
    _peak_wind,
    _wind_shift,
    _visibility,
    _ceiling,
    _cover,
    _times,
    _amounts,
)
