"""Lanes as drawings and words: what is drawn is what the lanes say, and the words say the same days."""

from __future__ import annotations

import itertools
import re
from datetime import date, timedelta

import pytest

from airwrit.answers.record.timeline import DaySpan, Lane, LaneSpan, lanes_of
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.law.aircraft.renewal import Window
from airwrit.web.draw.svg import Axis
from airwrit.web.parts.timeline import (
    bands,
    four_years,
    lane_json,
    lane_rows,
    life_of,
    quarter_axis,
    turns_of,
    two_and_one,
)
from airwrit.web.server.workspace import asked_of
from tests.browser.serving import NOW
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, known_of

AXIS = Axis(date(2024, 1, 1), date(2028, 1, 1), DAY)
MET, NOT, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN
EMPTY = state_of([], DAY, KNOWN_AT)


def lane(*parts: tuple[str, str, Verdict | None]) -> Lane:
    """A lane of stretches told as first day, day after the last, verdict."""
    return Lane(
        "Mark", tuple(LaneSpan(date.fromisoformat(a), date.fromisoformat(b), v, None) for a, b, v in parts)
    )


def drawn(one: Lane) -> list[tuple[str, str, str]]:
    """What is drawn of a lane."""
    return [(kind, str(start), str(until)) for kind, start, until in life_of(one, AXIS).stretches]


def test_what_holds_now_is_thick_to_this_day_and_thin_to_its_post() -> None:
    one = lane(("2024-01-01", "2027-02-10", MET), ("2027-02-10", "2028-01-01", NOT))
    assert drawn(one) == [("held", "2024-01-01", "2026-11-26"), ("holds", "2026-11-26", "2027-02-10")]
    assert life_of(one, AXIS).posts == (date(2027, 2, 9),)
    assert not life_of(one, AXIS).goes_on


def test_days_to_come_that_will_not_hold_are_bare_paper() -> None:
    one = lane(("2024-01-01", "2026-11-20", MET), ("2026-11-20", "2028-01-01", NOT))
    assert drawn(one)[1] == ("broken", "2026-11-20", "2026-11-26")


def test_stretches_of_one_verdict_are_one() -> None:
    one = lane(
        ("2024-01-01", "2025-01-01", NOT),
        ("2025-01-01", "2026-01-01", NOT),
        ("2026-01-01", "2028-01-01", MET),
    )
    assert [part[0] for part in drawn(one)] == ["broken", "held", "holds"]
    assert life_of(one, AXIS).goes_on


@pytest.mark.parametrize("verdict", [None, Verdict.NOT_APPLICABLE])
def test_nothing_asked_or_on_record_is_bare_paper(verdict: Verdict | None) -> None:
    one = lane(("2024-01-01", "2028-01-01", verdict))
    assert drawn(one) == []
    assert lane_rows([one], AXIS, EMPTY, {}) == ()


def test_the_renewal_window_lies_under_the_registration_alone() -> None:
    window = Window(date(2026, 8, 1), date(2027, 1, 31))
    parts = lane(("2024-01-01", "2028-01-01", MET)).stretches
    rows = lane_rows([Lane("Registration", parts), Lane("Mark", parts)], AXIS, EMPTY, {}, window)
    kinds = [[part.kind for part in row.life.stretches] for row in rows]
    assert kinds == [["renew", "held", "holds"], ["held", "holds"]]


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ([("2024-01-01", "2028-01-01", MET)], "Continues past this page."),
        ([("2024-01-01", "2027-02-10", MET), ("2027-02-10", "2028-01-01", NOT)], "Until 2027-02-09."),
        (
            [("2024-01-01", "2025-01-01", NOT), ("2025-01-01", "2028-01-01", MET)],
            "Continues past this page. Not OK until 2024-12-31.",
        ),
        (
            [
                ("2024-01-01", "2025-01-01", MET),
                ("2025-01-01", "2025-01-02", OPEN),
                ("2025-01-02", "2025-02-01", NOT),
                ("2025-02-01", "2028-01-01", MET),
            ],
            "Continues past this page. Can't tell yet on 2025-01-01. Not OK from 2025-01-02 to 2025-01-31.",
        ),
        ([("2024-01-01", "2026-10-01", MET), ("2026-10-01", "2028-01-01", NOT)], "Since 2026-10-01: "),
        ([("2024-01-01", "2026-10-01", MET), ("2026-10-01", "2028-01-01", None)], "Nothing on record."),
    ],
)
def test_the_words_say_the_same_days(parts: list[tuple[str, str, Verdict | None]], says: str) -> None:
    (row,) = lane_rows([lane(*parts)], AXIS, EMPTY, {})
    assert row.says == says


def test_many_spans_are_counted() -> None:
    days = [date(2024, 1, 1) + timedelta(days=30 * n) for n in range(12)]
    parts = [
        (str(a), str(b), NOT if number % 2 == 0 else MET)
        for number, (a, b) in enumerate(itertools.pairwise(days))
    ]
    (row,) = lane_rows([lane(*parts, (str(days[-1]), "2028-01-01", MET))], AXIS, EMPTY, {})
    assert row.says.endswith(" 4 more such spans before that.")


def test_a_real_life_is_told_by_its_findings() -> None:
    known = known_of(firm_aircraft("H-01", "FA00TEST01", "2024-02-10"))
    axis = four_years(DAY)
    lanes = lanes_of(known, "aircraft/H-01", DaySpan(axis.start, axis.until), KNOWN_AT)
    rows = {
        row.name: row
        for row in lane_rows(lanes, axis, state_of(known, DAY, KNOWN_AT), {"Registration": "s4"})
    }
    registration = rows["Registration"]
    assert registration.anchor == "s4"
    assert registration.says == "Until 2027-02-09."
    assert [turn.word for turn in registration.turns] == [
        "nothing on record",
        "OK",
        "can't tell yet",
        "not OK",
    ]
    assert [str(turn.last) for turn in registration.turns] == [
        "2024-02-09",
        "2027-02-09",
        "2027-02-10",
        "None",
    ]
    assert lane_json(registration)["stretches"][1] == {
        "from": "2024-02-10",
        "to": "2027-02-09",
        "verdict": "met",
        "why": "",
    }


def test_turns_follow_one_another() -> None:
    known = known_of(firm_aircraft("H-01", "FA00TEST01", "2024-02-10"))
    for one in lanes_of(known, "aircraft/H-01", DaySpan(AXIS.start, AXIS.until), KNOWN_AT):
        turns = turns_of(one, AXIS, state_of(known, DAY, KNOWN_AT))
        for before, after in itertools.pairwise(turns):
            assert before.last is not None
            assert after.start == before.last + timedelta(days=1)
        assert turns[-1].last is None


@pytest.mark.parametrize(
    ("on", "start", "until"),
    [
        (date(2026, 11, 25), date(2024, 1, 1), date(2028, 1, 1)),
        (date(2026, 1, 1), date(2023, 4, 1), date(2027, 4, 1)),
        (date(2026, 12, 31), date(2024, 1, 1), date(2028, 1, 1)),
    ],
)
def test_four_years_begin_with_a_quarter(on: date, start: date, until: date) -> None:
    assert four_years(on) == Axis(start, until, on)


def test_recency_looks_back_24_calendar_months() -> None:
    assert two_and_one(date(2026, 11, 25)) == Axis(date(2024, 11, 1), date(2027, 11, 1), date(2026, 11, 25))


def test_the_axis_turns_the_sheet_to_the_first_day_of_a_quarter() -> None:
    made = str(quarter_axis(AXIS, asked_of({}, NOW), "/aircraft/H%2001"))
    assert len(re.findall("<a ", made)) == 16
    assert 'href="/aircraft/H%2001?on=2024-04-01"' in made
    assert made.count("<line") == 1


def test_every_second_half_year_is_shaded() -> None:
    assert str(bands(AXIS)).count("<rect") == 4
