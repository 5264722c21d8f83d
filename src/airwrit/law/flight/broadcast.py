"""Remote ID and other transmitters while a flight goes on: 14 CFR 89.110, 89.115, 107.52, 107.53."""

from __future__ import annotations

from airwrit.base.days import day_of
from airwrit.base.verdict import Outcome, Why
from airwrit.facts.choices import RemoteIdWay
from airwrit.facts.keys.aircraft import REMOTE_ID_WAY
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, KEPT_IN_SIGHT
from airwrit.facts.keys.flights.over_people import (
    ADS_B_AUTHORIZED,
    ADS_B_TRANSMITS,
    BROADCAST_FAILED,
    BROADCASTS,
    INSIDE_FRIA,
    LANDED_PROMPTLY,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.remote_id import BINDS, IN_SIGHT, beyond_part_89
from airwrit.law.flight.regime import has_begun, part_107_flight
from airwrit.law.parameters import Law, law_of_event, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_met, unknown

LAND = parameter("land_when_broadcast_fails", bool)
STAYS_ON = parameter("standard_stays_on", bool)
TRANSMITTERS_OFF = parameter("transmitters_off", bool)


def land_as_soon_as_practicable(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft landed as soon as practicable after its Remote ID failed."""
    if not law[BINDS]:
        return no_duty("not_binding_yet")
    failed = facts.on_file(BROADCAST_FAILED)
    if failed is None or not has_begun(BROADCAST_FAILED, failed, facts.on):
        law.span(LAND)
        return no_duty("no_failure")
    then = law_of_event(law, day_of(failed), LAND)
    if not then[BINDS]:
        return no_duty("not_binding_yet")
    if not then[LAND]:
        return no_duty("not_asked")
    flown = facts.linked_on_file(FLIGHT_AIRCRAFT)
    if flown is not None and beyond_part_89(flown, then):
        return no_duty("no_duty_of_remote_id")
    return met("landed") if facts[LANDED_PROMPTLY] else not_met("not_landed")


LAND_AS_SOON_AS_PRACTICABLE_RULE = Rule(
    "land_as_soon_as_practicable", "flight", Bears.ANSWER, land_as_soon_as_practicable, own=(LAND,)
)


def remote_id_in_sight(facts: Facts, law: Law) -> Outcome:
    """Whether a flight with a module or in a FRIA stays in sight, and inside the FRIA.

    A waiver of 107.31 doesn't change that.
    """
    if not law[BINDS]:
        return no_duty("not_binding_yet")
    if not law[IN_SIGHT]:
        return no_duty("not_asked")
    aircraft = facts.linked(FLIGHT_AIRCRAFT)
    if beyond_part_89(aircraft, law):
        return no_duty("no_duty_of_remote_id")
    way = aircraft[REMOTE_ID_WAY]
    if way not in (RemoteIdWay.MODULE, RemoteIdWay.FRIA):
        return no_duty("sight_not_asked")
    return all_hold(
        lambda: met("in_sight") if facts[KEPT_IN_SIGHT] else not_met("out_of_sight"),
        lambda: (
            not_met("outside_fria") if way is RemoteIdWay.FRIA and not facts[INSIDE_FRIA] else met("in_sight")
        ),
    )


REMOTE_ID_IN_SIGHT_RULE = Rule(
    "remote_id_in_sight", "flight", Bears.ANSWER, remote_id_in_sight, own=(IN_SIGHT,)
)


def standard_remote_id_not_disabled(facts: Facts, law: Law) -> Outcome:
    """Whether standard Remote ID works from takeoff to shutdown. The rule isn't clear inside a FRIA."""
    if not law[BINDS]:
        return no_duty("not_binding_yet")
    if not law[STAYS_ON]:
        return no_duty("not_asked")
    if beyond_part_89(facts.linked(FLIGHT_AIRCRAFT), law):
        return no_duty("no_duty_of_remote_id")
    if facts.linked(FLIGHT_AIRCRAFT)[REMOTE_ID_WAY] is not RemoteIdWay.STANDARD:
        return no_duty("not_standard")
    if facts[BROADCASTS]:
        return met("on")
    if facts.on_file(INSIDE_FRIA):
        return unknown(Why.OPEN_READING, "off_inside_fria")
    return not_met("off")


STANDARD_REMOTE_ID_NOT_DISABLED_RULE = Rule(
    "standard_remote_id_not_disabled",
    "flight",
    Bears.ANSWER,
    standard_remote_id_not_disabled,
    own=(STAYS_ON,),
)


def adsb_out_off(facts: Facts, law: Law) -> Outcome:
    """Whether the transponder and ADS-B Out are off, or authorized."""
    free = part_107_flight(facts, law, TRANSMITTERS_OFF)
    if free is not None:
        return free
    if not facts[ADS_B_TRANSMITS]:
        return met("off")
    return met("authorized_to_transmit") if facts[ADS_B_AUTHORIZED] else not_met("transmits")


ADSB_OUT_OFF_RULE = Rule("adsb_out_off", "flight", Bears.ANSWER, adsb_out_off, own=(TRANSMITTERS_OFF,))
