"""Every rule, in the order a lead would ask: the aircraft, its registration, the papers, the owner, the people, the flight."""

from __future__ import annotations

from airwrit.law.aircraft import (
    battery,
    duty,
    fees,
    filings,
    fleet,
    in_force,
    maintenance,
    marking,
    remote_id,
    renewal,
    weight,
)
from airwrit.law.flight import other_law, purpose
from airwrit.law.flight.rulebook import FLIGHT_RULES
from airwrit.law.holder import owner, paper, pilot, ways
from airwrit.law.rule import Bears, Rule

RULES: tuple[Rule, ...] = (
    fleet.IN_THE_FLEET_RULE,
    fleet.IN_SERVICE_RULE,
    fleet.AIRCRAFT_UNDERSTOOD_RULE,
    duty.USE_STATED_RULE,
    in_force.MUST_BE_REGISTERED_RULE,
    renewal.REGISTRATION_IN_TERM_RULE,
    duty.RIGHT_KIND_FOR_USE_RULE,
    owner.REGISTERED_TO_OWNER_RULE,
    marking.MARKED_OUTSIDE_RULE,
    marking.MARK_SHOWS_NUMBER_RULE,
    remote_id.REMOTE_ID_WAY_RULE,
    remote_id.SERIAL_FORM_RULE,
    remote_id.SERIAL_ON_RIGHT_CERTIFICATE_RULE,
    other_law.OPERATING_RULES_RULE,
    maintenance.DEFECT_RELEASED_RULE,
    maintenance.RETURNED_TO_SERVICE_RULE,
    maintenance.BULLETINS_DONE_RULE,
    owner.RECOGNITION_OF_OWNERSHIP_RULE,
    owner.NOTICE_OF_IDENTIFICATION_RULE,
    renewal.STATED_EXPIRY_AGREES_RULE,
    filings.CANCEL_REGISTRATION_RULE,
    filings.CANCEL_OLD_REGISTRATION_RULE,
    renewal.RENEWAL_WINDOW_RULE,
    renewal.NEW_EXPIRY_RULE,
    weight.WEIGHT_EXEMPTION_RULE,
    weight.SMALL_AIRCRAFT_LIMIT_RULE,
    duty.PART_48_PATH_RULE,
    fleet.REGISTRATION_UNDERSTOOD_RULE,
    filings.UPDATE_REGISTRATION_RULE,
    owner.FILED_BY_ELIGIBLE_PERSON_RULE,
    owner.REGISTRATION_NOT_VOID_RULE,
    fees.FEDERAL_FEE_RULE,
    maintenance.HEIGHT_SETTINGS_RULE,
    battery.BATTERY_FIT_RULE,
    maintenance.BATTERY_BULLETINS_DONE_RULE,
    paper.PAPER_IN_TERM_RULE,
    paper.RENEWAL_ASKED_IN_TIME_RULE,
    paper.PAPER_RESPONSIBLE_PRESENT_RULE,
    paper.LOGIN_HOLDER_PRESENT_RULE,
    owner.OWNER_ELIGIBLE_RULE,
    owner.US_CITIZEN_RULE,
    owner.OWNER_MAY_FILE_RULE,
    owner.COUNTS_AS_OWNER_RULE,
    owner.SEVERAL_OWNERS_RULE,
    owner.OLD_ENOUGH_TO_FILE_RULE,
    owner.USED_ENOUGH_HERE_RULE,
    fleet.FLIES_AT_ALL_RULE,
    fleet.PERSON_UNDERSTOOD_RULE,
    pilot.FLIES_FOR_STATED_RULE,
    pilot.CERTIFICATE_HELD_RULE,
    pilot.RECENCY_RULE,
    pilot.FLIGHT_REVIEW_RULE,
    pilot.TEMPORARY_CERTIFICATE_RULE,
    pilot.ADDRESS_TOLD_RULE,
    pilot.RECREATIONAL_SAFETY_TEST_RULE,
    pilot.NIGHT_ELIGIBLE_RULE,
    pilot.CERTIFICATE_AGE_RULE,
    pilot.MAY_MANIPULATE_SUPERVISED_RULE,
    purpose.RECREATIONAL_PURPOSE_RULE,
    purpose.RECREATIONAL_EXCEPTION_RULE,
    *FLIGHT_RULES,
)

ASKED_KINDS = ("aircraft", "registration", "owner", "person", "battery", "paper", "flight")
ASKED: dict[str, tuple[Rule, ...]] = {
    kind: tuple(r for r in RULES if r.about == kind and r.bears is not Bears.ANSWER) for kind in ASKED_KINDS
}
"""The rules that are asked of everything on record each time its status is asked for, by kind of subject."""

WAYS: dict[ways.RegistrationWay, Rule] = {
    ways.RegistrationWay.NONE: ways.NO_REGISTRATION_WAY_RULE,
    ways.RegistrationWay.RECOGNITION: ways.RECOGNITION_WAY_RULE,
    ways.RegistrationWay.RECREATIONAL: ways.RECREATIONAL_WAY_RULE,
    ways.RegistrationWay.PERSON: ways.PERSON_WAY_RULE,
    ways.RegistrationWay.ORGANIZATION: ways.ORGANIZATION_WAY_RULE,
    ways.RegistrationWay.PART_47: ways.PART_47_WAY_RULE,
}
"""The rules of the ways to register, judged when somebody asks which one fits; a standing does not need them."""

BY_NAME: dict[str, Rule] = {rule.name: rule for rule in (*RULES, *WAYS.values())}
