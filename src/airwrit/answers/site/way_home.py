"""The way home against the wind, and whether the battery holds for it with the reserve: closed form, nothing assumed kindly.

Where nobody said from where the wind blows, it is taken to blow straight against the way home.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple

from airwrit.answers.before_flight.view import words
from airwrit.answers.document import CAUTION, SCOPE_OF_HOME, Json
from airwrit.base.errors import BadFact, UsageError
from airwrit.base.verdict import Verdict
from airwrit.intake.cell.measures import read_measure
from airwrit.law.flight.return_home import USUAL_RESERVE_PERCENT, ground_speed_kt, minutes_over


class WayHome(NamedTuple):
    """What is told of the aircraft and the wind: speeds in knots, the distance in feet, minutes, the reserve as a share.

    `wind_from_deg` is where the wind blows from, and `home_deg` the course home, both true; None where nobody said.
    """

    airspeed_kt: float
    wind_kt: float
    farthest_ft: float
    battery_min: float
    reserve: float
    wind_from_deg: float | None = None
    home_deg: float | None = None


class HomeCode(StrEnum):
    """What the way home comes to: a code that the words of the faces hang on."""

    ENOUGH = "enough"
    INTO_RESERVE = "into_reserve"
    NO_RETURN = "no_return"


class HomeFound(NamedTuple):
    """Speeds over the ground in knots, minutes out and back, minutes before the reserve. Back is None in too much wind."""

    code: HomeCode
    out_kt: float | None
    back_kt: float | None
    out_min: float | None
    back_min: float | None
    usable_min: float

    @property
    def verdict(self) -> Verdict:
        """Met where out and back fit into the battery before its reserve."""
        return Verdict.MET if self.code is HomeCode.ENOUGH else Verdict.NOT_MET


def way_home(told: WayHome) -> HomeFound:
    """Out to the farthest point and back. UsageError for values that can't be."""
    _check(told)
    usable = told.battery_min * (1 - told.reserve)
    angle = _angle(told)
    out, back = (
        ground_speed_kt(told.airspeed_kt, told.wind_kt, angle + 180),
        ground_speed_kt(told.airspeed_kt, told.wind_kt, angle),
    )
    if out is None or back is None:
        return HomeFound(HomeCode.NO_RETURN, out, back, None, None, usable)
    out_min, back_min = (minutes_over(told.farthest_ft, speed) for speed in (out, back))
    code = HomeCode.ENOUGH if out_min + back_min <= usable else HomeCode.INTO_RESERVE
    return HomeFound(code, out, back, out_min, back_min, usable)


def _angle(told: WayHome) -> float:
    if told.wind_from_deg is None or told.home_deg is None:
        return 0.0
    return told.wind_from_deg - told.home_deg


def _check(told: WayHome) -> None:
    for name, value, low, high in (
        ("airspeed", told.airspeed_kt, 0.1, 200.0),
        ("wind", told.wind_kt, 0.0, 200.0),
        ("farthest", told.farthest_ft, 1.0, 500_000.0),
        ("battery", told.battery_min, 0.1, 10_000.0),
    ):
        if not low <= value <= high:
            raise UsageError(f"{value:g} can't be right", where=name, do=f"enter {low:g} to {high:g}")
    if not 0 <= told.reserve < 1:
        raise UsageError(
            "we can't use that reserve", where="reserve", do="enter 0 to 99 percent of the battery"
        )


_UNITS = {"airspeed": "kt", "wind": "kt", "farthest": "ft", "battery": ""}
_DEGREES = ("wind_from", "course_home")


def way_typed(said: Mapping[str, str]) -> WayHome:
    """What is told in fields of these names; knots, feet and minutes where they name no unit. UsageError names the field."""
    numbers = {name: _number(said.get(name, ""), unit, name) for name, unit in _UNITS.items()}
    from_deg, home_deg = (_number(said[name], "", name) if said.get(name) else None for name in _DEGREES)
    return WayHome(
        numbers["airspeed"],
        numbers["wind"],
        numbers["farthest"],
        numbers["battery"],
        _share(said.get("reserve") or f"{USUAL_RESERVE_PERCENT}%"),
        from_deg,
        home_deg,
    )


def _number(text: str, unit: str, where: str) -> float:
    said = text.strip() if unit else text.strip().removesuffix("min").strip()
    try:
        return float(read_measure(said, unit))
    except BadFact as fault:
        raise UsageError(fault.what, where=where, do=fault.do) from None


def _share(text: str) -> float:
    """A share typed as percent: 25 or 25%."""
    try:
        return float(Decimal(text.strip().removesuffix("%").strip())) / 100
    except ArithmeticError:
        raise UsageError(f"{text!r} isn't a percentage", where="reserve", do="write it like 25%") from None


def home_lines(told: WayHome, found: HomeFound) -> list[str]:
    """What the way home comes to, then the figures."""
    said = words()["home"]
    lines = [said[found.code.value].format(usable=f"{found.usable_min:.1f}", reserve=f"{told.reserve:.0%}")]
    if found.back_kt is not None and found.out_kt is not None and found.out_min is not None:
        total = found.out_min + (found.back_min or 0)
        lines.append(
            said["figures"].format(
                out_kt=f"{found.out_kt:.1f}",
                back_kt=f"{found.back_kt:.1f}",
                out=f"{found.out_min:.1f}",
                back=f"{found.back_min or 0:.1f}",
                total=f"{total:.1f}",
            )
        )
    if told.wind_from_deg is None or told.home_deg is None:
        lines.append(said["worst"])
    return lines


def home_json(told: WayHome, found: HomeFound) -> Json:
    """The document: what was told, the verdict, speeds and minutes."""
    return {
        "question": "way_home",
        "scope": SCOPE_OF_HOME,
        "told": told._asdict(),
        "verdict": found.verdict.value,
        **found._asdict(),
        "code": found.code.value,
        "says": home_lines(told, found),
        "problems": [],
        "caution": CAUTION,
    }
