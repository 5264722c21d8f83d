"""A flown track against law and papers: each side of each limit, separate lines for separate clauses, no missing yes."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import numpy as np
import pytest

from airwrit.answers.after_flight.flown import ClauseFrom, FlownWhole
from airwrit.answers.after_flight.view import (
    cant_text,
    cites_of,
    clause_text,
    figures_lines,
    how_much_text,
    when_text,
    whole_lines,
)
from airwrit.answers.sky.light import LightEvent, lights_over
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.sky.zones import zone_of
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.path import Doubts
from airwrit.tracks.track import HeightDatum, TrackProblem
from tests.unit.answers.after_flight.asking import ASKED, answered, clause
from tests.unit.tracks.made import HOME, STARTS, bump, chosen, made

MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN
FT = 0.3048
D17: dict[str, Raw] = {
    "paper_kind": "authorization",
    "paper_state": "granted",
    "given_by": "FAA automated service",
    "authorizes_from_on": "2026-06-10T16:00:00-05:00",
    "authorizes_until_on": "2026-06-10T17:00:00-05:00",
    "authorized_height_ft": "50",
    "authorized_area": "38.499, -98.501; 38.499, -98.499; 38.501, -98.499; 38.501, -98.501",
}
"""A published incident report, told again with invented figures: 50 ft, until 17:00 local, a polygon."""


def test_three_permissions_broken_are_three_lines() -> None:
    """65 ft under a ceiling of 50, a landing at 17:04, part of the track outside: separate lines, no word of legal."""
    track = made(
        bump(30, 810, 65 * FT, 20),
        seconds=840,
        starts=datetime(2026, 6, 10, 21, 50, 34, tzinfo=UTC),
        east_m=bump(200, 300, 150.0, 30),
    )
    found = answered(track, more={"paper/Field": D17})
    high, end, place = (clause(found, f"paper/Field {name}") for name in ("height", "end", "place"))
    assert {one.verdict for one in (high, end, place)} == {NOT_MET}
    assert high.best is not None
    assert high.past[0].margin is not None
    assert -high.past[0].margin.value == pytest.approx(Decimal(15), abs=Decimal("0.2"))
    assert len(end.past) == 1
    assert end.past[0].lasts == pytest.approx(timedelta(minutes=4), abs=timedelta(seconds=3))
    assert when_text(found, end.past[0]).startswith("5:00:00 to 5:0")
    assert clause_text(end, found).startswith("The aircraft landed 4 min")
    assert how_much_text(place.past[0]).startswith(
        "205.9 ft"
    )  # 150 m less the 87.24 m from the middle to the edge
    assert clause(found, "paper/Field start").verdict is MET
    assert clause(found, "height_limit").verdict is MET
    assert not any("legal" in line for line in whole_lines(found))
    assert "over_people" in {one.rule for one in found.cant_show}


@pytest.mark.parametrize(
    ("peak_ft", "doubt_m", "verdict"),
    [
        (399.9, 0.0, MET),
        (400.0, 0.0, MET),
        (400.2, 0.0, NOT_MET),
        (393.8, 0.0, MET),  # 120.03 m: over 120 m, and inside 400 ft
        (396.0, 2.0, UNKNOWN),
        (404.0, 2.0, UNKNOWN),
        (420.0, 2.0, NOT_MET),
        (385.0, 2.0, MET),
    ],
)
def test_both_sides_of_400_ft(peak_ft: float, doubt_m: float, verdict: Verdict) -> None:
    track = made(bump(60, 500, peak_ft * FT, 60), vertical_m=doubt_m)
    high = clause(answered(track), "height_limit")
    assert high.verdict is verdict
    assert bool(high.past) == (verdict is NOT_MET)
    assert bool(high.in_doubt) == (verdict is UNKNOWN)
    if verdict is NOT_MET:
        assert "structure" in {one.code for one in answered(track).cant_show}


@pytest.mark.parametrize(
    ("knots", "verdict"),
    [(86.0, MET), (86.9, UNKNOWN), (87.5, UNKNOWN), (88.0, NOT_MET)],
)
def test_both_sides_of_87_knots(knots: float, verdict: Verdict) -> None:
    """87 knots are 44.76 m/s and 100.1 mph; a logged speed may be off by 0.4 m/s, 0.8 knots."""

    def speed(at: np.ndarray) -> np.ndarray:
        return np.where((at > 100) & (at < 200), knots * 1852 / 3600, 0.0)

    found = clause(answered(made(bump(60, 500, 50.0, 60), speed_mps=speed)), "speed_limit")
    assert found.verdict is verdict


@pytest.mark.parametrize(("knots", "verdict"), [(86.898, MET), (87.0, MET), (87.2, NOT_MET)])
def test_exactly_100_miles_an_hour_and_87_knots(knots: float, verdict: Verdict) -> None:
    """The rule says 87 knots (100 miles per hour); 100 mph are 86.898 kt, 87 kt are 100.1 mph: knots decide."""

    def speed(at: np.ndarray) -> np.ndarray:
        return np.where((at > 100) & (at < 200), knots * 1852 / 3600, 0.0)

    track, asked = (
        made(bump(60, 500, 50.0, 60), speed_mps=speed),
        ASKED._replace(doubts=Doubts(speed_mps=0.0)),
    )
    asked = asked._replace(doubts=asked.doubts._replace(level_ground_m=0.0))
    assert clause(answered(track, asked), "speed_limit").verdict is verdict


@pytest.mark.parametrize(("late_s", "verdict"), [(-2, MET), (0, UNKNOWN), (1, UNKNOWN), (2, NOT_MET)])
def test_the_exact_second_an_authorization_ends_and_begins(late_s: int, verdict: Verdict) -> None:
    """The log's clock may be off by a second: within it nobody can tell, beyond it everybody can."""
    first = answered(made(bump(30, 810, 10.0, 20), seconds=840)).plan
    shift = datetime(2026, 6, 10, 22, tzinfo=UTC) - first.ends + timedelta(seconds=late_s)
    landed = answered(
        made(bump(30, 810, 10.0, 20), seconds=840, starts=STARTS + shift), more={"paper/Field": D17}
    )
    assert landed.plan.ends == datetime(2026, 6, 10, 22, tzinfo=UTC) + timedelta(seconds=late_s)
    assert clause(landed, "paper/Field end").verdict is verdict
    shift = datetime(2026, 6, 10, 21, tzinfo=UTC) - first.starts - timedelta(seconds=late_s)
    early = answered(
        made(bump(30, 810, 10.0, 20), seconds=840, starts=STARTS + shift), more={"paper/Field": D17}
    )
    assert clause(early, "paper/Field start").verdict is verdict


@pytest.mark.parametrize(
    ("event", "rule", "minutes", "code"),
    [
        (LightEvent.SUNSET, "twilight_lights", -3, "not_twilight"),
        (LightEvent.SUNSET, "twilight_lights", 0, ""),
        (LightEvent.SUNSET, "twilight_lights", 3, ""),
        (LightEvent.DUSK, "night_lights", -3, "not_night"),
        (LightEvent.DUSK, "night_lights", 0, ""),
        (LightEvent.DUSK, "night_lights", 3, ""),
    ],
)
def test_the_minute_twilight_and_night_begin(event: LightEvent, rule: str, minutes: int, code: str) -> None:
    """A landing three minutes before is out of it; at that minute, and three minutes on, nobody said a light was on."""
    day = datetime(2026, 6, 11, 2, tzinfo=UTC)
    moment = lights_over(HOME, zone_of(HOME), day, day)(day).nearest[event].at
    first = answered(made(bump(30, 330, 10.0, 20), seconds=360)).plan
    starts = STARTS + (moment - first.ends) + timedelta(minutes=minutes)
    found = clause(answered(made(bump(30, 330, 10.0, 20), seconds=360, starts=starts)), rule)
    assert found.verdict is (Verdict.NOT_APPLICABLE if code else UNKNOWN)
    assert found.code == code or not code
    assert bool(found.intervals) is not bool(code)


def test_a_gap_and_a_missing_height_cite_the_section_of_the_limit() -> None:
    track = made(bump(60, 500, 100.0, 60))
    keep = (track.mono_us < 200e6) | (track.mono_us > 203e6)
    gap = clause(answered(chosen(track, np.flatnonzero(keep))), "height_limit")
    without = clause(answered(track, ASKED._replace(doubts=Doubts())), "height_limit")
    assert (gap.code, without.code) == ("gap", "no_terrain")
    assert cites_of(gap) == cites_of(without) == "14 CFR 107.51(b)"


def test_without_the_ground_no_height_above_it_is_told() -> None:
    track = made(bump(60, 500, 200.0, 60))
    found = answered(track, ASKED._replace(doubts=Doubts()))
    assert clause(found, "height_limit").verdict is UNKNOWN
    assert found.whole is FlownWhole.CANT_TELL


def test_without_airspace_on_file_nothing_is_ok() -> None:
    found = answered(made(bump(60, 500, 50.0, 60)))
    for name in ("authority_controlled_airspace", "tfr", "restricted_area_permission"):
        assert clause(found, name).verdict is UNKNOWN
        assert clause(found, name).code == "no_edition"
    assert found.verdict is UNKNOWN


def test_a_gap_that_could_hide_a_climb_is_open() -> None:
    track = made(bump(60, 500, 100.0, 60))
    keep = (track.mono_us < 200e6) | (track.mono_us > 203e6)
    near = answered(chosen(track, np.flatnonzero(keep)))
    assert clause(near, "height_limit").code == "gap"
    assert clause(near, "height_limit").verdict is UNKNOWN
    low = made(bump(60, 500, 50.0, 60))
    assert clause(answered(chosen(low, np.flatnonzero(keep))), "height_limit").verdict is MET


def test_a_log_without_a_day_asks_for_it() -> None:
    track = made(bump(60, 500, 200.0, 60), starts=None)
    with pytest.raises(UsageError, match="date"):
        answered(track)
    found = answered(track, ASKED._replace(day=date(2026, 6, 10)))
    assert clause(found, "height_limit").verdict is NOT_MET
    assert found.at(0) is None


def test_night_without_lights_told_is_open_and_has_its_interval() -> None:
    track = made(bump(60, 500, 50.0, 60), starts=datetime(2026, 6, 11, 4, tzinfo=UTC))
    night = clause(answered(track), "night_lights")
    assert night.verdict is UNKNOWN
    assert len(night.intervals) == 1
    assert not night.intervals[0].sure


def test_a_reserve_at_landing() -> None:
    track = made(bump(60, 500, 50.0, 60))
    drained = replace(track, battery=np.linspace(1.0, 0.2, len(track.mono_us)))
    for reserve, verdict in ((0.25, MET), (0.4, NOT_MET)):
        found = clause(answered(drained, ASKED._replace(reserve=reserve)), "reserve")
        assert found.verdict is verdict
        assert found.source is ClauseFrom.YOURS
    assert clause(answered(track, ASKED._replace(reserve=0.2)), "reserve").verdict is UNKNOWN


def test_a_reserve_between_two_readings_is_open() -> None:
    """27 % was read last in the air and 24 % a while after landing: at the landing it was something between."""
    track = made(bump(60, 500, 50.0, 60))
    left = np.full(len(track.mono_us), np.nan)
    left[100], left[470], left[560] = 0.9, 0.27, 0.24
    for reserve, verdict in ((0.23, MET), (0.24, MET), (0.25, UNKNOWN), (0.27, UNKNOWN), (0.28, NOT_MET)):
        answer = answered(replace(track, battery=left), ASKED._replace(reserve=reserve))
        found = clause(answer, "reserve")
        assert found.verdict is verdict
        if verdict is UNKNOWN:
            assert clause_text(found, answer).startswith(
                "The battery had 27.0% left before landing and 24.0%"
            )


def test_a_log_that_stops_in_the_air_keeps_no_reserve() -> None:
    """40 % are left where the log stops; how much was left at the landing it doesn't say. 10 % were too little already."""
    track = made(bump(60, 500, 50.0, 60))
    cut = chosen(track, np.flatnonzero(track.mono_us < 300e6))
    assert "after_the_log" in {one.code for one in answered(cut).cant_show}
    assert "after_the_log" not in {one.code for one in answered(track).cant_show}
    for left, verdict in ((0.4, UNKNOWN), (0.1, NOT_MET)):
        drained = replace(cut, battery=np.linspace(1.0, left, len(cut.mono_us)))
        assert clause(answered(drained, ASKED._replace(reserve=0.2)), "reserve").verdict is verdict


def test_one_time_in_twilight_is_one_interval() -> None:
    """Near its edges it may be night or day as well, but what can't be told can't be told as one."""
    day = datetime(2026, 6, 11, 2, tzinfo=UTC)
    dusk = lights_over(HOME, zone_of(HOME), day, day)(day).nearest[LightEvent.DUSK].at
    track = made(bump(30, 2700, 10.0, 20), seconds=2760, starts=dusk - timedelta(minutes=40))
    found = answered(track)
    for rule in ("night_lights", "twilight_lights"):
        assert len(clause(found, rule).intervals) == 1


def test_remote_id_off_in_the_air_and_unsaid() -> None:
    track = made(bump(60, 500, 50.0, 60))
    on = np.ones(len(track.mono_us), dtype=np.int8)
    off, unsaid = on.copy(), on.copy()
    off[200:220], unsaid[200:220] = 0, -1
    for told, verdict in ((on, MET), (off, NOT_MET), (unsaid, UNKNOWN)):
        answer = answered(replace(track, remote_id=told))
        found = clause(answer, "standard_remote_id_not_disabled")
        assert found.verdict is verdict, clause_text(found, answer)


def test_remote_id_that_fails_in_flight_asks_how_soon_it_landed() -> None:
    """It was on at takeoff, went off at 400 s, and landed at about 500 s. Off from the start it did not fail in flight."""
    track = made(bump(60, 500, 50.0, 60))
    failed = np.ones(len(track.mono_us), dtype=np.int8)
    failed[400:] = 0
    back = failed.copy()
    back[450:] = 1
    for told, asked in ((failed, True), (np.zeros_like(failed), False), (back, False)):
        rows = [
            one for one in answered(replace(track, remote_id=told)).cant_show if one.code == "landed_after"
        ]
        assert bool(rows) is asked
        if asked:
            assert rows[0].asks == ("landed_promptly",)
            assert "The aircraft landed 1 min 3" in cant_text(rows[0])


def test_a_log_of_several_vehicles_says_that_one_person_flies_one() -> None:
    track = made(bump(60, 500, 50.0, 60))
    several = replace(track, problems=(TrackProblem(TrackFault.OTHER_VEHICLE, 2),))
    for one, code in ((track, "not_in_a_log"), (several, "several_vehicles")):
        assert {row.code for row in answered(one).cant_show if row.rule == "one_aircraft"} == {code}


def test_heights_above_the_takeoff_by_pressure_are_less_sure() -> None:
    track = made(bump(60, 500, 118.0, 60), datum=HeightDatum.TAKEOFF, zero_m=0.0, vertical_m=None)
    high = clause(answered(track), "height_limit")
    assert high.verdict is UNKNOWN
    assert high.best is not None
    assert high.best.high - high.best.best == pytest.approx(Decimal(28), abs=Decimal(2))


def test_a_day_before_the_law_was_read_is_refused() -> None:
    with pytest.raises(UsageError, match="too early"):
        answered(made(bump(60, 500, 50.0, 60), starts=STARTS.replace(year=2012)))


def test_a_log_with_gaps_says_how_much_of_its_time_it_has_points_for() -> None:
    whole = made(bump(60, 500, 50.0, 60))
    kept = np.flatnonzero((np.arange(len(whole.mono_us)) < 200) | (np.arange(len(whole.mono_us)) >= 260))
    lines = [figures_lines(answered(one)) for one in (whole, chosen(whole, kept))]
    assert not any("seconds apart" in line for line in lines[0])
    assert (
        "For 11% of the log's time, its points are more than 2 seconds apart. What happened in between counts as unknown."
        in lines[1]
    )
