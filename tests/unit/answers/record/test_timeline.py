"""Lanes through time say on every day what a standing of that day says."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.record.timeline import HOUSE, WHOLE, DaySpan, Lane, lanes_of, standing_on
from airwrit.answers.standing.neighbors import Circles, circle_of
from airwrit.answers.standing.report import bears_out, declared_uses
from airwrit.answers.standing.standing import standing
from airwrit.base.verdict import Verdict
from airwrit.demo.workbook import write_demo, write_demo_house
from airwrit.facts.choices import UsedFor
from airwrit.facts.statement import Known, Statement
from airwrit.house.rules import read_house
from airwrit.intake.sheets import read_sheets
from airwrit.law.rule import Bears, Rule
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, known_of

SPAN = DaySpan(date(2022, 12, 1), date(2029, 1, 1))


@cache
def demo() -> tuple[tuple[Known, ...], tuple[Rule, ...]]:
    """The invented program: its statements and its house rules."""
    with TemporaryDirectory() as folder:
        sheet, rules = Path(folder) / "a.xlsx", Path(folder) / "a.toml"
        write_demo(sheet, DAY)
        write_demo_house(rules)
        return tuple(read_sheets([sheet]).known), tuple(read_house([rules]).rules)


def subjects() -> list[str]:
    """The aircraft and people of the invented program."""
    found = dict.fromkeys(item.statement.subject for item in demo()[0])
    return [subject for subject in found if subject.startswith(("aircraft/", "person/"))]


@cache
def lanes(subject: str) -> dict[str, Lane]:
    """Its lanes by name."""
    known, house = demo()
    return {lane.name: lane for lane in lanes_of(known, subject, SPAN, KNOWN_AT, house)}


@given(st.sampled_from(subjects()), st.dates(SPAN.start, SPAN.until - timedelta(days=1)))
def test_a_lane_says_what_the_standing_of_that_day_says(subject: str, day: date) -> None:
    known, house = demo()
    answer = standing(known, day, KNOWN_AT, (), (), house)
    use = next(iter(declared_uses(answer.report.state, subject)), UsedFor.WORK)
    row = next((each for each in answer.rows if each.subject == subject), None)
    stretch = standing_on(lanes(subject)[WHOLE], day)
    assert stretch is not None
    if row is None:
        return
    if any(f.rule.name == "in_the_fleet" and f.outcome.code == "not_yet" for f in row.findings):
        assert stretch.verdict is None
        return
    bearing = [
        f.verdict
        for f in row.findings
        if f.rule.bears is Bears.FLIGHT and f.use in (None, use) and bears_out(f)
    ]
    wanted = [v for v in (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET) if v in bearing]
    assert stretch.verdict is (wanted[0] if wanted else Verdict.NOT_APPLICABLE)


@pytest.mark.parametrize("subject", subjects())
def test_stretches_follow_one_another_and_turn(subject: str) -> None:
    for lane in lanes(subject).values():
        assert lane.stretches[0].start == SPAN.start
        assert lane.stretches[-1].until == SPAN.until
        for one, next_one in zip(lane.stretches, lane.stretches[1:], strict=False):
            assert one.until == next_one.start
            assert (one.verdict, one.finding and one.finding.outcome.code) != (
                next_one.verdict,
                next_one.finding and next_one.finding.outcome.code,
            ) or one.finding.rule.name != next_one.finding.rule.name  # type: ignore[union-attr]


def test_a_registration_holds_to_its_last_day() -> None:
    told = known_of(firm_aircraft("K", "FA00TEST21", "2024-03-01", scale_error_g="1"))
    by_name = {lane.name: lane for lane in lanes_of(told, "aircraft/K", SPAN, KNOWN_AT)}
    found = {day: standing_on(by_name["Registration"], day) for day in map(date.fromisoformat, _AROUND)}
    assert [stretch and stretch.verdict for stretch in found.values()] == [
        None,
        Verdict.MET,
        Verdict.MET,
        Verdict.UNKNOWN,
        Verdict.NOT_MET,
    ]


_AROUND = ("2024-02-29", "2024-03-01", "2027-02-28", "2027-03-01", "2027-03-02")


def test_a_moved_serial_is_seen_on_the_other_aircraft() -> None:
    told = known_of(
        {**firm_aircraft("K", "FA00TEST21", "2025-03-01"), **firm_aircraft("L", "FA00TEST22", "2025-03-01")}
    )
    serial = "ZZ9Z6TEST21"
    moved = Known(Statement("aircraft/L", "listed_serial", serial, date(2026, 5, 1)), "told")
    assert "aircraft/L" in circle_of([*told, moved], "aircraft/K")
    assert "aircraft/L" not in circle_of(told, "aircraft/K")


def test_nothing_on_record_is_no_verdict() -> None:
    joined = Known(Statement("person/Nobody", "flies_for", "work", date(2026, 1, 1)), "told")
    whole = lanes_of([joined], "person/Nobody", SPAN, KNOWN_AT)[0]
    before, on = standing_on(whole, date(2025, 12, 31)), standing_on(whole, date(2026, 1, 1))
    assert before is not None
    assert before.verdict is None
    assert on is not None
    assert on.verdict is Verdict.UNKNOWN
    assert standing_on(whole, SPAN.until) is None


def test_what_was_written_later_does_not_count() -> None:
    late = Known(Statement("person/P", "flies_for", "work"), "told", datetime(2027, 1, 1, tzinfo=UTC))
    assert {s.verdict for lane in lanes_of([late], "person/P", SPAN, KNOWN_AT) for s in lane.stretches} == {
        None
    }


def test_only_what_can_fly_has_lanes() -> None:
    with pytest.raises(ValueError, match="neither"):
        lanes_of([], "owner/A", SPAN, KNOWN_AT)
    assert lanes_of([], "aircraft/A", DaySpan(date(2010, 1, 1), date(2011, 1, 1)), KNOWN_AT) == ()
    assert HOUSE in lanes("person/Hollis Creed")


@pytest.mark.parametrize("subject", subjects())
def test_what_was_said_around_a_subject_is_enough(subject: str) -> None:
    known, house = demo()
    around = Circles(known).known_around(subject)
    assert len(around) < len(known)
    assert lanes_of(around, subject, SPAN, KNOWN_AT, house) == tuple(lanes(subject).values())
