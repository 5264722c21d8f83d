"""Remote ID serials against the published layout, and against what people typed for one (serials/SOURCE.toml)."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from airwrit.base.identifiers import broadcast_serial
from tests.unit.law.case import TODAY, case, certificate, check, registered

TABLE = tomllib.loads((Path(__file__).parent / "serials" / "serials.toml").read_text(encoding="utf-8"))
SERIAL = "MFR1C123456789ABC"
FUN = "Part 48 recreational"
ON = {"remote_id_way": "module", "remote_id_serial": SERIAL, "listed_serial": SERIAL}


@pytest.mark.parametrize("row", TABLE["serials"], ids=lambda row: repr(row["text"]))
def test_a_serial(row: dict[str, Any]) -> None:
    checked = broadcast_serial(row["text"])
    assert checked.text == row["normal"]
    assert [fault.code for fault in checked.faults] == row["faults"]
    assert bool(checked.tidied) == (row["text"] != row["normal"])
    if checked.ok:
        assert checked.text[:4] == row["maker"]
        assert len(checked.text) == 4 + 1 + row["length"]


def test_the_letter_o_is_pointed_at() -> None:
    (fault,) = broadcast_serial("MFR1C12345678OABC").faults
    assert fault.place == 14
    assert "Check if it is 0" in fault.hint


def test_the_longest_serial_has_twenty_signs() -> None:
    assert broadcast_serial("MFR1F" + "1" * 15).ok
    assert not broadcast_serial("MFR1G" + "1" * 16).ok


def test_one_serial_on_two_work_registrations_is_a_fault() -> None:
    check(
        case(
            "serial_on_right_certificate",
            "not_met",
            "on_two_certificates",
            TODAY,
            registered(**ON),
            registered("B", "M", **ON),
        )
    )


def test_one_recreational_inventory_may_share_a_module() -> None:
    both = registered(**ON), registered("B", **ON), certificate(kind=FUN)
    check(case("serial_on_right_certificate", "met", "listed", TODAY, *both, use="recreation"))
