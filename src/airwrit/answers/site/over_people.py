"""Over people: which of the four categories are open to an aircraft at a site, what each still needs, and the energy of a hit.

Each category is judged by the rules of a flight themselves, over people who take no part and have no shelter. A declaration
and a label count for the one category they are told for. An energy worked out opens nothing: the law's test is an injury.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.days import When, day_of
from airwrit.base.errors import BadFact
from airwrit.base.measured import Measured, exact, kinetic_energy_j, weighed, with_error
from airwrit.base.verdict import Undecided, Verdict, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import Category, PeopleBelow, WaiverSection
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import REMOTE_ID_WAY, SCALE_ERROR, TAKEOFF_WEIGHT
from airwrit.facts.keys.flights.airspace import WAIVER_WANTED
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.limits import GROUND_SPEED, SPEED_ERROR
from airwrit.facts.keys.flights.over_people import (
    BROADCASTS,
    CATEGORY,
    CATEGORY_DECLARED,
    CATEGORY_LABEL,
    CLOSED_SITE,
    CUTTING_PARTS,
    FLIGHT_CERTIFICATED,
    OVER_ASSEMBLY,
    OVER_VEHICLES,
    PEOPLE_BELOW,
    SUSTAINED,
    SUSTAINED_VEHICLES,
)
from airwrit.facts.state import Facts, State
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import TABLES
from airwrit.law.aircraft.weight import weight_on_file_g
from airwrit.law.flight.over_people import (
    CATEGORY_2_INJURY,
    CATEGORY_3_INJURY,
    OPEN_AIR_ASSEMBLY_REMOTE_ID_RULE,
    OVER_MOVING_VEHICLES_RULE,
    OVER_PEOPLE_RULE,
)
from airwrit.law.flight.waivers import WAIVER_POSSIBLE_RULE
from airwrit.law.parameters import Law
from airwrit.law.rule import Finding, judge

TELLS: tuple[Key[Any], ...] = (
    PEOPLE_BELOW,
    TAKEOFF_WEIGHT,
    SCALE_ERROR,
    GROUND_SPEED,
    SPEED_ERROR,
    CUTTING_PARTS,
    CATEGORY,
    CATEGORY_DECLARED,
    CATEGORY_LABEL,
    FLIGHT_CERTIFICATED,
    OVER_ASSEMBLY,
    REMOTE_ID_WAY,
    BROADCASTS,
    CLOSED_SITE,
    SUSTAINED,
    OVER_VEHICLES,
    SUSTAINED_VEHICLES,
)
"""What may be told, in the order it is asked."""

WAYS = (Category.ONE, Category.TWO, Category.THREE, Category.FOUR)
_OF_ONE_CATEGORY = (CATEGORY_DECLARED, CATEGORY_LABEL)
_RULES = (OVER_PEOPLE_RULE, OPEN_AIR_ASSEMBLY_REMOTE_ID_RULE, OVER_MOVING_VEHICLES_RULE)
_FLIGHT, _AIRCRAFT = "flight/flight", "aircraft/A"
_KNOWN_AT = datetime(9999, 12, 31, tzinfo=UTC)

Told = Mapping[Key[Any], Raw]


class CategoryWay(NamedTuple):
    """A category with what the rules find of the flight under it, and the state they looked at."""

    category: Category
    findings: tuple[Finding, ...]
    state: State

    @property
    def verdict(self) -> Verdict:
        """Whether the category opens the flight."""
        return worst_of({one.verdict for one in self.findings} - {Verdict.NOT_APPLICABLE})


class ImpactEnergy(NamedTuple):
    """The kinetic energy with the mass and speed it is of, and the law's two comparisons (None where the day has none)."""

    mass_g: Measured
    speed_kt: Measured
    energy_j: Measured
    category_2_ft_lb: int | None
    category_3_ft_lb: int | None


@dataclass(frozen=True, slots=True)
class OverPeopleAnswer:
    """Who is below, each category, the sections a waiver can be asked for, and the energy where it can be worked out."""

    on: When
    told: Told
    below: Finding
    state: State
    ways: tuple[CategoryWay, ...]
    waivable: tuple[WaiverSection, ...]
    energy: ImpactEnergy | None

    @property
    def is_safe(self) -> bool:
        """Whether nobody unprotected is below, in a moving vehicle or else."""
        needs_a_way = self.told.get(PEOPLE_BELOW) == PeopleBelow.OTHERS
        return self.below.verdict is Verdict.MET and not needs_a_way and self.told.get(OVER_VEHICLES) is False

    @property
    def verdict(self) -> Verdict:
        """Met where nobody unprotected is below or a category opens it; not met where none can."""
        found = {way.verdict for way in self.ways}
        if self.is_safe or Verdict.MET in found:
            return Verdict.MET
        needed = self.told.get(PEOPLE_BELOW) == PeopleBelow.OTHERS or self.told.get(OVER_VEHICLES) is True
        return Verdict.NOT_MET if needed and found == {Verdict.NOT_MET} else Verdict.UNKNOWN


@cache
def sentences() -> Mapping[str, Mapping[str, str]]:
    """The words of the answer."""
    return tomllib.loads(Path(__file__).with_name("over_people.toml").read_text(encoding="utf-8"))


def over_people_of(told: Told, on: When) -> OverPeopleAnswer:
    """The answer to what was told, by the law of the day. BadFact for a speed below zero."""
    for key in (GROUND_SPEED, SPEED_ERROR):
        if (_number(told, key) or 0) < 0:
            raise BadFact(f"{key.meaning} is below zero", do="write it like 15 m/s")
    day = day_of(on)
    state = _state(told, on)
    sections = (WaiverSection.PEOPLE, WaiverSection.VEHICLES)
    waivable = [
        section
        for section in sections
        if _judged(WAIVER_POSSIBLE_RULE, _state({**told, WAIVER_WANTED: section.value}, on)).verdict
        is Verdict.MET
    ]
    return OverPeopleAnswer(
        on,
        told,
        judge(OVER_PEOPLE_RULE, state, _FLIGHT, UsedFor.WORK, day),
        state,
        tuple(_way(category, told, on) for category in WAYS),
        tuple(waivable),
        _energy(told, on),
    )


def told_of(state: State, aircraft: str) -> Told:
    """What is on record of an aircraft that the answer asks: its weight as flown with its doubt, and how it does Remote ID."""
    found: dict[Key[Any], Raw] = {}
    facts = Facts(state, f"aircraft/{aircraft}")
    with suppress(Undecided):
        weight = weight_on_file_g(facts)
        if weight is not None:
            found[TAKEOFF_WEIGHT] = format(weight.best, "f")
            found[SCALE_ERROR] = format(weight.high - weight.best, "f")
    with suppress(Undecided):
        way = facts.on_file(REMOTE_ID_WAY)
        if way is not None:
            found[REMOTE_ID_WAY] = way.value
    return found


def _judged(rule: Any, state: State) -> Finding:
    return judge(rule, state, _FLIGHT, UsedFor.WORK, day_of(state.on))


def _way(category: Category, told: Told, on: When) -> CategoryWay:
    """A category over people who are not protected; what is told of another category's papers does not count for it."""
    mine = {key: raw for key, raw in told.items() if key not in _OF_ONE_CATEGORY}
    if told.get(CATEGORY) == category:
        mine.update((key, told[key]) for key in _OF_ONE_CATEGORY if key in told)
    state = _state({**mine, CATEGORY: category.value, PEOPLE_BELOW: PeopleBelow.OTHERS.value}, on)
    return CategoryWay(category, tuple(_judged(rule, state) for rule in _RULES), state)


def _state(told: Told, on: When) -> State:
    statements = [Statement(_FLIGHT, FLIGHT_AIRCRAFT.name, _AIRCRAFT.partition("/")[2])]
    for key, raw in told.items():
        subject = _AIRCRAFT if TABLES[key.table] == "aircraft" else _FLIGHT
        statements.append(Statement(subject, key.name, raw))
    return state_of([Known(one) for one in statements], on, _KNOWN_AT)


def _energy(told: Told, on: When) -> ImpactEnergy | None:
    mass, speed = _number(told, TAKEOFF_WEIGHT), _number(told, GROUND_SPEED)
    if mass is None or speed is None:
        return None
    off = _number(told, SPEED_ERROR)
    mass_g = weighed(mass, _number(told, SCALE_ERROR))
    speed_kt = exact(speed) if off is None else with_error(speed, abs(off))
    law = Law(day_of(on))
    try:
        limits: tuple[int | None, int | None] = law[CATEGORY_2_INJURY], law[CATEGORY_3_INJURY]
    except Undecided:
        limits = None, None
    return ImpactEnergy(mass_g, speed_kt, kinetic_energy_j(mass_g, speed_kt), *limits)


def _number(told: Told, key: Key[Decimal]) -> Decimal | None:
    raw = told.get(key)
    return None if raw is None else Decimal(str(raw))
