"""Flights as people complain of them: what the log shows, within its doubt, and what it can't show."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from airwrit.answers.after_flight.flown import FlownWhole
from airwrit.answers.after_flight.question import area_asked
from airwrit.answers.after_flight.view import (
    assumed_lines,
    clause_text,
    how_much_text,
    when_text,
    whole_lines,
)
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.tracks.path import Doubts
from tests.unit.answers.after_flight.asking import ASKED, answered, clause
from tests.unit.answers.after_flight.test_matching import planned
from tests.unit.tracks.made import STARTS, bump, made

FT = 0.3048
EVENING = datetime(2026, 6, 11, 1, 5, tzinfo=UTC)
"""8:05 in the evening in central Kansas."""
EDGE: dict[str, Raw] = {
    "paper_kind": "authorization",
    "paper_state": "granted",
    "given_by": "FAA automated service",
    "authorizes_from_on": "2026-06-10T09:00:00-05:00",
    "authorizes_until_on": "2026-06-10T12:00:00-05:00",
    "authorized_height_ft": "300",
    "authorized_area": "38.5, -98.5 within 328.08 ft",
}


@pytest.mark.parametrize(("east_m", "code"), [(150.0, "near_over"), (80.0, "near_missed")])
def test_it_hovered_over_my_yard_at_a_quarter_past_eight(east_m: float, code: str) -> None:
    """The yard is 150 m east. The log tells when it was over it and how high, or how close it came; who it watched, nobody."""
    track = made(bump(60, 800, 60.0, 60), seconds=900, east_m=bump(120, 750, east_m, 40), starts=EVENING)
    found = answered(track, ASKED._replace(near=area_asked("38.5, -98.49828 within 40 ft")))
    yard = clause(found, "near_area")
    assert yard.code == code
    says = clause_text(yard, found)
    if code == "near_over":
        assert when_text(found, yard.intervals[0]).startswith("8:07:3")
        assert when_text(found, yard.intervals[0]).endswith("8:16:53 PM CDT")
        assert "Lowest there: 196.9 ft (60 m) above ground" in says
    else:
        assert "Closest: 189" in says
        assert "PM CDT, 196.9 ft (60 m) above ground" in says
    assert yard.verdict is Verdict.NOT_APPLICABLE
    assert whole_lines(found)[0] == says, "what somebody asks about is answered first"
    assert not any("too close" in line or "so close" in line for line in whole_lines(found)), (
        "lights are no figure"
    )
    assert not any(
        "OK" in line for line in whole_lines(found) if not line.startswith(("Fern", "Ansel", "That"))
    )
    assert "over_people" in {one.rule for one in found.cant_show}


@pytest.mark.parametrize(("doubt_m", "verdict"), [(1.0, Verdict.NOT_MET), (12.0, Verdict.UNKNOWN)])
def test_thirty_feet_beyond_the_edge_of_the_authorization(doubt_m: float, verdict: Verdict) -> None:
    """30 ft are past the edge for a receiver good to a meter, and can't be told from inside for one good to 12 m."""
    track = made(bump(60, 500, 60.0, 60), east_m=bump(150, 400, 100.0 + 30 * FT, 40), horizontal_m=doubt_m)
    area = clause(answered(track, more={"paper/Field": EDGE}), "paper/Field place")
    assert area.verdict is verdict
    (interval,) = area.past or area.in_doubt
    assert how_much_text(interval).startswith("30")


def test_a_log_without_heights_tells_none() -> None:
    track = replace(made(bump(60, 500, 200.0, 60)), heights_m={}, doubt_m={})
    found = answered(track)
    high = clause(found, "height_limit")
    assert (high.verdict, high.code, high.best) == (Verdict.UNKNOWN, "no_heights", None)
    assert found.whole is FlownWhole.CANT_TELL
    assert found.figures.highest_agl_m is None


def test_a_clock_an_hour_off_is_said_beside_the_plan() -> None:
    """The log alone can't tell it; beside its plan it shows, and nothing is moved."""
    early = made(bump(60, 500, 50.0, 60), starts=STARTS - timedelta(hours=1))
    found = answered(early, ASKED._replace(plans=(planned("A"),)))
    assert found.planned is not None
    assert "hour_off" in found.assumed
    assert any("Daylight saving" in line for line in assumed_lines(found))
    assert {one.what for one in found.differences if one.differs} == {"takeoff"}
    on_time = answered(made(bump(60, 500, 50.0, 60)), ASKED._replace(plans=(planned("A"),)))
    assert "hour_off" not in on_time.assumed


def test_no_terrain_and_no_word_about_the_ground_is_no_height(tmp_path: Path) -> None:
    found = answered(made(bump(60, 500, 60.0, 60)), ASKED._replace(doubts=Doubts()))
    assert "know only the height above takeoff" in clause_text(clause(found, "height_limit"), found)
