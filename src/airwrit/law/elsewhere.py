"""Flights under law that is outside this tool: public agencies, Part 91, 135 and 137, other States, the armed forces."""

from __future__ import annotations

from airwrit.base.findings import Outcome, Verdict, Why
from airwrit.facts.aircraft import ARMED_FORCES, FLOWN_ABROAD, FOREIGN_REGISTRY, ONLY_INDOORS, OPERATED_UNDER
from airwrit.facts.state import Facts
from airwrit.facts.words import OperatedUnder
from airwrit.law.carriage import AGRICULTURAL
from airwrit.law.judging import no_duty, unknown
from airwrit.law.parameters import Law, Param, parameter, span_of
from airwrit.law.weight import small_aircraft_limit

HEAVY = parameter("law_of_heavy_aircraft", str)
PUBLIC = parameter("law_of_public_aircraft", str)
CARRIERS = parameter("law_of_air_carriers", str)
FORCES = parameter("law_of_armed_forces", str)
FOREIGN = parameter("law_of_foreign_aircraft", str)

_STATED = {
    OperatedUnder.PUBLIC_COA: "public_coa",
    OperatedUnder.PART_91: "part_91",
    OperatedUnder.PART_135: "part_135",
    OperatedUnder.PART_137: "part_137",
    OperatedUnder.FOREIGN: "abroad",
}


def operating_rules(facts: Facts, law: Law) -> Outcome:
    """Whether the rules its flights are made under are ones this tool judges: Part 107 and the recreational exception."""
    other = facts.on_file(OPERATED_UNDER)
    if other is not None:
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


def _elsewhere(code: str, law: Law) -> Outcome:
    """Outside this tool; the law it names is noted where it was read for the day."""
    named = _law_named(code)
    if named is not None and span_of(named, law.day) is not None:
        law.span(named)
    return unknown(Why.OUTSIDE_THIS_TOOL, code)


def _law_named(code: str) -> Param[str] | Param[bool] | None:
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
