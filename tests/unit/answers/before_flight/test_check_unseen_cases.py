"""Cases that people who had not seen the program wrote, each judged by the text of the rule that is named beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.check import FlightAnswerCode, FlightCheck
from airwrit.answers.before_flight.flight_view import flight_view
from airwrit.answers.before_flight.plan import StructureBeside, checked
from airwrit.answers.before_flight.typed import PlanTyped, plan_of
from airwrit.answers.before_flight.view import around_lines, clause_text, reason_text, watch_lines, who_texts
from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement
from airwrit.house.rules import house_rules
from airwrit.sky.zones import zone_of
from tests.unit.answers.before_flight.planning import PROGRAM, check, plan, program, verdict_of

GAME: dict[str, Raw | None] = {
    "stadium_seats": "42000",
    "stadium_distance_nm": "2.9",
    "listed_event": True,
    "notice_authorized": False,
    "event_starts_on": "2026-06-10T13:05-05:00",
}
HOBBY_AIRCRAFT: dict[str, Raw] = {
    "used_for": "recreation",
    "owner": "Ansel Wray",
    "takeoff_weight_g": "245",
    "scale_error_g": "0",
    "is_registered": False,
    "remote_id_way": "none",
}
HOBBY: dict[str, dict[str, Raw]] = {
    "aircraft_Fern 1": HOBBY_AIRCRAFT,
    "owner_Ansel Wray": {"owner_kind": "person", "citizenship": "citizen"},
    "person_Ansel Wray": {
        **PROGRAM["person/Ansel Wray"],
        "flies_for": "recreation",
        "safety_test_on": "2025-01-01",
        "safety_test_proof": True,
    },
}
FOR_FUN: dict[str, Raw | None] = {
    "within_guidelines": True,
    "airspace_allowed": True,
    "fixed_site": False,
    "educational": False,
    "paid": False,
    "helps_business": False,
    "helps_organization": False,
}


def text_of(found: FlightCheck, rule: str) -> str:
    """What a rule says, by its name."""
    return next(clause_text(one) for one in found.clauses if one.finding.rule.name == rule)


def test_the_hours_around_a_game_are_never_offered() -> None:
    # the standing notice about stadiums (FAA answer, 14 CFR 99.7): from an hour before to an hour after
    told = {**GAME, "event_ends_on": "2026-06-10T16:00-05:00"}
    found = flight_answer(plan(), program(told), None, None, 1)
    opens, closes = (datetime(2026, 6, 10, hour, minute, tzinfo=UTC) for hour, minute in ((17, 5), (22, 0)))
    barred = [one for one in found.stretches if one.verdict is Verdict.NOT_MET]
    assert (min(one.start for one in barred), max(one.end for one in barred)) == (
        opens,
        closes + timedelta(microseconds=1),
    )
    assert not [
        one
        for one in found.stretches
        if one.verdict is Verdict.MET and opens < one.end and one.start < closes
    ]


def test_a_flight_across_the_whole_ring_time_of_a_game_is_not_allowed() -> None:
    told = {**GAME, "event_ends_on": "2026-06-10T16:00-05:00"}
    across = plan(starts=datetime(2026, 6, 10, 17, tzinfo=UTC), ends=datetime(2026, 6, 10, 23, tzinfo=UTC))
    assert check(across, program(told)).whole is FlightAnswerCode.NOT_ALLOWED


@pytest.mark.parametrize("serves", ["helps_business", "helps_organization", "paid"])
def test_fun_that_serves_a_business_or_a_club_is_judged_as_work(serves: str) -> None:
    # 49 USC 44809(a)(1): strictly for recreational purposes; else Part 107, with a registration whatever it weighs
    for_fun = plan(use=UsedFor.RECREATION)
    fun = check(for_fun, program(FOR_FUN, **HOBBY))
    assert (fun.whole, fun.use) == (FlightAnswerCode.NOTHING_AGAINST, UsedFor.RECREATION)
    work = check(for_fun, program({**FOR_FUN, serves: True}, **HOBBY))
    assert (work.whole, work.use) == (FlightAnswerCode.NOT_ALLOWED, UsedFor.WORK)
    assert "doesn't qualify as recreation" in watch_lines(work)[0]
    assert who_texts(work)[0].why == "This flight counts as work."


@pytest.mark.parametrize(
    ("done", "whole"),
    [
        ("2024-12-01T00:30+00:00", FlightAnswerCode.CANT_TELL),  # November 30 in the United States
        ("2024-12-01T11:00+00:00", FlightAnswerCode.NOTHING_AGAINST),  # December 1 in all of them
        ("2024-12-01T00:30-05:00", FlightAnswerCode.NOTHING_AGAINST),
        ("2024-11-30T19:30-05:00", FlightAnswerCode.NOT_ALLOWED),
    ],
)
def test_training_by_a_time_in_utc_may_count_for_the_month_before(done: str, whole: FlightAnswerCode) -> None:
    # 14 CFR 107.65: within 24 calendar months; the section names no clock
    old: dict[str, Raw] = {**PROGRAM["training/Ansel Wray"], "completed_on": "2020-05-01"}
    new: dict[str, Raw] = {**old, "event_kind": "recurrent training", "completed_on": done}
    given = program(**{"training_Ansel Wray": old, "training_B": new})
    flown = datetime(2026, 12, 5, 21, tzinfo=UTC)
    assert check(plan(starts=flown, ends=flown + timedelta(minutes=20)), given).whole is whole


def test_a_waiver_for_another_pilot_opens_nothing() -> None:
    paper: dict[str, Raw] = {
        "paper_kind": "waiver",
        "paper_state": "granted",
        "waives": "107.31 line of sight",
        "covers_all": True,
        "granted_on": "2024-12-01",
        "ends_on": "2026-11-30",
        "covers_person": "Rune Akers",
    }
    told: dict[str, Raw | None] = {
        "flight_waiver": "W",
        "waiver_terms_kept": True,
        "kept_in_sight": False,
        "for_hire": False,
    }
    found = check(None, program(told, paper_W=paper))
    assert (found.whole, verdict_of(found, "line_of_sight")) == (FlightAnswerCode.NOT_ALLOWED, "not_met")


@pytest.mark.parametrize(
    ("inside", "whole"),
    [
        (True, FlightAnswerCode.NOTHING_AGAINST),
        (False, FlightAnswerCode.NOT_ALLOWED),
        (None, FlightAnswerCode.CONFIRM_FIRST),
    ],
)
def test_an_aircraft_that_relies_on_a_fria_is_flown_inside_it(
    inside: bool | None, whole: FlightAnswerCode
) -> None:
    # 14 CFR 89.115(b)
    aircraft: dict[str, Raw] = {
        **{key: raw for key, raw in PROGRAM["aircraft/Fern 1"].items() if "serial" not in key},
        "remote_id_way": "FRIA",
        "kept_inside_fria": True,
        "fria_recognized_on": "2025-01-01",
    }
    given = program({"inside_fria": inside}, **{"aircraft_Fern 1": aircraft})
    assert check(None, given).whole is whole


@pytest.mark.parametrize(
    ("place", "says"),
    [
        (Place(38.8, 97.6), 'enter "38.8, -97.6"'),
        (Place(-14.3, 40.0), "only know the rules for US airspace"),
        (Place(-97.6 + 90, 38.8), "only know the rules for US airspace"),
    ],
)
def test_a_place_outside_the_united_states_is_asked_about(place: Place, says: str) -> None:
    area = f"{place.latitude_deg}, {place.longitude_deg} within 500 ft"
    abroad: dict[str, Any] = {"area": area, "place": place, "zone": zone_of(place)}
    with pytest.raises(UsageError) as refused:
        checked(plan(**abroad, height_ft=Decimal(100)))
    assert says in str(refused.value.do)


@pytest.mark.parametrize(
    ("height", "away", "says"),
    [
        ("780", "400", "allowed because the flight stays close to a structure"),
        ("781", "300", "more than 400 ft above the top of the structure (380 ft). 1 ft over"),
        ("401", "401", "over the limit"),
    ],
)
def test_beside_a_mast_its_own_limit_is_told(height: str, away: str, says: str) -> None:
    # 14 CFR 107.51(b): within a 400 ft radius of a structure, and not more than 400 ft above its top
    mast = StructureBeside(Decimal(away), Decimal(380))
    assert says in text_of(check(plan(height_ft=Decimal(height), structure=mast)), "height_limit")


def test_what_fails_a_least_is_short_by_the_first_digit_that_shows() -> None:
    # 14 CFR 107.51(c): 3 statute miles; 4,800 m are 2.98
    found = check(None, program({"flight_visibility_sm": "2.982582"}))
    assert "0.02 sm short" in text_of(found, "flight_visibility")


def test_rules_that_say_the_same_are_told_in_one_line() -> None:
    # nothing of Part 107 is judged inside a closed building
    indoors = program(**{"aircraft_Fern 1": {**PROGRAM["aircraft/Fern 1"], "only_indoors": True}})
    view = flight_view(flight_answer(plan(), indoors, None, None, 1))
    told = dict(view.groups)["Not clear"]
    assert len(told) == 1
    for name in ("height limit", "flight visibility", "line of sight", "over people", "night lights"):
        assert name in told[0].says


@pytest.mark.parametrize(
    ("under", "whole"),
    [("Part 107", FlightAnswerCode.NOTHING_AGAINST), (None, FlightAnswerCode.CANT_TELL)],
)
def test_an_agency_chooses_for_each_flight_which_law_it_is_under(
    under: str | None, whole: FlightAnswerCode
) -> None:
    # 49 USC 40102(a)(41), 40125: a public agency may fly as a public aircraft under its COA, or under Part 107
    aircraft: dict[str, Raw] = {
        **PROGRAM["aircraft/Fern 1"],
        "operated_under": "certificate of authorization of a public agency",
    }
    assert check(None, program({"flight_under": under}, **{"aircraft_Fern 1": aircraft})).whole is whole


def test_a_forecast_is_held_against_the_house_limit_for_wind() -> None:
    # common practice, no source: the house's own limit is below the maker's
    text = """document = "Manual"
[[rule]]
name = "gusts"
about = "flight"
kind = "at_most"
key = "gust_seen_kt"
limit = 20
clause = "3.1"
"""
    windy: dict[str, dict[str, Raw]] = {
        "aircraft_Fern 1": {**PROGRAM["aircraft/Fern 1"], "model": "Sarvo 4"},
        "model_Sarvo 4": {"model_wind_limit_kt": "23"},
    }
    told = program(**windy)
    taf = "TAF KZZZ 101130Z 1012/1112 20015G22KT P6SM SKC"
    house = replace(told, house=house_rules(text, "policy.toml"))
    for given, against in ((told, False), (house, True)):
        found = flight_answer(plan(), given, None, taf, 1)
        assert any("above the wind limit of 20 kt" in reason_text(one) for one in found.stretches) is against


def test_a_digit_typed_wrong_shows_by_the_distance_to_the_saved_site() -> None:
    # 0.3 degrees of latitude are 18 NM: a minute of arc is about a nautical mile
    sites: dict[str, dict[str, Raw]] = {
        "saved_site_Home": {"site_area": "38.2, -98.5 within 300 ft"},
        "saved_site_Far": {"site_area": "39.9, -98.5 within 300 ft"},
    }
    given = program()
    known = [
        Known(Statement(subject.replace("site_", "site/"), key, raw), "told")
        for subject, facts in sites.items()
        for key, raw in facts.items()
    ]
    lines = around_lines(check(None, replace(given, known=[*given.known, *known])))
    assert lines[0].startswith("The nearest saved site is Home, 18 NM away.")
    assert "saved site" not in " ".join(around_lines(check()))


def test_a_name_that_two_aircraft_share_is_asked_about() -> None:
    typed = PlanTyped("38.5, -98.5", "500", "2026-06-10 10:00", "10:30", "200", "Wren", "Ansel Wray")
    with pytest.raises(UsageError) as refused:
        plan_of(typed, ["aircraft/Wren 1", "aircraft/Wren 2", "aircraft/Fern 1", "person/Ansel Wray"])
    assert (refused.value.where, refused.value.do) == ("aircraft", "use one of these: Wren 1, Wren 2")
