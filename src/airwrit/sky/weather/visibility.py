"""Visibility groups: 3/4SM, 1 1/2SM, M1/4SM, P6SM, 9999, 0600, 2000SW, CAVOK, 20KM; and what can be seen along runways.

A report in statute miles gives the nearest value that may be reported, the lower one when halfway; one in meters is rounded
down. Source: FMH-1 chapter 6 and the WMO Manual on Codes, from memory; the lists of values likewise.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from airwrit.base.measured import METERS
from airwrit.sky.weather.draft import ReportDraft, said, words
from airwrit.sky.weather.values import Bound, Seen, Visibility
from airwrit.sky.weather.wind import whole

_FRACTION = r"\d{1,2}/\d{1,2}"
_MILES = re.compile(rf"(?P<bound>[MP])?(?P<number>{_FRACTION}|\d{{1,3}})SM")
_METERS = re.compile(r"(?P<meters>\d{4})(?:NDV|(?P<toward>[NS]?[EW]|[NS]))?")
_KILOMETERS = re.compile(r"(?P<bound>P)?(?P<number>\d{1,3})KM")
_RUNWAY = re.compile(
    r"R(?P<runway>\d{2}[LCR]{0,2})/(?:(?P<low>[MP]?\d{4})(?:V(?P<high>[MP]?\d{4}))?(?P<feet>FT)?/?(?P<trend>[UDN])?|//+(?:FT)?)"
)
_RUNWAY_STATE = re.compile(r"R(?:\d{2}[LCR]?)?/(?:[\d/]{6}|CLRD(?:\d\d|//)|SNOCLO)|\d{8}")
_MILE_M = METERS["sm"]
_FINEST = [
    Decimal(number) / 16
    for number in (0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32)
]
_PERSON = [
    *_FINEST,
    *(Decimal(text) for text in ("2.25", "2.5", "2.75", *map(str, range(3, 16)), "20", "25", "30", "35")),
]
_STATION = [
    Decimal(text)
    for text in ("0", "0.25", "0.5", "0.75", "1", "1.25", "1.5", "1.75", "2", "2.5", *map(str, range(3, 11)))
]
_FAR_M, _NEAR_M = 9999, 50
"""Ten kilometers or more, and the finest step: other four figures are no visibility."""
_AUTO_MOST = Decimal(10)


def read_visibility(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """A visibility group in statute miles, of one sign or two, in meters or kilometers, or CAVOK."""
    sign = signs[at]
    after = signs[at + 1] if at + 1 < len(signs) else ""
    if sign in ("////", "////SM", "//SM"):
        draft.refuse(sign, "missing")
        return 1
    if sign == "CAVOK":
        draft.sky = sign
        _keep(draft, sign, Visibility(_meters(_FAR_M), Bound.MORE), words()["sky"][sign])
        return 1
    if re.fullmatch(r"\d{1,2}", sign) and re.fullmatch(rf"{_FRACTION}SM", after):
        _read_miles(f"{sign} {after}", Decimal(sign), after.removesuffix("SM"), Bound.EXACT, draft)
        return 2
    found = _MILES.fullmatch(sign)
    if found is not None:
        bound = {"M": Bound.LESS, "P": Bound.MORE}.get(found["bound"] or "", Bound.EXACT)
        _read_miles(sign, Decimal(0), found["number"], bound, draft)
        return 1
    return _read_metric(sign, draft)


def _read_metric(sign: str, draft: ReportDraft) -> int:
    """A visibility in kilometers or in meters."""
    found = _KILOMETERS.fullmatch(sign)
    if found is not None:
        miles = Decimal(found["number"]) * 1000 / _MILE_M
        further = (Decimal(found["number"]) + 1) * 1000 / _MILE_M
        bound = Bound.MORE if found["bound"] else Bound.EXACT
        _keep(draft, sign, Visibility(Seen(miles, miles, None if found["bound"] else further), bound))
        return 1
    return _read_meters(sign, draft)


def _read_meters(sign: str, draft: ReportDraft) -> int:
    """A visibility in meters; one toward a direction behind the main one stands beside it."""
    found = _METERS.fullmatch(sign)
    if found is None:
        return 0
    meters = int(found["meters"])
    if meters != _FAR_M and meters % _NEAR_M:
        return 0
    miles = _meters(meters)
    if found["toward"] and draft.visibility is not None:
        draft.toward.append((found["toward"], miles))
        draft.read(sign, said("visibility_toward", miles=miles_words(miles.best), toward=found["toward"]))
        return 1
    bound = Bound.MORE if meters == _FAR_M else Bound.LESS if meters == 0 else Bound.EXACT
    _keep(draft, sign, Visibility(miles, bound))
    return 1


def _keep(draft: ReportDraft, text: str, visibility: Visibility, means: str = "") -> None:
    if draft.visibility is not None:
        draft.refuse(text, "worse")
        draft.toward.append(("", visibility.miles))
        return
    draft.visibility = visibility
    form = {Bound.EXACT: "visibility", Bound.LESS: "visibility_less", Bound.MORE: "visibility_more"}[
        visibility.bound
    ]
    draft.read(text, means or said(form, miles=miles_words(visibility.miles.best)))


def _read_miles(text: str, miles: Decimal, number: str, bound: Bound, draft: ReportDraft) -> None:
    part = fraction_of(number)
    if part is None or (miles and part >= 1):
        draft.refuse(text, "fraction")
        return
    best = miles + part
    if bound is Bound.LESS:
        seen = Seen(best, Decimal(0), best)
    elif bound is Bound.MORE or (draft.by_station and best == _AUTO_MOST):
        seen = Seen(best, best, None)
    else:
        seen = around(best, by_station=draft.by_station)
    _keep(draft, text, Visibility(seen, bound))


def fraction_of(text: str) -> Decimal | None:
    """The number of 3/4, 10 or 1 1/2; None where its fraction can't be: over 0, one or more, or no part of 16."""
    total = Decimal(0)
    for part in text.split():
        above, _, below = part.partition("/")
        if below and (int(below) not in (2, 4, 8, 16) or int(above) >= int(below)):
            return None
        total += Decimal(above) / Decimal(below or 1)
    return total


def miles_words(value: Decimal) -> str:
    """Statute miles as people say them: 3/4 statute mile, 1 1/2 statute miles, 6.21 statute miles."""
    sixteenths = value * 16
    name = "statute mile" if value <= 1 else "statute miles"
    if sixteenths != sixteenths.to_integral_value() or sixteenths % 16 == 0:
        return f"{whole(value)} {name}"
    part = Fraction(int(sixteenths) % 16, 16)
    return " ".join(filter(None, (str(int(value)) if value > 1 else "", str(part), name)))


def around(best: Decimal, *, by_station: bool) -> Seen:
    """A reported value in statute miles with half the way to those that may be reported beside it."""
    values = _STATION if by_station and best in _STATION else _PERSON
    place = bisect_left(values, best)
    below = values[place - 1] if place else Decimal(0)
    following = [value for value in values[place:] if value > best]
    return Seen(best, (below + best) / 2 if best else best, (following[0] + best) / 2 if following else None)


def _meters(meters: int) -> Seen:
    """Meters in miles: rounded down to 50 m below 800, to 100 m up to 5 km, to 1 km up to 9; 9999 is 10 km or more."""
    if meters == _FAR_M:
        miles = 10000 / _MILE_M
        return Seen(miles, miles, None)
    step = 50 if meters < 800 else 100 if meters < 5000 else 1000
    low = Decimal(meters) / _MILE_M
    return Seen(low if meters else _NEAR_M / _MILE_M, low, (meters + step) / _MILE_M)


def read_runway(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """A runway's visual range or the state of its surface; neither is a visibility of the flight."""
    sign = signs[at]
    found = _RUNWAY.fullmatch(sign)
    if found is not None and found["low"]:
        unit = "ft" if found["feet"] or "FT" in sign else "m"
        draft.read(
            sign, said("runway", runway=found["runway"], range=_range(found["low"], found["high"], unit))
        )
        return 1
    if found is not None:
        draft.refuse(sign, "missing")
        return 1
    if sign == "SNOCLO":
        draft.read(sign, said("closed"))
        return 1
    if _RUNWAY_STATE.fullmatch(sign):
        draft.read(sign, said("runway_state"))
        return 1
    return 0


def _range(low: str, high: str | None, unit: str) -> str:
    """How far along a runway, in words."""
    ends = [_end(text) for text in (low, high) if text]
    return f"{' to '.join(ends)} {unit}"


def _end(text: str) -> str:
    before = {"M": "less than ", "P": "more than "}.get(text[0], "")
    return f"{before}{int(text.lstrip('MP'))}"
