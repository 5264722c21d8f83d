"""Every act on the program, and what it states: one case at least of each."""

from __future__ import annotations

from typing import NamedTuple

from airwrit.answers.acts.catalog import ActPlanned, act_named, deed_of
from airwrit.facts.key import Raw
from tests.unit.answers.program import EVENT, FIRM, KNOWN, ONE, SERIAL, TWO

ON = EVENT.isoformat()
CHANGE = f"change/{{}} of {{}}, {ON}"


class Case(NamedTuple):
    """An act on the program, and what it states: the aircraft H-01 stands for where no subject is named."""

    act: str
    subject: str
    told: dict[str, Raw]
    states: set[tuple[str, str, Raw]]

    def deed(self) -> ActPlanned:
        """The act on the program."""
        return deed_of(act_named(self.act), self.subject, self.told, EVENT, KNOWN)


def changed(what: str, number: str, *, filed: bool = False) -> set[tuple[str, str, Raw]]:
    """A change of a registration's details, filed the same day or not."""
    event = CHANGE.format(what, number)
    told = {(event, "filed_on", ON), (f"registration/{number}", "change_filed_on", ON)} if filed else set()
    return told | {
        (event, "change_of", number),
        (event, "changed_on", ON),
        (event, "what_changed", what),
    }


H1, H2, R1, R2 = "aircraft/H-01", "aircraft/H-02", f"registration/{ONE}", f"registration/{TWO}"
MODULE_OFF: set[tuple[str, str, Raw]] = {
    (H1, "remote_id_serial", None),
    (H1, "declaration_accepted", None),
    (H1, "remote_id_way", "none"),
    (H2, "remote_id_way", "module"),
    (H2, "remote_id_serial", SERIAL),
    (H2, "declaration_accepted", True),
    *changed("Remote ID serial for H-01", ONE),
    *changed("Remote ID serial for H-02", TWO),
}

B1 = "battery/B-1"
DEFECT = f"defect/H-01 cracked arm, {ON}"
WORK = f"maintenance/H-01 propellers, {ON}"
CELL_WORK = f"maintenance/B-1 balance, {ON}"
COURSE = f"course/Night flying of Ann, {ON}"
UPKEEP = (
    Case(
        "find_defect",
        "H-01",
        {"defect": "cracked arm", "defect_grounds": "yes", "defect_found_by": "Bob"},
        {
            (DEFECT, "defect_of", "H-01"),
            (DEFECT, "defect", "cracked arm"),
            (DEFECT, "defect_found_on", ON),
            (DEFECT, "defect_grounds", True),
            (DEFECT, "defect_found_by", "Bob"),
        },
    ),
    Case(
        "log_maintenance",
        "H-01",
        {"task": "propellers", "firmware_after": "4.2", "work_returned_by": "The shop"},
        {
            (WORK, "maintenance_of", "H-01"),
            (WORK, "task", "propellers"),
            (WORK, "maintenance_done_on", ON),
            (WORK, "firmware_after", "4.2"),
            (WORK, "work_returned_by", "The shop"),
            (WORK, "work_returned_on", ON),
            (H1, "firmware", "4.2"),
        },
    ),
    Case(
        "change_settings",
        "H-01",
        {"return_height_ft": "150", "lost_link_action": "land"},
        {(H1, "return_height_ft", "150"), (H1, "lost_link_action", "land")},
    ),
    Case(
        "add_battery",
        "B-1",
        {"capacity_new_mah": "5000", "paired_aircraft": "H-01", "cycles_read": "3"},
        {
            (B1, "capacity_new_mah", "5000"),
            (B1, "paired_aircraft", "H-01"),
            (B1, "cycles_read", "3"),
            (B1, "cycles_read_on", ON),
            (B1, "battery_since_on", ON),
        },
    ),
    Case(
        "weigh_configuration",
        "H-01 with lamp",
        {"configuration_of": "H-01", "configuration_weight_g": "900"},
        {
            ("configuration/H-01 with lamp", "configuration_of", "H-01"),
            ("configuration/H-01 with lamp", "configuration_weight_g", "900"),
            ("configuration/H-01 with lamp", "configuration_weighed_on", ON),
        },
    ),
    Case(
        "describe_model",
        "Sarvo 4",
        {"model_wind_limit_kt": "20"},
        {("model/Sarvo 4", "model_wind_limit_kt", "20")},
    ),
    Case(
        "receive_bulletin",
        "SB-1",
        {
            "bulletin_about": "aircraft",
            "bulletin_model": "Sarvo 4",
            "bulletin_serials": "all",
            "bulletin_says": "replace the screws",
            "bulletin_due_on": "2026-12-31",
        },
        {
            ("bulletin/SB-1", "bulletin_about", "aircraft"),
            ("bulletin/SB-1", "bulletin_model", "Sarvo 4"),
            ("bulletin/SB-1", "bulletin_serials", "all"),
            ("bulletin/SB-1", "bulletin_says", "replace the screws"),
            ("bulletin/SB-1", "bulletin_due_on", "2026-12-31"),
            ("bulletin/SB-1", "bulletin_issued_on", ON),
        },
    ),
    Case(
        "complete_course",
        "Ann",
        {"course": "Night flying", "course_passed": "yes", "course_for_paper": "W-1"},
        {
            (COURSE, "course_of", "Ann"),
            (COURSE, "course", "Night flying"),
            (COURSE, "course_on", ON),
            (COURSE, "course_passed", True),
            (COURSE, "course_for_paper", "W-1"),
        },
    ),
)

CASES = (
    Case(
        "buy",
        "H-03",
        {"owner": FIRM, "maker": "Korrin", "used_for": "work"},
        {
            ("aircraft/H-03", "owner", FIRM),
            ("aircraft/H-03", "maker", "Korrin"),
            ("aircraft/H-03", "used_for", "work"),
            ("aircraft/H-03", "is_registered", False),
        },
    ),
    Case(
        "buy",
        "H-01",
        {"owner": "Ann"},
        {
            (H1, "owner", "Ann"),
            (H1, "is_registered", False),
            (H1, "registration", None),
            (H1, "listed_serial", None),
            (H1, "holder", None),
            (H1, "sold_under", ONE),
            (H1, "sold_under_on", ON),
        },
    ),
    Case("buy", "H-01", {"owner": FIRM}, {(H1, "owner", FIRM)}),
    Case(
        "mark",
        "H-01",
        {"place": "outside", "text": ONE, "legible": "yes"},
        {(H1, "mark_place", "outside"), (H1, "mark_text", ONE), (H1, "mark_legible", True)},
    ),
    Case(
        "fit_module",
        "H-02",
        {"serial": "ZZ9Z6MADE02", "filed": "yes"},
        {
            (H2, "remote_id_way", "module"),
            (H2, "remote_id_serial", "ZZ9Z6MADE02"),
            (H2, "declaration_accepted", None),
            (H2, "listed_serial", "ZZ9Z6MADE02"),
            *changed("Remote ID serial for H-02", TWO, filed=True),
        },
    ),
    Case("move_module", "H-01", {"to": "H-02"}, MODULE_OFF),
    Case(
        "move_module",
        "H-01",
        {"to": "H-02", "filed": "yes"},
        {
            *MODULE_OFF,
            (H1, "listed_serial", None),
            (H2, "listed_serial", SERIAL),
            *changed("Remote ID serial for H-01", ONE, filed=True),
            *changed("Remote ID serial for H-02", TWO, filed=True),
        },
    ),
    Case(
        "change_equipment",
        "H-01",
        {"part_on": "guards", "part_weight_g": "31", "part_off": "H-01 lamp"},
        {
            (H1, "takeoff_weight_g", None),
            ("part/H-01 guards", "part_of", "H-01"),
            ("part/H-01 guards", "part_name", "guards"),
            ("part/H-01 guards", "part_weight_g", "31"),
            ("part/H-01 lamp", "part_of", None),
        },
    ),
    Case(
        "change_equipment",
        "H-01",
        {"takeoff_weight_g": "1400.5", "scale_error_g": "1"},
        {(H1, "takeoff_weight_g", "1400.5"), (H1, "scale_error_g", "1"), (H1, "weighed_on", ON)},
    ),
    Case("sell", "H-01", {}, {(H1, "sold_on", ON), (H1, "owner", None), (H1, "holder", None)}),
    Case("sell", "H-01", {"to": "Ola"}, {(H1, "sold_on", ON), (H1, "owner", None), (H1, "holder", "Ola")}),
    Case("lose", "H-01", {}, {(H1, "lost_on", ON), (H1, "holder", None)}),
    Case("destroy", "H-02", {}, {(H2, "destroyed_on", ON)}),
    Case("export", "H-02", {}, {(H2, "exported_on", ON)}),
    Case(
        "lend",
        "H-01",
        {"to": "Fenny Club", "back_on": "2026-12-01"},
        {(H1, "holder", "Fenny Club"), (H1, "held_under", "loan"), (H1, "back_on", "2026-12-01")},
    ),
    Case("lease", "H-01", {"to": "Ola"}, {(H1, "holder", "Ola"), (H1, "held_under", "lease")}),
    Case(
        "borrow",
        "L-01",
        {"owner": "Ola", "to": "Ann", "used_for": "work"},
        {
            ("aircraft/L-01", "owner", "Ola"),
            ("aircraft/L-01", "holder", "Ann"),
            ("aircraft/L-01", "used_for", "work"),
            ("aircraft/L-01", "held_under", "loan"),
        },
    ),
    Case(
        "register",
        "H-02",
        {"number": "FA00TEST03", "kind": "Part 48 per aircraft", "registered_to": FIRM},
        {
            (H2, "registration", "FA00TEST03"),
            (H2, "is_registered", True),
            (H2, "listed_serial", None),
            ("registration/FA00TEST03", "registration_kind", "Part 48 per aircraft"),
            ("registration/FA00TEST03", "issued_on", ON),
            ("registration/FA00TEST03", "registered_to", FIRM),
        },
    ),
    Case(
        "register",
        "H-02",
        {"number": "FA00TEST09", "listed_serial": SERIAL},
        {(H2, "registration", "FA00TEST09"), (H2, "is_registered", True), (H2, "listed_serial", SERIAL)},
    ),
    Case("renew", ONE, {}, {(R1, "renewed_on", ON)}),
    Case(
        "renew", ONE, {"expires_on": "2031-05-01"}, {(R1, "renewed_on", ON), (R1, "expires_on", "2031-05-01")}
    ),
    Case("file_change", ONE, {}, {(R1, "change_filed_on", ON)}),
    Case(
        "file_change",
        ONE,
        {"aircraft": "H-01", "listed_serial": SERIAL},
        {(R1, "change_filed_on", ON), (H1, "listed_serial", SERIAL)},
    ),
    Case("cancel", ONE, {}, {(R1, "cancelled_on", ON)}),
    Case(
        "change_representative",
        FIRM,
        {"to": "Ann", "login": "yes"},
        {
            (R1, "representative", "Ann"),
            (R2, "representative", "Ann"),
            *changed("representative", ONE),
            *changed("representative", TWO),
            (f"owner/{FIRM}", "registry_login_holder", "Ann"),
        },
    ),
    Case(
        "join",
        "Cai",
        {"role": "pilot", "flies_for": "work", "has_certificate": "no"},
        {
            ("person/Cai", "role", "pilot"),
            ("person/Cai", "flies_for", "work"),
            ("person/Cai", "has_certificate", False),
        },
    ),
    Case(
        "train",
        "Ann",
        {"kind": "recurrent training"},
        {
            (f"training/recurrent training of Ann, {ON}", "event_of", "Ann"),
            (f"training/recurrent training of Ann, {ON}", "event_kind", "recurrent training"),
            (f"training/recurrent training of Ann, {ON}", "completed_on", ON),
        },
    ),
    Case(
        "get_certificate",
        "Ann",
        {"temporary": "yes"},
        {("person/Ann", "has_certificate", True), ("person/Ann", "temporary_issued_on", ON)},
    ),
    Case(
        "pass_safety_test",
        "Ann",
        {"proof": "yes"},
        {("person/Ann", "safety_test_on", ON), ("person/Ann", "safety_test_proof", True)},
    ),
    Case(
        "move_house",
        "Ann",
        {},
        {
            (CHANGE.format("mailing address", "Ann"), "move_of", "Ann"),
            (CHANGE.format("mailing address", "Ann"), "changed_on", ON),
            (CHANGE.format("mailing address", "Ann"), "what_changed", "mailing address"),
            *changed("mailing address of the owner", "FA00TEST09"),
        },
    ),
    Case("tell_address", "Ann", {}, {("person/Ann", "address_told_on", ON)}),
    Case(
        "change_role",
        "Ann",
        {"role": "observer", "flies_at_night": "no"},
        {("person/Ann", "role", "observer"), ("person/Ann", "flies_at_night", False)},
    ),
    Case("leave", "Bob", {}, {("person/Bob", "left_on", ON)}),
    Case(
        "confirm",
        "Ann",
        {"what": "props tight", "good_until_on": "2026-11-21", "aircraft": "H-01"},
        {
            (f"confirmation/props tight by Ann, {ON}", key, value)
            for key, value in (
                ("confirmed_by", "Ann"),
                ("confirmed", "props tight"),
                ("confirmed_on", ON),
                ("good_until_on", "2026-11-21"),
                ("confirmed_aircraft", "H-01"),
            )
        },
    ),
    Case("hand_over", "W-1", {"to": "Ann"}, {("paper/W-1", "paper_responsible", "Ann")}),
    Case("hand_on", "H-01", {"to": "Bob"}, {("aircraft/H-01", "holder", "Bob")}),
    Case("change_login", FIRM, {"to": "Ann"}, {(f"owner/{FIRM}", "registry_login_holder", "Ann")}),
    *UPKEEP,
)
