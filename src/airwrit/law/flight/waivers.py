"""What a waiver can be asked for, and the relief that Part 108 may bring. 14 CFR 107.205; 49 USC 44811."""

from __future__ import annotations

from airwrit.base.verdict import Outcome, Undecided, Why
from airwrit.facts.keys.flights.airspace import WAIVER_WANTED
from airwrit.facts.keys.flights.limits import FOR_HIRE
from airwrit.facts.state import Facts
from airwrit.law.flight.regime import part_107_flight
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, met, not_met

WAIVABLE = parameter("waivable_sections", tuple)
NOT_FOR_HIRE = parameter("not_waivable_for_hire", tuple)
PART_108 = parameter("part_108_in_force", bool)


def waiver_possible(facts: Facts, law: Law) -> Outcome:
    """Whether this rule can be waived for the flight. That doesn't mean you have a waiver."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    section, listed, not_for_hire = facts[WAIVER_WANTED].section, law[WAIVABLE], law[NOT_FOR_HIRE]
    if section not in listed:
        return not_met("not_listed")
    if section in not_for_hire and facts[FOR_HIRE]:
        return not_met("for_hire")
    return met("listed")


WAIVER_POSSIBLE_RULE = Rule("waiver_possible", "flight", Bears.ANSWER, waiver_possible, own=(WAIVABLE,))


def part_108_relief(facts: Facts, law: Law) -> Outcome:
    """Whether rules for flying beyond line of sight were in force on that day."""
    del facts
    if law[PART_108]:
        raise Undecided(Why.LAW_NOT_READ, PART_108.name)
    return not_met("not_in_force")


PART_108_RELIEF_RULE = Rule("part_108_relief", "flight", Bears.ANSWER, part_108_relief, own=(PART_108,))
