"""Where a policy or a waiver lets a flight be: inside a box of degrees, or in States by name."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from pathlib import Path

from airwrit.base.verdict import Outcome
from airwrit.facts.keys.flights.authority import (
    FLIGHT_EAST,
    FLIGHT_NORTH,
    FLIGHT_SOUTH,
    FLIGHT_STATES,
    FLIGHT_WEST,
)
from airwrit.facts.state import Facts
from airwrit.law.flight.regime import either
from airwrit.law.rule import met, not_met


@cache
def _states() -> tuple[Mapping[str, str], Mapping[str, tuple[str, ...]]]:
    """The States by what they are called, in small letters; and the groups of States."""
    told = tomllib.loads(Path(__file__).with_name("states.toml").read_text(encoding="utf-8"))
    names: dict[str, str] = told["states"]
    groups = {
        group: tuple(name for code, name in names.items() if code not in without)
        for group, without in told["groups"].items()
    }
    by_code = {code.casefold(): name for code, name in names.items()}
    return {**by_code, **{name.casefold(): name for name in names.values()}}, groups


def states_meant(text: str) -> tuple[str, ...]:
    """The States that a word of a policy means: a name, two letters, or a group; () for what is none."""
    names, groups = _states()
    word = " ".join(text.casefold().split())
    return (names[word],) if word in names else groups.get(word, ())


def inside_box(edges: Sequence[Decimal], facts: Facts) -> Outcome:
    """Whether the whole of a flight lies inside a box; on its edge is inside. A point known to lie outside settles it."""
    south, north, west, east = edges
    checks = (
        lambda: facts[FLIGHT_SOUTH] < south,
        lambda: facts[FLIGHT_NORTH] > north,
        lambda: facts[FLIGHT_WEST] < west,
        lambda: facts[FLIGHT_EAST] > east,
    )
    return not_met("outside") if either(*checks) else met("inside")


def in_states(named: Sequence[str], facts: Facts) -> Outcome:
    """Whether every State that a flight is in is one of those named; what is no State is none of them."""
    covered = {state for value in named for state in states_meant(value)}
    told = facts[FLIGHT_STATES]
    names = [part.strip() for part in told.split(",") if part.strip()]
    meant = [states_meant(name) for name in names]
    inside = bool(names) and all(one and covered.issuperset(one) for one in meant)
    return met("inside", value=told) if inside else not_met("outside", value=told)
