"""A day beside a status is a fact of its own: sold, lost and destroyed from that day, out of service since it."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.intake.sheets import read_given

HEAD = "Drone,FAA number,Status\n" + "".join(f"Wren {at},FA00TEST0{at},Active\n" for at in range(3))


@pytest.mark.parametrize(
    ("status", "key", "value"),
    [
        ("sold 3/22/25", "sold_on", "2025-03-22"),
        ("Lost 6/21/2025", "lost_on", "2025-06-21"),
        ("totaled 2025-02-03", "destroyed_on", "2025-02-03"),
        ("sold", "service_status", "sold"),
    ],
)
def test_an_end_with_its_day(status: str, key: str, value: str) -> None:
    intake = read_given([("fleet.csv", f"{HEAD}Heron,FA00TEST09,{status}\n".encode())])
    mine = {
        one.statement.key: one.statement for one in intake.known if one.statement.subject == "aircraft/Heron"
    }
    assert mine[key].value == value
    assert len({"service_status", "sold_on", "lost_on", "destroyed_on"} & set(mine)) == 1


def test_out_of_service_since_a_day() -> None:
    intake = read_given([("fleet.csv", f"{HEAD}Heron,FA00TEST09,out of service since 8/30/26\n".encode())])
    (mine,) = [one.statement for one in intake.known if one.statement.value == "out of service"]
    assert mine.valid_from == date(2026, 8, 30)
