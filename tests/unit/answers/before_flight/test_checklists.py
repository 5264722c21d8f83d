"""Checklists of the program: those of the model apply, a line nobody ticked is unknown, another edition is ticked again."""

from __future__ import annotations

from typing import Any

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode, FlightCheck, fact_of
from airwrit.answers.before_flight.checklists import checklists_for, ticks_typed
from airwrit.answers.before_flight.plan import PLANNED
from airwrit.answers.before_flight.typed import ticked
from airwrit.answers.before_flight.view import answers_text
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from tests.unit.answers.before_flight.planning import PROGRAM, check, plan, program, verdict_of

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


NAMING: dict[str, Any] = {
    **LIST,
    "checklist_Sarvo 4 preflight": {
        **LIST["checklist_Sarvo 4 preflight"],
        "checklist_lines": "Lights on [lights_lit] [lights_visible_sm=3]\nNobody below [people_below=nobody]\n"
        "Case [A] shut [no_fact]",
    },
}


def naming(*typed: str, **but: Raw | None) -> FlightCheck:
    """The check with lines that name facts; some are ticked, and what the lines name was not told by itself."""
    without = {"lights_lit": None, "lights_visible_sm": None, "people_below": None, **but}
    given = program(without, **NAMING)
    told = [ticked(plan(), given, typed)] if typed else []
    return check(plan(), given.with_told([*given.told, *told]))


def owed(found: FlightCheck) -> set[str]:
    return {fact_of(need) for need in found.owed}


def test_a_tick_confirms_the_facts_its_line_names() -> None:
    assert owed(naming()) == {"people_below"}
    assert owed(naming("2")) == set()
    found = naming("1-3")
    assert found.whole is FlightAnswerCode.NOTHING_AGAINST
    lines = found.checklists[0].checklist.lines
    assert [line.text for line in lines] == ["Lights on", "Nobody below", "Case [A] shut [no_fact]"]
    assert [[one.key for one in line.confirms] for line in lines] == [
        ["lights_lit", "lights_visible_sm"],
        ["people_below"],
        [],
    ]
    assert answers_text(lines[1]).startswith("Also confirms: ")


def test_an_answer_by_itself_outweighs_a_tick() -> None:
    found = naming("1-3", people_below="people who take no part and are not sheltered")
    assert verdict_of(found, "over_people") != "met"


def test_a_line_that_names_another_fact_is_ticked_again() -> None:
    before = naming("1-3")
    lists = {**NAMING["checklist_Sarvo 4 preflight"], "checklist_lines": LINES}
    after = checklists_for(naming().standing_state, "aircraft/Fern 1")
    assert before.checklists[0].checklist.digest == after[0].digest
    other = program(**{**NAMING, "checklist_Sarvo 4 preflight": lists})
    assert checklists_for(check(plan(), other).standing_state, "aircraft/Fern 1")[0].digest != after[0].digest
