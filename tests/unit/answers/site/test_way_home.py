"""The way home: the wind triangle in closed form, the reserve from both sides, and the wind that lets nothing home."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.site.way_home import HomeCode, WayHome, way_home
from airwrit.base.errors import UsageError
from airwrit.law.flight.return_home import ground_speed_kt
from tests.unit.cli.command import run


@pytest.mark.parametrize(
    ("wind", "angle", "ground"),
    [(15, 0, 15), (15, 180, 45), (15, 90, math.sqrt(30**2 - 15**2)), (0, 45, 30)],
)
def test_the_wind_triangle(wind: float, angle: float, ground: float) -> None:
    # closed form: ground = sqrt(airspeed^2 - crosswind^2) - headwind
    assert ground_speed_kt(30, wind, angle) == pytest.approx(ground)


@given(st.floats(5, 60), st.floats(0, 59), st.floats(0, 360))
def test_nose_and_wind_add_up_to_the_course(airspeed: float, wind: float, angle: float) -> None:
    ground = ground_speed_kt(airspeed, wind, angle)
    if ground is None:
        across, along = (wind * f(math.radians(angle)) for f in (math.sin, math.cos))
        assert abs(across) >= airspeed or math.sqrt(airspeed**2 - across**2) <= along + 1e-9
        return
    # the vector through the air is the one over the ground less the wind's
    ahead = ground + wind * math.cos(math.radians(angle))
    aside = wind * math.sin(math.radians(angle))
    assert math.hypot(ahead, aside) == pytest.approx(airspeed)


def test_the_reserve_from_both_sides() -> None:
    # 6,076.115 ft is one nautical mile: 2 min out at 30 kt, 2 min back, no wind
    told = WayHome(30, 0, 1852 / 0.3048, 5, 0.2)
    assert way_home(told).code is HomeCode.ENOUGH
    assert way_home(told._replace(reserve=0.2001)).code is HomeCode.INTO_RESERVE
    assert way_home(told).out_min == pytest.approx(2)


@pytest.mark.parametrize(("wind", "code"), [(29.9, "into_reserve"), (30, "no_return"), (31, "no_return")])
def test_a_wind_as_strong_as_the_aircraft_lets_nothing_home(wind: float, code: str) -> None:
    assert way_home(WayHome(30, wind, 2000, 20, 0.25)).code.value == code


@pytest.mark.parametrize(
    "bad", [{"airspeed_kt": 0}, {"reserve": 1.0}, {"battery_min": -1}, {"farthest_ft": 0}]
)
def test_values_that_cannot_be_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(UsageError):
        way_home(WayHome(30, 5, 2000, 20, 0.25)._replace(**bad))


def test_the_command_and_its_document(tmp_path: Path) -> None:
    told = ("way-home", "--airspeed", "12 m/s", "--wind", "15", "--farthest", "800 m", "--battery", "22 min")
    done = run(tmp_path, *told, "--json")
    document = json.loads(done.stdout)
    assert (done.returncode, document["code"]) == (0, "enough")
    assert document["back_kt"] == pytest.approx(12 * 3600 / 1852 - 15)
    assert "straight headwind on the way home" in run(tmp_path, *told).stdout
    assert run(tmp_path, *told, "--reserve", "much").returncode == 2
