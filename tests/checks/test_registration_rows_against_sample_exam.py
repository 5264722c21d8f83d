"""Registration as the regulator's sample exam has it, and the day marks moved outside (registration_answers/SOURCE.toml)."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import TODAY, aircraft, case, certificate, check, owner, registered

OVER: dict[str, Raw] = {"takeoff_weight_g": "250", "scale_error_g": "0", "is_registered": False}
BAY = {"mark_place": "inside, opened without a tool", "takeoff_weight_g": "1400", "scale_error_g": "0"}
SERIAL = "ZZ9Z6M00001"


@pytest.mark.parametrize(
    ("on", "verdict", "code"),
    [("2026-03-10", "not_met", "too_young"), ("2026-03-11", "met", "old_enough")],
)
def test_an_owner_under_13_may_not_register(on: str, verdict: str, code: str) -> None:
    child = owner(owner_kind="person", owner_born_on="2013-03-11")
    check(case("owner_may_file", verdict, code, on, child))


@pytest.mark.parametrize("use", ["work", "recreation"])
def test_over_the_weight_it_is_registered_whatever_the_use(use: str) -> None:
    code = "over_weight" if use == "recreation" else "not_registered"
    check(case("must_be_registered", "not_met", code, TODAY, aircraft(used_for=use, **OVER), use=use))


@pytest.mark.parametrize(
    ("listed", "verdict", "code"),
    [
        (SERIAL, "met", "listed"),
        ("ZZ9Z6M00002", "not_met", "other_serial_listed"),
        (None, "unknown", "listed_serial"),
    ],
)
def test_the_remote_id_serial_stands_on_the_certificate(listed: str | None, verdict: str, code: str) -> None:
    craft = registered(
        remote_id_way="standard", remote_id_serial=SERIAL, **({"listed_serial": listed} if listed else {})
    )
    why = "missing" if listed is None else ""
    check(case("serial_on_right_certificate", verdict, code, TODAY, craft, certificate(), why=why))


@pytest.mark.parametrize(
    ("on", "verdict", "code"),
    [
        ("2019-02-20", "met", "inside_then_allowed"),
        ("2019-02-23", "met", "inside_then_allowed"),
        ("2019-02-24", "met", "inside_then_allowed"),
        ("2019-02-25", "not_met", "inside"),
        ("2019-03-01", "not_met", "inside"),
    ],
)
def test_a_number_in_the_battery_bay(on: str, verdict: str, code: str) -> None:
    check(case("marked_outside", verdict, code, on, aircraft(**BAY)))
