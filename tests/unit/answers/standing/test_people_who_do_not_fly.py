"""Nobody but a pilot is asked for a certificate, and whoever has left is not judged."""

from __future__ import annotations

import pytest

from airwrit.answers.standing.headline import Headline
from airwrit.facts.key import Raw
from tests.unit.answers.told import fleet


@pytest.mark.parametrize("role", ["visual observer", "instructor", "office", "other, not flying"])
def test_of_whoever_is_no_pilot_nothing_is_missing(role: str) -> None:
    answer = fleet({"person/Dana": {"crew_role": role, "flies_for": "work"}})
    assert [row.headline for row in answer.rows] == [Headline.NOT_JUDGED]
    assert answer.gaps == ()


@pytest.mark.parametrize("told", [{"crew_role": "pilot"}, {"role": "visual observer"}, {}])
def test_a_pilot_is_asked(told: dict[str, Raw]) -> None:
    answer = fleet({"person/Dana": {"flies_for": "work", **told}})
    assert [row.headline for row in answer.rows] == [Headline.CANT_SAY]
    assert {gap.key.name for gap in answer.gaps} >= {"has_certificate"}


def test_whoever_has_left_stands_apart_with_or_without_the_day() -> None:
    answer = fleet(
        {"person/Dana": {"has_left": True}, "person/Lee": {"has_left": True, "left_on": "2026-01-05"}}
    )
    assert answer.rows == ()
    assert [(subject, str(day)) for subject, day in answer.left] == [
        ("person/Dana", "None"),
        ("person/Lee", "2026-01-05"),
    ]


def test_who_will_leave_is_still_judged() -> None:
    assert len(fleet({"person/Dana": {"has_left": True, "left_on": "2027-01-05"}}).rows) == 1
    assert len(fleet({"person/Dana": {"has_left": False}}).rows) == 1
