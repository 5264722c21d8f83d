"""How high recreation may fly: 400 ft, another ceiling, or what an authorization allows. 49 USC 44809(a)(5), (a)(6)."""

from __future__ import annotations

from decimal import Decimal

from airwrit.base.measured import compared
from airwrit.base.verdict import Outcome, Verdict
from airwrit.facts.keys.flights.airspace import AIRSPACE_CLASS, FLIGHT_AUTHORIZATION
from airwrit.facts.keys.flights.limits import OTHER_CEILING
from airwrit.facts.state import Facts
from airwrit.law.flight.airspace import CONTROLLED, covered
from airwrit.law.flight.regime import height_of
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import no_duty

HEIGHT_LIMIT_FT = parameter("recreational_height_limit_ft", int)
OTHER_CEILINGS = parameter("recreational_other_ceilings", bool)


def recreational_ceiling(facts: Facts, law: Law) -> Outcome:
    """Whether the greatest height above ground is inside the ceiling of recreation; in controlled airspace it has none.

    From 2024-05-16 the ceiling is another one where the FAA set it, and an authorization may go above it.
    """
    limit, other_ceilings = Decimal(law[HEIGHT_LIMIT_FT]), law[OTHER_CEILINGS]
    airspace = facts.on_file(AIRSPACE_CLASS)
    if airspace in CONTROLLED:
        return no_duty("controlled")
    ceiling = facts.on_file(OTHER_CEILING) if other_ceilings else None
    flat = compared(height_of(facts), limit if ceiling is None else ceiling, "ft", limit_itself=True)
    if flat.verdict is Verdict.MET or not facts.has(FLIGHT_AUTHORIZATION):
        return flat
    if not other_ceilings and facts[AIRSPACE_CLASS] not in CONTROLLED:
        return flat
    authorized = covered(facts, facts.linked(FLIGHT_AUTHORIZATION))
    return flat if authorized.verdict is Verdict.NOT_MET else authorized._replace(value=flat.value)
