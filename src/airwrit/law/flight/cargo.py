"""What a flight carries and drops: agricultural dispensing (Part 137) and hazardous material (14 CFR 107.36)."""

from __future__ import annotations

from airwrit.base.verdict import Outcome, Why
from airwrit.facts.flight_choices import Dispensed
from airwrit.facts.keys.flights.limits import DISPENSES, HAZARDOUS
from airwrit.facts.state import Facts
from airwrit.law.flight.regime import part_107_flight
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, met, no_duty, not_asked, not_met, unknown

AGRICULTURAL = parameter("agricultural_part_137", bool)
HAZARDOUS_BARRED = parameter("hazardous_material_barred", bool)

_DISPENSED = {
    Dispensed.SEED: "plants",
    Dispensed.NOURISHMENT: "plants",
    Dispensed.POISON: "poison",
    Dispensed.WATER: "water",
    Dispensed.OTHER: "other_substance",
}


def agricultural_certificate(facts: Facts, law: Law) -> Outcome:
    """Whether what it drops or sprays makes it an agricultural operation. We don't check Part 137."""
    free = not_asked(law, AGRICULTURAL)
    if free is not None:
        return free
    code = _DISPENSED.get(facts[DISPENSES])
    if code is not None:
        return unknown(Why.OUTSIDE_THIS_TOOL, code)
    return no_duty("insects" if facts[DISPENSES] is Dispensed.INSECTS else "nothing_dispensed")


AGRICULTURAL_CERTIFICATE_RULE = Rule(
    "agricultural_certificate", "flight", Bears.ANSWER, agricultural_certificate, own=(AGRICULTURAL,)
)


def hazardous_material(facts: Facts, law: Law) -> Outcome:
    """Whether the flight carries hazardous material."""
    free = part_107_flight(facts, law, HAZARDOUS_BARRED)
    if free is not None:
        return free
    if not facts.has(HAZARDOUS) and _may_be_hazardous(facts.on_file(DISPENSES)):
        return unknown(Why.OUTSIDE_THIS_TOOL, "product")
    return not_met("carried") if facts[HAZARDOUS] else met("none_carried")


HAZARDOUS_MATERIAL_RULE = Rule(
    "hazardous_material", "flight", Bears.ANSWER, hazardous_material, own=(HAZARDOUS_BARRED,)
)


def _may_be_hazardous(dispensed: Dispensed | None) -> bool:
    return dispensed is Dispensed.POISON or dispensed is Dispensed.NOURISHMENT
