"""Does the program have the aircraft, may it use it, and was all understood that a sheet says of it? 14 CFR 107.15.

Whoever answers for the aircraft says whether it is in service. What was not understood is taken neither way: it leaves the
answer open until somebody says that it does not matter.
"""

from __future__ import annotations

from datetime import date

from airwrit.base.days import Order, day_of, order_of
from airwrit.base.verdict import Outcome, Undecided, Why
from airwrit.facts.choices import CrewRole, ServiceStatus, UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import DESTROYED_ON, EXPORTED_ON, LOST_ON, REGISTRATION, SOLD_ON
from airwrit.facts.keys.person import CREW_ROLE, HAS_LEFT, LEFT_ON
from airwrit.facts.keys.registration import ISSUED_ON
from airwrit.facts.keys.service import (
    ACQUIRED_ON,
    DOES_NOT_MATTER,
    GONE,
    NOT_UNDERSTOOD,
    PERSON_DOES_NOT_MATTER,
    PERSON_NOT_UNDERSTOOD,
    REGISTRATION_DOES_NOT_MATTER,
    REGISTRATION_NOT_UNDERSTOOD,
    SERVICE_STATUS,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import under_certificate
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, no_duty, not_met, unknown
from airwrit.law.shared_parameters import CONDITION

_ENDED = ((SOLD_ON, "sold"), (DESTROYED_ON, "destroyed"), (EXPORTED_ON, "exported"), (LOST_ON, "lost"))
_AS_TOLD = {
    ServiceStatus.SOLD: "sold_no_day",
    ServiceStatus.DESTROYED: "destroyed_no_day",
    ServiceStatus.LOST: "lost_no_day",
}
"""Codes of what happened on a day that is not on file."""
_Texts = Key[tuple[str, ...]]


def in_the_fleet(facts: Facts, law: Law) -> Outcome:
    """Whether the program has the aircraft on that day. The law doesn't ask this, but you can't fly what you don't have."""
    del law
    for key, code in _ENDED:
        day = under_certificate(facts, key)
        if day is not None:
            return not_met(code, value=day)
    status = facts.on_file(SERVICE_STATUS)
    if status in GONE:
        return not_met(_AS_TOLD.get(status, status.name.lower()))
    first = facts.on_file(ACQUIRED_ON) or _issued(facts)
    if first is not None and order_of(first, facts.on) is Order.AFTER:
        return not_met("not_yet", value=day_of(first))
    return no_duty("in_the_fleet")


IN_THE_FLEET_RULE = Rule("in_the_fleet", "aircraft", Bears.FLIGHT, in_the_fleet)


def _issued(facts: Facts) -> date | None:
    """The first day of the certificate on file: before it nothing shows that the program had the aircraft.

    None for a certificate that is still to come: the aircraft is there and not registered yet.
    """
    try:
        issued = facts.quietly().linked(REGISTRATION).on_file(ISSUED_ON)
    except Undecided:
        return None
    return None if issued is not None and issued > facts.known_on else issued


def in_service(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft is in service: nobody has taken it out, for repair or any other reason."""
    if facts.on_file(SERVICE_STATUS) is not ServiceStatus.OUT_OF_SERVICE:
        return no_duty("in_service")
    if facts.use is UsedFor.WORK:
        law.span(CONDITION)
    return not_met("out_of_service")


IN_SERVICE_RULE = Rule("in_service", "aircraft", Bears.FLIGHT, in_service)


def aircraft_understood(facts: Facts, law: Law) -> Outcome:
    """Whether we understood every note about the aircraft that may matter."""
    return _understood(facts, law, NOT_UNDERSTOOD, DOES_NOT_MATTER)


AIRCRAFT_UNDERSTOOD_RULE = Rule("aircraft_understood", "aircraft", Bears.FLIGHT, aircraft_understood)


def registration_understood(facts: Facts, law: Law) -> Outcome:
    """Whether we understood every note about the registration that may matter."""
    return _understood(facts, law, REGISTRATION_NOT_UNDERSTOOD, REGISTRATION_DOES_NOT_MATTER)


REGISTRATION_UNDERSTOOD_RULE = Rule(
    "registration_understood", "registration", Bears.FLIGHT, registration_understood
)


def person_understood(facts: Facts, law: Law) -> Outcome:
    """Whether we understood every note about the person that may matter."""
    return _understood(facts, law, PERSON_NOT_UNDERSTOOD, PERSON_DOES_NOT_MATTER)


PERSON_UNDERSTOOD_RULE = Rule("person_understood", "person", Bears.FLIGHT, person_understood)


def _understood(facts: Facts, law: Law, text: _Texts, released: _Texts) -> Outcome:
    del law
    said = facts.on_file(text) or ()
    free = facts.on_file(released) or ()
    held = [one for one in said if one not in free]
    return unknown(Why.MISSING, "open", value="; ".join(held)) if held else no_duty("understood")


def flies_at_all(facts: Facts, law: Law) -> Outcome:
    """Whether the person is still in the program and a pilot. Only pilots need a certificate and training."""
    del law
    facts.on_file(LEFT_ON), facts.on_file(HAS_LEFT)
    role = facts.on_file(CREW_ROLE)
    return no_duty("pilot") if role in (None, CrewRole.PILOT) else no_duty("not_a_pilot")


FLIES_AT_ALL_RULE = Rule("flies_at_all", "person", Bears.FLIGHT, flies_at_all)
