"""Papers at hand during a flight: 14 CFR 107.7, 107.67(b), 91.203(a)(2)."""

from __future__ import annotations

from airwrit.base.verdict import Outcome
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.over_people import CARD_AT_HAND, ID_AT_HAND, REGISTRATION_CARRIED
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import duty_follows
from airwrit.law.flight.regime import part_107_flight
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_asked, not_met

IN_POSSESSION = parameter("certificate_in_possession", bool)
IDENTIFICATION = parameter("identification_shows", tuple)
AT_HAND = parameter("registration_at_hand_needed", bool)


def papers_at_hand(facts: Facts, law: Law) -> Outcome:
    """Whether the pilot carries the certificate itself and an ID. A picture of the certificate doesn't count."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    if not law[IN_POSSESSION]:
        return no_duty("on_request_then")
    return all_hold(
        lambda: met("both") if facts[CARD_AT_HAND] else not_met("no_card"),
        lambda: met("both") if not law[IDENTIFICATION] or facts[ID_AT_HAND] else not_met("no_id"),
    )


PAPERS_AT_HAND_RULE = Rule(
    "papers_at_hand", "flight", Bears.ANSWER, papers_at_hand, own=(IN_POSSESSION, IDENTIFICATION)
)


def registration_at_hand(facts: Facts, law: Law) -> Outcome:
    """Whether the pilot has the aircraft's registration, on paper or as a file."""
    free = not_asked(law, AT_HAND)
    if free is not None:
        return free
    if duty_follows(facts.linked(FLIGHT_AIRCRAFT), law):
        return no_duty("no_registration_needed")
    return met("at_hand") if facts[REGISTRATION_CARRIED] else not_met("not_at_hand")


REGISTRATION_AT_HAND_RULE = Rule(
    "registration_at_hand", "flight", Bears.ANSWER, registration_at_hand, own=(AT_HAND,)
)
