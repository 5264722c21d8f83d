"""The ways an organization has, side by side: fees by the day, filings counted, practice marked as such."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from airwrit.answers.lookup.facts import keys_json, rules_of_keys
from airwrit.answers.registration.penalties import amount, exposure, exposure_json
from airwrit.answers.registration.whose_name import Option, whose_name, whose_name_json
from airwrit.base.errors import UsageError
from airwrit.facts.vocabulary import TOLD_KEYS
from airwrit.law.aircraft.penalties import PENALTIES
from airwrit.law.rulebook import BY_NAME

DAY = date(2026, 11, 25)


def options(aircraft: int, turnover: str, years: int, day: date = DAY) -> dict[str, Option]:
    """The ways by name."""
    return {option.name: option for option in whose_name(aircraft, Decimal(turnover), years, day).options}


@pytest.mark.parametrize(
    ("aircraft", "turnover", "years", "fees", "filings"),
    [
        (1, "0", 1, (5, 5, 5, 5), (0, 0, 0, 0)),
        (1, "0", 3, (5, 5, 5, 5), (0, 0, 0, 0)),
        (1, "0", 4, (10, 5, 10, 10), (0, 0, 0, 0)),
        (10, "0.5", 6, (100, 50, 250, 250), (30, 0, 30, 60)),
        (10, "0.5", 8, (150, 100, 350, 350), (40, 0, 40, 80)),
        (4, "0.1", 3, (20, 20, 40, 40), (4, 0, 4, 8)),
    ],
)
def test_fees_and_filings(
    aircraft: int, turnover: str, years: int, fees: tuple[int, ...], filings: tuple[int, ...]
) -> None:
    found = options(aircraft, turnover, years).values()
    assert tuple(int(option.fees_usd) for option in found) == fees
    assert tuple(option.filings for option in found) == filings


def test_the_paper_term_is_that_of_the_day() -> None:
    assert options(1, "0", 7, date(2023, 1, 22))["part_47"].certificates == 3
    assert options(1, "0", 7, date(2023, 1, 23))["part_47"].certificates == 1


def test_common_practice_is_marked_and_its_doubt_is_told() -> None:
    found = options(3, "1", 2)
    assert [name for name, option in found.items() if option.practice] == ["program_lead"]
    lead = found["program_lead"]
    assert "48.25(b), 48.120" in lead.cites
    assert "Doubtful" in lead.law_says
    assert "common practice, no source" in found["part_47"].grounded
    assert found["representative"].grounded_days == (0, 0)
    assert (found["representative"].fee_confidence, found["part_47"].fee_confidence) == ("high", "low")


@pytest.mark.parametrize(
    ("aircraft", "turnover", "years"),
    [(0, "1", 1), (1, "-1", 1), (1, "NaN", 1), (1, "1", 0), (10**6, "1", 1), (1, "1", 101)],
)
def test_numbers_that_cannot_be(aircraft: int, turnover: str, years: int) -> None:
    with pytest.raises(UsageError):
        whose_name(aircraft, Decimal(turnover), years, DAY)


def test_its_document_tells_the_law_it_rests_on() -> None:
    told = whose_name_json(whose_name(10, Decimal("0.5"), 6, DAY))
    assert {row["parameter"] for row in told["law"]} >= {
        "registration_fee_usd",
        "part_47_fee_usd",
        "only_the_owner_registers",
    }
    assert {row["confidence"] for row in told["law"]} <= {"high", "medium", "low"}


@pytest.mark.parametrize(
    ("day", "name", "text"),
    [
        ("2016-08-04", "civil_penalty_most_usd", "up to 27,500 USD"),
        ("2016-08-05", "civil_penalty_most_usd", "up to 32,140 USD"),
        ("2017-01-14", "civil_penalty_most_usd", "up to 32,140 USD"),
        ("2017-01-15", "civil_penalty_most_usd", "up to 32,666 USD"),
        ("2018-11-26", "civil_penalty_most_usd", "up to 32,666 USD"),
        ("2018-11-27", "civil_penalty_most_usd", "up to 33,333 USD"),
        ("2019-07-30", "civil_penalty_most_usd", "up to 33,333 USD"),
        ("2019-07-31", "civil_penalty_most_usd", "up to 34,174 USD"),
        ("2019-07-31", "civil_penalty_person_least_usd", "up to 1,501 USD"),
        ("2021-01-10", "civil_penalty_person_most_usd", "up to 13,669 USD"),
        ("2021-01-11", "civil_penalty_person_most_usd", None),
        ("2021-05-02", "civil_penalty_person_most_usd", None),
        ("2021-05-03", "civil_penalty_person_most_usd", "up to 14,074 USD"),
        ("2022-03-20", "civil_penalty_person_least_usd", "up to 1,548 USD"),
        ("2022-03-21", "civil_penalty_person_least_usd", "up to 1,644 USD"),
        ("2023-01-05", "civil_penalty_person_least_usd", "up to 1,644 USD"),
        ("2023-01-06", "civil_penalty_person_least_usd", "up to 1,771 USD"),
        ("2023-12-27", "civil_penalty_person_least_usd", "up to 1,771 USD"),
        ("2023-12-28", "civil_penalty_person_least_usd", "up to 1,828 USD"),
        ("2024-05-15", "civil_penalty_most_usd", "up to 41,577 USD"),
        ("2024-05-16", "civil_penalty_most_usd", "up to 75,000 USD"),
        ("2024-12-29", "civil_penalty_person_most_usd", "up to 16,630 USD"),
        ("2024-12-30", "civil_penalty_person_most_usd", "up to 17,062 USD"),
        ("2024-12-29", "civil_penalty_person_least_usd", "up to 1,828 USD"),
        ("2024-12-30", "civil_penalty_person_least_usd", "up to 1,875 USD"),
        ("2016-08-04", "registration_penalty_person_usd", None),
        ("2016-08-05", "registration_penalty_person_usd", "up to 12,856 USD"),
        ("2026-11-25", "registration_penalty_person_usd", "up to 17,062 USD"),
        ("2018-10-05", "armed_aircraft_usd", "up to 25,000 USD"),
        ("2021-01-10", "armed_aircraft_usd", "up to 25,000 USD"),
        ("2021-01-11", "armed_aircraft_usd", None),
        ("2021-05-03", "armed_aircraft_usd", "up to 25,742 USD"),
        ("2024-12-29", "armed_aircraft_usd", "up to 30,417 USD"),
        ("2024-12-30", "armed_aircraft_usd", "up to 31,207 USD"),
        ("2018-11-26", "emergency_interference_usd", "up to 20,000 USD"),
        ("2018-11-27", "emergency_interference_usd", "up to 20,408 USD"),
        ("2021-01-11", "emergency_interference_usd", None),
        ("2024-12-29", "emergency_interference_usd", "up to 25,455 USD"),
        ("2024-12-30", "emergency_interference_usd", "up to 26,116 USD"),
        ("2025-12-17", "defense_airspace_prison_years", "up to 1 year"),
        ("2025-12-18", "defense_airspace_prison_years", None),
        ("2026-11-25", "unregistered_prison_years", "up to 3 years"),
    ],
)
def test_penalties_by_day(day: str, name: str, text: str | None) -> None:
    """The day before and the day of each adjustment; where the new amount was not read, none, and never the older one.

    14 CFR 13.301 as amended at 81 FR 43467, 82 FR 17100, 84 FR 37068, 87 FR 15863, 88 FR 1122 and 89 FR 106291, in a copy of
    the Code; the amounts of 2018, 2021 and 2023-12-28 are the column of the year before in the next table.
    """
    asked = exposure(date.fromisoformat(day))
    found = {reading.param.name: amount(reading) for reading in asked.penalties}
    assert found.get(name) == text
    assert (name in {param.name for param in asked.not_read}) is (text is None)


def test_each_amount_names_its_own_violation() -> None:
    titles = [param.title for param in PENALTIES]
    assert len(set(titles)) == len(titles)
    assert not [title for title in titles if "the same" in title]


def test_the_amounts_of_2025_are_those_of_2024_times_the_factor_of_the_rule() -> None:
    """89 FR 106282, the head of its charts: existing penalty x 1.02598, rounded to the dollar. The 75,000 is the statute's."""
    before, after = (
        {reading.param.name: reading.span.value for reading in exposure(date.fromisoformat(day)).penalties}
        for day in ("2024-12-29", "2024-12-30")
    )
    for name in ("civil_penalty_person_least_usd", "civil_penalty_person_most_usd"):
        assert round(before[name] * Decimal("1.02598")) == after[name]


def test_what_was_not_read_for_a_day_is_named() -> None:
    early = exposure(date(2018, 10, 4))
    assert {param.name for param in early.not_read} >= {"armed_aircraft_usd", "unsafe_near_aircraft"}
    told = exposure_json(early)["unknown"]
    assert {row["value"] for row in told} == {"unknown"}
    assert all(row["look_up"] for row in told)
    assert len(early.penalties) + len(early.not_read) == len(PENALTIES)
    assert exposure(date(2026, 1, 31)).enforced == ()
    with pytest.raises(UsageError):
        exposure(date(2015, 12, 31))


def test_amounts_come_with_a_warning_and_how_sure_they_are() -> None:
    told = exposure_json(exposure(DAY))
    assert "not a forecast" in told["warning"]
    assert {row["confidence"] for row in told["penalties"]} == {"medium", "high"}


def test_every_key_is_listed_with_the_rules_that_use_it() -> None:
    rows = {row["key"]: row for row in keys_json()}
    assert set(rows) == set(TOLD_KEYS)
    assert "person_way" in rows["citizenship"]["rules"]
    assert {"must_be_registered", "recreational_way"} <= set(rows["takeoff_weight_g"]["rules"])
    assert rows["takeoff_weight_g"]["unit"] == "g"
    assert rows["owner_kind"]["one_of"][0] == "person"
    assert rows["owner_kind"]["kind"] == "one of"
    assert {rule for rules in rules_of_keys().values() for rule in rules} <= set(BY_NAME)
    assert {"sold_on", "destroyed_on", "exported_on"} <= {
        key for key, row in rows.items() if "cancel_registration" in row["rules"]
    }
