"""A forecast cuts the day at the edges of its parts, and gives doubt, never a yes."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from itertools import groupby, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.surroundings import Surroundings, look_around
from airwrit.answers.before_flight.view import reason_text
from airwrit.answers.before_flight.windows import Stretch, stretches_of
from airwrit.answers.sky.weather import FlightPlanned, weather_of
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from tests.unit.answers.before_flight.planning import plan, program

UNSEEN: dict[str, Raw | None] = {"flight_visibility_sm": None, "no_clouds": None}
DAY = date(2026, 6, 10)
FOG = "TAF KZZZ 100520Z 1006/1106 00000KT 1/4SM FG VV001 FM101520 18006KT P6SM SKC"


def stretches(
    text: str, seen: dict[str, Raw | None] = UNSEEN, planned: FlightPlan | None = None
) -> tuple[Stretch, ...]:
    """The stretches of the day with a forecast given."""

    def look(one: FlightPlan) -> Surroundings:
        return look_around(one, None, text)

    return stretches_of(planned or plan(), program(seen), look, DAY, DAY)


def clocks(found: tuple[Stretch, ...], verdict: Verdict) -> list[tuple[str, ...]]:
    """The spans of a verdict, by the clock of the place; whether lights are on makes no difference."""
    zone = plan().zone.info
    spans = [list(group) for alike, group in groupby(found, lambda one: one.verdict) if alike is verdict]
    return [tuple(f"{at.astimezone(zone):%H:%M}" for at in (one[0].start, one[-1].end)) for one in spans]


def test_fog_that_lifts_at_ten_twenty_opens_the_day_from_then() -> None:
    found = stretches(FOG)
    assert clocks(found, Verdict.UNKNOWN) == [("01:00", "10:20")]
    reason = next(reason_text(one) for one in found if one.verdict is Verdict.UNKNOWN)
    assert reason.startswith("The forecast is outside the limits. Visibility 1/4 statute mile")


@pytest.mark.parametrize(
    ("part", "open_hours"),
    [
        # TEMPO and PROB only ever give doubt
        ("TEMPO 1016/1018 2SM BR BKN008", [("11:00", "13:00")]),
        ("PROB30 1016/1018 1SM TSRA OVC008CB", [("11:00", "13:00")]),
        ("PROB40 TEMPO 1016/1018 1SM TSRA", [("11:00", "13:00")]),
        # while it changes for the worse, and from then on
        ("BECMG 1016/1018 2SM BR", [("11:00", "00:00")]),
        ("FM101630 2SM BR FM101900 P6SM SKC", [("11:30", "14:00")]),
        # 200 ft under clouds at 800 ft, good to 50: 500 ft below them leaves 250 to 350
        ("FM101600 P6SM OVC008", []),
        ("FM101600 P6SM OVC006 FM101700 P6SM SKC", [("11:00", "12:00")]),
    ],
)
def test_the_edges_of_each_part_cut_the_day(part: str, open_hours: list[tuple[str, str]]) -> None:
    found = stretches(f"TAF KZZZ 100520Z 1006/1106 18006KT P6SM SKC {part}")
    mine = clocks(found, Verdict.UNKNOWN)
    assert mine == open_hours


def test_better_times_between_give_no_yes_to_what_is_expected() -> None:
    found = stretches("TAF KZZZ 100520Z 1006/1106 18006KT 2SM BR TEMPO 1016/1018 P6SM SKC")
    assert Verdict.MET not in {one.verdict for one in found if one.start.hour >= 6}


def test_what_the_pilot_saw_counts_for_the_hours_of_the_flight_alone() -> None:
    found = stretches(
        FOG,
        {},
        plan(starts=datetime(2026, 6, 10, 14, tzinfo=UTC), ends=datetime(2026, 6, 10, 15, tzinfo=UTC)),
    )
    assert clocks(found, Verdict.UNKNOWN) == [("01:00", "09:00"), ("10:00", "10:20")]


def test_the_nearest_hour_of_a_flight_in_fog_is_after_it_lifts() -> None:
    answer = flight_answer(plan(), program(UNSEEN), None, FOG, 1)
    zone = plan().zone.info
    assert [f"{one.start.astimezone(zone):%H:%M}" for one in answer.windows] == ["00:00", "10:20"]


PARTS = st.lists(
    st.tuples(
        st.sampled_from(("FM", "BECMG", "TEMPO", "PROB30", "PROB40 TEMPO")),
        st.integers(7, 28),
        st.integers(1, 4),
        st.sampled_from(("P6SM SKC", "2SM BR", "P6SM OVC006", "P6SM OVC007", "4SM SCT008", "1/2SM FG VV002")),
    ),
    max_size=5,
)


def _told(hour: int) -> str:
    return f"{10 + hour // 24:02}{hour % 24:02}"


def _forecast(parts: list[tuple[str, int, int, str]]) -> str:
    told = ["TAF KZZZ 100520Z 1006/1106 18006KT P6SM SKC"]
    for word, hour, length, weather in sorted(parts, key=lambda part: part[1]):
        end = min(hour + length, 30)
        told.append(
            f"FM{_told(hour)}00 {weather}" if word == "FM" else f"{word} {_told(hour)}/{_told(end)} {weather}"
        )
    return " ".join(told)


@settings(max_examples=10)
@given(parts=PARTS, height=st.sampled_from((100, 150, 200, 300)), offset=st.integers(0, 12))
def test_every_minute_of_a_forecast_stands_as_its_stretch(
    parts: list[tuple[str, int, int, str]], height: int, offset: int
) -> None:
    text, planned = _forecast(parts), plan(height_ft=Decimal(height))
    found = stretches(text, planned=planned)
    assert all(a.end == b.start for a, b in pairwise(found))
    at = found[0].start + timedelta(minutes=offset)
    while at < found[-1].end:
        mine = next(one for one in found if one.start <= at < one.end)
        told = weather_of(text, FlightPlanned(at, planned.place, height_ft=planned.height_ft)).answers[0]
        open_ones = {p.about for p in told.points if p.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN)}
        against = not open_ones.isdisjoint(("visibility", "clouds"))
        assert (mine.verdict is Verdict.UNKNOWN) == against, (text, at)
        at += timedelta(minutes=13)
