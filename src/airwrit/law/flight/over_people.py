"""Flight over people and over moving vehicles: 14 CFR 107.39, 107.110 to 107.145."""

from __future__ import annotations

from decimal import Decimal

from airwrit.base.measured import compared, grams_from_pounds
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import RemoteIdWay
from airwrit.facts.flight_choices import Category, OverAssembly, PeopleBelow, WaiverSection
from airwrit.facts.keys.aircraft import REMOTE_ID_WAY
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
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
from airwrit.facts.state import Facts
from airwrit.law.aircraft.weight import weight_as_flown_g
from airwrit.law.flight.regime import either, part_107_flight, unless_waived, waived
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_met, unknown

BARRED = parameter("over_people_barred", bool)
CATEGORIES = parameter("over_people_categories", bool)
CATEGORY_1_WEIGHT = parameter("category_1_weight_lb", Decimal)
CATEGORY_1_PARTS = parameter("category_1_no_cutting_parts", bool)
CATEGORY_2 = parameter("category_2_on_declaration", bool)
CATEGORY_2_INJURY = parameter("category_2_injury_ft_lb", int)
CATEGORY_3 = parameter("category_3_places", bool)
CATEGORY_3_INJURY = parameter("category_3_injury_ft_lb", int)
CATEGORY_4 = parameter("category_4_by_certificate", bool)
LABEL_READABLE = parameter("category_label_readable", bool)
ASSEMBLY_REMOTE_ID = parameter("assembly_needs_remote_id", bool)
VEHICLES_BY_CATEGORY = parameter("over_moving_vehicles_by_category", bool)

_SAFE_BELOW = {
    PeopleBelow.NOBODY: "nobody",
    PeopleBelow.PARTICIPANTS: "participants",
    PeopleBelow.SHELTERED: "sheltered",
    PeopleBelow.PARKED: "parked",
}


def over_people(facts: Facts, law: Law) -> Outcome:
    """Whether everyone below takes part or has shelter. If not, whether a category or waiver allows the flight."""
    free = part_107_flight(facts, law, BARRED)
    if free is not None:
        return free
    safe = _SAFE_BELOW.get(facts[PEOPLE_BELOW])
    if safe is not None:
        return met(safe)
    if not law[CATEGORIES]:
        return waived(WaiverSection.PEOPLE, facts, law) or not_met("no_category_then")
    opened = all_hold(lambda: _by_category(facts, law))
    return unless_waived(opened, WaiverSection.PEOPLE, facts, law)


OVER_PEOPLE_RULE = Rule("over_people", "flight", Bears.ANSWER, over_people, own=(BARRED, CATEGORIES))


def _by_category(facts: Facts, law: Law) -> Outcome:
    category = facts[CATEGORY]
    if category is Category.ONE:
        return all_hold(lambda: _light(facts, law), lambda: _cuts_nobody(facts, law))
    if category is Category.TWO:
        return _declared(facts, law)
    if category is Category.THREE:
        return all_hold(lambda: _declared(facts, law), lambda: _category_3_place(facts, law))
    if category is Category.FOUR:
        return _certificated(facts, law)
    return not_met("no_category")


def _light(facts: Facts, law: Law) -> Outcome:
    limit = grams_from_pounds(law[CATEGORY_1_WEIGHT])
    light = compared(weight_as_flown_g(facts.linked(FLIGHT_AIRCRAFT)), limit, "g", limit_itself=True)
    code = {Verdict.MET: "category_1", Verdict.NOT_MET: "too_heavy"}.get(light.verdict, "weight_in_doubt")
    return light._replace(code=code)


def _cuts_nobody(facts: Facts, law: Law) -> Outcome:
    if law[CATEGORY_1_PARTS] and facts[CUTTING_PARTS]:
        return not_met("cutting_parts")
    return met("category_1")


def _declared(facts: Facts, law: Law) -> Outcome:
    if not law[CATEGORY_2]:
        return not_met("no_category")
    return all_hold(
        lambda: not_met("cutting_parts") if facts.on_file(CUTTING_PARTS) else met("declared"),
        lambda: met("declared") if facts[CATEGORY_DECLARED] else not_met("not_declared"),
        lambda: met("declared") if not law[LABEL_READABLE] or facts[CATEGORY_LABEL] else not_met("no_label"),
    )


def _category_3_place(facts: Facts, law: Law) -> Outcome:
    if not law[CATEGORY_3]:
        return met("category_3")
    if facts[OVER_ASSEMBLY] is not OverAssembly.NONE:
        return not_met("category_3_assembly")
    if either(lambda: facts[CLOSED_SITE], lambda: not facts[SUSTAINED]):
        return met("category_3")
    return not_met("category_3_sustained")


def _certificated(facts: Facts, law: Law) -> Outcome:
    if not law[CATEGORY_4]:
        return not_met("no_category")
    if not facts[FLIGHT_CERTIFICATED]:
        return not_met("no_airworthiness_certificate")
    return unknown(Why.OUTSIDE_THIS_TOOL, "flight_manual")


def open_air_assembly_remote_id(facts: Facts, law: Law) -> Outcome:
    """Whether sustained flight over an open-air assembly has working Remote ID, built in or by module."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    if not law[ASSEMBLY_REMOTE_ID]:
        return no_duty("no_category_then")
    if facts[OVER_ASSEMBLY] is not OverAssembly.SUSTAINED:
        return no_duty("no_assembly")
    if facts[BROADCASTS] is False:
        return not_met("silent")
    if facts.linked(FLIGHT_AIRCRAFT)[REMOTE_ID_WAY] in (RemoteIdWay.STANDARD, RemoteIdWay.MODULE):
        return met("broadcasts")
    return not_met("other_way")


OPEN_AIR_ASSEMBLY_REMOTE_ID_RULE = Rule(
    "open_air_assembly_remote_id",
    "flight",
    Bears.ANSWER,
    open_air_assembly_remote_id,
    own=(ASSEMBLY_REMOTE_ID,),
)


def over_moving_vehicles(facts: Facts, law: Law) -> Outcome:
    """Whether a category and the site, or a waiver, allow a flight over people in moving vehicles."""
    free = part_107_flight(facts, law, BARRED)
    if free is not None:
        return free
    by_category = law[VEHICLES_BY_CATEGORY]
    if not facts[OVER_VEHICLES]:
        return no_duty("no_vehicles")
    if not by_category:
        return waived(WaiverSection.PEOPLE, facts, law) or not_met("no_category_then")
    opened = all_hold(lambda: _by_category(facts, law), lambda: _vehicle_place(facts))
    return unless_waived(opened, WaiverSection.VEHICLES, facts, law)


OVER_MOVING_VEHICLES_RULE = Rule(
    "over_moving_vehicles", "flight", Bears.ANSWER, over_moving_vehicles, own=(VEHICLES_BY_CATEGORY,)
)


def _vehicle_place(facts: Facts) -> Outcome:
    if either(lambda: facts[CLOSED_SITE], lambda: not facts[SUSTAINED_VEHICLES]):
        return met("over_vehicles")
    return not_met("sustained_over_vehicles")
