"""Out and back against the strongest wind and the battery's reserve; how the model flies is invented.

Expected minutes are worked out by hand from the wind triangle: 6,076 ft (a nautical mile) at 20 kt in 10 kt of wind takes
2 minutes out with the wind (30 kt) and 6 minutes home against it (10 kt), 8 in all; straight across it takes 3.46 each way.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from airwrit.law.flight.return_home import ground_speed_kt, out_and_back_min
from tests.unit.law.case import TODAY, Case, Given, aircraft, case, check, flight, outcome_of

BOTH: dict[str, Raw] = {"model_airspeed_kt": "20", "model_flight_time_min": "12"}
OUT: dict[str, Raw] = {"farthest_out_ft": "6076", "gust_seen_kt": "10", "takeoff_place": "38.5, -98.5"}


def asked(verdict: str, code: str, model: dict[str, Raw], why: str = "", **facts: Raw) -> Case:
    """A flight today with an aircraft of a model that flies like this."""
    return case(
        "return_home",
        verdict,
        code,
        TODAY,
        flight(
            flight_aircraft="A", **{name: raw for name, raw in {**OUT, **facts}.items() if raw is not None}
        ),
        aircraft(model="Sarvo 4", takeoff_weight_g="900"),
        Given("model/Sarvo 4", model),
        why=why,
    )


CASES = [
    asked("not_applicable", "no_figures", {}),
    case("return_home", "not_applicable", "no_figures", TODAY, flight(flight_aircraft="A"), aircraft()),
    asked("not_applicable", "not_planned", BOTH, farthest_out_ft=None),
    asked("unknown", "model_flight_time_min", {"model_airspeed_kt": "20"}, "missing"),
    asked("unknown", "model_airspeed_kt", {"model_flight_time_min": "12"}, "missing"),
    asked("unknown", "gust_seen_kt", BOTH, "missing", gust_seen_kt=None),
    # 12 minutes less a quarter are 9
    asked("met", "enough", BOTH)._replace(value=Decimal("8.0")),
    asked("met", "enough", BOTH, battery_reserve_percent="33"),
    # 12 minutes less 34 percent are 7.92: too few against the wind, enough across it
    asked("unknown", "hangs_on_direction", BOTH, "within_doubt", battery_reserve_percent="34"),
    # an area all around the takeoff point reaches that far into the wind too
    asked("not_met", "into_reserve", BOTH, battery_reserve_percent="34", edge_out_ft="6076"),
    asked(
        "unknown", "hangs_on_direction", BOTH, "within_doubt", battery_reserve_percent="34", edge_out_ft="900"
    ),
    # 12 minutes less 43 percent are 6.84: too few even straight across, which takes 6.93
    asked("not_met", "into_reserve", BOTH, battery_reserve_percent="43")._replace(value=Decimal("8.0")),
    asked("unknown", "needs_takeoff", BOTH, "within_doubt", battery_reserve_percent="43", takeoff_place=None),
    asked("met", "enough", BOTH, takeoff_place=None),
    # a quarter kept: of 10.7 minutes 8.03 are left, of 10.6 minutes 7.95
    asked("met", "enough", {**BOTH, "model_flight_time_min": "10.7"}),
    asked("unknown", "hangs_on_direction", {**BOTH, "model_flight_time_min": "10.6"}, "within_doubt"),
    # nowhere to go with nothing to spare
    asked("met", "enough", BOTH, farthest_out_ft="0", battery_reserve_percent="100"),
    # as long as straight across takes, to the last bit, and shorter than against the wind
    asked(
        "unknown",
        "hangs_on_direction",
        {**BOTH, "model_flight_time_min": repr(out_and_back_min(20.0, 10.0, 6076.0, 90.0))},
        "within_doubt",
        battery_reserve_percent="0",
    ),
    # 12 kt of wind: 1.87 minutes out, 7.50 home
    asked("unknown", "hangs_on_direction", BOTH, "within_doubt", gust_seen_kt="12")._replace(
        value=Decimal("9.4")
    ),
    asked("met", "enough", BOTH, gust_seen_kt="0", battery_reserve_percent="50"),
    asked("not_met", "no_return", BOTH, gust_seen_kt="20")._replace(value=Decimal(20)),
    asked("not_met", "no_return", BOTH, gust_seen_kt="25", takeoff_place=None),
    asked("unknown", "needs_takeoff", BOTH, "within_doubt", gust_seen_kt="19.9", takeoff_place=None),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


@pytest.mark.parametrize(
    ("reserve", "code", "room"), [("25", "enough", "1.0"), ("43", "into_reserve", "-1.2")]
)
def test_the_minutes_that_are_left(reserve: str, code: str, room: str) -> None:
    """Of 9 minutes 8 are flown, of 6.84 as well."""
    margin = outcome_of(asked("", code, BOTH, battery_reserve_percent=reserve)).margin
    assert margin is not None
    assert margin.value == Decimal(room)


@pytest.mark.parametrize(
    ("wind", "angle", "speed"),
    [
        (10.0, 0.0, 10.0),
        (10.0, 180.0, 30.0),
        (10.0, 90.0, 17.3205),
        (20.0, 0.0, None),
        (20.0, 270.0, None),
        (25.0, 180.0, 45.0),
    ],
)
def test_speed_over_the_ground(wind: float, angle: float, speed: float | None) -> None:
    found = ground_speed_kt(20.0, wind, angle)
    assert found == (None if speed is None else pytest.approx(speed, abs=1e-4))


@pytest.mark.parametrize(
    ("wind", "angle", "minutes"),
    [(0.0, 0.0, 6.0), (10.0, 0.0, 8.0), (10.0, 180.0, 8.0), (10.0, 90.0, 6.9282), (20.0, 0.0, None)],
)
def test_minutes_out_and_back(wind: float, angle: float, minutes: float | None) -> None:
    found = out_and_back_min(20.0, wind, 1852 / 0.3048, angle)
    assert found == (None if minutes is None else pytest.approx(minutes, abs=1e-4))
