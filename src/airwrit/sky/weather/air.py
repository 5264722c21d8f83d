"""Temperature, dew point and altimeter groups: 18/16, M05/M07, 02/, M00/M01, A2992, Q1013."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from airwrit.sky.weather.draft import ReportDraft, said
from airwrit.sky.weather.values import Seen
from airwrit.sky.weather.wind import whole

HECTOPASCALS_PER_INCH = Decimal("33.8639")
"""Hectopascals in an inch of mercury at 0 degrees Celsius. Source: NIST Special Publication 811, from memory."""
_NUMBER = r"[M-]?\d{2}"
_GAP = r"//|XX|\.\."
_TEMPERATURES = re.compile(rf"(?P<temperature>{_NUMBER}|{_GAP})/(?P<dew>[M-]?\d{{1,2}}|{_GAP})?")
_INCHES = re.compile(r"(?:A|QNH)(\d{4})(?:INS)?")
_HECTOPASCALS = re.compile(r"Q(?:NH)?(\d{3,4})(?:HPA)?")
_HALF, _TENTH = Decimal("0.5"), Decimal("0.05")
_LOWEST, _HIGHEST = Decimal(25), Decimal(33)


def read_temperatures(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """Temperature and dew point in whole degrees Celsius; either may be missing. Of two signs, so that 1/2 is none."""
    found = _TEMPERATURES.fullmatch(signs[at])
    if found is None:
        return 0
    temperature, dew = _degrees(found["temperature"]), _degrees(found["dew"] or "")
    if draft.temperature_degc is not None:
        draft.refuse(signs[at], "repeated")
    elif temperature is None and dew is None:
        draft.refuse(signs[at], "missing")
    else:
        draft.temperature_degc, draft.dew_point_degc = temperature, dew
        draft.read(
            signs[at],
            said("temperature", temperature=_shown(temperature), dew=_shown(dew)),
        )
    return 1


def _shown(value: Seen | None) -> str:
    return "missing" if value is None else f"{whole(value.best)} °C"


def _degrees(text: str) -> Seen | None:
    """Whole degrees, off by half; M00 is between half a degree below zero and zero."""
    if not text.lstrip("M-").isdigit():
        return None
    size, is_below = Decimal(text.lstrip("M-")), text[0] in "M-"
    if is_below and size == 0:
        return Seen(Decimal(0), -_HALF, Decimal(0))
    best = -size if is_below else size
    return Seen(best, best - _HALF if best or is_below else Decimal(0), best + _HALF)


def tenths(text: str) -> Seen:
    """A temperature of a T group, such as 0156 or 1022: its first sign tells below zero."""
    size = Decimal(text[1:]) / 10
    best = -size if text[0] == "1" else size
    return Seen(best, best - _TENTH, best + _TENTH)


def read_altimeter(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """The altimeter setting in inches of mercury; hectopascals are cut to whole ones, so the true one is up to 1 more."""
    sign = signs[at]
    if sign in ("A////", "Q////"):
        draft.refuse(sign, "missing")
        return 1
    inches, hectopascals = _INCHES.fullmatch(sign), _HECTOPASCALS.fullmatch(sign)
    if inches is not None:
        best = Decimal(inches[1]) / 100
        seen = Seen(best, best, best + Decimal("0.01"))
    elif hectopascals is not None:
        low = Decimal(hectopascals[1]) / HECTOPASCALS_PER_INCH
        seen = Seen(low, low, (Decimal(hectopascals[1]) + 1) / HECTOPASCALS_PER_INCH)
    else:
        return 0
    if draft.altimeter_inhg is not None:
        draft.refuse(sign, "repeated")
    elif not _LOWEST <= seen.best <= _HIGHEST:
        draft.refuse(sign, "range")
    else:
        draft.altimeter_inhg = seen
        pressure = (seen.best * HECTOPASCALS_PER_INCH).quantize(Decimal("0.1"))
        draft.read(sign, said("altimeter", inhg=seen.best.quantize(Decimal("0.01")), hpa=pressure))
    return 1
