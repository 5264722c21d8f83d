"""Batteries: what on file speaks against flying with one, its cycles, and what is left of its capacity."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.base.days import parse_when
from airwrit.base.measured import Measured
from airwrit.base.verdict import Undecided
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import Facts
from airwrit.facts.statement import Known, Statement
from airwrit.law.aircraft.battery import battery_cycles, capacity_left
from tests.unit.law.case import KNOWN_AT, TODAY, Case, Given, case, check, person

RULE = "battery_fit"


def battery(**facts: Raw) -> Given:
    """A battery."""
    return Given("battery/B-1", {"battery_chemistry": "LiPo", **facts})


def flight(name: str, flown: str, minutes: str | None = "20", aircraft: str = "A", **facts: Raw) -> Given:
    """A flight with the battery."""
    told: dict[str, Raw] = {"flight_aircraft": aircraft, "flown_on": flown, "packs": "B-1", **facts}
    return Given(f"flight/{name}", told if minutes is None else {**told, "minutes": minutes})


def asked(verdict: str, code: str, *given: Given, on: str = TODAY, why: str = "") -> Case:
    """The battery with what is on file beside it."""
    return case(RULE, verdict, code, on, *given, why=why)


_CLEARED = {"battery_damaged_on": "2026-11-20", "battery_cleared_by": "P"}
CASES = [
    asked("not_applicable", "nothing_against", battery()),
    case(
        RULE, "not_applicable", "not_asked", TODAY, battery(swelling=True), moved=("condition_check", False)
    ),
    asked("not_met", "swollen", battery(swelling=True)),
    asked("not_applicable", "nothing_against", battery(swelling=False)),
    asked("not_met", "damaged", battery(battery_damaged_on="2026-11-24")),
    asked("not_applicable", "nothing_against", battery(battery_damaged_on="2026-11-25")),
    asked("not_met", "damaged", battery(battery_damaged_on="2026-11-20", battery_cleared_on="2026-11-25")),
    asked(
        "not_applicable",
        "nothing_against",
        battery(battery_damaged_on="2026-11-20", battery_cleared_on="2026-11-24"),
    ),
    asked(
        "unknown",
        "cleared_before",
        battery(battery_damaged_on="2026-11-20", battery_cleared_on="2026-11-19"),
        why="conflict",
    ),
    asked(
        "not_applicable",
        "nothing_against",
        battery(battery_damaged_on="2026-11-20", battery_cleared_on="2026-11-20"),
    ),
    asked(
        "unknown",
        "cleared_by_someone_gone",
        battery(**_CLEARED, battery_cleared_on="2026-11-22"),
        person(left_on="2026-11-21"),
        why="conflict",
    ),
    asked(
        "not_applicable",
        "nothing_against",
        battery(**_CLEARED, battery_cleared_on="2026-11-22"),
        person(left_on="2026-11-23"),
    ),
    asked("not_applicable", "retired", battery(battery_retired_on="2026-11-24", swelling=True)),
    asked("not_met", "swollen", battery(battery_retired_on="2026-11-25", swelling=True)),
    asked("not_applicable", "shipped", battery(battery_shipped_on="2026-11-24")),
    asked(
        "unknown",
        "flown_since_retired",
        battery(battery_retired_on="2026-11-20"),
        flight("1", "2026-11-21"),
        why="conflict",
    ),
    asked("not_applicable", "retired", battery(battery_retired_on="2026-11-20"), flight("1", "2026-11-20")),
    asked(
        "unknown",
        "flown_since_shipped",
        battery(battery_shipped_on="2026-11-20"),
        flight("1", "2026-11-21"),
        why="conflict",
    ),
    asked(
        "unknown",
        "in_two_places",
        battery(),
        flight("1", "2026-11-20T10:20Z"),
        flight("2", "2026-11-20T10:39Z", aircraft="B"),
        why="conflict",
    ),
    asked(
        "not_applicable",
        "nothing_against",
        battery(),
        flight("1", "2026-11-20T10:20Z"),
        flight("2", "2026-11-20T10:40Z", aircraft="B"),
    ),
    asked(
        "not_applicable",
        "nothing_against",
        battery(),
        flight("1", "2026-11-20T10:20Z"),
        flight("2", "2026-11-20T10:21Z"),
    ),
    asked(
        "not_applicable",
        "nothing_against",
        battery(),
        flight("1", "2026-11-20"),
        flight("2", "2026-11-20", aircraft="B"),
    ),
    asked(
        "unknown",
        "in_two_places",
        battery(),
        flight("1", "2026-11-20T12:00Z", minutes="120"),
        flight("2", "2026-11-20T10:30Z", minutes="10"),
        flight("3", "2026-11-20T11:30Z", minutes="10", aircraft="B"),
        why="conflict",
    ),
    # A flight whose length nobody told is passed over, those after it are not.
    asked(
        "unknown",
        "in_two_places",
        battery(),
        flight("0", "2026-11-20T09:00Z", minutes=None),
        flight("1", "2026-11-20T10:20Z"),
        flight("2", "2026-11-20T10:39Z", aircraft="B"),
        why="conflict",
    ),
    # However many minutes are typed, no flight counts as longer than a day.
    asked(
        "not_applicable",
        "nothing_against",
        battery(),
        flight("1", "2026-11-20T12:00Z", minutes="9999"),
        flight("2", "2026-11-19T12:00Z", aircraft="B"),
    ),
    asked(
        "not_applicable",
        "nothing_against",
        battery(),
        flight("1", "2026-11-20T12:00:30Z", minutes="9999"),
        flight("2", "2026-11-19T12:00Z", aircraft="B"),
    ),
    asked(
        "unknown",
        "in_two_places",
        battery(),
        flight("1", "2026-11-20T12:00Z", minutes="9999"),
        flight("2", "2026-11-19T12:00:30Z", aircraft="B"),
        why="conflict",
    ),
    # A flight still to come says nothing of today.
    asked(
        "not_applicable",
        "nothing_against",
        battery(),
        flight("1", "2026-11-25T10:20Z"),
        flight("2", "2026-11-25T10:39Z", aircraft="B"),
    ),
]


@pytest.mark.parametrize("line", CASES, ids=[line.name for line in CASES])
def test_the_rule(line: Case) -> None:
    check(line)


def facts_of(*given: Given, on: str = TODAY) -> Facts:
    """The battery as a rule sees it."""
    known = [Known(Statement(g.subject, name, value)) for g in given for name, value in g.facts.items()]
    return Facts(state_of(known, parse_when(on), KNOWN_AT), "battery/B-1")


@pytest.mark.parametrize(
    ("given", "cycles"),
    [
        ((battery(),), (0, 0)),
        ((battery(), flight("1", "2026-11-20"), flight("2", "2026-11-20")), (2, 2)),
        ((battery(), flight("1", "2026-11-25")), (0, 0)),
        ((battery(), flight("1", "2026-11-20", packs="B-2, B-1")), (1, 1)),
        ((battery(), flight("1", "2026-11-20", packs="B-10")), (0, 0)),
        ((battery(cycles_read="80", cycles_read_on="2026-11-20"), flight("1", "2026-11-19")), (80, 80)),
        ((battery(cycles_read="80", cycles_read_on="2026-11-20"), flight("1", "2026-11-20")), (80, 81)),
        ((battery(cycles_read="80", cycles_read_on="2026-11-20"), flight("1", "2026-11-21")), (81, 81)),
        ((battery(cycles_read="80", cycles_read_on="2026-11-25"), flight("1", "2026-11-21")), (1, 1)),
        ((battery(cycles_read="80", cycles_read_on="2026-11-24"), flight("1", "2026-11-21")), (80, 80)),
        ((battery(), Given("flight/plan", {"packs": "B-1"})), (0, 0)),
        # what is planned, or still to come, keeps none of the others from being counted
        ((battery(), Given("flight/plan", {"packs": "B-1"}), flight("1", "2026-11-20")), (1, 1)),
        ((battery(), flight("1", "2026-11-25"), flight("2", "2026-11-20")), (1, 1)),
    ],
)
def test_cycles(given: tuple[Given, ...], cycles: tuple[int, int]) -> None:
    low, high = (Decimal(one) for one in cycles)
    assert battery_cycles(facts_of(*given)) == Measured(low, low, high)


@pytest.mark.parametrize(
    "given",
    [
        (battery(cycles_read="80"),),
        (battery(), Given("flight/1", {"packs": "B-1", "minutes": "20"})),
    ],
)
def test_cycles_that_cannot_be_told(given: tuple[Given, ...]) -> None:
    with pytest.raises(Undecided):
        battery_cycles(facts_of(*given))


def test_capacity_left() -> None:
    assert capacity_left(facts_of(battery(capacity_new_mah="5000", capacity_measured_mah="4000"))).best == 80
    for facts in ({"capacity_new_mah": "5000"}, {"capacity_new_mah": "0", "capacity_measured_mah": "1"}):
        with pytest.raises(Undecided):
            capacity_left(facts_of(battery(**facts)))
