"""Height, speed, sight and weather of a flight: 14 CFR 107.31, 107.51; 49 USC 44809(a)(3), (a)(6)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from airwrit.base.measured import Measured, compared, exact
from airwrit.base.verdict import Margin, Outcome, Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import FlownFrom, WaiverSection
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import MODEL
from airwrit.facts.keys.equipment import (
    FLOWN_CONFIGURATION,
    MODEL_COLD_LIMIT,
    MODEL_GUST_LIMIT,
    MODEL_HEAT_LIMIT,
    MODEL_IN_RAIN,
    MODEL_MAX_WEIGHT,
    MODEL_WIND_LIMIT,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, KEPT_IN_SIGHT
from airwrit.facts.keys.flights.limits import (
    BELOW_CLOUDS,
    BESIDE_CLOUDS,
    FLIGHT_UNDER,
    FLIGHT_VISIBILITY,
    FLOWN_FROM,
    FOR_HIRE,
    GROUND_SPEED,
    GUST_SEEN,
    METAR_VISIBILITY,
    NO_CLOUDS,
    RAIN_SEEN,
    SPARSELY_POPULATED,
    SPEED_ERROR,
    STRUCTURE_DISTANCE,
    STRUCTURE_TOP,
    TEMPERATURE_SEEN,
    WIND_SEEN,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.weight import configuration_weight_g, weight_as_flown_g
from airwrit.law.flight.airspace import recreational_ceiling
from airwrit.law.flight.regime import height_of, measured, part_107_flight, unless_waived, waived
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_asked, not_met, unknown
from airwrit.law.shared_parameters import (
    HEIGHT_LIMIT,
    PREFLIGHT,
    RECREATIONAL_HEIGHT_LIMIT,
    RECREATIONAL_SIGHT,
)

STRUCTURE_RADIUS = parameter("structure_radius_ft", int)
STRUCTURE_ABOVE = parameter("structure_above_ft", int)
SPEED_LIMIT = parameter("speed_limit_kt", int)
LEAST_VISIBILITY = parameter("least_visibility_sm", int)
CLOUD_BELOW = parameter("cloud_below_ft", int)
CLOUD_BESIDE = parameter("cloud_beside_ft", int)
SIGHT_NEEDED = parameter("line_of_sight_needed", bool)
VEHICLE_LIMITS = parameter("vehicle_only_where_sparse", bool)

LimitChecks = list[Callable[[], Outcome]]


def _at_least(value: Decimal, least: int, unit: str, inside: str, outside: str) -> Outcome:
    room = value - Decimal(least)
    margin = Margin(room, unit, room, room)
    return (
        met(inside, value=value, margin=margin) if room >= 0 else not_met(outside, value=value, margin=margin)
    )


def height_limit(facts: Facts, law: Law) -> Outcome:
    """Whether the greatest height above ground is within the limit, or within what a structure allows."""
    if facts.use is UsedFor.RECREATION:
        return recreational_ceiling(facts, law)
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    height = height_of(facts)
    flat = compared(height, Decimal(law[HEIGHT_LIMIT]), "ft", limit_itself=True)
    if flat.verdict is Verdict.MET:
        return flat
    beside = all_hold(lambda: _by_structure(height, facts, law))
    lower = flat if beside.code == "outside" else beside
    return unless_waived(lower, WaiverSection.LIMITS, facts, law)


HEIGHT_LIMIT_RULE = Rule(
    "height_limit", "flight", Bears.ANSWER, height_limit, own=(HEIGHT_LIMIT, RECREATIONAL_HEIGHT_LIMIT)
)


def _by_structure(height: Measured, facts: Facts, law: Law) -> Outcome:
    """Whether it is within the radius of a structure and low enough above its top; no structure is told of by silence alone."""
    if not facts.has(STRUCTURE_DISTANCE) and not facts.has(STRUCTURE_TOP):
        return not_met("outside")
    if facts[STRUCTURE_DISTANCE] > law[STRUCTURE_RADIUS]:
        return not_met("outside")
    above = compared(height, facts[STRUCTURE_TOP] + Decimal(law[STRUCTURE_ABOVE]), "ft", limit_itself=True)
    codes = {Verdict.MET: "by_structure", Verdict.NOT_MET: "over_structure"}
    return above._replace(code=codes.get(above.verdict, above.code))


def speed_limit(facts: Facts, law: Law) -> Outcome:
    """Whether the top ground speed is within the limit. A tailwind counts."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    speed = measured(facts, GROUND_SPEED, SPEED_ERROR)
    outcome = compared(speed, Decimal(law[SPEED_LIMIT]), "kt", limit_itself=True)
    return unless_waived(outcome, WaiverSection.LIMITS, facts, law)


SPEED_LIMIT_RULE = Rule("speed_limit", "flight", Bears.ANSWER, speed_limit, own=(SPEED_LIMIT,))


def flight_visibility(facts: Facts, law: Law) -> Outcome:
    """Whether the pilot saw far enough from the control station. A weather report is only a guide."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    least = law[LEAST_VISIBILITY]
    report = facts.on_file(METAR_VISIBILITY)
    if report is not None and not facts.has(FLIGHT_VISIBILITY):
        return unknown(Why.MISSING, "report_only", value=report)
    outcome = _at_least(facts[FLIGHT_VISIBILITY], least, "sm", "far_enough", "not_far_enough")
    return unless_waived(outcome, WaiverSection.LIMITS, facts, law)


FLIGHT_VISIBILITY_RULE = Rule(
    "flight_visibility", "flight", Bears.ANSWER, flight_visibility, own=(LEAST_VISIBILITY,)
)


def cloud_distance(facts: Facts, law: Law) -> Outcome:
    """Whether the flight stays far enough below clouds and away from them."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    below, beside = law[CLOUD_BELOW], law[CLOUD_BESIDE]
    if facts.on_file(NO_CLOUDS):
        return met("no_clouds")
    outcome = all_hold(
        lambda: _at_least(facts[BELOW_CLOUDS], below, "ft", "far_enough", "too_near_below"),
        lambda: _at_least(facts[BESIDE_CLOUDS], beside, "ft", "far_enough", "too_near_beside"),
    )
    return unless_waived(outcome, WaiverSection.LIMITS, facts, law)


CLOUD_DISTANCE_RULE = Rule(
    "cloud_distance", "flight", Bears.ANSWER, cloud_distance, own=(CLOUD_BELOW, CLOUD_BESIDE)
)


def line_of_sight(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft is kept in sight, unless a waiver allows more."""
    if facts.use is UsedFor.RECREATION:
        free = not_asked(law, RECREATIONAL_SIGHT)
        if free is not None:
            return free
        return met("in_sight") if facts[KEPT_IN_SIGHT] else not_met("out_of_sight")
    free = part_107_flight(facts, law, SIGHT_NEEDED)
    if free is not None:
        return not_met("for_hire") if _parcel_out_of_sight(facts, law, free) else free
    if facts[KEPT_IN_SIGHT]:
        return met("in_sight")
    if facts.on_file(FOR_HIRE):
        return not_met("for_hire")
    return _waived_not_for_hire(WaiverSection.SIGHT, facts, law) or not_met("out_of_sight")


LINE_OF_SIGHT_RULE = Rule(
    "line_of_sight", "flight", Bears.ANSWER, line_of_sight, own=(SIGHT_NEEDED, RECREATIONAL_SIGHT)
)


def _parcel_out_of_sight(facts: Facts, law: Law, free: Outcome) -> bool:
    """Whether it carries for pay out of sight, by other law that is said of the aircraft and not of this very flight.

    No waiver opens 107.31 to that (107.205), so nothing on file lets this flight go.
    """
    if free.code != "other_law" or facts.has(FLIGHT_UNDER):
        return False
    return law[SIGHT_NEEDED] and facts.on_file(FOR_HIRE) is True and facts.on_file(KEPT_IN_SIGHT) is False


def _waived_not_for_hire(section: WaiverSection, facts: Facts, law: Law) -> Outcome | None:
    """What a waiver makes of a section that is not waived for carriage for pay: a gap while nobody said there is none."""
    opened = waived(section, facts, law)
    if opened is not None and opened.verdict is Verdict.MET and facts[FOR_HIRE]:
        return not_met("for_hire")
    return opened


def from_moving_vehicle(facts: Facts, law: Law) -> Outcome:
    """Whether a flight from a moving vehicle or boat is over a sparsely populated area, with nothing carried for pay."""
    free = part_107_flight(facts, law, VEHICLE_LIMITS)
    if free is not None:
        return free
    if facts[FLOWN_FROM] is FlownFrom.STILL:
        return no_duty("still")
    outside = _moving(facts)
    if outside.verdict is not Verdict.NOT_MET or outside.code == "for_hire":
        return outside
    return _waived_not_for_hire(WaiverSection.MOVING, facts, law) or outside


FROM_MOVING_VEHICLE_RULE = Rule(
    "from_moving_vehicle", "flight", Bears.ANSWER, from_moving_vehicle, own=(VEHICLE_LIMITS,)
)


def _moving(facts: Facts) -> Outcome:
    if facts[FLOWN_FROM] is FlownFrom.AIRCRAFT:
        return not_met("for_hire") if facts.on_file(FOR_HIRE) else not_met("from_aircraft")
    return all_hold(
        lambda: not_met("for_hire") if facts[FOR_HIRE] else met("sparse"),
        lambda: met("sparse") if facts[SPARSELY_POPULATED] else not_met("not_sparse"),
    )


def model_limits(facts: Facts, law: Law) -> Outcome:
    """Whether wind, temperature, rain and weight are within the maker's limits for the model.

    The section asks for a look at local weather and at the weight carried. That a flight past a limit of the maker is not OK
    is common practice, no source. A model without limits on file is held to none.
    """
    free = part_107_flight(facts, law, PREFLIGHT)
    if free is not None:
        return free
    aircraft = facts.linked_on_file(FLIGHT_AIRCRAFT)
    model = None if aircraft is None else aircraft.linked_on_file(MODEL)
    if aircraft is None or model is None:
        return no_duty("no_limits")
    checks = [*_wind(facts, model), *_air(facts, model), *_weight(facts, aircraft, model)]
    return all_hold(*checks) if checks else no_duty("no_limits")


MODEL_LIMITS_RULE = Rule("model_limits", "flight", Bears.ANSWER, model_limits, own=(PREFLIGHT,))


def _wind(facts: Facts, model: Facts) -> LimitChecks:
    """The strongest wind against the limit; where gusts have a limit of their own, the steady wind and the gusts apart."""
    wind, gust = model.on_file(MODEL_WIND_LIMIT), model.on_file(MODEL_GUST_LIMIT)
    found: LimitChecks = []
    if wind is not None:
        seen = GUST_SEEN if gust is None else WIND_SEEN
        found.append(lambda: _at_most(facts, seen, wind, "too_windy"))
    if gust is not None:
        found.append(lambda: _at_most(facts, GUST_SEEN, gust, "too_gusty"))
    return found


def _air(facts: Facts, model: Facts) -> LimitChecks:
    """The temperature inside its range, and rain where the maker allows none."""
    cold, hot = model.on_file(MODEL_COLD_LIMIT), model.on_file(MODEL_HEAT_LIMIT)
    found: LimitChecks = []
    if cold is not None:
        found.append(lambda: _warm_enough(facts, cold))
    if hot is not None:
        found.append(lambda: _at_most(facts, TEMPERATURE_SEEN, hot, "too_hot"))
    if model.on_file(MODEL_IN_RAIN) is False:
        found.append(lambda: not_met("too_wet") if facts[RAIN_SEEN] else met("inside_limits"))
    return found


def _weight(facts: Facts, aircraft: Facts, model: Facts) -> LimitChecks:
    """What it weighs as flown against the greatest takeoff weight: in its configuration where one is told."""
    most = model.on_file(MODEL_MAX_WEIGHT)
    return [] if most is None else [lambda: _held(_flown_weight(facts, aircraft), most, "g", "too_heavy")]


def _flown_weight(facts: Facts, aircraft: Facts) -> Measured:
    flown = facts.linked_on_file(FLOWN_CONFIGURATION)
    return weight_as_flown_g(aircraft) if flown is None else configuration_weight_g(flown)


def _at_most(facts: Facts, key: Key[Decimal], limit: Decimal, code: str) -> Outcome:
    return _held(exact(facts[key]), limit, key.unit, code)


def _warm_enough(facts: Facts, limit: Decimal) -> Outcome:
    """The temperature against the lowest one."""
    seen = facts[TEMPERATURE_SEEN]
    return _held(exact(-seen), -limit, TEMPERATURE_SEEN.unit, "too_cold")._replace(value=seen)


def _held(value: Measured, limit: Decimal, unit: str, code: str) -> Outcome:
    """A value against a limit, the limit itself inside; unknown where it is too close to tell."""
    found = compared(value, limit, unit, limit_itself=True)
    if found.verdict is Verdict.MET:
        return met("inside_limits")
    return found._replace(code=code) if found.verdict is Verdict.NOT_MET else found
