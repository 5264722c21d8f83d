"""Remote ID: which way the duty is met, the serial's form, and on which certificate it stands. 14 CFR Part 89, 48.110(a)."""

from __future__ import annotations

from airwrit.base.findings import Outcome, Why, days_left
from airwrit.base.identifiers import broadcast_serial
from airwrit.base.times import day_of, end_of_calendar_months
from airwrit.facts.aircraft import (
    DECLARATION_ACCEPTED,
    FOREIGN_REGISTRY,
    FRIA_RECOGNIZED_ON,
    IS_REGISTERED,
    KEPT_INSIDE_FRIA,
    LISTED_SERIAL,
    ONLY_INDOORS,
    OPERATED_UNDER,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    REMOTE_ID_WAY,
)
from airwrit.facts.flight import FLIGHT_AIRCRAFT, KEPT_IN_SIGHT
from airwrit.facts.flight_log import FLOWN_ON
from airwrit.facts.registration import REGISTRATION_KIND
from airwrit.facts.state import Facts
from airwrit.facts.words import OperatedUnder, RegistrationKind, RemoteIdWay
from airwrit.law.judging import all_hold, met, no_duty, not_met, unknown
from airwrit.law.parameters import Law, parameter
from airwrit.law.part_47 import LISTS_SERIAL
from airwrit.law.registration import duty_follows

BINDS = parameter("remote_id_binds_operators", bool)
DISCRETION = parameter("remote_id_enforcement_discretion", bool)
DECLARATION_NEEDED = parameter("remote_id_declaration_needed", bool)
FRIA_OPEN = parameter("remote_id_fria_way", bool)
FRIA_MONTHS = parameter("fria_term_months", int)
AUTHORIZATION_OPEN = parameter("remote_id_authorization_way", bool)
ADS_B_SUBSTITUTE = parameter("ads_b_out_replaces_remote_id", bool)
PART_91_SPARED = parameter("part_91_with_ads_b_out_spared", bool)
SERIAL_FORM = parameter("remote_id_serial_standard", str)
ONE_CERTIFICATE = parameter("serial_on_one_certificate", bool)
IN_SIGHT = parameter("module_and_area_in_sight", bool)
RECREATIONAL_SHARES = parameter("recreational_module_shared", bool)

_BROADCASTING = (RemoteIdWay.STANDARD, RemoteIdWay.MODULE)


def _free(facts: Facts, law: Law) -> str:
    """Why Remote ID does not bind this aircraft on the day: a code, or "" when it does (registered, must be, or foreign)."""
    if not law[BINDS]:
        return "not_binding_yet"
    return "no_registration_needed" if beyond_part_89(facts, law) else ""


def beyond_part_89(facts: Facts, law: Law) -> bool:
    """Whether Part 89 does not reach the aircraft: neither registered, nor to be registered, nor of a foreign registry."""
    if facts.on_file(FOREIGN_REGISTRY) and not facts.on_file(ONLY_INDOORS):
        return False
    return bool(duty_follows(facts, law))


def remote_id_way(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft has one of the lawful ways: standard, module, recognized area, or an FAA authorization."""
    free = _free(facts, law)
    if free:
        return no_duty(free)
    way = facts[REMOTE_ID_WAY]
    if way is RemoteIdWay.STANDARD:
        return _declared(facts, law)
    if way is RemoteIdWay.MODULE:
        return all_hold(lambda: _seen(facts, law, "module_out_of_sight"), lambda: _declared(facts, law))
    if way is RemoteIdWay.FRIA:
        return all_hold(
            lambda: _inside(facts, law),
            lambda: _seen(facts, law, "area_out_of_sight"),
            lambda: _recognized(facts, law),
        )
    if way is RemoteIdWay.AUTHORIZATION:
        if not law[AUTHORIZATION_OPEN]:
            return not_met("none")
        return unknown(Why.OUTSIDE_THIS_TOOL, "authorization")
    if way is RemoteIdWay.ADS_B_OUT:
        return _by_ads_b(facts, law)
    return not_met("none_in_discretion" if law[DISCRETION] else "none")


def _by_ads_b(facts: Facts, law: Law) -> Outcome:
    """ADS-B Out in place of Remote ID: not enough by itself; a flight under Part 91 with it is spared."""
    if facts.on_file(OPERATED_UNDER) is OperatedUnder.PART_91 and law[PART_91_SPARED]:
        return no_duty("part_91_ads_b")
    return met("broadcasts") if law[ADS_B_SUBSTITUTE] else not_met("ads_b")


def _seen(facts: Facts, law: Law, code: str) -> Outcome:
    """Not met when a flight to come, one without a day, goes out of sight; a waiver of 107.31 opens Part 107 alone."""
    if not law[IN_SIGHT]:
        return met("broadcasts")
    for flight in facts.linking(FLIGHT_AIRCRAFT, lacking=FLOWN_ON):
        if flight.on_file(KEPT_IN_SIGHT) is False:
            return not_met(code)
    return met("broadcasts")


def _declared(facts: Facts, law: Law) -> Outcome:
    accepted = facts[DECLARATION_ACCEPTED]
    if accepted or not law[DECLARATION_NEEDED]:
        return met("broadcasts")
    return not_met("not_accepted_in_discretion" if law[DISCRETION] else "not_accepted")


def _inside(facts: Facts, law: Law) -> Outcome:
    if not law[FRIA_OPEN]:
        return not_met("none")
    return met("fria") if facts[KEPT_INSIDE_FRIA] else not_met("outside_fria")


def _recognized(facts: Facts, law: Law) -> Outcome:
    since, on = facts[FRIA_RECOGNIZED_ON], day_of(facts.on)
    last = end_of_calendar_months(since, law[FRIA_MONTHS])
    if on < since:
        return not_met("fria_not_yet", value=since)
    if on <= last:
        return met("fria", value=last, due_on=last, holds_until=last, margin=days_left(last, on))
    return not_met("fria_ended", value=last, margin=days_left(last, on))


def serial_form(facts: Facts, law: Law) -> Outcome:
    """Whether the serial said to be broadcast can be one: the form of the standard."""
    free = _free(facts, law)
    if free:
        return no_duty(free)
    if facts[REMOTE_ID_WAY] not in _BROADCASTING:
        return no_duty("no_broadcast")
    fault = facts.of(_fault_of, REMOTE_ID_SERIAL)
    law.written_for(SERIAL_FORM, "CTA-2063")
    return not_met("wrong_form", value=fault) if fault else met("right_form")


def _fault_of(serial: str) -> str:
    """What is wrong with the form of a serial; "" for nothing."""
    checked = broadcast_serial(serial)
    return "" if checked.ok else checked.faults[0].hint


def serial_on_right_certificate(facts: Facts, law: Law) -> Outcome:
    """Whether the broadcast serial stands on this aircraft's certificate, and on no other."""
    free = _free(facts, law)
    if free:
        return no_duty(free)
    if facts.on_file(FOREIGN_REGISTRY):
        return no_duty("on_the_notice")
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    if facts[REMOTE_ID_WAY] not in _BROADCASTING:
        return no_duty("no_broadcast")
    if facts.has(REGISTRATION) and _lists_no_serial(facts.linked(REGISTRATION), law):
        return no_duty("not_asked")
    return all_hold(lambda: _on_one(facts, law), lambda: _listed(facts))


def _lists_no_serial(certificate: Facts, law: Law) -> bool:
    """Whether it is a Part 47 certificate at a time when that part lists no Remote ID serial."""
    return certificate.on_file(REGISTRATION_KIND) is RegistrationKind.PART_47 and not law[LISTS_SERIAL]


def _listed(facts: Facts) -> Outcome:
    is_listed = facts.of(_is_listed, REMOTE_ID_SERIAL, LISTED_SERIAL)
    if is_listed is None:
        return unknown(Why.MISSING, "serial_not_known")
    if is_listed:
        return met("listed")
    return not_met("other_serial_listed", value=broadcast_serial(facts[LISTED_SERIAL]).text)


def _is_listed(broadcast: str, listed: str) -> bool | None:
    """Whether the serial listed is the one broadcast; None where what is broadcast cannot be a serial."""
    serial = broadcast_serial(broadcast)
    return broadcast_serial(listed).text == serial.text if serial.ok else None


def _on_one(facts: Facts, law: Law) -> Outcome:
    """Not met when another certificate lists the same serial; aircraft of one recreational inventory may share."""
    facts.of(bool, REGISTRATION)  # without a number nothing can be said
    only_one = law[ONE_CERTIFICATE]
    for other in facts.sharing(LISTED_SERIAL):
        number = facts[REGISTRATION]
        other_number = other.on_file(REGISTRATION)
        if other_number is None or other.on_file(IS_REGISTERED) is False:
            continue
        if other_number != number and only_one:
            return not_met("on_two_certificates", value=other.subject)
        if other_number == number:
            kind = facts.linked(REGISTRATION)[REGISTRATION_KIND]
            if kind is not RegistrationKind.RECREATIONAL or not law[RECREATIONAL_SHARES]:
                return not_met("two_aircraft_one_certificate", value=other.subject)
    return met("listed")
