"""Checklists of the program: those of the model apply, a line nobody ticked is unknown, another edition is ticked again."""

from __future__ import annotations

from typing import Any

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode, FlightCheck
from airwrit.answers.before_flight.checklists import checklists_for, ticks_typed
from airwrit.answers.before_flight.plan import PLANNED
from airwrit.answers.before_flight.typed import ticked
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from tests.unit.answers.before_flight.planning import PROGRAM, check, plan, program

LINES = "Props tight\nBattery latched; Lights lit"
LIST: dict[str, dict[str, Raw]] = {
    "aircraft_Fern 1": {**PROGRAM["aircraft/Fern 1"], "model": "Sarvo 4"},
    "checklist_Sarvo 4 preflight": {
        "checklist_model": "sarvo 4",
        "checklist_edition": "3",
        "checklist_lines": LINES,
    },
    "checklist_Another": {"checklist_model": "Lodrel", "checklist_lines": "Never asked"},
}


def with_list(told: list[Known] | None = None, **changed: dict[str, Raw]) -> FlightCheck:
    facts: dict[str, Any] = {**LIST, **changed}
    found = program(**facts)
    return check(given=found.with_told([*found.told, *(told or [])]))


def ticks(*typed: str) -> Known:
    facts: dict[str, Any] = LIST
    return ticked(plan(), program(**facts), typed)


def test_a_line_that_nobody_ticked_leaves_the_answer_open() -> None:
    found = with_list()
    assert [one.checklist.name for one in found.checklists] == ["Sarvo 4 preflight"]
    assert [line.text for line in found.checklists[0].checklist.lines] == [
        "Props tight",
        "Battery latched",
        "Lights lit",
    ]
    assert found.verdict is Verdict.UNKNOWN
    assert found.whole is FlightAnswerCode.CONFIRM_FIRST
    assert found.left == 1


def test_all_lines_ticked_settle_the_checklist_and_nothing_else() -> None:
    without, found = check(), with_list([ticks("1-2", "3")])
    assert found.checklists[0].verdict is Verdict.MET
    assert found.verdict is without.verdict
    assert with_list([ticks("1,3")]).checklists[0].left == 1


def test_ticks_for_another_edition_count_for_nothing() -> None:
    newer = {**LIST["checklist_Sarvo 4 preflight"], "checklist_edition": "4"}
    found = with_list([ticks("all")], **{"checklist_Sarvo 4 preflight": newer})
    assert found.checklists[0].has_changed
    assert found.checklists[0].left == 3


def test_a_list_for_no_model_is_for_every_aircraft() -> None:
    found = with_list(checklist_Firm={"checklist_lines": "Vests on"})
    assert [one.checklist.name for one in found.checklists] == ["Firm", "Sarvo 4 preflight"]
    assert [line.number for one in found.checklists for line in one.checklist.lines] == [1, 2, 3, 4]


@pytest.mark.parametrize("typed", ["0", "4", "2-1", "x", "", "1-9999"])
def test_what_names_no_line_is_refused(typed: str) -> None:
    lists = with_list().checklists
    with pytest.raises(UsageError, match="has no line"):
        ticks_typed([typed], [one.checklist for one in lists])


def test_ticks_of_an_empty_program_are_none() -> None:
    with pytest.raises(UsageError, match="no lines"):
        ticks_typed(["1"], ())
    assert checklists_for(_nothing(), "aircraft/Fern 1") == ()


def _nothing() -> State:
    return check().standing_state


def test_ticks_are_a_fact_of_the_flight() -> None:
    item = ticks("1")
    assert item.statement[:2] == Statement(PLANNED, "checklist_ticked", "")[:2]
    assert str(item.statement.value).startswith("Sarvo 4 preflight, edition 3 (")
