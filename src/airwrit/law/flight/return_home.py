"""The way home against the wind and the battery's reserve: 14 CFR 107.49. Closed form, nothing assumed kindly."""

from __future__ import annotations

import math
from decimal import Decimal

from airwrit.base.verdict import Margin, Outcome, Why
from airwrit.facts.keys.aircraft import MODEL
from airwrit.facts.keys.equipment import MODEL_AIRSPEED, MODEL_FLIGHT_TIME
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.limits import GUST_SEEN
from airwrit.facts.keys.flights.planning import BATTERY_RESERVE, EDGE_OUT, FARTHEST_OUT, TAKEOFF_PLACE
from airwrit.facts.state import Facts
from airwrit.law.flight.regime import part_107_flight
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, met, no_duty, not_met, unknown
from airwrit.law.shared_parameters import PREFLIGHT

USUAL_RESERVE_PERCENT = Decimal(25)
"""What is kept in the battery where no rule of the program says more. Common practice, no source."""
_FT_PER_NM = 1852 / 0.3048
_MINUTES = 60.0
_AHEAD, _ACROSS = 0.0, 90.0


def return_home(facts: Facts, law: Law) -> Outcome:
    """Whether the battery lasts to the farthest point and home against the strongest wind seen, with its reserve.

    The section asks for enough power for the time it is meant to fly; that a reserve is kept is common practice, no source.
    A model without figures on file is held to nothing.
    """
    free = part_107_flight(facts, law, PREFLIGHT)
    if free is not None:
        return free
    aircraft = facts.linked_on_file(FLIGHT_AIRCRAFT)
    model = None if aircraft is None else aircraft.linked_on_file(MODEL)
    if model is None or not (model.has(MODEL_AIRSPEED) or model.has(MODEL_FLIGHT_TIME)):
        return no_duty("no_figures")
    farthest = facts.on_file(FARTHEST_OUT)
    if farthest is None:
        return no_duty("not_planned")
    airspeed, wind = float(model[MODEL_AIRSPEED]), float(facts[GUST_SEEN])
    reserve = facts.on_file(BATTERY_RESERVE)
    share = 1 - (USUAL_RESERVE_PERCENT if reserve is None else reserve) / 100
    usable = float(model[MODEL_FLIGHT_TIME] * share)
    ahead = out_and_back_min(airspeed, wind, float(farthest), _AHEAD)
    if ahead is None:
        return not_met("no_return", value=facts[GUST_SEEN])
    if ahead <= usable:
        return met("enough", value=_tenth(ahead), margin=_left(usable - ahead))
    if not facts.has(TAKEOFF_PLACE):
        return unknown(Why.WITHIN_DOUBT, "needs_takeoff", value=_tenth(ahead))
    across = out_and_back_min(airspeed, wind, float(farthest), _ACROSS)
    around = facts.on_file(EDGE_OUT) or Decimal(0)
    edge = out_and_back_min(airspeed, wind, float(around), _AHEAD) or 0.0
    if across is not None and across <= usable and edge <= usable:
        return unknown(Why.WITHIN_DOUBT, "hangs_on_direction", value=_tenth(ahead))
    return not_met("into_reserve", value=_tenth(ahead), margin=_left(usable - ahead))


RETURN_HOME_RULE = Rule("return_home", "flight", Bears.ANSWER, return_home, own=(PREFLIGHT,))


def ground_speed_kt(airspeed_kt: float, wind_kt: float, angle_deg: float) -> float | None:
    """The speed over the ground along a course, with a wind that blows from an angle off it (0: straight ahead).

    The wind triangle: the nose is turned into the wind so that nothing is drifted. None where the wind is too strong for it.
    """
    across = wind_kt * math.sin(math.radians(angle_deg))
    along = wind_kt * math.cos(math.radians(angle_deg))
    if abs(across) >= airspeed_kt:
        return None
    ground = math.sqrt(airspeed_kt**2 - across**2) - along
    return ground if ground > 0 else None


def minutes_over(distance_ft: float, ground_kt: float) -> float:
    """Minutes over a distance at a speed over the ground."""
    return distance_ft / _FT_PER_NM / ground_kt * _MINUTES


def out_and_back_min(
    airspeed_kt: float, wind_kt: float, distance_ft: float, angle_deg: float
) -> float | None:
    """Minutes out and back with a wind from an angle off the course home; None where it is too strong for either."""
    speeds = [ground_speed_kt(airspeed_kt, wind_kt, angle_deg + turn) for turn in (0.0, 180.0)]
    return None if None in speeds else sum(minutes_over(distance_ft, one) for one in speeds if one)


def _tenth(minutes: float) -> Decimal:
    return Decimal(str(round(minutes, 1)))


def _left(minutes: float) -> Margin:
    room = _tenth(minutes)
    return Margin(room, "min", room, room)
