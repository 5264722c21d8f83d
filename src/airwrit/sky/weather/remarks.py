"""Remarks of a report that bear on a flight or can be told by their form; the rest stays plain language."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from airwrit.sky.weather.air import tenths
from airwrit.sky.weather.clouds import weather_words
from airwrit.sky.weather.draft import Reader, ReportDraft, read_groups, said, words
from airwrit.sky.weather.storms import COMPASS, read_storm
from airwrit.sky.weather.values import Seen
from airwrit.sky.weather.visibility import around, fraction_of, miles_words
from airwrit.sky.weather.wind import whole

_PRESSURE = re.compile(r"SLP(\d{3})")
_TENTHS = re.compile(r"T([01]\d{3})([01]\d{3})?")
_PEAK = re.compile(r"(\d{3})(\d{2,3})/(?:\d{2})?\d{2}")
_NUMBER = re.compile(r"\d{1,2}/\d{1,2}|\d{1,2}")
_VARYING = re.compile(r"(?P<low>\d{1,2}/\d{1,2}|\d{1,2})V(?P<high>\d{1,2}/\d{1,2}|\d{1,2})")
_CEILING = re.compile(r"(\d{3})(?:V(\d{3}))?")
_RUNWAY = re.compile(r"RWY(\d{2}[LCR]?)")
_BEGAN = re.compile(r"(?:(?:[A-Z]{2})+(?:[BE]\d{2}(?:\d{2})?)+)+")
_AMOUNTS = (
    (re.compile(r"P(\d{4})"), "rain_hour"),
    (re.compile(r"6(\d{4})"), "rain_six"),
    (re.compile(r"7(\d{4})"), "rain_day"),
)
_OTHER_AMOUNTS = (
    (re.compile(r"I[136](\d{3})"), "icing", "inches", Decimal(100)),
    (re.compile(r"4/(\d{3})"), "snow_depth", "inches", Decimal(1)),
    (re.compile(r"931(\d{3})"), "snow_six", "inches", Decimal(10)),
    (re.compile(r"933(\d{3})"), "snow_water", "inches", Decimal(10)),
    (re.compile(r"98(\d{3})"), "sunshine", "minutes", Decimal(1)),
)
_SITES = {"TWR": "tower", "SFC": "surface"}
_SECOND = ("VISNO", "CHINO")
_EXTREMES = {"1": "highest", "2": "lowest"}
_COVER = re.compile(r"(FEW|SCT|BKN|OVC)(\d{3})?")


def read_remarks(signs: Sequence[str], draft: ReportDraft) -> None:
    """Read what can be told by its form; the rest is kept as plain language."""
    draft.plain += read_groups(signs, draft, _REMARKS)


def _word(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """A word of the lists: a sensor that is out, at a runway too (VISNO RWY06), or what kind of station it is."""
    sign, lists = signs[at], words()
    if sign in lists["sensor"]:
        draft.sensors.append(sign)
        means, runway = lists["sensor"][sign], _runway_at(signs, at + 1)
        if sign not in _SECOND or not runway:
            draft.read(sign, means)
            return 1
        draft.read(f"{sign} {signs[at + 1]}", said("second_out", means=means, runway=runway))
        return 2
    for text in (" ".join(signs[at : at + 2]), sign):
        if text in lists["remark"]:
            draft.read(text, lists["remark"][text])
            return len(text.split())
    return 0


def _runway_at(signs: Sequence[str], at: int) -> str:
    """The runway that a sign names; "" where it names none."""
    found = _RUNWAY.fullmatch(signs[at]) if at < len(signs) else None
    return "" if found is None else found[1]


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
    found = re.fullmatch(r"(\d{2})?(\d{2})", signs[at + 1]) if at + 1 < len(signs) else None
    if signs[at] != "WSHFT" or found is None or int(found[1] or 0) > 23 or int(found[2]) > 59:
        return 0
    hour, minute = found.groups()
    means = said("wind_shift", time=f"{hour}:{minute}") if hour else said("wind_shift_minute", minute=minute)
    draft.read(" ".join(signs[at : at + 2]), means)
    return 2


def _visibility(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """VIS 1/2V2, VIS NE 2 1/2, VIS N 2 S 1/2, VIS 2 1/2 RWY11, TWR VIS 1 1/2, SFC VIS M1/4."""
    if signs[at] in _SITES and list(signs[at + 1 : at + 2]) == ["VIS"]:
        return _site_visibility(signs, at, draft)
    if signs[at] != "VIS" or at + 1 >= len(signs):
        return 0
    if COMPASS.fullmatch(signs[at + 1]):
        return _sectors(signs, at, draft)
    used, number, less = _miles(signs, at + 1)
    runway = _runway_at(signs, at + 1 + used)
    if number is None:
        return _varying_visibility(signs, at, at + 1, draft)
    if not runway:
        return 0
    means = said("second_site", miles=_told_miles(number, less=less), runway=runway)
    draft.read(" ".join(signs[at : at + 2 + used]), means)
    return used + 2


def _site_visibility(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """What the tower or the surface sees, as the other of the two is in the report."""
    used, number, less = _miles(signs, at + 2)
    if number is None:
        return 0
    means = said("site_visibility", miles=_told_miles(number, less=less), site=_SITES[signs[at]])
    draft.read(" ".join(signs[at : at + 2 + used]), means)
    return used + 2


def _sectors(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """The visibility in one direction or several; how many signs that took."""
    end = at + 1
    while end < len(signs) and COMPASS.fullmatch(signs[end]):
        used, number, less = _miles(signs, end + 1)
        if number is None:
            break
        text = " ".join(signs[at if end == at + 1 else end : end + 1 + used])
        draft.toward.append((signs[end], number))
        draft.read(text, said("sector", miles=_told_miles(number, less=less), toward=signs[end]))
        end += 1 + used
    return 0 if end == at + 1 else end - at


def _told_miles(number: Seen, *, less: bool) -> str:
    miles = miles_words(number.best)
    return words()["form"]["less"].format(miles=miles) if less else miles


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


def _miles(signs: Sequence[str], start: int) -> tuple[int, Seen | None, bool]:
    """How many signs a number of miles takes, the number, and whether it is less: 3, 1/2, 2 1/2, or M1/4."""
    text = signs[start] if start < len(signs) else ""
    less = text.startswith("M")
    text = text.removeprefix("M")
    if not _NUMBER.fullmatch(text):
        return 0, None, False
    used = 1
    behind = signs[start + 1] if start + 1 < len(signs) else ""
    if "/" not in text and "/" in behind:
        if less or not _NUMBER.fullmatch(behind):
            return 0, None, False
        used, text = 2, f"{text} {behind}"
    number = fraction_of(text)
    if number is None:
        return used, None, False
    return used, Seen(number, Decimal(0), number) if less else around(number, by_station=False), less


def _ceiling(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """CIG 003V007: 300 to 700 ft. CIG 002 RWY11: 200 ft at a second sensor, which is none of the report's own layers."""
    found = _CEILING.fullmatch(signs[at + 1]) if signs[at] == "CIG" and at + 1 < len(signs) else None
    if found is None:
        return 0
    low, runway = int(found[1]) * 100, _runway_at(signs, at + 2)
    if found[2]:
        high = int(found[2]) * 100
        draft.varying_ceiling_ft = (low, high)
        draft.read(" ".join(signs[at : at + 2]), said("variable_ceiling", low=low, high=high))
        return 2
    if not runway:
        return 0
    draft.read(" ".join(signs[at : at + 3]), said("second_ceiling", base=low, runway=runway))
    return 3


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
    """RAB05E30SNB20E55, TSB0159E30."""
    sign = signs[at]
    if not _BEGAN.fullmatch(sign):
        return 0
    draft.read(sign, said("began_ended"))
    return 1


def _amounts(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """P0012, 60217, 70125, I1003, 10144, 20106, 401890083, 53017, 4/018, 931222, 933036, 98096, 8/563."""
    sign = signs[at]
    means = ""
    for form, name in _AMOUNTS:
        found = form.fullmatch(sign)
        if found is not None:
            means = said(name, inches=Decimal(found[1]) / 100)
    for form, name, unit, over in _OTHER_AMOUNTS:
        found = form.fullmatch(sign)
        if found is not None:
            means = said(name, **{unit: f"{Decimal(found[1]) / over:f}"})
    if re.fullmatch(r"8/[0-9/]{3}", sign):
        means = said("cloud_types")
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


def _hail_and_snow(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """GR 1 3/4 is the largest hailstone; SNINCR 2/10 is 2 inches in the hour, 10 on the ground."""
    if signs[at] == "GR":
        used, number, less = _miles(signs, at + 1)
        if number is None:
            return 0
        size = " ".join(signs[at + 1 : at + 1 + used])
        draft.read(f"GR {size}", said("hail", inches=f"less than {size[1:]}" if less else size))
        return used + 1
    found = re.fullmatch(r"(\d{1,2})/(\d{1,3})", signs[at + 1]) if at + 1 < len(signs) else None
    if signs[at] != "SNINCR" or found is None:
        return 0
    draft.read(" ".join(signs[at : at + 2]), said("snow_hour", hour=found[1], depth=found[2]))
    return 2


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
    _hail_and_snow,
    _amounts,
    read_storm,
)
