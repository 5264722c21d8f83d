"""What the certificates of a fleet cost over one term."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.answers.registration.fees import FeeReason, Fees, fees_json, fees_of
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.key import Raw
from tests.unit.answers.told import firm_aircraft, fleet

IVO: dict[str, Raw] = {"owner_kind": "person", "citizenship": "citizen"}
TOY: dict[str, Raw] = {
    "used_for": "recreation",
    "owner": "Ivo Brask",
    "is_registered": True,
    "registration": "FA00TEST90",
    "takeoff_weight_g": "900",
}
HIS: dict[str, dict[str, Raw]] = {
    "owner/Ivo Brask": IVO,
    "registration/FA00TEST90": {
        "registration_kind": "Part 48 recreational",
        "issued_on": "2025-11-01",
        "registered_to": "Ivo Brask",
    },
}


def told(fees: Fees) -> list[tuple[str, int, str, date | None]]:
    return [(fee.kind.value, len(fee.subjects), fee.act.value, fee.by) for fee in fees.fees]


def test_each_aircraft_of_a_firm_has_its_own() -> None:
    fees = fees_of(
        fleet(
            {
                **firm_aircraft("Alder 1", "FA00TEST01", "2025-11-01"),
                **firm_aircraft("Alder 2", "FA00TEST02", "2023-11-20"),
            }
        )
    )
    assert told(fees) == [
        ("Part 48 per aircraft", 1, "renew", date(2028, 10, 31)),
        ("Part 48 per aircraft", 1, "register", None),
    ]
    assert (fees.total_usd, fees.years, fees.complete) == (Decimal(10), 3, True)


def test_one_recreational_certificate_covers_all_of_one_person() -> None:
    more = {**TOY, "is_registered": False}
    del more["registration"]
    fees = fees_of(fleet({**HIS, "aircraft/A": TOY, "aircraft/B": TOY, "aircraft/C": more}))
    assert told(fees) == [("Part 48 recreational", 3, "renew", date(2028, 10, 31))]
    assert fees.total_usd == 5


def test_two_people_have_two() -> None:
    other: dict[str, dict[str, Raw]] = {
        "owner/Nela Quist": IVO,
        "aircraft/D": {
            "used_for": "recreation",
            "owner": "Nela Quist",
            "is_registered": False,
            "takeoff_weight_g": "900",
        },
    }
    fees = fees_of(fleet({**HIS, "aircraft/A": TOY, **other}))
    assert told(fees) == [
        ("Part 48 recreational", 1, "renew", date(2028, 10, 31)),
        ("Part 48 recreational", 1, "register", None),
    ]


def test_work_on_a_recreational_certificate_needs_one_of_its_own() -> None:
    fees = fees_of(fleet({**HIS, "aircraft/A": {**TOY, "used_for": "work and recreation"}}))
    assert [(fee.kind, fee.act) for fee in fees.fees] == [(RegistrationKind.PER_AIRCRAFT, FeeReason.REGISTER)]


def test_who_is_not_in_the_sum() -> None:
    quiet: dict[str, Raw] = {"owner": "Ivo Brask", "registration": "FA00TEST90"}
    heavy = firm_aircraft("Gorse", "FA00TEST03", "2025-11-01", takeoff_weight_g="30000")
    fees = fees_of(
        fleet(
            {
                **HIS,
                "aircraft/light": {
                    "used_for": "recreation",
                    "is_registered": False,
                    "takeoff_weight_g": "200",
                },
                "aircraft/quiet": quiet,
                "aircraft/nobody's": {key: value for key, value in TOY.items() if key != "owner"},
                "aircraft/gone": {**TOY, "destroyed_on": "2026-01-02"},
                **heavy,
            }
        )
    )
    assert fees.fees == ()
    assert {one.subject.partition("/")[2]: one.unknown for one in fees.uncounted} == {
        "light": False,
        "quiet": True,
        "nobody's": True,
        "gone": False,
        "Gorse": False,
    }
    assert not fees.complete


def test_the_document() -> None:
    told_fees = fees_json(fees_of(fleet(firm_aircraft("Alder 1", "FA00TEST01", "2025-11-01"))))
    assert told_fees["total_usd"] == "5"
    assert "14 CFR 48.30" in told_fees["cites"]
    assert told_fees["certificates"][0]["by"] == "2028-10-31"
