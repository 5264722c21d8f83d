"""Where a policy or a waiver lets a flight be: inside a box of degrees, in an area of its own, or in States by name."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from pathlib import Path

from airwrit.base.verdict import Outcome, Why
from airwrit.facts.keys.flights.authority import (
    FLIGHT_AREA,
    FLIGHT_EAST,
    FLIGHT_NORTH,
    FLIGHT_SOUTH,
    FLIGHT_STATES,
    FLIGHT_WEST,
)
from airwrit.facts.keys.program import TERRITORY_HOLDS, TERRITORY_MARGIN, TERRITORY_OF
from airwrit.facts.state import Facts
from airwrit.law.flight.regime import either
from airwrit.law.rule import met, not_met, unknown

_FEET_A_MILE, _MOST_MILES = 5280, 60


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


def inside_area(name: str, facts: Facts) -> Outcome:
    """Whether the whole of a flight lies in the area of the rule of a name, with its margin; on the edge is inside.

    The area is held against the flight before it is asked. Where that doesn't tell, or the saved site isn't on file, it is
    unknown.
    """
    facts[FLIGHT_AREA]
    mine = next((one for one in facts.linking(TERRITORY_OF) if one.subject == f"territory/{name}"), None)
    if mine is None:
        return unknown(Why.MISSING, "no_site")
    holds, margin = mine.on_file(TERRITORY_HOLDS), mine.on_file(TERRITORY_MARGIN)
    if holds is None:
        return unknown(Why.WITHIN_DOUBT, "too_close")
    if margin is None:
        return met("within") if holds else not_met("across")
    return met("inside", value=_far(margin)) if holds else not_met("outside", value=_far(margin))


def _far(feet: Decimal) -> str:
    """A distance in feet, from a mile on in miles to a tenth; great ones are told as more than a number of miles."""
    miles = feet / _FEET_A_MILE
    if miles < 1:
        return f"{feet:,.0f} ft"
    return f"{miles:,.1f} miles" if miles < _MOST_MILES else f"more than {_MOST_MILES} miles"


def in_states(named: Sequence[str], facts: Facts) -> Outcome:
    """Whether every State that a flight is in is one of those named; what is no State is none of them."""
    covered = {state for value in named for state in states_meant(value)}
    told = facts[FLIGHT_STATES]
    names = [part.strip() for part in told.split(",") if part.strip()]
    meant = [states_meant(name) for name in names]
    inside = bool(names) and all(one and covered.issuperset(one) for one in meant)
    return met("inside", value=told) if inside else not_met("outside", value=told)
