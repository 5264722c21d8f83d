"""Flights of our own after the manner of safety reports, forums and FAA guidance, judged by the text of the rule named."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Any, NamedTuple

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode
from airwrit.answers.before_flight.view import clause_text
from airwrit.base.places import Place
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from airwrit.sky.zones import zone_of
from tests.unit.answers.before_flight.planning import check, plan, program, verdict_of

NO, OPEN, CLEAR = FlightAnswerCode.NOT_ALLOWED, FlightAnswerCode.CANT_TELL, FlightAnswerCode.NOTHING_AGAINST
ABOVE: dict[str, Raw | None] = {"people_below": "people who take no part and are not sheltered"}
THIRD: dict[str, Raw | None] = {
    "over_people_category": "Category 3",
    "category_declared": True,
    "category_label": True,
    "closed_site": False,
    "sustained_over_people": False,
}
ROAD: dict[str, Raw | None] = {"over_moving_vehicles": True}
TRUCK: dict[str, Raw | None] = {"flown_from": "a moving vehicle or boat", "sparsely_populated": True}
HOBBY = {"use": UsedFor.RECREATION}
LAWN: dict[str, Raw | None] = {"within_guidelines": True, "airspace_allowed": True, "paid": False}


def waiver(section: str) -> dict[str, dict[str, Raw]]:
    """A waiver of a section in force, for every aircraft and pilot."""
    paper: dict[str, Raw] = {
        "paper_kind": "waiver",
        "paper_state": "granted",
        "waives": section,
        "covers_all": True,
        "granted_on": "2025-06-10",
        "ends_on": "2027-06-09",
    }
    return {"paper_W": paper}


def under_waiver(*, kept: bool | None) -> dict[str, Raw | None]:
    """A flight that uses the waiver, with its terms kept, broken, or nothing said of them."""
    return {"flight_waiver": "W", "waiver_terms_kept": kept}


def at(place: Place, starts: datetime, ends: datetime) -> dict[str, Any]:
    """Another place and other hours of a plan."""
    area = f"{place.latitude_deg}, {place.longitude_deg} within 500 ft"
    return {"area": area, "place": place, "zone": zone_of(place), "starts": starts, "ends": ends}


FAIRBANKS, ARCTIC_COAST = Place(64.84, -147.72), Place(71.29, -156.79)
JUNE = at(FAIRBANKS, datetime(2026, 6, 21, 9, 30, tzinfo=UTC), datetime(2026, 6, 21, 10, tzinfo=UTC))
NOON = at(ARCTIC_COAST, datetime(2026, 12, 21, 22, tzinfo=UTC), datetime(2026, 12, 21, 22, 30, tzinfo=UTC))
CLOCKS_BACK = {
    "starts": datetime(2026, 11, 1, 5, 30, tzinfo=UTC),
    "ends": datetime(2026, 11, 1, 8, 30, tzinfo=UTC),
}


class OwnCase(NamedTuple):
    """What is told of a flight otherwise, the answer and the rule it hangs on, with words of its reason."""

    name: str
    whole: FlightAnswerCode
    rule: str
    says: str
    told: dict[str, Raw | None]
    changes: Mapping[str, Any] = MappingProxyType({})
    facts: Mapping[str, dict[str, Raw]] = MappingProxyType({})


CASES = (
    # 14 CFR 107.145: over moving vehicles only by category, on a closed site or passing
    OwnCase(
        "across a road, no category",
        NO,
        "over_moving_vehicles",
        "category",
        {**ROAD, "over_people_category": "none"},
    ),
    OwnCase(
        "along a road, category 3",
        NO,
        "over_moving_vehicles",
        "Only pass over",
        {**ROAD, **THIRD, "sustained_over_vehicles": True},
    ),
    OwnCase(
        "across a road, category 3",
        CLEAR,
        "over_moving_vehicles",
        "",
        {**ROAD, **THIRD, "sustained_over_vehicles": False},
    ),
    # 14 CFR 107.35, 107.205(e)
    OwnCase("two aircraft, one pilot", NO, "one_aircraft", "several", {"several_at_once": True}),
    OwnCase(
        "two aircraft by waiver",
        CLEAR,
        "one_aircraft",
        "",
        {"several_at_once": True, **under_waiver(kept=True)},
        {},
        waiver("107.35 several aircraft"),
    ),
    # 14 CFR 107.200(d): who has a waiver complies with its conditions
    OwnCase(
        "the observer of the waiver stayed home",
        NO,
        "waiver_terms",
        "term",
        {"kept_in_sight": False, **under_waiver(kept=False)},
        {},
        waiver("107.31 line of sight"),
    ),
    OwnCase(
        "nobody read the waiver's terms",
        OPEN,
        "waiver_terms",
        "Not on file",
        {"kept_in_sight": False, **under_waiver(kept=None)},
        {},
        waiver("107.31 line of sight"),
    ),
    # 14 CFR 107.33
    OwnCase(
        "an observer without a radio",
        NO,
        "visual_observer",
        "talk with the pilot",
        {"observer_used": True, "observer_able": False},
    ),
    # 14 CFR 107.29(b), (c)(3): in Alaska civil twilight is the Air Almanac's; in June it lasts all night
    OwnCase(
        "Fairbanks at half past one in June, dark", NO, "twilight_lights", "", {"lights_lit": False}, JUNE
    ),
    OwnCase("Fairbanks at half past one in June, lit", CLEAR, "twilight_lights", "", {}, JUNE),
    OwnCase("arctic noon without a sunrise, dark", NO, "twilight_lights", "", {"lights_lit": False}, NOON),
    # 49 USC 44809(a)(5)
    OwnCase(
        "hobby flight under a 0 ft cell",
        NO,
        "authority_controlled_airspace",
        "controlled airspace",
        {**LAWN, "airspace_class": "D", "airspace_allowed": None},
        HOBBY,
    ),
    # 14 CFR 89.110(b)(2), 89.115(b): the rule for an aircraft whose Remote ID is switched off in a FRIA isn't clear
    OwnCase(
        "Remote ID off in a FRIA",
        OPEN,
        "standard_remote_id_not_disabled",
        "isn't clear",
        {"inside_fria": True, "broadcasts": False},
    ),
    OwnCase(
        "Remote ID off outside of it",
        NO,
        "standard_remote_id_not_disabled",
        "Leave it on",
        {"inside_fria": False, "broadcasts": False},
    ),
    # 14 CFR 107.36, not in the list of 107.205
    OwnCase(
        "a lithium pack as cargo, and a waiver",
        NO,
        "hazardous_material",
        "can't be waived",
        {"hazardous_material": True, **under_waiver(kept=True)},
        {},
        waiver("another section"),
    ),
    # 14 CFR 107.25(b)
    OwnCase(
        "from a truck, a parcel for pay", NO, "from_moving_vehicle", "No waiver", {**TRUCK, "for_hire": True}
    ),
    OwnCase("from a truck on an empty range", CLEAR, "from_moving_vehicle", "", {**TRUCK, "for_hire": False}),
    # 14 CFR 107.39(b)
    OwnCase(
        "people under a roof that protects",
        CLEAR,
        "over_people",
        "",
        {"people_below": "people under a covered structure that protects"},
    ),
    OwnCase("people on a lawn", NO, "over_people", "", {**ABOVE, "over_people_category": "none"}),
    # 14 CFR 107.51(d): at least 500 ft below
    OwnCase(
        "under a deck",
        NO,
        "cloud_distance",
        "100 ft short",
        {"no_clouds": False, "below_clouds_ft": "400", "beside_clouds_ft": "3000"},
    ),
    # three hours by the sun, two by the clock on the wall
    OwnCase("the night the clocks go back, lit", CLEAR, "night_lights", "", {}, CLOCKS_BACK),
    OwnCase("the night the clocks go back, dark", NO, "night_lights", "", {"lights_lit": False}, CLOCKS_BACK),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_flight_of_our_own_gets_its_verdict_and_reason(case: OwnCase) -> None:
    found = check(plan(**case.changes), program(case.told, **case.facts))
    clause = next(one for one in found.clauses if one.finding.rule.name == case.rule)
    assert (found.whole, case.says in clause_text(clause)) == (case.whole, True), clause_text(clause)
    assert (clause.verdict.value == "not_met") is (case.whole is NO)


def test_where_twilight_lasts_all_night_there_is_no_night() -> None:
    found = check(plan(**JUNE), program({"lights_lit": False}))
    assert verdict_of(found, "night_lights") == "not_applicable"


@pytest.mark.parametrize("hour", [0, 6, 10, 16, 22])
def test_where_the_sun_stays_up_no_lights_are_asked_for(hour: int) -> None:
    # 14 CFR 107.29, 1.1: no sunset, so neither twilight nor night. It doesn't set there from mid-May to early August.
    start = datetime(2026, 6, 21, hour, tzinfo=UTC)
    midsummer = at(ARCTIC_COAST, start, start.replace(minute=30))
    unsaid: dict[str, Raw | None] = {
        "lights_lit": None,
        "lights_visible_sm": None,
        "lights_flash_enough": None,
    }
    found = check(plan(**midsummer), program(unsaid))
    assert found.whole is CLEAR
    assert {verdict_of(found, rule) for rule in ("night_lights", "twilight_lights")} == {"not_applicable"}


def test_at_sunrise_after_a_night_of_twilight_no_time_of_dusk_is_asked_for() -> None:
    # Fairbanks in July: civil twilight lasts all night, and whether the sun is up is too close to call for some minutes
    edge = at(FAIRBANKS, datetime(2026, 7, 20, 12, 11, tzinfo=UTC), datetime(2026, 7, 20, 12, 13, tzinfo=UTC))
    found = check(plan(**edge), program({"lights_lit": False}))
    assert (verdict_of(found, "twilight_lights"), verdict_of(found, "night_lights")) == (
        "unknown",
        "not_applicable",
    )
    assert not found.needed
