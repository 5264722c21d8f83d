"""Flights under law that is outside this tool: public agencies, Part 91, 135 and 137, other States, the armed forces."""

from __future__ import annotations

from typing import Any

from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import OperatedUnder
from airwrit.facts.keys.aircraft import (
    ARMED_FORCES,
    FLOWN_ABROAD,
    FOREIGN_REGISTRY,
    ONLY_INDOORS,
    OPERATED_UNDER,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.weight import is_small, small_aircraft_limit, weight_on_file_g
from airwrit.law.parameters import Law, Param, parameter, span_of
from airwrit.law.rule import Bears, Rule, no_duty, unknown

AGRICULTURAL = parameter("agricultural_part_137", bool)
HEAVY = parameter("law_of_heavy_aircraft", str)
PUBLIC = parameter("law_of_public_aircraft", str)
CARRIERS = parameter("law_of_air_carriers", str)
FORCES = parameter("law_of_armed_forces", str)
FOREIGN = parameter("law_of_foreign_aircraft", str)

UNDER_PART_107 = (OperatedUnder.PART_107, OperatedUnder.PART_137)
"""Law under which Part 107 binds: Part 137 comes on top of it for an aircraft of less than 55 lb."""

_STATED = {
    OperatedUnder.PUBLIC_COA: "public_coa",
    OperatedUnder.PART_91: "part_91",
    OperatedUnder.PART_135: "part_135",
    OperatedUnder.PART_137: "part_137",
    OperatedUnder.FOREIGN: "abroad",
}


def operating_rules(facts: Facts, law: Law) -> Outcome:
    """Whether it flies under rules that we check: Part 107 or the recreational exception."""
    other = facts.on_file(OPERATED_UNDER)
    if other is not None and other is not OperatedUnder.PART_107:
        return _elsewhere(_STATED[other], law)
    for key, code in (
        (ONLY_INDOORS, "indoors"),
        (FOREIGN_REGISTRY, "foreign"),
        (FLOWN_ABROAD, "abroad"),
        (ARMED_FORCES, "armed_forces"),
    ):
        if facts.on_file(key):
            return _elsewhere(code, law)
    small = small_aircraft_limit(facts, law)
    if small.verdict is Verdict.NOT_MET:
        return _elsewhere("heavy", law)._replace(value=small.value)
    if small.verdict is Verdict.UNKNOWN:
        return small
    return no_duty("flight_by_flight")


OPERATING_RULES_RULE = Rule("operating_rules", "aircraft", Bears.FLIGHT, operating_rules)


def beyond_part_107(aircraft: Facts, law: Law, under: OperatedUnder | None) -> Outcome | None:
    """Why Part 107 does not reach what this aircraft does, so that none of its limits is kept or broken; None where it does.

    `under` is the law stated for the one flight; where nothing is, what is stated of the aircraft counts. An aircraft
    never weighed is taken as small: its registration and its own rules ask for the weight.
    """
    stated = aircraft.on_file(OPERATED_UNDER) if under is None else under
    if stated is not None and stated not in UNDER_PART_107:
        return unknown(Why.OUTSIDE_THIS_TOOL, "other_law")
    for key in (ONLY_INDOORS, FOREIGN_REGISTRY, ARMED_FORCES):
        if aircraft.on_file(key):
            return unknown(Why.OUTSIDE_THIS_TOOL, "other_law")
    weight = weight_on_file_g(aircraft)
    if weight is None:
        return None
    small = is_small(weight, law)
    if small.verdict is Verdict.NOT_MET:
        return unknown(Why.OUTSIDE_THIS_TOOL, "heavy_flight", value=small.value)
    if small.verdict is Verdict.UNKNOWN:
        return small._replace(code="perhaps_heavy")
    return None


def _elsewhere(code: str, law: Law) -> Outcome:
    """Outside this tool, unless the law of the day names none; what it names is noted where it was read for the day."""
    named = _law_named(code)
    if named is not None and span_of(named, law.day) is not None and not law[named]:
        return no_duty("flight_by_flight")
    return unknown(Why.OUTSIDE_THIS_TOOL, code)


def _law_named(code: str) -> Param[Any] | None:
    """The parameter that names the law behind a code; None for another State's law and closed buildings."""
    if code == "public_coa":
        return PUBLIC
    if code == "part_135":
        return CARRIERS
    if code == "part_137":
        return AGRICULTURAL
    if code == "foreign":
        return FOREIGN
    if code == "armed_forces":
        return FORCES
    return HEAVY if code in ("heavy", "part_91") else None
