"""A standing that takes over what an earlier one found says exactly what one judged anew says."""

from __future__ import annotations

from datetime import timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.verdict import Why
from airwrit.demo.workbook import write_demo, write_demo_house
from airwrit.facts.choices import MarkPlace
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import LISTED_SERIAL, MARK_PLACE, MARK_TEXT
from airwrit.facts.keys.flights.log import DEFECT_SEEN
from airwrit.facts.keys.paper import COVERS_ALL
from airwrit.facts.keys.person import LEFT_ON
from airwrit.facts.state import Held, State, with_held
from airwrit.facts.vocabulary import ALL_KEYS, TABLES
from airwrit.house.rules import read_house
from airwrit.intake.sheets import read_sheets
from airwrit.law.rule import Rule
from tests.unit.answers.told import DAY, KNOWN_AT, known_of


@cache
def demo() -> tuple[State, tuple[Rule, ...], Standing]:
    """The invented program: its state, its house rules, and how it stands."""
    with TemporaryDirectory() as folder:
        sheet, rules = Path(folder) / "a.xlsx", Path(folder) / "a.toml"
        write_demo(sheet, DAY)
        write_demo_house(rules)
        state = state_of(read_sheets([sheet]).known, DAY, KNOWN_AT)
        house = tuple(read_house([rules]).rules)
    return state, house, standing(state, DAY, KNOWN_AT, house=house)


def places() -> list[tuple[str, Key[Any]]]:
    """Every fact that is held."""
    return [(subject, key) for subject, facts in demo()[0].held.items() for key in facts]


def values_of(key: Key[Any]) -> list[Held]:
    """What is held of a key anywhere, and what may be wrong with it."""
    found = [facts[key] for facts in demo()[0].held.values() if key in facts]
    return [*found, Held(None, Why.CONFLICT), Held(None, Why.DAMAGED)]


@st.composite
def changes(draw: st.DrawFn) -> dict[str, dict[Key[Any], Held]]:
    """A few facts of the program held otherwise: as another subject holds them, contradicted or damaged."""
    found: dict[str, dict[Key[Any], Held]] = {}
    for _ in range(draw(st.integers(1, 3))):
        subject, key = draw(st.sampled_from(places()))
        kind = subject.partition("/")[0]
        subject = draw(st.sampled_from([one for one in demo()[0].held if one.startswith(f"{kind}/")]))
        found.setdefault(subject, {})[key] = draw(st.sampled_from(values_of(key)))
    return found


@given(changes())
def test_it_says_what_judging_anew_says(made: dict[str, dict[Key[Any], Held]]) -> None:
    state, house, base = demo()
    after = with_held(state, made)
    anew = standing(after, DAY, KNOWN_AT, house=house)
    taken = standing(after, DAY, KNOWN_AT, house=house, like=base)
    assert taken.report.findings == anew.report.findings
    assert taken.rows == anew.rows
    assert taken.due == anew.due
    assert taken.gaps == anew.gaps
    assert taken.left == anew.left


def test_a_fact_gone_is_a_fact_changed() -> None:
    state, house, base = demo()
    for subject, key in places():
        facts = {name: held for name, held in state.held[subject].items() if name is not key}
        after = State(DAY, KNOWN_AT, {**state.held, subject: facts})
        if (subject, key)[1] in (LISTED_SERIAL, MARK_PLACE, LEFT_ON):
            anew = standing(after, DAY, KNOWN_AT, house=house)
            taken = standing(after, DAY, KNOWN_AT, house=house, like=base)
            assert taken.report.findings == anew.report.findings


def test_only_what_hangs_on_a_change_is_judged_again() -> None:
    state, house, base = demo()
    subject = state.subjects("aircraft")[0]
    after = with_held(state, {subject: {MARK_PLACE: Held(MarkPlace.NOT_MARKED), MARK_TEXT: Held("X")}})
    taken = standing(after, DAY, KNOWN_AT, house=house, like=base).review
    assert taken.anew == frozenset({subject})
    before = base.review.findings
    assert all(mine is before[one] for one, mine in taken.findings.items() if one != subject)
    anew = {
        mine.rule.name for mine in taken.findings[subject] if not any(mine is one for one in before[subject])
    }
    assert {"marked_outside", "mark_shows_number"} <= anew
    assert len(anew) < len(before[subject]) / 2


def test_other_house_rules_are_all_asked() -> None:
    state, house, base = demo()
    for other in ((), house[:-1], house[::-1]):
        anew = standing(state, DAY, KNOWN_AT, house=other)
        taken = standing(state, DAY, KNOWN_AT, house=other, like=base)
        assert taken.report.findings == anew.report.findings
        assert taken.rows == anew.rows


def test_another_day_takes_nothing_over() -> None:
    state, house, base = demo()
    later = State(DAY.replace(year=DAY.year + 3), KNOWN_AT, state.held)
    anew = standing(later, later.on, KNOWN_AT, house=house)
    assert standing(later, later.on, KNOWN_AT, house=house, like=base).report.findings == anew.report.findings


def test_what_is_known_on_another_day_is_judged_anew() -> None:
    """An aircraft whose certificate was still to come when it was first judged."""
    state, house, base = demo()
    later = KNOWN_AT + timedelta(days=400)
    moved = State(DAY, later, state.held)
    anew = standing(moved, DAY, later, house=house)
    taken = standing(moved, DAY, later, house=house, like=base)
    assert taken.review.anew is None
    assert taken.report.findings == anew.report.findings


def test_one_that_was_passed_over_is_looked_at_once_more_is_said_of_it() -> None:
    """A defect told of a flight after the landing; a paper of which it is told later that it covers all."""
    state, house, _ = demo()
    plain: dict[str, dict[str, Raw]] = {
        "flight/plain": {"flight_aircraft": "K", "flown_on": "2026-10-01"},
        "paper/plain": {"paper_kind": "insurance policy", "covers_aircraft": "K", "ends_on": "2027-01-01"},
        "aircraft/K": {"used_for": "work"},
    }
    told = state_of(known_of(plain), DAY, KNOWN_AT)
    before = State(DAY, KNOWN_AT, {**state.held, **told.held})
    base = standing(before, DAY, KNOWN_AT, house=house)
    fresh: dict[str, dict[Key[Any], Held]] = {
        "flight/plain": {DEFECT_SEEN: Held("crack in an arm")},
        "paper/plain": {COVERS_ALL: Held(value=True)},
    }
    for subject, facts in fresh.items():
        after = with_held(before, {subject: facts})
        anew = standing(after, DAY, KNOWN_AT, house=house)
        assert anew.report.findings != base.report.findings
        assert standing(after, DAY, KNOWN_AT, house=house, like=base).report.findings == anew.report.findings


def test_whatever_more_is_said_of_a_subject_is_seen() -> None:
    state, house, base = demo()
    for key in ALL_KEYS:
        subject = next(iter(state.subjects(TABLES[key.table])), None)
        if subject is None or key in state.held[subject]:
            continue
        value = next((facts[key] for facts in state.held.values() if key in facts), Held(None, Why.DAMAGED))
        after = with_held(state, {subject: {key: value}})
        anew = standing(after, DAY, KNOWN_AT, house=house)
        taken = standing(after, DAY, KNOWN_AT, house=house, like=base)
        assert taken.report.findings == anew.report.findings, key.name
