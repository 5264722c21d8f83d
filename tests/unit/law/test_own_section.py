"""The section shown beside a finding of a flight is the rule's own, whatever other law the rule leaned on."""

from __future__ import annotations

import pytest

from airwrit.base.verdict import Why
from airwrit.law import wording
from airwrit.law.flight.rulebook import FLIGHT_RULES
from tests.unit.law.case import judged
from tests.unit.law.test_what_is_read import RuleCases, cases_by_rule

OWN = {rule.name: rule for rule in FLIGHT_RULES if rule.about == "flight" and rule.own}
LEANS_ON_NONE = {"land_rules", "state_law"}
"""Rules of a flight that tell of law we don't check: whatever they read is their own."""

SECTIONS = {
    "height_limit": ("14 CFR 107.51(b)", "49 USC 44809(a)(6)"),
    "speed_limit": ("14 CFR 107.51(a)",),
    "flight_visibility": ("14 CFR 107.51(c)",),
    "cloud_distance": ("14 CFR 107.51(d)",),
    "line_of_sight": ("14 CFR 107.31", "49 USC 44809(a)(3)"),
    "from_moving_vehicle": ("14 CFR 107.25",),
    "night_lights": ("14 CFR 107.29(a)",),
    "twilight_lights": ("14 CFR 107.29(b)",),
    "right_of_way": ("14 CFR 107.37", "49 USC 44809(a)(4)"),
    "one_aircraft": ("14 CFR 107.35",),
    "visual_observer": ("14 CFR 107.33",),
    "airport_interference": ("14 CFR 107.43",),
    "checked_before_flight": ("14 CFR 107.15", "14 CFR 107.49"),
    "crew_fit": ("14 CFR 107.27",),
    "model_limits": ("14 CFR 107.49",),
    "return_home": ("14 CFR 107.49",),
    "over_people": ("14 CFR 107.39",),
    "over_moving_vehicles": ("14 CFR 107.145", "14 CFR 107.39"),
    "authority_controlled_airspace": ("14 CFR 107.41", "49 USC 44809(a)(5)"),
    "tfr": ("14 CFR 107.47", "14 CFR 99.7"),
    "restricted_area_permission": ("14 CFR 107.45", "49 USC 44809(a)"),
    "land_as_soon_as_practicable": ("14 CFR 89.110",),
    "remote_id_in_sight": ("14 CFR 89.115",),
    "standard_remote_id_not_disabled": ("14 CFR 89.110",),
    "adsb_out_off": ("14 CFR 107.52",),
    "hazardous_material": ("14 CFR 107.36",),
    "agricultural_certificate": ("14 CFR 137",),
    "registration_at_hand": ("14 CFR 91.203",),
    "papers_at_hand": ("14 CFR 107.7",),
}
"""How the section of a rule begins, as its own text of the law is numbered."""


def test_every_rule_of_a_flight_names_what_is_its_own() -> None:
    assert {rule.name for rule in FLIGHT_RULES if rule.about == "flight"} == OWN.keys() | LEANS_ON_NONE


@pytest.mark.parametrize(
    "rule", [one for one in cases_by_rule() if one.rule in OWN], ids=lambda one: one.rule
)
def test_the_section_shown_is_the_rules_own(rule: RuleCases) -> None:
    own = {span.cites for param in OWN[rule.rule].own for span in param.spans}
    for line in rule.lines:
        finding = judged(line)[0]
        shown = wording.section(finding)
        if finding.outcome.why is Why.LAW_NOT_READ or line.code == "before_part_107":
            continue  # no section of its own held, as far as the law was read
        assert shown in own, line
        assert shown.startswith(SECTIONS.get(rule.rule, ("",))), line
        assert wording.cites(finding)[0] == shown
