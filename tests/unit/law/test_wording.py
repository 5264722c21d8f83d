"""What words are made of: the fact that is missing, and the looks where silence was read as "nothing on file"."""

from __future__ import annotations

from datetime import date

from airwrit.law.wording import missing_fact, provenance, shown, silences
from tests.unit.law.case import TODAY, Case, aircraft, case, judged

LEGIBLE, PLACE = "mark_legible", "mark_place"
HEAVY = {"takeoff_weight_g": "900", "scale_error_g": "0", "used_for": "work"}


def mark(verdict: str, code: str, why: str = "", **facts: bool | str) -> Case:
    """Whether an aircraft is marked."""
    return case("marked_outside", verdict, code, TODAY, aircraft("A", **HEAVY, **facts), why=why)


def test_a_silence_is_a_look_at_what_nobody_said() -> None:
    finding, state = judged(mark("met", "outside", mark_place="outside"))
    assert LEGIBLE in [one.key.name for one in silences(finding, state)]
    finding, state = judged(mark("met", "outside", mark_place="outside", mark_legible=True))
    assert LEGIBLE not in [one.key.name for one in silences(finding, state)]
    assert PLACE not in [one.key.name for one in silences(finding, state)]


def test_what_is_missing_is_the_fact_that_left_it_open() -> None:
    finding, state = judged(mark("unknown", PLACE, "missing"))
    found = missing_fact(finding, state)
    assert found is not None
    assert (found.subject, found.key.name) == ("aircraft/A", PLACE)
    finding, state = judged(mark("not_met", "not_marked", mark_place="not marked"))
    assert missing_fact(finding, state) is None


def test_values_are_shown_as_they_are_read() -> None:
    assert [shown(value) for value in (None, True, False, date(2026, 1, 2), "a")] == [
        "?",
        "yes",
        "no",
        "2026-01-02",
        "a",
    ]


def test_what_a_finding_was_read_from_is_told_where_law_was_read() -> None:
    finding, _ = judged(mark("met", "outside", mark_place="outside"))
    assert provenance(finding)
    assert provenance(finding._replace(law=())) == ""
