"""A fleet told in a few words, and how it stands."""

from __future__ import annotations

from datetime import UTC, date, datetime

from airwrit.answers.standing.standing import Standing, standing
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement

DAY = date(2026, 11, 25)
KNOWN_AT = datetime(2026, 11, 25, 12, tzinfo=UTC)

GOOD: dict[str, Raw] = {
    "used_for": "work",
    "maker": "Korrin",
    "model": "Sarvo 4",
    "owner": "Tarn & Fell Land Services",
    "is_registered": True,
    "mark_place": "outside",
    "remote_id_way": "standard",
    "declaration_accepted": True,
    "takeoff_weight_g": "1388",
}
FIRM: dict[str, Raw] = {"owner_kind": "corporation", "organized_in_us": True, "based_and_used_in_us": True}


def fleet(told: dict[str, dict[str, Raw]], day: date = DAY) -> Standing:
    """How the subjects told stand on `day`."""
    return standing(known_of(told), day, KNOWN_AT)


def known_of(told: dict[str, dict[str, Raw]]) -> list[Known]:
    """The statements."""
    return [
        Known(Statement(subject, key, value), "told")
        for subject, facts in told.items()
        for key, value in facts.items()
    ]


def firm_aircraft(name: str, number: str, issued_on: str, **more: Raw) -> dict[str, dict[str, Raw]]:
    """An aircraft of the firm on a certificate of its own, with its owner; `more` overrides facts of the aircraft."""
    serial = "ZZ9Z6" + number[-6:].replace("O", "0").replace("I", "1")
    aircraft = {**GOOD, "registration": number, "remote_id_serial": serial, "listed_serial": serial, **more}
    certificate: dict[str, Raw] = {
        "registration_kind": "Part 48 per aircraft",
        "issued_on": issued_on,
        "registered_to": "Tarn & Fell Land Services",
    }
    return {
        f"aircraft/{name}": {key: value for key, value in aircraft.items() if value is not None},
        f"registration/{number}": certificate,
        "owner/Tarn & Fell Land Services": FIRM,
    }
