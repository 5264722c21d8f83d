"""Every rule, in the order a lead would ask: the aircraft, its registration, the papers, the owner, the people, the flight."""

from __future__ import annotations

from airwrit.law import (
    changes,
    condition,
    elsewhere,
    fees,
    holders,
    in_force,
    marking,
    owners,
    ownership,
    papers,
    pilots,
    purpose,
    registration,
    remote_id,
    renewals,
    ways,
    weight,
)
from airwrit.law.judging import Bears, Rule
from airwrit.law.rulebook_flights import FLIGHT_RULES

RULES: tuple[Rule, ...] = (
    Rule("use_stated", "aircraft", Bears.FLIGHT, registration.use_stated),
    Rule("must_be_registered", "aircraft", Bears.FLIGHT, in_force.must_be_registered),
    Rule("registration_in_term", "aircraft", Bears.FLIGHT, renewals.registration_in_term),
    Rule("right_kind_for_use", "aircraft", Bears.FLIGHT, registration.right_kind_for_use),
    Rule("registered_to_owner", "aircraft", Bears.FLIGHT, holders.registered_to_owner),
    Rule("marked_outside", "aircraft", Bears.FLIGHT, marking.marked_outside),
    Rule("mark_shows_number", "aircraft", Bears.FLIGHT, marking.mark_shows_number),
    Rule("remote_id_way", "aircraft", Bears.FLIGHT, remote_id.remote_id_way),
    Rule("serial_form", "aircraft", Bears.FLIGHT, remote_id.serial_form),
    Rule("serial_on_right_certificate", "aircraft", Bears.FLIGHT, remote_id.serial_on_right_certificate),
    Rule("operating_rules", "aircraft", Bears.FLIGHT, elsewhere.operating_rules),
    Rule("defect_released", "aircraft", Bears.FLIGHT, condition.defect_released),
    Rule("recognition_of_ownership", "aircraft", Bears.FLIGHT, owners.recognition_of_ownership),
    Rule("notice_of_identification", "aircraft", Bears.FLIGHT, owners.notice_of_identification),
    Rule("stated_expiry_agrees", "aircraft", Bears.PAPERS, renewals.stated_expiry_agrees),
    Rule("cancel_registration", "aircraft", Bears.PAPERS, changes.cancel_registration),
    Rule("renewal_window", "aircraft", Bears.ANSWER, renewals.renewal_window),
    Rule("new_expiry", "aircraft", Bears.ANSWER, renewals.new_expiry),
    Rule("weight_exemption", "aircraft", Bears.ANSWER, weight.weight_exemption),
    Rule("small_aircraft_limit", "aircraft", Bears.ANSWER, weight.small_aircraft_limit),
    Rule("part_48_path", "aircraft", Bears.ANSWER, registration.part_48_path),
    Rule("update_registration", "registration", Bears.PAPERS, changes.update_registration),
    Rule("filed_by_eligible_person", "registration", Bears.ANSWER, holders.filed_by_eligible_person),
    Rule("registration_not_void", "registration", Bears.FLIGHT, holders.registration_not_void),
    Rule("federal_fee", "registration", Bears.ANSWER, fees.federal_fee),
    Rule("paper_in_term", "paper", Bears.PAPERS, papers.paper_in_term),
    Rule("renewal_asked_in_time", "paper", Bears.ANSWER, papers.renewal_asked_in_time),
    Rule("paper_responsible_present", "paper", Bears.PAPERS, papers.paper_responsible_present),
    Rule("login_holder_present", "owner", Bears.PAPERS, papers.login_holder_present),
    Rule("owner_eligible", "owner", Bears.FLIGHT, owners.owner_eligible),
    Rule("us_citizen", "owner", Bears.ANSWER, owners.us_citizen),
    Rule("owner_may_file", "owner", Bears.ANSWER, owners.owner_may_file),
    Rule("counts_as_owner", "owner", Bears.ANSWER, ownership.counts_as_owner),
    Rule("several_owners", "owner", Bears.ANSWER, ownership.several_owners),
    Rule("old_enough_to_file", "owner", Bears.ANSWER, ownership.old_enough_to_file),
    Rule("used_enough_here", "owner", Bears.ANSWER, ownership.used_enough_here),
    Rule("flies_for_stated", "person", Bears.FLIGHT, pilots.flies_for_stated),
    Rule("certificate_held", "person", Bears.FLIGHT, pilots.certificate_held),
    Rule("recency", "person", Bears.FLIGHT, pilots.recency),
    Rule("flight_review", "person", Bears.FLIGHT, pilots.flight_review),
    Rule("temporary_certificate", "person", Bears.FLIGHT, pilots.temporary_certificate),
    Rule("address_told", "person", Bears.FLIGHT, pilots.address_told),
    Rule("recreational_safety_test", "person", Bears.FLIGHT, pilots.recreational_safety_test),
    Rule("night_eligible", "person", Bears.NIGHT, pilots.night_eligible),
    Rule("certificate_age", "person", Bears.ANSWER, pilots.certificate_age),
    Rule("may_manipulate_supervised", "person", Bears.ANSWER, pilots.may_manipulate_supervised),
    Rule("recreational_purpose", "flight", Bears.ANSWER, purpose.recreational_purpose),
    Rule("recreational_exception", "flight", Bears.ANSWER, purpose.recreational_exception),
    *FLIGHT_RULES,
)

WAYS: dict[ways.Way, Rule] = {
    ways.Way.NONE: Rule("no_registration_way", "aircraft", Bears.ANSWER, ways.no_registration_way),
    ways.Way.RECOGNITION: Rule("recognition_way", "aircraft", Bears.ANSWER, ways.recognition_way),
    ways.Way.RECREATIONAL: Rule("recreational_way", "aircraft", Bears.ANSWER, ways.recreational_way),
    ways.Way.PERSON: Rule("person_way", "aircraft", Bears.ANSWER, ways.person_way),
    ways.Way.ORGANIZATION: Rule("organization_way", "aircraft", Bears.ANSWER, ways.organization_way),
    ways.Way.PART_47: Rule("part_47_way", "aircraft", Bears.ANSWER, ways.part_47_way),
}
"""The rules of the ways to register, judged when somebody asks which one fits; a standing does not need them."""

BY_NAME: dict[str, Rule] = {rule.name: rule for rule in (*RULES, *WAYS.values())}
