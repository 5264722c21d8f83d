"""Rings around places and the rules of land: stadiums, Washington, sites and convoys, parks, State law. 14 CFR 93, 99.7."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from airwrit.base.days import When
from airwrit.base.measured import MILES_PER_NAUTICAL_MILE, Measured, compared
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.flight_choices import LandBelow
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.airspace import (
    ABOVE_ASSET,
    ASSET_DISTANCE,
    CLEAR_WEATHER,
    EVENT_ENDS,
    EVENT_STARTS,
    FROM_PARK_LAND,
    LAND_BELOW,
    LISTED_EVENT,
    NOTICE_AUTHORIZED,
    PARK_PERMISSION,
    STADIUM_DISTANCE,
    STADIUM_SEATS,
    WASHINGTON_AUTHORIZED,
    WASHINGTON_DISTANCE,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, HEIGHT_AGL, KEPT_IN_SIGHT
from airwrit.facts.keys.flights.limits import HEIGHT_ERROR
from airwrit.facts.state import Facts
from airwrit.law.aircraft.in_force import must_be_registered
from airwrit.law.aircraft.marking import marked_outside
from airwrit.law.aircraft.renewal import registration_in_term
from airwrit.law.flight.regime import has_begun, has_ended, height_of, is_over, measured
from airwrit.law.parameters import Law, Param, parameter, span_of
from airwrit.law.rings import (
    ASSET_HEIGHT,
    ASSET_RING,
    STADIUM_HEIGHT,
    STADIUM_LEAST,
    STADIUM_MINUTES,
    STADIUM_RING,
)
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_asked, not_met, unknown

INNER_RING = parameter("washington_inner_ring_mi", int)
OUTER_RING = parameter("washington_outer_ring_mi", int)
OUTER_BELOW = parameter("washington_below_ft", int)
SITES_IN_FORCE = parameter("site_restrictions_in_force", bool)
PARK_CLOSED = parameter("park_land_closed", bool)
REFUGE_RULES = parameter("refuge_land_rules", bool)


def _first_ground(*grounds: Callable[[], Outcome | None]) -> Outcome | None:
    """The first ground that takes the flight out of a ring; a gap counts only when none does."""
    gap: Undecided | None = None
    for ground in grounds:
        try:
            found = ground()
        except Undecided as undecided:
            gap = gap or undecided
        else:
            if found is not None:
                return found
    if gap is not None:
        raise gap
    return None


def _above(height: Measured, key: Key[Decimal], top: Decimal, code: str) -> Outcome | None:
    """Out of a ring above its top; None inside it. Undecided where that lies within what the height may be off."""
    return no_duty(code) if is_over(height, top, key) else None


def event_ring(facts: Facts, law: Law) -> Outcome:
    """Whether the flight is clear of the ring around a stadium during an event."""
    seats, ring, height = law[STADIUM_LEAST], law[STADIUM_RING], law[STADIUM_HEIGHT]
    minutes = timedelta(minutes=law[STADIUM_MINUTES])
    out = _first_ground(
        lambda: no_duty("few_seats") if facts[STADIUM_SEATS] < Decimal(seats) else None,
        lambda: no_duty("far_from_stadium") if facts[STADIUM_DISTANCE] > Decimal(ring) else None,
        lambda: _above(height_of(facts), HEIGHT_AGL, Decimal(height), "above_stadium_ring"),
        lambda: None if facts[LISTED_EVENT] else no_duty("no_listed_event"),
        lambda: _not_its_hours(facts, minutes),
    )
    if out is not None:
        return out
    return met("authorized_inside") if facts[NOTICE_AUTHORIZED] else not_met("inside_stadium_ring")


EVENT_RING_RULE = Rule("event_ring", "flight", Bears.ANSWER, event_ring, own=(STADIUM_RING,))


def _not_its_hours(facts: Facts, minutes: timedelta) -> Outcome | None:
    """Before the ring opens or after it closes; None in its hours."""
    return _first_ground(lambda: _before_event(facts, minutes), lambda: _after_event(facts, minutes))


def _before_event(facts: Facts, minutes: timedelta) -> Outcome | None:
    """An event whose start is not on file has started, at the latest, by its end."""
    known = EVENT_ENDS if facts.has(EVENT_ENDS) and not facts.has(EVENT_STARTS) else EVENT_STARTS
    if has_begun(known, _moved(facts[known], -minutes), facts.on):
        return None
    facts[EVENT_STARTS]
    return no_duty("before_event")


def _after_event(facts: Facts, minutes: timedelta) -> Outcome | None:
    """An event whose end is not on file is, at the earliest, over once it has started."""
    known = EVENT_STARTS if facts.has(EVENT_STARTS) and not facts.has(EVENT_ENDS) else EVENT_ENDS
    if not has_ended(known, _moved(facts[known], minutes), facts.on):
        return None
    facts[EVENT_ENDS]
    return no_duty("after_event")


def ring_edges(key: Key[Any], moment: datetime) -> tuple[datetime, ...]:
    """When the ring around a stadium may open or close, by when its event starts or ends; none for any other fact."""
    span = span_of(STADIUM_MINUTES, moment.date()) if key in (EVENT_STARTS, EVENT_ENDS) else None
    if span is None:
        return ()
    minutes = timedelta(minutes=span.value)
    return moment - minutes, moment + minutes


def _moved(moment: When, by: timedelta) -> When:
    """A moment so much earlier or later; a day stays as it is, since it counts whole."""
    return moment + by if isinstance(moment, datetime) else moment


def _inside_ring(facts: Facts, law: Law, ring: Param[int]) -> bool:
    """Whether the place is inside a Washington ring. Page miles against legal nautical miles: Undecided in between."""
    distance, radius = facts[WASHINGTON_DISTANCE], Decimal(law[ring])
    if radius < distance <= radius * MILES_PER_NAUTICAL_MILE:
        raise Undecided(Why.OPEN_READING, "near_the_line")
    return distance <= radius


def dc_inner_ring(facts: Facts, law: Law) -> Outcome:
    """Whether a flight inside the inner Washington ring has FAA authorization."""
    distance = facts[WASHINGTON_DISTANCE]
    if not _inside_ring(facts, law, INNER_RING):
        return no_duty("outside_inner_ring", value=distance)
    if facts[WASHINGTON_AUTHORIZED]:
        return met("authorized_inner_ring", value=distance)
    return not_met("inside_inner_ring", value=distance)


DC_INNER_RING_RULE = Rule("dc_inner_ring", "flight", Bears.ANSWER, dc_inner_ring, own=(INNER_RING,))


def dc_outer_ring(facts: Facts, law: Law) -> Outcome:
    """Whether a flight in the outer Washington ring meets its conditions: registered, marked, low, in sight, clear weather."""
    distance, below = facts[WASHINGTON_DISTANCE], Decimal(law[OUTER_BELOW])
    if not _inside_ring(facts, law, OUTER_RING):
        return no_duty("outside_outer_ring", value=distance)
    if _inside_ring(facts, law, INNER_RING):
        return no_duty("in_the_inner_ring", value=distance)
    kept = all_hold(
        lambda: _below(height_of(facts), below),
        lambda: met("outer_ring") if facts[KEPT_IN_SIGHT] else not_met("outer_ring_out_of_sight"),
        lambda: met("outer_ring") if facts[CLEAR_WEATHER] else not_met("outer_ring_weather"),
        lambda: _aircraft_duty(
            must_be_registered(facts.linked(FLIGHT_AIRCRAFT), law), "outer_ring_unregistered"
        ),
        lambda: _aircraft_duty(
            registration_in_term(facts.linked(FLIGHT_AIRCRAFT), law), "outer_ring_unregistered"
        ),
        lambda: _aircraft_duty(marked_outside(facts.linked(FLIGHT_AIRCRAFT), law), "outer_ring_unmarked"),
    )
    return kept._replace(value=distance)


DC_OUTER_RING_RULE = Rule(
    "dc_outer_ring", "flight", Bears.ANSWER, dc_outer_ring, own=(OUTER_RING, OUTER_BELOW)
)


def _below(height: Measured, limit: Decimal) -> Outcome:
    """Whether a flight in the outer ring stays below its height; the height itself is too high."""
    low = compared(height, limit, "ft", limit_itself=False)
    if low.verdict is Verdict.MET:
        return met("outer_ring")
    return low._replace(
        code="outer_ring_too_high" if low.verdict is Verdict.NOT_MET else "outer_ring_in_doubt"
    )


def _aircraft_duty(outcome: Outcome, code: str) -> Outcome:
    """A duty of the aircraft as a condition of the ring, which asks for it even where nothing else does."""
    if outcome.verdict is Verdict.MET:
        return met("outer_ring")
    return outcome if outcome.verdict is Verdict.UNKNOWN else not_met(code)


def moving_asset_ring(facts: Facts, law: Law) -> Outcome:
    """Whether the flight stays away from the sites, convoys and vessels that a security notice covers."""
    ring, height = Decimal(law[ASSET_RING]), Decimal(law[ASSET_HEIGHT])
    out = _first_ground(
        lambda: no_duty("far_from_asset") if facts[ASSET_DISTANCE] > ring else None,
        lambda: _above(measured(facts, ABOVE_ASSET, HEIGHT_ERROR), ABOVE_ASSET, height, "above_asset"),
    )
    if out is not None:
        return out
    return met("authorized_inside") if facts[NOTICE_AUTHORIZED] else not_met("inside_asset_ring")


MOVING_ASSET_RING_RULE = Rule(
    "moving_asset_ring", "flight", Bears.ANSWER, moving_asset_ring, own=(ASSET_RING,)
)


def site_restriction_2209(facts: Facts, law: Law) -> Outcome:
    """Whether restrictions around critical sites apply. They were only proposed when we last checked."""
    del facts
    if law[SITES_IN_FORCE]:
        raise Undecided(Why.LAW_NOT_READ, SITES_IN_FORCE.name)
    return no_duty("only_proposed")


SITE_RESTRICTION_2209_RULE = Rule(
    "site_restriction_2209", "flight", Bears.ANSWER, site_restriction_2209, own=(SITES_IN_FORCE,)
)


def park_land_closure(facts: Facts, law: Law) -> Outcome:
    """Whether a flight from National Park Service land has permission."""
    free = not_asked(law, PARK_CLOSED)
    if free is not None:
        return free
    if not facts[FROM_PARK_LAND]:
        return no_duty("not_from_park_land")
    return met("park_permits") if facts[PARK_PERMISSION] else not_met("park_closed")


PARK_LAND_CLOSURE_RULE = Rule(
    "park_land_closure", "flight", Bears.ANSWER, park_land_closure, own=(PARK_CLOSED,)
)


def land_rules(facts: Facts, law: Law) -> Outcome:
    """Which land rules may also apply to the flight. We don't check them."""
    land = facts[LAND_BELOW]
    if land is LandBelow.PARK:
        return not_asked(law, PARK_CLOSED) or unknown(Why.OPEN_READING, "park_rules")
    if land is LandBelow.REFUGE:
        return not_asked(law, REFUGE_RULES) or unknown(Why.OPEN_READING, "refuge_rules")
    return unknown(Why.OUTSIDE_THIS_TOOL, "other_land")


LAND_RULES_RULE = Rule("land_rules", "flight", Bears.ANSWER, land_rules)


def state_law(facts: Facts, law: Law) -> Outcome:
    """State and local law, which we don't check."""
    del facts, law
    return unknown(Why.OUTSIDE_THIS_TOOL, "not_covered")


STATE_LAW_RULE = Rule("state_law", "flight", Bears.ANSWER, state_law)
