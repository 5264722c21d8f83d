"""The fields of a flight said by hand: both sides of each limit, every wrong field named, nothing but a value or a problem."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import parse_when
from airwrit.facts.choices import UsedFor
from airwrit.intake.typed.flight import FIELDS, Flown, flown_of

GOOD: dict[str, Any] = {"aircraft": "H-03", "pilot": "Ivo Brask", "landed": "2026-11-25T10:20-05:00"}


def test_the_least_and_the_most_that_can_be_said() -> None:
    assert flown_of(GOOD, "x")[0] == Flown("H-03", "Ivo Brask", parse_when("2026-11-25T10:20-05:00"))
    more = {
        "minutes": 14.5,
        "landings": "2",
        "packs": ["P1", " P2,P1"],
        "defect": " a\ncrack ",
        "use": "work",
    }
    assert flown_of({**GOOD, **more, "nth": 1}, "x")[0] == Flown(
        "H-03",
        "Ivo Brask",
        parse_when("2026-11-25T10:20-05:00"),
        Decimal("14.5"),
        Decimal(2),
        ("P1", "P2"),
        "a crack",
        UsedFor.WORK,
    )


@pytest.mark.parametrize(
    ("field", "value", "is_good"),
    [
        ("aircraft", "", False),
        ("aircraft", "A" * 100, True),
        ("aircraft", "A" * 101, False),
        ("pilot", None, False),
        ("pilot", 7, False),
        ("landed", "2026-11-25", True),
        ("landed", "2026-11-25T10:20", False),
        ("landed", "1999-12-31", False),
        ("landed", "2000-01-01", True),
        ("landed", "2026-02-30", False),
        ("minutes", "0", False),
        ("minutes", "0.5", True),
        ("minutes", 1440, True),
        ("minutes", 1441, False),
        ("minutes", "NaN", False),
        ("minutes", "1e9", False),
        ("minutes", True, False),
        ("minutes", "", True),
        ("landings", 500, True),
        ("landings", 501, False),
        ("landings", "1.5", False),
        ("packs", ["P"] * 60, True),
        ("packs", [f"P{n}" for n in range(24)], True),
        ("packs", [f"P{n}" for n in range(25)], False),
        ("packs", "P" * 41, False),
        ("packs", {"a": 1}, False),
        ("defect", "x" * 500, True),
        ("defect", "x" * 501, False),
        ("use", "recreation", True),
        ("use", "work and recreation", False),
        ("use", "fun", False),
        ("nth", 0, False),
        ("tail", "1", False),
    ],
)
def test_a_field_on_both_sides_of_its_limit(field: str, value: Any, is_good: bool) -> None:
    flown, problems = flown_of({**GOOD, field: value}, "flight 3")
    assert (flown is not None) is is_good
    if not is_good:
        (problem,) = problems
        assert problem.where.startswith("flight 3")
        assert field in problem.where + problem.what
        assert problem.do
        assert problem.unread


def test_every_wrong_field_is_named_at_once() -> None:
    flown, problems = flown_of({"minutes": -1, "landed": "soon"}, "flight 1")
    assert flown is None
    assert {problem.where for problem in problems} == {
        "flight 1 aircraft",
        "flight 1 pilot",
        "flight 1 landed",
        "flight 1 minutes",
    }


@pytest.mark.parametrize("text", ["none", "No.", "nil", "none  seen"])
def test_no_defect_is_no_defect(text: str) -> None:
    flown, _ = flown_of({**GOOD, "defect": text}, "x")
    assert flown is not None
    assert flown.defect == ""


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=8,
)


@given(st.dictionaries(st.sampled_from(FIELDS) | st.text(max_size=8), ANYTHING, max_size=9))
def test_anything_gives_a_flight_or_problems(fields: dict[str, Any]) -> None:
    flown, problems = flown_of(fields, "x")
    assert (flown is None) == bool(problems)
