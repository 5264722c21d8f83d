"""Words that say an aircraft is gone, out or in doubt, and the parts that may be meant instead."""

from __future__ import annotations

import pytest

from airwrit.facts.choices import ServiceStatus
from airwrit.intake.meaning.status import (
    Bearing,
    codes_in,
    color_named,
    legend_of,
    person_says,
    status_of,
    stops_in,
)


@pytest.mark.parametrize(
    ("text", "status"),
    [
        ("OK", ServiceStatus.IN_SERVICE),
        ("active - patrol", ServiceStatus.IN_SERVICE),
        ("NO-GO, re-tune", ServiceStatus.OUT_OF_SERVICE),
        ("in shop", ServiceStatus.OUT_OF_SERVICE),
        ("SOLD", ServiceStatus.SOLD),
        ("surplused 6/2026", ServiceStatus.RETIRED),
        ("whatever", None),
    ],
)
def test_a_status_cell(text: str, status: ServiceStatus | None) -> None:
    assert status_of(text) is status


@pytest.mark.parametrize(
    ("text", "bearing"),
    [
        ("Totaled at the quarry, insurance paid", Bearing.GONE),
        ("went into the river, not recovered", Bearing.GONE),
        ("tagged out - arm cracked", Bearing.OUT),
        ("board member lent it to us", Bearing.DOUBT),
        ("renewal?", Bearing.DOUBT),
    ],
)
def test_a_stop_word_in_a_text(text: str, bearing: Bearing) -> None:
    assert bearing in {stop.bearing for stop in stops_in(text)}


@pytest.mark.parametrize(
    "text", ["bought with the gala money", "lost a prop, replaced", "batt 3 swollen - retired it"]
)
def test_what_is_said_of_a_part_or_of_nothing_stops_nothing(text: str) -> None:
    assert stops_in(text) == ()


def test_legends_of_colors_and_signs() -> None:
    assert legend_of(["GREEN = front line   RED = tagged out. All good"]) == {
        "green": "front line",
        "red": "tagged out",
    }
    assert codes_in(["NMC = do not fly. PMC = fly with limits"])["nmc"] == "do not fly"
    assert codes_in(["x = no!"]) == {"x": "no"}
    assert color_named("c6efce") == "green"
    assert color_named("ff9999") == "red"


def test_people() -> None:
    assert person_says("resigned 9/1") == "left"
    assert person_says("VO only") == "observer"
    assert person_says("flies on Tuesdays") == ""
