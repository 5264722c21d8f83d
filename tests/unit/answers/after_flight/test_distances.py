"""The distance from the pilot that a plan or a paper allows, over a flown track: both sides, and what nobody told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from airwrit.answers.after_flight.flown import ClauseFrom, FlownAnswer
from airwrit.answers.after_flight.question import FlownQuestion
from airwrit.answers.after_flight.view import clause_text, title_text, whole_lines
from airwrit.answers.before_flight.plan import PLANNED
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.geo.earth import m_per_degree
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.track import Track, TrackProblem
from tests.unit.answers.after_flight.asking import ASKED, answered, clause
from tests.unit.answers.after_flight.test_matching import planned
from tests.unit.answers.told import known_of
from tests.unit.tracks.made import bump, made

MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN
_, ACROSS = m_per_degree(38.5)
STOOD = Place(38.5, -98.5 + 100.0 / ACROSS)
WAIVER: dict[str, Raw] = {
    "paper_kind": "waiver",
    "waives": "107.31 line of sight",
    "granted_on": "2026-01-01",
    "ends_on": "2027-01-01",
    "covers_all": True,
}


def flight() -> Track:
    """150 m east, which is 50 m (164.0 ft) from the pilot 100 m east, and 100 m (328.1 ft) from there at the takeoff."""
    return made(bump(60, 500, 30.0, 60), east_m=bump(150, 400, 250.0, 40))


def plan_with(key: str, limit: int, waiver: str = "") -> FlownQuestion:
    facts: dict[str, Raw] = {key: str(limit)} if key else {}
    facts |= {"flight_waiver": waiver, "waiver_terms_kept": True, "kept_in_sight": False} if waiver else {}
    plan = planned("A")._replace(told=tuple(known_of({PLANNED: facts})))
    return ASKED._replace(planned=plan)


LIMITS = [(487, NOT_MET), (488, UNKNOWN), (492, UNKNOWN), (496, UNKNOWN), (497, MET)]
"""150 m from the pilot is 492.1 ft, give or take 1 m at both ends: 1.41 m, 4.6 ft. So it is 487.5 to 496.8 ft."""


@pytest.mark.parametrize(("limit", "verdict"), LIMITS)
def test_a_planned_distance_from_the_pilot(limit: int, verdict: Verdict) -> None:
    asked = plan_with("farthest_from_pilot_ft", limit)._replace(pilot_at=STOOD)
    found = answered(flight(), asked)
    own = clause(found, "plan_distance")
    assert (own.verdict, own.source) == (verdict, ClauseFrom.PLAN)
    assert (len(own.past), len(own.in_doubt)) == (int(verdict is NOT_MET), int(verdict is UNKNOWN))
    assert "492.1 ft (150 m)" in clause_text(own, found)
    assert own not in found.past


def test_a_planned_distance_from_the_takeoff_point() -> None:
    for limit, verdict in ((815, NOT_MET), (820, UNKNOWN), (825, MET)):
        found = answered(flight(), plan_with("farthest_out_ft", limit))
        assert clause(found, "plan_distance_out").verdict is verdict


def test_a_planned_distance_from_a_pilot_nobody_placed() -> None:
    for limit in (100, 9000):
        found = answered(flight(), plan_with("farthest_from_pilot_ft", limit))
        own = clause(found, "plan_distance")
        assert (own.verdict, own.code, own.past) == (UNKNOWN, "far_from_takeoff", ())


def test_what_could_not_be_read_keeps_no_plan() -> None:
    damaged = replace(flight(), problems=(TrackProblem(TrackFault.DAMAGED),))
    found = answered(damaged, plan_with("farthest_out_ft", 9000))
    names = ("plan_area", "plan_height", "plan_distance_out")
    assert {clause(found, name).verdict for name in names} <= {UNKNOWN, NOT_MET}
    assert clause(found, "plan_distance_out").code == "hidden"


def under_waiver(limit: int, more: Mapping[str, Raw] | None = None, *, named: bool = True) -> FlownAnswer:
    paper = {**WAIVER, "authorized_distance_ft": str(limit), **(more or {})}
    asked = plan_with("", 0, "Far" if named else "")._replace(pilot_at=STOOD)
    return answered(flight(), asked, more={"paper/Far": paper})


@pytest.mark.parametrize(("limit", "verdict"), LIMITS)
def test_the_distance_of_a_waiver(limit: int, verdict: Verdict) -> None:
    found = under_waiver(limit)
    own = clause(found, "paper/Far distance")
    assert (own.verdict, own.source, title_text(own)) == (verdict, ClauseFrom.PAPER, "Far: distance")
    assert (own in found.past) is (verdict is NOT_MET)
    if verdict is NOT_MET:
        says = f"The aircraft got 492.1 ft (150 m) from the pilot. Far allows {limit} ft"
        assert says in " ".join(whole_lines(found))


@pytest.mark.parametrize(
    ("limit", "more", "named", "expected"),
    [
        (100, {}, False, (UNKNOWN, "far_if_relied")),
        (9000, {}, False, (MET, "near_enough")),
        (9000, {"ends_on": "2026-06-09"}, False, None),
        (9000, {"ends_on": "2026-06-10"}, False, (MET, "near_enough")),
        (9000, {"granted_on": "2026-06-11"}, False, None),
        (9000, {"granted_on": "2026-06-10"}, False, (MET, "near_enough")),
        (9000, {"covers_all": None, "covers_aircraft": "Moss 2"}, False, None),
        (9000, {"covers_all": None, "covers_aircraft": "Fern 1"}, False, (MET, "near_enough")),
        (9000, {"paper_state": "requested"}, False, None),
        (9000, {"granted_on": None}, False, None),
        (9000, {"paper_kind": "insurance policy"}, False, None),
        (100, {"ends_on": "2026-06-09"}, True, (NOT_MET, "too_far")),
    ],
)
def test_a_waiver_nobody_named_counts_where_it_may_have_been_used(
    limit: int, more: Mapping[str, Raw], *, named: bool, expected: tuple[Verdict, str] | None
) -> None:
    found = under_waiver(limit, more, named=named)
    mine = [(one.verdict, one.code) for one in found.clauses if one.name == "paper/Far distance"]
    assert mine == ([] if expected is None else [expected])


def test_a_waiver_flown_past_its_distance_no_longer_opens_its_rule() -> None:
    """Sight was given up under the waiver; its terms were said to be kept, and the track says that one was not."""
    kept, broken = under_waiver(9000), under_waiver(100)
    sight = clause(broken, "line_of_sight")
    assert (sight.verdict, sight.code) == (NOT_MET, "term_broken")
    assert "line_of_sight" not in {one.name for one in kept.clauses}
