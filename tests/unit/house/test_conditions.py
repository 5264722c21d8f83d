"""Each kind of house row on both sides of its limit, and with its facts missing."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from airwrit.law.rule import Bears
from tests.unit.house.house import TODAY, Facts, found, rule, words

MAKER = 'kind = "one_of"\nkey = "maker"\nvalues = ["Korrin", "Quorrel"]'
SHUT = 'kind = "not_one_of"\nkey = "maker"\nvalues = ["Talvane"]'
MARKED = 'kind = "one_of"\nkey = "mark_place"\nvalues = ["outside"]'
ACCEPTED = 'kind = "one_of"\nkey = "declaration_accepted"\nvalues = [true]'
HEAVIEST = 'kind = "at_most"\nkey = "takeoff_weight_g"\nlimit = 25\nunit = "kg"'
AGED = 'kind = "at_least"\nkey = "born_on"\nlimit = 18'
YEARLY = 'kind = "within_days"\nkey = "inspected_on"\nlimit = 12\nunit = "calendar month"'
MONTHLY = 'kind = "within_days"\nkey = "firmware_on"\nlimit = 30'
EARLY = 'kind = "before_days"\nkey = "expires_on"\nlimit = 30'
EARLY_DONE = EARLY + '\ndone = "renewal_filed_on"'
SERIAL = 'kind = "required"\nkey = "airframe_serial"'


def aircraft(**facts: Raw) -> Facts:
    """The aircraft."""
    return {"aircraft/A": facts}


def registered(**facts: Raw) -> Facts:
    """The aircraft with its registration."""
    return {"aircraft/A": {"registration": "N"}, "registration/N": facts}


@pytest.mark.parametrize(
    ("body", "facts", "verdict", "code"),
    [
        (MAKER, aircraft(maker="Korrin"), "met", "allowed"),
        (MAKER, aircraft(maker=" korRIN."), "met", "allowed"),
        (MAKER, aircraft(maker="Talvane"), "not_met", "not_allowed"),
        (MAKER, aircraft(), "unknown", "maker"),
        (SHUT, aircraft(maker="Korrin"), "met", "allowed"),
        (SHUT, aircraft(maker="TALVANE"), "not_met", "not_allowed"),
        (SHUT, aircraft(), "unknown", "maker"),
        (MARKED, aircraft(mark_place="outside"), "met", "allowed"),
        (MARKED, aircraft(mark_place="not marked"), "not_met", "not_allowed"),
        (ACCEPTED, aircraft(declaration_accepted=True), "met", "allowed"),
        (ACCEPTED, aircraft(declaration_accepted=False), "not_met", "not_allowed"),
        (HEAVIEST, aircraft(takeoff_weight_g="25000", scale_error_g="0"), "met", "inside"),
        (HEAVIEST, aircraft(takeoff_weight_g="25000.1", scale_error_g="0"), "not_met", "outside"),
        (HEAVIEST, aircraft(takeoff_weight_g="24999", scale_error_g="2"), "unknown", "within_doubt"),
        (HEAVIEST, aircraft(), "unknown", "takeoff_weight_g"),
        (YEARLY, aircraft(inspected_on="2025-11-01"), "met", "recent"),
        (YEARLY, aircraft(inspected_on="2025-10-31"), "not_met", "lapsed"),
        (YEARLY, aircraft(inspected_on="2026-11-26"), "unknown", "to_come"),
        (YEARLY, aircraft(), "unknown", "inspected_on"),
        (MONTHLY, aircraft(firmware_on="2026-10-26"), "met", "recent"),
        (MONTHLY, aircraft(firmware_on="2026-10-25"), "not_met", "lapsed"),
        (EARLY, registered(expires_on="2026-12-25"), "met", "in_time"),
        (EARLY, registered(expires_on="2026-12-24"), "not_met", "too_late"),
        (EARLY, registered(), "unknown", "expires_on"),
        (EARLY, aircraft(), "unknown", "registration"),
        (EARLY_DONE, registered(expires_on="2026-12-24", renewal_filed_on="2026-11-24"), "met", "done"),
        (
            EARLY_DONE,
            registered(expires_on="2026-12-24", renewal_filed_on="2026-11-25"),
            "not_met",
            "too_late",
        ),
        (EARLY_DONE, registered(expires_on="2026-12-25", renewal_filed_on="2026-11-30"), "met", "in_time"),
        (SERIAL, aircraft(airframe_serial="F-1"), "met", "on_file"),
        (SERIAL, aircraft(), "unknown", "airframe_serial"),
    ],
)
def test_an_aircraft_row_gives(body: str, facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(body), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)


@pytest.mark.parametrize(
    ("born", "verdict"), [("2008-11-25", "met"), ("2008-11-26", "not_met"), (None, "unknown")]
)
def test_an_age_is_counted_in_whole_years(born: str | None, verdict: str) -> None:
    facts: Facts = {"person/P": {"born_on": born} if born else {}}
    assert found(rule(AGED, about="person"), facts).verdict == verdict


def flights(*days: tuple[str | None, str | None]) -> Facts:
    """The person's flights: day and landings of each."""
    facts: Facts = {"person/P": {}}
    for number, (day, landings) in enumerate(days):
        told: dict[str, Raw] = {"flight_pilot": "P", "flown_on": day, "landings": landings}
        facts[f"flight/{number}"] = {key: value for key, value in told.items() if value is not None}
    return facts


LANDINGS = 'kind = "count_in_days"\nof = "landings"\nlimit = 3\nwithin = 90'
FLIGHTS = 'kind = "count_in_days"\nof = "flights"\nlimit = 2\nwithin = 90'
FIRST = "2026-08-28"
"""The first of the 90 days that end on the day asked about."""


@pytest.mark.parametrize(
    ("body", "facts", "verdict", "code"),
    [
        (LANDINGS, flights((FIRST, "3")), "met", "enough"),
        (LANDINGS, flights(("2026-08-27", "3")), "not_met", "too_few"),
        (LANDINGS, flights((TODAY, "1"), (FIRST, "1")), "not_met", "too_few"),
        (LANDINGS, flights((TODAY, "1"), (FIRST, "2")), "met", "enough"),
        (LANDINGS, flights((TODAY, "1"), (TODAY, None)), "unknown", "day_not_known"),
        (LANDINGS, flights((TODAY, "1"), (None, "2")), "unknown", "day_not_known"),
        (LANDINGS, flights(("2026-11-26", "3")), "not_met", "too_few"),
        (LANDINGS, flights((FIRST + "T23:59-05:00", "3")), "met", "enough"),
        (LANDINGS, flights(("2026-08-27T23:59-05:00", "3")), "not_met", "too_few"),
        (LANDINGS, flights(), "unknown", "none_on_file"),
        (FLIGHTS, flights((TODAY, None), (TODAY, None)), "met", "enough"),
        (FLIGHTS, flights((TODAY, "9")), "not_met", "too_few"),
    ],
)
def test_a_count_gives(body: str, facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(body, about="person"), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)


def test_a_count_holds_until_what_it_needs_drops_out() -> None:
    facts = flights((TODAY, "1"), ("2026-11-01", "2"), ("2026-09-01", "2"))
    outcome = found(rule(LANDINGS, about="person"), facts).outcome
    assert outcome.value == 5
    assert outcome.holds_until == outcome.due_on == date(2027, 1, 29)
    last = found(rule(LANDINGS, about="person"), facts, "2027-01-29").verdict
    after = found(rule(LANDINGS, about="person"), facts, "2027-01-30").verdict
    assert (last, after) == ("met", "not_met")


def test_trainings_of_a_kind_are_counted() -> None:
    body = 'kind = "count_in_days"\nof = "training"\nlimit = 1\nwithin = 365\nvalues = ["recurrent training"]'
    event: dict[str, Raw] = {
        "event_of": "P",
        "event_kind": "recurrent training",
        "completed_on": "2026-03-01",
    }
    counted, other = {"training/1": event}, {"training/1": {**event, "event_kind": "initial test"}}
    assert found(rule(body, about="person"), counted).verdict == "met"
    assert found(rule(body, about="person"), other).verdict == "not_met"


COVERED = 'kind = "covered_by"\nvalues = ["insurance policy", "waiver"]'


def papers(**facts: Raw) -> Facts:
    """The aircraft, and a paper that covers it but for what is said otherwise."""
    usual: dict[str, Raw] = {"paper_kind": "insurance policy", "ends_on": TODAY, "covers_aircraft": "A"}
    return {"aircraft/A": {}, "paper/1": {k: v for k, v in {**usual, **facts}.items() if v is not None}}


@pytest.mark.parametrize(
    ("facts", "verdict", "code"),
    [
        (papers(), "met", "in_term"),
        (papers(covers_aircraft=None, covers_all=True), "met", "in_term"),
        (papers(covers_aircraft=None, covers_all=False), "unknown", "none_on_file"),
        (papers(covers_aircraft="B"), "unknown", "none_on_file"),
        (papers(paper_kind="COA"), "unknown", "none_on_file"),
        (papers(ends_on="2026-11-24"), "not_met", "none_in_term"),
        (papers(ends_on=None), "unknown", "none_on_file"),
        (papers(paper_state="requested"), "unknown", "none_on_file"),
        (papers(paper_state="granted"), "met", "in_term"),
        (papers(granted_on="2026-11-26", ends_on="2027-11-26"), "unknown", "none_on_file"),
        ({**papers(ends_on="2026-11-24"), "paper/2": papers()["paper/1"]}, "met", "in_term"),
        (
            {**papers(ends_on="2026-11-24"), "paper/2": papers(ends_on=None)["paper/1"]},
            "unknown",
            "none_on_file",
        ),
    ],
)
def test_a_cover_gives(facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(COVERED), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)


SCOPED = MAKER + '\nscope = { federal_money = true, used_for = ["work", "work and recreation"] }'


@pytest.mark.parametrize(
    ("facts", "verdict", "code"),
    [
        (aircraft(maker="Talvane", federal_money=True, used_for="work"), "not_met", "not_allowed"),
        (aircraft(maker="Korrin", federal_money=True, used_for="work"), "met", "allowed"),
        (aircraft(maker="Talvane", federal_money=False, used_for="work"), "not_applicable", "out_of_scope"),
        (aircraft(maker="Talvane", used_for="recreation"), "not_applicable", "out_of_scope"),
        (aircraft(maker="Talvane", used_for="work"), "unknown", "federal_money"),
        (aircraft(maker="Korrin", used_for="work"), "unknown", "federal_money"),
    ],
)
def test_a_scope_has_to_hold_whole(facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(SCOPED), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)


@pytest.mark.parametrize(
    ("on", "verdict"),
    [
        ("2025-12-21", "not_applicable"),
        ("2025-12-22", "not_met"),
        ("2026-12-31", "not_met"),
        ("2027-01-01", "not_applicable"),
    ],
)
def test_a_row_holds_from_its_day_until_its_day(on: str, verdict: str) -> None:
    made = rule(MAKER + "\nfrom = 2025-12-22\nuntil = 2027-01-01")
    assert found(made, aircraft(maker="Talvane"), on).verdict == verdict


def test_a_row_for_one_use_says_nothing_of_the_other() -> None:
    made = rule(MAKER + '\nuse = "work"')
    work = found(made, aircraft(maker="Talvane"))
    play = found(made, aircraft(maker="Talvane"), use=UsedFor.RECREATION)
    assert (work.verdict, work.use) == ("not_met", UsedFor.WORK)
    assert (play.verdict, play.outcome.code) == ("not_applicable", "other_use")
    assert found(rule(MAKER), aircraft(maker="Talvane")).use is None


@pytest.mark.parametrize("event", ["sold_on", "destroyed_on", "exported_on", "lost_on"])
def test_nothing_is_asked_of_an_aircraft_that_is_gone(event: str) -> None:
    old: Raw = "2020-01-31"
    assert found(rule(YEARLY), aircraft(inspected_on=old, **{event: TODAY})).outcome.code == "gone"
    assert found(rule(YEARLY), aircraft(**{event: TODAY})).outcome.code == "gone"
    assert found(rule(YEARLY), aircraft(inspected_on=old, **{event: "2026-11-26"})).verdict == "not_met"


def test_margins_tell_the_room_left() -> None:
    light = found(rule(HEAVIEST), aircraft(takeoff_weight_g="24000", scale_error_g="0")).outcome
    assert light.margin is not None
    assert (light.margin.value, light.margin.unit) == (Decimal(1), "kg")
    old = found(rule(MONTHLY), aircraft(firmware_on="2026-10-20")).outcome
    assert old.margin is not None
    assert (old.margin.value, old.margin.unit) == (Decimal(-6), "day")


def test_a_finding_names_document_and_clause() -> None:
    told = words(rule(MAKER), aircraft(maker="Talvane"))
    assert told.says == "Maker: Talvane. Allowed: Korrin, Quorrel (Manual 1.2)."
    assert words(rule(MAKER), aircraft()).says == "Not on file: maker (Manual 1.2)."


def test_a_row_may_bring_its_own_words() -> None:
    made = rule(YEARLY + '\nsays = "ran out on {value}, {limit} allowed"\ndo = "inspect it"')
    told = words(made, aircraft(inspected_on="2020-01-31"))
    assert told == ("Ran out on 2021-01-31, 12 calendar months allowed (Manual 1.2).", "Inspect it.")
    assert words(made, aircraft(inspected_on="2026-01-31")).do == "Do it again by 2027-01-31."


@pytest.mark.parametrize(
    ("crew", "verdict"), [("1", "not_met"), ("2", "met"), ("3", "met"), (None, "unknown")]
)
def test_the_least_crew_of_a_flight_is_put_on_record(crew: str | None, verdict: str) -> None:
    made = rule('kind = "at_least"\nkey = "crew_present"\nlimit = 2', about="flight")
    flown: dict[str, Raw] = {"flown_on": "2026-11-01", **({"crew_present": crew} if crew else {})}
    assert made.bears is Bears.PAPERS
    assert found(made, {"flight/F": flown}).verdict == verdict


def _told(*flown: tuple[str, str, str, str]) -> Facts:
    """Flights of P with aircraft A: their names, when, landings and minutes."""
    return {
        f"flight/{name}": {
            "flight_pilot": "P",
            "flight_aircraft": "A",
            "flown_on": when,
            "landings": landings,
            "minutes": minutes,
        }
        for name, when, landings, minutes in flown
    }


BY_HAND = "A 2026-11-20T15:20Z"
MOMENT = "2026-11-20T10:20-05:00"


@pytest.mark.parametrize(
    ("facts", "verdict", "code", "value"),
    [
        (
            _told(("P, 1", "2026-11-20", "2", "14"), (BY_HAND, MOMENT, "2", "14")),
            "unknown",
            "counted_twice",
            4,
        ),
        (_told(("P, 1", "2026-11-20", "1", "14"), (BY_HAND, MOMENT, "1", "14")), "not_met", "too_few", 1),
        (_told(("P, 1", "2026-11-20", "3", "14"), (BY_HAND, MOMENT, "3", "14")), "met", "enough", 3),
        (
            _told(("P, 1", "2026-11-20", "3", "14"), (BY_HAND, MOMENT, "1", "14")),
            "unknown",
            "counted_twice",
            4,
        ),
        (_told(("P, 1", "2026-11-20", "2", "14"), (BY_HAND, MOMENT, "2", "15")), "met", "enough", 4),
        (
            _told(("P, 1", MOMENT, "1", "9"), ("P, 2", MOMENT, "1", "9"), (BY_HAND, MOMENT, "1", "9")),
            "unknown",
            "counted_twice",
            3,
        ),
        (_told(("P, 1", "2026-11-20", "2", "14"), ("P, 2", "2026-11-20", "2", "14")), "met", "enough", 4),
    ],
)
def test_a_flight_told_twice_meets_no_count(facts: Facts, verdict: str, code: str, value: int) -> None:
    outcome = found(rule(LANDINGS, about="person"), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)
    assert outcome.value == value


def test_a_flight_told_twice_is_told_in_words() -> None:
    facts = _told(("P, 1", "2026-11-20", "2", "14"), (BY_HAND, MOMENT, "2", "14"))
    told = words(rule(LANDINGS, about="person"), facts)
    assert "4. Some of these may be one flight entered twice. The minimum is 3" in told.says
    assert "airwrit flight-hours" in told.do


FIFTY = 'kind = "used_since"\nkey = "inspected_on"\nof = "hours"\nlimit = 2'
TEN_FLIGHTS = 'kind = "used_since"\nkey = "inspected_on"\nof = "flights"\nlimit = 2'


def worn(*flights: tuple[str, str | None], inspected: str | None = "2026-11-01", **more: Raw) -> Facts:
    """The aircraft inspected on a day, with flights of a day and so many minutes."""
    known: Facts = {"aircraft/A": {} if inspected is None else {"inspected_on": inspected}}
    for number, (day, minutes) in enumerate(flights):
        facts: dict[str, Raw] = {"flight_aircraft": "A", "flown_on": day, **more}
        known[f"flight/{number}"] = facts if minutes is None else {**facts, "minutes": minutes}
    return known


@pytest.mark.parametrize(
    ("body", "facts", "verdict", "code"),
    [
        (FIFTY, worn(("2026-11-02", "60"), ("2026-11-25", "60")), "met", "inside"),
        (FIFTY, worn(("2026-11-02", "60"), ("2026-11-25", "60.1")), "not_met", "outside"),
        (FIFTY, worn(("2026-10-31", "600"), ("2026-11-26", "600")), "met", "inside"),
        (FIFTY, worn(("2026-11-02", "120"), ("2026-11-01", "1")), "unknown", "within_doubt"),
        (FIFTY, worn(("2026-11-02", "60"), ("2026-11-01", "60")), "met", "inside"),
        (FIFTY, worn(("2026-11-02", "60"), ("2026-11-03", None)), "unknown", "flights_incomplete"),
        (FIFTY, worn(("2026-11-02", "121"), ("2026-11-03", None)), "not_met", "outside"),
        (FIFTY, worn(("2026-11-02", "60"), inspected=None), "unknown", "inspected_on"),
        (FIFTY, worn(inspected="2026-11-26"), "unknown", "to_come"),
        (FIFTY, worn(), "met", "inside"),
        (TEN_FLIGHTS, worn(("2026-11-02", None), ("2026-11-03", None)), "met", "inside"),
        (
            TEN_FLIGHTS,
            worn(("2026-11-02", None), ("2026-11-03", None), ("2026-11-04", None)),
            "not_met",
            "outside",
        ),
    ],
)
def test_how_much_it_was_flown_since_a_day(body: str, facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(body), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)


def test_a_planned_flight_wears_nothing() -> None:
    planned: Facts = {**worn(("2026-11-02", "60")), "flight/planned": {"flight_aircraft": "A"}}
    assert found(rule(FIFTY), planned).outcome.code == "inside"


def test_hours_are_counted_in_the_words_of_the_row() -> None:
    said = words(rule(FIFTY), worn(("2026-11-02", "90")))
    assert said.says.startswith("Flight hours since the ")
    assert "1.5. The maximum is 2" in said.says


ON_TYPE = 'kind = "count_in_days"\nof = "hours"\nlimit = 2\nwithin = 90\nmodel = "Sarvo 4"'


def flown_with(model: str | None, minutes: str, day: str = "2026-11-20") -> Facts:
    """A person's flights with an aircraft of a model."""
    return {
        "person/P": {"flies_for": "work"},
        "aircraft/A": {} if model is None else {"model": model},
        "flight/1": {"flight_pilot": "P", "flight_aircraft": "A", "flown_on": day, "minutes": minutes},
    }


@pytest.mark.parametrize(
    ("facts", "verdict", "code"),
    [
        (flown_with("Sarvo 4", "120"), "met", "enough"),
        (flown_with("sarvo 4 ", "120"), "met", "enough"),
        (flown_with("Sarvo 4", "119.9"), "not_met", "too_few"),
        (flown_with("Lodrel", "600"), "not_met", "too_few"),
        (flown_with(None, "600"), "unknown", "day_not_known"),
        (flown_with("Sarvo 4", "120", "2026-08-28"), "met", "enough"),
        (flown_with("Sarvo 4", "120", "2026-08-27"), "not_met", "too_few"),
    ],
)
def test_hours_on_a_model(facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(ON_TYPE, about="person"), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)


def test_a_planned_flight_leaves_no_currency_open() -> None:
    facts: Facts = {
        **flown_with("Sarvo 4", "60"),
        "flight/planned": {"flight_pilot": "P", "flight_aircraft": "A"},
    }
    assert found(rule(ON_TYPE, about="person"), facts).outcome.code == "too_few"


BOX = 'kind = "inside_box"\nsouth = 41\nnorth = 45.0\nwest = -111.05\neast = -104.05'
DAY_ONLY = 'kind = "by_day"'
PILOTS = 'kind = "one_of"\nkey = "flight_pilot"\nvalues = ["Nela Quist"]\nbears = "flight"'
UNDER_WAIVER = (
    'kind = "at_least"\nkey = "crew_present"\nlimit = 3\nbears = "flight"\nscope = { flight_waiver = "W1" }'
)
SUN: dict[str, Raw] = {
    "evening_twilight_end_on": "2026-11-25T17:10-07:00",
    "morning_twilight_on": "2026-11-25T06:20-07:00",
}


def flight(**facts: Raw) -> Facts:
    """The flight."""
    return {"flight/F": facts}


def edges(south: str, north: str, west: str, east: str) -> Facts:
    """A flight between these edges."""
    return flight(flight_south_deg=south, flight_north_deg=north, flight_west_deg=west, flight_east_deg=east)


@pytest.mark.parametrize(
    ("body", "facts", "verdict", "code"),
    [
        (BOX, edges("41", "41.01", "-105", "-104.05"), "met", "inside"),
        (BOX, edges("40.9999", "41.01", "-105", "-104.9"), "not_met", "outside"),
        (BOX, edges("44.9", "45.0001", "-105", "-104.9"), "not_met", "outside"),
        (BOX, edges("42", "42.1", "-111.0501", "-111"), "not_met", "outside"),
        (BOX, edges("42", "42.1", "-104.1", "-104.04"), "not_met", "outside"),
        (BOX, flight(flight_south_deg="40"), "not_met", "outside"),
        (BOX, flight(flight_south_deg="42"), "unknown", "flight_north_deg"),
        (PILOTS, flight(flight_pilot="nela quist"), "met", "allowed"),
        (PILOTS, flight(flight_pilot="Pax Lindmoor"), "not_met", "not_allowed"),
        (PILOTS, flight(), "unknown", "flight_pilot"),
        (UNDER_WAIVER, flight(flight_waiver="W1", crew_present="2"), "not_met", "outside"),
        (UNDER_WAIVER, flight(flight_waiver="W1", crew_present="3"), "met", "inside"),
        (UNDER_WAIVER, flight(flight_waiver="W1"), "unknown", "crew_present"),
        (UNDER_WAIVER, flight(flight_waiver="W2", crew_present="1"), "not_applicable", "out_of_scope"),
        (UNDER_WAIVER, flight(crew_present="1"), "not_applicable", "out_of_scope"),
    ],
)
def test_a_condition_of_a_policy_or_a_waiver_gives(body: str, facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(body, about="flight"), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)


@pytest.mark.parametrize(
    ("at", "verdict"),
    [
        ("2026-11-25T16:00-07:00", "met"),
        ("2026-11-25T17:10-07:00", "met"),
        ("2026-11-25T17:11-07:00", "not_met"),
        ("2026-11-25", "unknown"),
    ],
)
def test_a_flight_by_day_ends_with_evening_twilight(at: str, verdict: str) -> None:
    assert found(rule(DAY_ONLY, about="flight"), flight(**SUN), at).verdict.value == verdict
