"""What is taken as "no" because nothing is on file is told once, and not where something is."""

from __future__ import annotations

import pytest

from airwrit.answers.standing.headline import Headline
from airwrit.answers.standing.missing import Assumed
from airwrit.facts.key import Raw
from tests.unit.answers.told import firm_aircraft, fleet

OWNER = "owner/Tarn & Fell Land Services"


def assumed_of(told: dict[str, dict[str, Raw]]) -> tuple[Assumed, ...]:
    """What is assumed of what was told."""
    return fleet(told).assumed


def headline(told: dict[str, dict[str, Raw]]) -> Headline:
    """How the one aircraft told of stands."""
    (row,) = fleet(told).rows
    return row.headline


def test_each_fact_is_told_once_with_its_subjects() -> None:
    told = {
        **firm_aircraft("K", "FA00TEST21", "2025-03-01"),
        **firm_aircraft("L", "FA00TEST22", "2025-03-01"),
    }
    found = {one.fact: one.subjects for one in assumed_of(told)}
    assert found["sold_on"] == ("aircraft/K", "aircraft/L")
    assert found["flight_aircraft"] == ("aircraft/K", "aircraft/L")
    told["aircraft/L"]["sold_on"] = "2027-01-01"
    assert {one.fact: one.subjects for one in assumed_of(told)}["sold_on"] == ("aircraft/K",)


def test_a_defect_on_file_is_not_assumed_away() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01")
    told["flight/1"] = {"flight_aircraft": "K", "flown_on": "2026-11-01", "defect_seen": "crack"}
    assert "flight_aircraft" not in {one.fact for one in assumed_of(told)}


# A certificate shows that the FAA registered the aircraft to the one it names (14 CFR 48.110); that nothing on file shows the
# owner eligible (48.20) then holds no flight back. Common practice, no source.


def test_a_certificate_in_term_shows_an_owner_who_may_register() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01")
    told[OWNER] = {"owner_kind": "corporation"}
    assert headline(told) is Headline.WORK
    assert {one.fact: one.subjects for one in assumed_of(told)}["owner_eligible"] == ("aircraft/K",)
    told[OWNER] = {}
    assert headline(told) is Headline.WORK


def test_what_speaks_against_the_owner_grounds_all_the_same() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01")
    told[OWNER] = {"owner_kind": "person", "citizenship": "neither"}
    assert headline(told) is Headline.GROUNDED


@pytest.mark.parametrize(
    "against",
    [
        {"president_citizen": False},
        {"organized_in_us": True, "citizens_control": False},
        {"citizen_votes_share": "0.5"},
        {"based_and_used_in_us": False},
    ],
)
def test_a_fact_against_the_owner_keeps_what_is_missing_open(against: dict[str, Raw]) -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01")
    told[OWNER] = {"owner_kind": "corporation", **against}
    assert headline(told) in (Headline.CANT_SAY, Headline.GROUNDED)
    assert "owner_eligible" not in {one.fact for one in assumed_of(told)}


def test_of_two_alike_only_the_one_without_a_fact_against_it_is_assumed() -> None:
    told = {
        **firm_aircraft("K", "FA00TEST21", "2025-03-01"),
        **firm_aircraft("L", "FA00TEST22", "2025-03-01", owner="Other Co"),
    }
    told["registration/FA00TEST22"]["registered_to"] = "Other Co"
    told[OWNER] = {"owner_kind": "corporation"}
    told["owner/Other Co"] = {"owner_kind": "corporation", "president_citizen": False}
    assert [row.headline for row in fleet(told).rows] == [Headline.WORK, Headline.CANT_SAY]


def test_a_certificate_that_ended_shows_nothing() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2022-03-01")
    told[OWNER] = {"owner_kind": "corporation"}
    assert headline(told) is Headline.GROUNDED
    assert "owner_eligible" not in {one.fact for one in assumed_of(told)}


def test_a_certificate_in_a_name_nobody_told_shows_nothing() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01")
    told[OWNER] = {"owner_kind": "corporation"}
    del told["registration/FA00TEST21"]["registered_to"]
    assert headline(told) is not Headline.WORK
    assert "owner_eligible" not in {one.fact for one in assumed_of(told)}


def test_an_owner_known_to_be_eligible_is_not_assumed_to_be() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01")
    assert "owner_eligible" not in {one.fact for one in assumed_of(told)}
