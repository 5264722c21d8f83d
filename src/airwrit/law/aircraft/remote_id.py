"""Remote ID: which way the duty is met, the serial's form, and on which certificate it stands. 14 CFR Part 89, 48.110(a)."""

from __future__ import annotations

from collections.abc import Iterator

from airwrit.base.days import day_of, end_of_calendar_months
from airwrit.base.identifiers import broadcast_serial, is_mixed_case, one_serial
from airwrit.base.verdict import Outcome, Undecided, Why, days_left
from airwrit.facts.choices import OperatedUnder, RegistrationKind, RemoteIdWay
from airwrit.facts.keys.aircraft import (
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
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, KEPT_IN_SIGHT
from airwrit.facts.keys.flights.log import FLOWN_ON
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import cancelled, duty_follows, ended_as_known, has_n_number, kind_of
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_met, unknown
from airwrit.law.shared_parameters import FRIA_MONTHS, LISTS_SERIAL

BINDS = parameter("remote_id_binds_operators", bool)
DISCRETION = parameter("remote_id_enforcement_discretion", bool)
DECLARATION_NEEDED = parameter("remote_id_declaration_needed", bool)
FRIA_OPEN = parameter("remote_id_fria_way", bool)
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
    """Whether the aircraft meets Remote ID: standard, with a module, in a FRIA, or with an FAA authorization."""
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


REMOTE_ID_WAY_RULE = Rule(
    "remote_id_way",
    "aircraft",
    Bears.FLIGHT,
    remote_id_way,
    own=(BINDS,),
    topic=Topic.REMOTE_ID,
    shown_by=(DocumentShows.SERIAL,),
    has_last_day=True,
    lapse="fria_ended",
)


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
    """Whether the Remote ID serial number has the format the standard requires."""
    free = _free(facts, law)
    if free:
        return no_duty(free)
    if facts[REMOTE_ID_WAY] not in _BROADCASTING:
        return no_duty("no_broadcast")
    law.written_for(SERIAL_FORM, "CTA-2063")
    code, fault = facts.of(_form_of, REMOTE_ID_SERIAL)
    if code == "wrong_form":
        return not_met(code, value=fault)
    return unknown(Why.MISSING, code) if code == "mixed_case" else met(code)


SERIAL_FORM_RULE = Rule(
    "serial_form",
    "aircraft",
    Bears.FLIGHT,
    serial_form,
    own=(SERIAL_FORM,),
    topic=Topic.REMOTE_ID,
    shown_by=(DocumentShows.SERIAL,),
)


def _form_of(serial: str) -> tuple[str, str]:
    """How a serial is written: a code, and what is wrong with its form.

    The standard knows capitals only. Small letters throughout are read as capitals; a mixture may hide a slip of the hand.
    """
    checked = broadcast_serial(serial)
    if not checked.ok:
        return "wrong_form", checked.faults[0].hint
    if is_mixed_case(serial):
        return "mixed_case", ""
    return ("read_as_capitals" if "case" in checked.tidied else "right_form"), ""


def serial_on_right_certificate(facts: Facts, law: Law) -> Outcome:
    """Whether the serial number it broadcasts is on its own registration and no other, and that registration is in force."""
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
    ended = ended_as_known(facts, law)
    if ended is not None:
        return not_met("certificate_ended", value=ended[1])
    return all_hold(lambda: _on_one(facts, law), lambda: _listed(facts))


SERIAL_ON_RIGHT_CERTIFICATE_RULE = Rule(
    "serial_on_right_certificate",
    "aircraft",
    Bears.FLIGHT,
    serial_on_right_certificate,
    own=(ONE_CERTIFICATE,),
    topic=Topic.REMOTE_ID,
    shown_by=(DocumentShows.SERIAL,),
)


def _lists_no_serial(certificate: Facts, law: Law) -> bool:
    """Whether it is a Part 47 certificate at a time when that part lists no Remote ID serial."""
    told = certificate.has(REGISTRATION_KIND) or has_n_number(certificate)
    return told and kind_of(certificate) is RegistrationKind.PART_47 and not law[LISTS_SERIAL]


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
    gap: Undecided | None = None
    for other in _listing(facts):
        try:
            outcome = _beside(other, facts, law)
        except Undecided as undecided:
            gap = gap or undecided
        else:
            if outcome is not None:
                return outcome
    if gap is not None:
        raise gap
    return met("listed")


def _listing(facts: Facts) -> Iterator[Facts]:
    """The other aircraft whose registration lists what this one broadcasts, or what its own lists."""
    for key in (REMOTE_ID_SERIAL, LISTED_SERIAL):
        try:
            others = facts.sharing(LISTED_SERIAL, key)
        except Undecided:
            continue
        yield from others


def _beside(other: Facts, facts: Facts, law: Law) -> Outcome | None:
    """What is wrong with another aircraft's listing of the same serial; None for nothing, as on a cancelled certificate."""
    if other.on_file(IS_REGISTERED) is False or other.on_file(FOREIGN_REGISTRY):
        return None
    number, other_number = facts[REGISTRATION], other[REGISTRATION]
    if cancelled(other.linked(REGISTRATION)) is not None:
        return None
    if one_serial(other_number) != one_serial(number):
        return not_met("on_two_certificates", value=other.subject) if law[ONE_CERTIFICATE] else None
    kind = kind_of(facts.linked(REGISTRATION))
    if kind is RegistrationKind.RECREATIONAL and law[RECREATIONAL_SHARES]:
        return None
    return not_met("two_aircraft_one_certificate", value=other.subject)
