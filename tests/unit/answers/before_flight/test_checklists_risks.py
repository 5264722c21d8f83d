"""The risk assessment: hazards in words before and after, approved by somebody, for this plan, until a day."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.checklists import assessment_of, hazards_typed
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.typed import approved, hazards_told
from airwrit.answers.before_flight.view import approval_text
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.statement import Known
from tests.unit.answers.before_flight.planning import plan, program

LINE = "Wires along the road | possible, fatal | observer at the pole | Unlikely, fatal"


def risky() -> FlightPlan:
    return plan(hazards=hazards_told([LINE, " "]))


def told(by: str, until: date | None = None) -> list[Known]:
    return approved(by, until)


def test_a_line_is_read_into_words_before_and_after() -> None:
    one = hazards_typed([LINE])[0]
    assert (one.what, one.done) == ("Wires along the road", "observer at the pole")
    assert (one.before.likelihood.value, one.after.likelihood.value) == ("possible", "unlikely")
    assert hazards_typed([one.line]) == (one,)


@pytest.mark.parametrize(
    "line",
    [
        "Wires",
        "a|b|c",
        "a | likely, fatal | b | likely",
        "a | often, fatal | b | likely, fatal",
        "|||",
        LINE * 9,
    ],
)
def test_what_is_no_hazard_is_refused(line: str) -> None:
    with pytest.raises(UsageError, match="hazards"):
        hazards_typed([line])
    with pytest.raises(UsageError, match="more than"):
        hazards_typed([LINE] * 41)


@pytest.mark.parametrize(
    ("said", "verdict", "text"),
    [
        ([], Verdict.UNKNOWN, "Nobody has approved it yet."),
        (told("Dot Wray"), Verdict.MET, "Approved by Dot Wray."),
        (told("Dot Wray", date(2026, 6, 10)), Verdict.MET, "Approved by Dot Wray through Jun 10, 2026."),
        (
            told("Dot Wray", date(2026, 6, 9)),
            Verdict.UNKNOWN,
            "Dot Wray's approval expired Jun 9, 2026. Get it approved again.",
        ),
    ],
)
def test_an_approval_holds_through_its_last_day(said: list[Known], verdict: Verdict, text: str) -> None:
    found = assessment_of(risky(), said)
    assert found is not None
    assert (found.verdict, approval_text(found)) == (verdict, text)


def test_the_document_tells_the_assessment_and_it_changes_no_verdict() -> None:
    given = program()
    bare, found = (flight_answer(one, given, None, None, 1) for one in (plan(), risky()))
    assert found.check.verdict is bare.check.verdict
    assert check_json(found)["risk"]["hazards"][0]["after"] == {"likelihood": "unlikely", "severity": "fatal"}
    assert check_json(bare)["risk"] is None
    assert risky().digest != plan().digest
