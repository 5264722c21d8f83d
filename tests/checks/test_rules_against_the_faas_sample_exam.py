"""Rules against the FAA's sample exam: 46 questions read in full, 14 of them answered (sample_exam/SOURCE.toml).

The outside value is the exam's right choice: facts that follow it are met, facts that follow a wrong choice are not.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.unit.law.case import TODAY, Given, case, outcome_of

TABLE: dict[str, Any] = tomllib.loads(
    (Path(__file__).parent / "sample_exam" / "questions.toml").read_text(encoding="utf-8")
)
CASES = [(question, told) for question in TABLE["questions"] for told in question["cases"]]


@pytest.mark.parametrize(
    ("question", "told"), CASES, ids=[f"{q['number']}-{told['rule']}-{told['verdict']}" for q, told in CASES]
)
def test_the_rule_says_what_the_exam_says(question: dict[str, Any], told: dict[str, Any]) -> None:
    given = [Given(subject, facts) for subject, facts in told["given"].items()]
    line = case(told["rule"], told["verdict"], "", told.get("on", TODAY), *given, use=told.get("use", "work"))
    assert outcome_of(line).verdict == told["verdict"], question["answer"]


def test_every_question_is_answered_or_listed() -> None:
    listed = [number for numbers in TABLE["no_rule"].values() for number in numbers]
    answered = [question["number"] for question in TABLE["questions"]]
    assert sorted(listed + answered) == list(range(1, 47))
    assert len(answered) == 14
