"""What falls due, when it opens, and what no day can be said for."""

from __future__ import annotations

from datetime import date

from airwrit.answers.due.deadlines import deadlines_json, deadlines_of
from airwrit.answers.registration.fees import fees_of
from airwrit.base.verdict import Verdict
from tests.unit.answers.told import firm_aircraft, fleet


def test_a_renewal_has_two_days() -> None:
    (one,) = deadlines_of(fleet(firm_aircraft("Alder 1", "FA00TEST01", "2025-11-15"))).due
    assert (one.opens, one.day, one.overdue) == (date(2028, 5, 1), date(2028, 10, 31), False)
    assert one.name == "registration_in_term registration/FA00TEST01"


def test_an_open_window_has_no_first_day_to_come() -> None:
    (one,) = deadlines_of(fleet(firm_aircraft("Alder 1", "FA00TEST01", "2024-01-15"))).due
    assert (one.opens, one.day) == (None, date(2026, 12, 31))


def test_what_is_overdue() -> None:
    answer = deadlines_of(fleet(firm_aircraft("Alder 1", "FA00TEST01", "2023-11-20")))
    (one,) = answer.due
    assert (one.overdue, one.day, answer.verdict) == (True, date(2026, 11, 20), Verdict.NOT_MET)


def test_within_days_keeps_what_is_overdue() -> None:
    answer = fleet(
        {
            **firm_aircraft("Alder 1", "FA00TEST01", "2023-11-20"),
            **firm_aircraft("Alder 2", "FA00TEST02", "2024-01-15"),
            **firm_aircraft("Alder 3", "FA00TEST03", "2025-11-15"),
        }
    )
    assert [len(deadlines_of(answer, days).due) for days in (None, 36, 35, 0)] == [3, 2, 1, 1]


def test_a_day_that_cannot_be_said_is_told() -> None:
    told = firm_aircraft("Alder 1", "FA00TEST01", "2025-11-15")
    del told["registration/FA00TEST01"]["issued_on"]
    answer = deadlines_of(fleet(told))
    assert answer.due == ()
    assert [(one.subject, one.rule) for one in answer.undated] == [
        ("aircraft/Alder 1", "registration_in_term")
    ]
    assert answer.verdict is Verdict.UNKNOWN


def test_the_document() -> None:
    answer = fleet(firm_aircraft("Alder 1", "FA00TEST01", "2025-11-15"))
    document = deadlines_json(deadlines_of(answer), fees_of(answer))
    assert document["verdict"] == "met"
    assert document["due"][0]["opens"] == "2028-05-01"
    assert "48.100(c)" in document["due"][0]["cites"]
    assert document["fees"]["total_usd"] == "5"
