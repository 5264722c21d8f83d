"""Every rule, in the order a lead would ask: the aircraft, its registration, the papers, the owner, the people, the flight."""

from __future__ import annotations

from airwrit.law.aircraft import (
    condition,
    duty,
    fees,
    filings,
    fleet,
    in_force,
    marking,
    remote_id,
    renewal,
    weight,
)
from airwrit.law.flight import other_law, purpose
from airwrit.law.flight.rulebook import FLIGHT_RULES
from airwrit.law.holder import certificate_holder, owner, ownership, paper, pilot, ways
from airwrit.law.rule import Bears, Rule

RULES: tuple[Rule, ...] = (
    Rule("in_the_fleet", "aircraft", Bears.FLIGHT, fleet.in_the_fleet),
    Rule("in_service", "aircraft", Bears.FLIGHT, fleet.in_service),
    Rule("aircraft_understood", "aircraft", Bears.FLIGHT, fleet.aircraft_understood),
    Rule("use_stated", "aircraft", Bears.FLIGHT, duty.use_stated),
    Rule("must_be_registered", "aircraft", Bears.FLIGHT, in_force.must_be_registered),
    Rule("registration_in_term", "aircraft", Bears.FLIGHT, renewal.registration_in_term),
    Rule("right_kind_for_use", "aircraft", Bears.FLIGHT, duty.right_kind_for_use),
    Rule("registered_to_owner", "aircraft", Bears.FLIGHT, certificate_holder.registered_to_owner),
    Rule("marked_outside", "aircraft", Bears.FLIGHT, marking.marked_outside),
    Rule("mark_shows_number", "aircraft", Bears.FLIGHT, marking.mark_shows_number),
    Rule("remote_id_way", "aircraft", Bears.FLIGHT, remote_id.remote_id_way),
    Rule("serial_form", "aircraft", Bears.FLIGHT, remote_id.serial_form),
    Rule("serial_on_right_certificate", "aircraft", Bears.FLIGHT, remote_id.serial_on_right_certificate),
    Rule("operating_rules", "aircraft", Bears.FLIGHT, other_law.operating_rules),
    Rule("defect_released", "aircraft", Bears.FLIGHT, condition.defect_released),
    Rule("recognition_of_ownership", "aircraft", Bears.FLIGHT, owner.recognition_of_ownership),
    Rule("notice_of_identification", "aircraft", Bears.FLIGHT, owner.notice_of_identification),
    Rule("stated_expiry_agrees", "aircraft", Bears.PAPERS, renewal.stated_expiry_agrees),
    Rule("cancel_registration", "aircraft", Bears.PAPERS, filings.cancel_registration),
    Rule("cancel_old_registration", "aircraft", Bears.PAPERS, filings.cancel_old_registration),
    Rule("renewal_window", "aircraft", Bears.ANSWER, renewal.renewal_window),
    Rule("new_expiry", "aircraft", Bears.ANSWER, renewal.new_expiry),
    Rule("weight_exemption", "aircraft", Bears.ANSWER, weight.weight_exemption),
    Rule("small_aircraft_limit", "aircraft", Bears.ANSWER, weight.small_aircraft_limit),
    Rule("part_48_path", "aircraft", Bears.ANSWER, duty.part_48_path),
    Rule("registration_understood", "registration", Bears.FLIGHT, fleet.registration_understood),
    Rule("update_registration", "registration", Bears.PAPERS, filings.update_registration),
    Rule(
        "filed_by_eligible_person", "registration", Bears.ANSWER, certificate_holder.filed_by_eligible_person
    ),
    Rule("registration_not_void", "registration", Bears.FLIGHT, certificate_holder.registration_not_void),
    Rule("federal_fee", "registration", Bears.ANSWER, fees.federal_fee),
    Rule("paper_in_term", "paper", Bears.PAPERS, paper.paper_in_term),
    Rule("renewal_asked_in_time", "paper", Bears.ANSWER, paper.renewal_asked_in_time),
    Rule("paper_responsible_present", "paper", Bears.PAPERS, paper.paper_responsible_present),
    Rule("login_holder_present", "owner", Bears.PAPERS, paper.login_holder_present),
    Rule("owner_eligible", "owner", Bears.FLIGHT, owner.owner_eligible),
    Rule("us_citizen", "owner", Bears.ANSWER, owner.us_citizen),
    Rule("owner_may_file", "owner", Bears.ANSWER, owner.owner_may_file),
    Rule("counts_as_owner", "owner", Bears.ANSWER, ownership.counts_as_owner),
    Rule("several_owners", "owner", Bears.ANSWER, ownership.several_owners),
    Rule("old_enough_to_file", "owner", Bears.ANSWER, ownership.old_enough_to_file),
    Rule("used_enough_here", "owner", Bears.ANSWER, ownership.used_enough_here),
    Rule("flies_at_all", "person", Bears.FLIGHT, fleet.flies_at_all),
    Rule("person_understood", "person", Bears.FLIGHT, fleet.person_understood),
    Rule("flies_for_stated", "person", Bears.FLIGHT, pilot.flies_for_stated),
    Rule("certificate_held", "person", Bears.FLIGHT, pilot.certificate_held),
    Rule("recency", "person", Bears.FLIGHT, pilot.recency),
    Rule("flight_review", "person", Bears.FLIGHT, pilot.flight_review),
    Rule("temporary_certificate", "person", Bears.FLIGHT, pilot.temporary_certificate),
    Rule("address_told", "person", Bears.FLIGHT, pilot.address_told),
    Rule("recreational_safety_test", "person", Bears.FLIGHT, pilot.recreational_safety_test),
    Rule("night_eligible", "person", Bears.NIGHT, pilot.night_eligible),
    Rule("certificate_age", "person", Bears.ANSWER, pilot.certificate_age),
    Rule("may_manipulate_supervised", "person", Bears.ANSWER, pilot.may_manipulate_supervised),
    Rule("recreational_purpose", "flight", Bears.ANSWER, purpose.recreational_purpose),
    Rule("recreational_exception", "flight", Bears.ANSWER, purpose.recreational_exception),
    *FLIGHT_RULES,
)

WAYS: dict[ways.RegistrationWay, Rule] = {
    ways.RegistrationWay.NONE: Rule(
        "no_registration_way", "aircraft", Bears.ANSWER, ways.no_registration_way
    ),
    ways.RegistrationWay.RECOGNITION: Rule("recognition_way", "aircraft", Bears.ANSWER, ways.recognition_way),
    ways.RegistrationWay.RECREATIONAL: Rule(
        "recreational_way", "aircraft", Bears.ANSWER, ways.recreational_way
    ),
    ways.RegistrationWay.PERSON: Rule("person_way", "aircraft", Bears.ANSWER, ways.person_way),
    ways.RegistrationWay.ORGANIZATION: Rule(
        "organization_way", "aircraft", Bears.ANSWER, ways.organization_way
    ),
    ways.RegistrationWay.PART_47: Rule("part_47_way", "aircraft", Bears.ANSWER, ways.part_47_way),
}
"""The rules of the ways to register, judged when somebody asks which one fits; a standing does not need them."""

BY_NAME: dict[str, Rule] = {rule.name: rule for rule in (*RULES, *WAYS.values())}
