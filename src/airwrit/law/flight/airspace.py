"""Airspace, notices and the ceiling of recreation: 14 CFR 107.41 to 107.47, 99.7; 49 USC 44809(a)(5), (a)(6)."""

from __future__ import annotations

from decimal import Decimal
from functools import partial

from airwrit.base.measured import compared
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import AirspaceClass, GivenBy, WaiverSection
from airwrit.facts.keys.flights.airspace import (
    AIRSPACE_CLASS,
    AREA_PERMISSION,
    AUTHORIZED_HEIGHT,
    AUTHORIZED_PLACE,
    AUTHORIZES_FROM,
    AUTHORIZES_UNTIL,
    CELL_NUMBER,
    CELL_OF,
    FLIGHT_AUTHORIZATION,
    FLIGHT_PLACE,
    GIVEN_BY,
    NOTICE_AUTHORIZED,
    NOTICE_COVERS,
    RESTRICTED_AREA,
)
from airwrit.facts.keys.flights.authority import FLIGHT_ENDS, FLIGHT_STARTS, INSIDE_AUTHORIZED
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.limits import OTHER_CEILING
from airwrit.facts.keys.paper import COVERS_AIRCRAFT, COVERS_PERSON
from airwrit.facts.state import Facts
from airwrit.facts.vocabulary import folded
from airwrit.law.flight.regime import has_begun, has_ended, height_of, part_107_flight, unless_waived
from airwrit.law.holder.paper import not_granted
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, all_hold, known_of, met, no_duty, not_asked, not_met, unknown
from airwrit.law.shared_parameters import RECREATIONAL_HEIGHT_LIMIT

RECREATIONAL_AIRSPACE = parameter("recreational_authorization", bool)
OTHER_CEILINGS = parameter("recreational_other_ceilings", bool)
AUTHORIZATION_NEEDED = parameter("controlled_airspace_authorization", bool)
EXTENSIONS_FREE = parameter("extensions_free", bool)
MAP_PERMITS = parameter("facility_map_is_permission", bool)
NOTICES_BIND = parameter("notices_bind", bool)
NOTICES_BIND_RECREATION = parameter("notices_bind_recreation", bool)
PERMISSION_NEEDED = parameter("restricted_area_permission_needed", bool)
AREAS_BIND_RECREATION = parameter("restricted_areas_bind_recreation", bool)

CONTROLLED: frozenset[AirspaceClass | None] = frozenset(
    {AirspaceClass.B, AirspaceClass.C, AirspaceClass.D, AirspaceClass.E_SURFACE}
)
"""The airspace that needs prior authorization."""


def authority_controlled_airspace(facts: Facts, law: Law) -> Outcome:
    """Whether you are authorized for controlled airspace at that time, place and height. A spoken OK isn't enough."""
    recreation = facts.use is UsedFor.RECREATION
    free = (
        not_asked(law, RECREATIONAL_AIRSPACE)
        if recreation
        else part_107_flight(facts, law, AUTHORIZATION_NEEDED)
    )
    if free is not None:
        return free
    airspace = facts[AIRSPACE_CLASS]
    extension = airspace is AirspaceClass.E_EXTENSION
    if extension and law[EXTENSIONS_FREE]:
        return unknown(Why.OPEN_READING, "extension")
    if airspace not in CONTROLLED and not extension:
        return no_duty("uncontrolled")
    if facts.has(FLIGHT_AUTHORIZATION):
        outcome = covered(facts, facts.linked(FLIGHT_AUTHORIZATION))
    else:
        outcome = not_met("no_authorization")
    return outcome if recreation else unless_waived(outcome, WaiverSection.AIRSPACE, facts, law)


AUTHORITY_CONTROLLED_AIRSPACE_RULE = Rule(
    "authority_controlled_airspace",
    "flight",
    Bears.ANSWER,
    authority_controlled_airspace,
    own=(AUTHORIZATION_NEEDED, RECREATIONAL_AIRSPACE),
)


def covered(facts: Facts, authorization: Facts) -> Outcome:
    """Whether an authorization covers the flight: granted in writing, for its time, place, height, aircraft and pilot."""
    return all_hold(
        lambda: granted(authorization),
        lambda: not_met("spoken") if authorization[GIVEN_BY] is GivenBy.SPOKEN else met("authorized"),
        lambda: not_too_early(facts, authorization),
        lambda: not_too_late(facts, authorization),
        lambda: low_enough(facts, authorization),
        lambda: for_the_place(facts, authorization),
        lambda: for_the_aircraft(facts, authorization),
        lambda: for_the_pilot(facts, authorization),
    )


def granted(authorization: Facts) -> Outcome:
    """Whether it was granted: a request that is pending, denied or withdrawn grants nothing."""
    code = not_granted(authorization)
    return met("authorized") if code is None else not_met(code)


def not_too_early(facts: Facts, authorization: Facts) -> Outcome:
    """Whether the authorization has begun at the first takeoff, or at the moment asked about where that is not told."""
    start = authorization[AUTHORIZES_FROM]
    if has_begun(AUTHORIZES_FROM, start, facts.on_file(FLIGHT_STARTS) or authorization.on):
        return met("authorized")
    return not_met("authorization_not_yet", value=start)


def not_too_late(facts: Facts, authorization: Facts) -> Outcome:
    """Whether the authorization still holds at the last landing, or at the moment asked about where that is not told."""
    end = authorization[AUTHORIZES_UNTIL]
    if has_ended(AUTHORIZES_UNTIL, end, facts.on_file(FLIGHT_ENDS) or authorization.on):
        return not_met("authorization_over", value=end)
    return met("authorized")


def for_the_aircraft(facts: Facts, authorization: Facts) -> Outcome:
    """Whether the authorization names this aircraft; one that names none asks for none."""
    named = authorization.on_file(COVERS_AIRCRAFT)
    if named is None or named == facts[FLIGHT_AIRCRAFT]:
        return met("authorized")
    return not_met("for_other_aircraft", value=named)


def for_the_pilot(facts: Facts, authorization: Facts) -> Outcome:
    """Whether the authorization names this pilot; one that names none asks for none."""
    named = authorization.on_file(COVERS_PERSON)
    if named is None or named == facts[FLIGHT_PILOT]:
        return met("authorized")
    return not_met("for_other_pilot", value=named)


def for_the_place(facts: Facts, authorization: Facts) -> Outcome:
    """Whether the flight is in the area of the authorization, or at a place it names; several stand with semicolons between."""
    inside = facts.on_file(INSIDE_AUTHORIZED)
    if inside is not None:
        return met("authorized") if inside else not_met("outside_its_area")
    named = {folded(place) for place in authorization[AUTHORIZED_PLACE].split(";")}
    return met("authorized") if folded(facts[FLIGHT_PLACE]) in named else not_met("other_place")


def low_enough(facts: Facts, authorization: Facts) -> Outcome:
    """Whether the greatest height above ground keeps to the authorization's."""
    height = compared(height_of(facts), authorization[AUTHORIZED_HEIGHT], "ft", limit_itself=True)
    if height.verdict is Verdict.MET:
        return met("authorized")
    return height._replace(code="too_high" if height.verdict is Verdict.NOT_MET else "height_in_doubt")


def facility_map_lowest(facts: Facts, law: Law) -> Outcome:
    """The lowest number on the facility map for the flight. It is never permission to fly."""
    permits = law[MAP_PERMITS]
    numbers, gap = known_of([partial(cell.__getitem__, CELL_NUMBER) for cell in facts.linking(CELL_OF)])
    if gap is not None:
        return gap
    if not numbers:
        return unknown(Why.MISSING, "no_cells")
    lowest = min(numbers)
    return (met if permits else no_duty)("lowest" if lowest > 0 else "zero", value=lowest)


FACILITY_MAP_LOWEST_RULE = Rule(
    "facility_map_lowest", "flight", Bears.ANSWER, facility_map_lowest, own=(MAP_PERMITS,)
)


def tfr(facts: Facts, law: Law) -> Outcome:
    """Whether a temporary restriction or security notice covers the flight without an authorization."""
    if facts.use is UsedFor.RECREATION:
        free = not_asked(law, NOTICES_BIND_RECREATION)
    else:
        free = part_107_flight(facts, law, NOTICES_BIND)
    if free is not None:
        return free
    if not facts[NOTICE_COVERS]:
        return met("no_notice")
    return met("authorized_inside") if facts[NOTICE_AUTHORIZED] else not_met("covered")


TFR_RULE = Rule("tfr", "flight", Bears.ANSWER, tfr, own=(NOTICES_BIND, NOTICES_BIND_RECREATION))


def restricted_area_permission(facts: Facts, law: Law) -> Outcome:
    """Whether a flight in a prohibited or restricted area has the agency's permission."""
    if facts.use is UsedFor.RECREATION:
        free = not_asked(law, AREAS_BIND_RECREATION)
    else:
        free = part_107_flight(facts, law, PERMISSION_NEEDED)
    if free is not None:
        return free
    if not facts[RESTRICTED_AREA]:
        return no_duty("no_area")
    return met("permitted") if facts[AREA_PERMISSION] else not_met("not_permitted")


RESTRICTED_AREA_PERMISSION_RULE = Rule(
    "restricted_area_permission",
    "flight",
    Bears.ANSWER,
    restricted_area_permission,
    own=(PERMISSION_NEEDED, AREAS_BIND_RECREATION, RECREATIONAL_AIRSPACE),
)


def recreational_ceiling(facts: Facts, law: Law) -> Outcome:
    """Whether the greatest height above ground is inside the ceiling of recreation; in controlled airspace it has none.

    From 2024-05-16 the ceiling is another one where the FAA set it, and an authorization may go above it.
    """
    limit, other_ceilings = Decimal(law[RECREATIONAL_HEIGHT_LIMIT]), law[OTHER_CEILINGS]
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
