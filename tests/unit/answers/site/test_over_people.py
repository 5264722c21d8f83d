"""Which category opens a flight over people: each alone, both sides of what it asks, and never by silence or by energy."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.site.over_people import OverPeopleAnswer, Told, over_people_of
from airwrit.answers.site.over_people_json import over_people_json, over_people_view
from airwrit.base.verdict import Verdict
from airwrit.facts.flight_choices import Category, PeopleBelow
from airwrit.facts.keys.aircraft import REMOTE_ID_WAY, SCALE_ERROR, TAKEOFF_WEIGHT
from airwrit.facts.keys.flights.limits import GROUND_SPEED, SPEED_ERROR
from airwrit.facts.keys.flights.over_people import (
    BROADCASTS,
    CATEGORY,
    CATEGORY_DECLARED,
    CATEGORY_LABEL,
    CLOSED_SITE,
    CUTTING_PARTS,
    FLIGHT_CERTIFICATED,
    OVER_ASSEMBLY,
    OVER_VEHICLES,
    PEOPLE_BELOW,
    SUSTAINED,
    SUSTAINED_VEHICLES,
)

TODAY = date(2026, 12, 1)
MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN
OTHERS = PeopleBelow.OTHERS.value
SITE: Told = {PEOPLE_BELOW: OTHERS, OVER_ASSEMBLY: "none", OVER_VEHICLES: False}
LIGHT: Told = {**SITE, TAKEOFF_WEIGHT: "249", SCALE_ERROR: "0.4", CUTTING_PARTS: False}
PAPERS: Told = {CATEGORY_DECLARED: True, CATEGORY_LABEL: True}


def of(answer: OverPeopleAnswer, category: Category) -> Verdict:
    (found,) = [way.verdict for way in answer.ways if way.category is category]
    return found


def test_nothing_told_is_unknown_for_every_category() -> None:
    answer = over_people_of({}, TODAY)
    assert answer.verdict is UNKNOWN
    assert {way.verdict for way in answer.ways} == {UNKNOWN}


@pytest.mark.parametrize(
    ("grams", "expected"),
    # 14 CFR 107.110(a)(1): 0.55 lb or less is 249.4758035 g or less.
    [
        ("249", MET),
        ("249.0758035", MET),
        ("249.0758036", UNKNOWN),
        ("249.8758035", UNKNOWN),
        ("249.8758036", NOT_MET),
    ],
)
def test_category_1_by_weight_both_sides_with_the_scales_error(grams: str, expected: Verdict) -> None:
    answer = over_people_of({**LIGHT, TAKEOFF_WEIGHT: grams}, TODAY)
    assert of(answer, Category.ONE) is expected


def test_parts_that_cut_close_the_first_three_categories() -> None:
    for category in (Category.ONE, Category.TWO, Category.THREE):
        told = {**LIGHT, **PAPERS, CATEGORY: category.value, CUTTING_PARTS: True, CLOSED_SITE: True}
        assert of(over_people_of(told, TODAY), category) is NOT_MET
    unknown = over_people_of({key: value for key, value in LIGHT.items() if key is not CUTTING_PARTS}, TODAY)
    assert of(unknown, Category.ONE) is UNKNOWN


def test_a_declaration_counts_for_its_own_category_alone() -> None:
    answer = over_people_of({**SITE, **PAPERS, CATEGORY: "Category 2"}, TODAY)
    assert of(answer, Category.TWO) is MET
    assert of(answer, Category.THREE) is UNKNOWN
    assert answer.verdict is MET
    nameless = over_people_of({**SITE, **PAPERS}, TODAY)
    assert nameless.verdict is UNKNOWN
    assert "Enter the category" in " ".join(over_people_json(nameless)["notes"])


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({}, MET),
        ({CATEGORY_DECLARED: False}, NOT_MET),
        ({CATEGORY_LABEL: False}, NOT_MET),
        ({OVER_ASSEMBLY: "passing over it once"}, NOT_MET),
        ({CLOSED_SITE: False, SUSTAINED: False}, MET),
        ({CLOSED_SITE: False, SUSTAINED: True}, NOT_MET),
    ],
)
def test_category_3_and_its_site(changed: Told, expected: Verdict) -> None:
    told = {**SITE, **PAPERS, CATEGORY: "Category 3", CLOSED_SITE: True, **changed}
    assert of(over_people_of(told, TODAY), Category.THREE) is expected


def test_category_4_is_never_a_yes_by_itself() -> None:
    assert of(over_people_of({**SITE, FLIGHT_CERTIFICATED: True}, TODAY), Category.FOUR) is UNKNOWN
    assert of(over_people_of({**SITE, FLIGHT_CERTIFICATED: False}, TODAY), Category.FOUR) is NOT_MET


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({OVER_ASSEMBLY: "sustained"}, UNKNOWN),
        ({OVER_ASSEMBLY: "sustained", BROADCASTS: False}, NOT_MET),
        ({OVER_ASSEMBLY: "sustained", BROADCASTS: True, REMOTE_ID_WAY: "module"}, MET),
        ({OVER_VEHICLES: True}, UNKNOWN),
        ({OVER_VEHICLES: True, SUSTAINED_VEHICLES: False}, MET),
        ({OVER_VEHICLES: True, SUSTAINED_VEHICLES: True, CLOSED_SITE: False}, NOT_MET),
        ({OVER_VEHICLES: True, SUSTAINED_VEHICLES: True, CLOSED_SITE: True}, MET),
    ],
)
def test_assemblies_and_moving_vehicles(changed: Told, expected: Verdict) -> None:
    assert of(over_people_of({**LIGHT, **changed}, TODAY), Category.ONE) is expected


@pytest.mark.parametrize("who", [one for one in PeopleBelow if one is not PeopleBelow.OTHERS])
def test_protected_people_need_no_category(who: PeopleBelow) -> None:
    assert over_people_of({PEOPLE_BELOW: who.value, OVER_VEHICLES: False}, TODAY).verdict is MET
    assert over_people_of({PEOPLE_BELOW: who.value}, TODAY).verdict is UNKNOWN


def test_all_shut_is_not_met() -> None:
    told = {
        **SITE,
        TAKEOFF_WEIGHT: "900",
        CUTTING_PARTS: True,
        FLIGHT_CERTIFICATED: False,
        CATEGORY: "Category 3",
        **PAPERS,
    }
    answer = over_people_of(told, TODAY)
    assert of(answer, Category.TWO) is NOT_MET
    assert answer.verdict is NOT_MET
    assert len(over_people_view(answer).ways) == 4


def test_before_the_categories_only_a_waiver() -> None:
    answer = over_people_of({**LIGHT, GROUND_SPEED: "20"}, date(2021, 4, 20))
    assert answer.verdict is NOT_MET
    assert [section.value.partition(" ")[0] for section in answer.waivable] == ["107.39"]
    assert "On that day, no category had an energy limit." in over_people_view(answer).energy
    assert over_people_of(LIGHT, date(2021, 4, 21)).verdict is MET


def test_the_energy_decides_nothing_and_says_so() -> None:
    slow = over_people_of({**SITE, TAKEOFF_WEIGHT: "300", GROUND_SPEED: "1"}, TODAY)
    assert slow.verdict is UNKNOWN
    document = over_people_json(
        over_people_of(
            {**SITE, TAKEOFF_WEIGHT: "300", SCALE_ERROR: "3", GROUND_SPEED: "20", SPEED_ERROR: "1"}, TODAY
        )
    )
    energy = document["energy"]
    assert energy["decides"] is False
    assert energy["joules"]["low"] < energy["joules"]["best"] < energy["joules"]["high"]
    # 0.297 kg at 19 kt and 0.303 kg at 21 kt, by hand: 14.188 J and 17.682 J
    assert (energy["joules"]["low"], energy["joules"]["high"]) == (14.1877, 17.6819)
    assert "This number alone doesn't prove either category." in " ".join(document["energy_says"])


def test_every_row_says_something_and_none_twice() -> None:
    told = {**SITE, OVER_ASSEMBLY: "sustained", OVER_VEHICLES: True, TAKEOFF_WEIGHT: "300"}
    answer = over_people_of(told, TODAY)
    view = over_people_view(answer)
    rows = [view.below, *view.site, *view.ways]
    assert all(row.says for row in rows)
    assert "Does its Remote ID work from takeoff to shutdown?" in [row.says for row in rows]
    by_way = [(row.about, row.says) for row in view.ways]
    assert [about for about, _ in by_way if about] == ["Category 1", "Category 2", "Category 3", "Category 4"]
    assert len(by_way) == 4
    assert {row.cites for row in view.ways} == {"14 CFR 107.39; 14 CFR 107.145"}
