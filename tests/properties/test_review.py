"""What a review leaves standing after a change is what judging everything anew finds, down to the looks of every finding."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.verdict import Why
from airwrit.demo.workbook import write_demo, write_demo_house
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import LISTED_SERIAL, REMOTE_ID_SERIAL
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.log import DEFECT_SEEN
from airwrit.facts.keys.paper import COVERS_ALL
from airwrit.facts.keys.registration import OWNER_DIED_ON, REGISTERED_TO
from airwrit.facts.state import Held, State
from airwrit.facts.vocabulary import kind_of
from airwrit.house.rules import read_house
from airwrit.intake.sheets import read_sheets
from airwrit.law.rule import Review, Rule, review
from airwrit.law.rulebook import RULES
from tests.unit.answers.told import DAY, firm_aircraft, known_of

KNOWN_AT = datetime(2026, 11, 25, tzinfo=UTC)
KEPT = 3
"""Subjects of each kind of the invented program."""

Facts = Mapping[str, Mapping[Key[Any], Held]]
Change = tuple[str, Key[Any], Held | None]


@cache
def house() -> tuple[Rule, ...]:
    """The house rules of the invented program."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "a.toml"
        write_demo_house(path)
        return tuple(read_house([path]).rules)


@cache
def rules_about(kind: str) -> tuple[Rule, ...]:
    """Every rule about a kind of subject, of the law and of the house."""
    return tuple(rule for rule in (*RULES, *house()) if rule.about == kind)


@cache
def program() -> Facts:
    """Some of the invented program, with flights, parts, papers and an accident: what every kind of look comes upon."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "a.xlsx"
        write_demo(path, DAY)
        known = read_sheets([path]).known
    more: dict[str, dict[str, Raw]] = {
        **firm_aircraft("K", "FA00TEST21", "2025-03-01", scale_error_g="1"),
        "part/1": {"part_of": "K", "part_weight_g": "20"},
        "flight/1": {"flight_aircraft": "K", "flown_on": "2026-10-01", "flight_under": "Part 107"},
        "flight/2": {"flight_aircraft": "K", "kept_in_sight": False},
        "paper/1": {"paper_kind": "insurance policy", "covers_aircraft": "K", "ends_on": "2027-01-01"},
        "incident/1": {"incident_aircraft": "K", "happened_on": "2026-10-02"},
        "cell/1": {"cell_of": "1", "cell_number_ft": "200"},
    }
    held = state_of([*known, *known_of(more)], DAY, KNOWN_AT).held
    counts: dict[str, int] = {}
    found: dict[str, Mapping[Key[Any], Held]] = {}
    for subject, facts in held.items():
        counts[kind_of(subject)] = counts.get(kind_of(subject), 0) + 1
        if counts[kind_of(subject)] <= KEPT or subject in more:
            found[subject] = facts
    return found


def asked(held: Facts) -> Mapping[str, tuple[Rule, ...]]:
    """Every rule, of every subject held or pointed at."""
    subjects = dict.fromkeys(held)
    for mine in held.values():
        for key, one in mine.items():
            if key.links_to and one.value is not None:
                subjects.setdefault(f"{key.links_to}/{one.value}")
    return {subject: rules_about(kind_of(subject)) for subject in subjects}


def changed(held: Facts, changes: Sequence[Change]) -> Facts:
    """What is held once some facts are held otherwise or no longer; those left alone stay the very same."""
    found = dict(held)
    for subject, key, value in changes:
        mine = dict(found.get(subject, {}))
        mine.pop(key, None)
        if value is not None:
            mine[key] = value
        found[subject] = mine
        if not mine:
            del found[subject]
    return found


@cache
def values_of(key: Key[Any]) -> list[Held | None]:
    """What is held of a key anywhere, what may be wrong with it, and nothing."""
    found = [facts[key] for facts in program().values() if key in facts]
    bad = [Held(found[0].value, why) for why in (Why.CONFLICT, Why.DAMAGED, Why.WITHIN_DOUBT)]
    return [*found, *bad, None]


@st.composite
def changes(draw: st.DrawFn) -> list[Change]:
    """Facts of the program held otherwise, as another subject of the kind holds them, badly, or no longer; or a subject new."""
    places = [(kind_of(subject), key) for subject, facts in program().items() for key in facts]
    found: list[Change] = []
    for _ in range(draw(st.integers(1, 4))):
        kind, key = draw(st.sampled_from(places))
        names = [one for one in program() if kind_of(one) == kind]
        found.append(
            (draw(st.sampled_from([*names, f"{kind}/new"])), key, draw(st.sampled_from(values_of(key))))
        )
    return found


def same(kept: Review, anew: Review) -> None:
    """That two reviews found the same, in the same order, by the same looks and readings of the law."""
    assert list(kept.findings) == list(anew.findings)
    for subject, findings in anew.findings.items():
        for one, other in zip(kept.findings[subject], findings, strict=True):
            assert one == other
    assert kept.state.clashes == anew.state.clashes


@given(st.lists(changes(), min_size=1, max_size=3))
def test_a_review_that_goes_on_finds_what_a_review_of_all_finds(steps: list[list[Change]]) -> None:
    held = program()
    kept = review(State(DAY, KNOWN_AT, held), DAY, asked(held))
    for step in steps:
        held = changed(held, step)
        state = State(DAY, KNOWN_AT, held)
        kept = review(state, DAY, asked(held), kept)
        same(kept, review(state, DAY, asked(held)))


@pytest.mark.parametrize(
    ("change", "reaches"),
    [
        pytest.param(
            ("flight/1", FLIGHT_AIRCRAFT, Held("K", Why.DAMAGED)),
            None,
            id="a link that can no longer be read",
        ),
        pytest.param(("flight/1", DEFECT_SEEN, Held("crack")), {"aircraft/K"}, id="one that was passed over"),
        pytest.param(("paper/1", COVERS_ALL, Held(value=True)), None, id="one that now covers all"),
        pytest.param(
            ("registration/FA00TEST21", REGISTERED_TO, Held("Other")),
            {"registration/FA00TEST21", "aircraft/K"},
            id="a link two steps off",
        ),
    ],
)
def test_a_change_reaches_whom_it_bears_on(change: Change, reaches: set[str] | None) -> None:
    """None: every aircraft."""
    held = program()
    first = review(State(DAY, KNOWN_AT, held), DAY, asked(held))
    after = changed(held, [change])
    again = first.again([change[:2]], State(DAY, KNOWN_AT, after))
    aircraft = {one for one in held if kind_of(one) == "aircraft"}
    assert (aircraft if reaches is None else reaches) <= again.keys()
    if reaches is not None:
        assert again.keys() & aircraft == reaches & aircraft
    same(
        review(State(DAY, KNOWN_AT, after), DAY, asked(after), first),
        review(State(DAY, KNOWN_AT, after), DAY, asked(after)),
    )


def test_an_owner_reached_through_a_certificate_reaches_its_aircraft() -> None:
    held = changed(program(), [("registration/FA00TEST21", REGISTERED_TO, Held("Holder"))])
    first = review(State(DAY, KNOWN_AT, held), DAY, asked(held))
    after = changed(held, [("owner/Holder", OWNER_DIED_ON, Held(DAY))])
    assert "aircraft/K" in first.again([("owner/Holder", OWNER_DIED_ON)], State(DAY, KNOWN_AT, after))


def test_a_serial_listed_elsewhere_reaches_the_aircraft_that_broadcasts_it() -> None:
    held = program()
    serial = "ZZ9Z6TEST77"
    held = changed(
        held,
        [("aircraft/K", REMOTE_ID_SERIAL, Held(serial)), ("aircraft/K", LISTED_SERIAL, Held("ZZ9Z6TEST78"))],
    )
    first = review(State(DAY, KNOWN_AT, held), DAY, asked(held))
    other = next(one for one in held if kind_of(one) == "aircraft" and one != "aircraft/K")
    after = State(DAY, KNOWN_AT, changed(held, [(other, LISTED_SERIAL, Held(serial))]))
    assert "aircraft/K" in first.again([(other, LISTED_SERIAL)], after)
    same(review(after, DAY, asked(after.held), first), review(after, DAY, asked(after.held)))
