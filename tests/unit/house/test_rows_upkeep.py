"""House rows about batteries, maintenance tasks, courses and a pilot's practice, on both sides of their limits."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadHouseFile
from airwrit.facts.key import Raw
from airwrit.house.rules import house_rules
from tests.unit.house.house import Facts, found, row, rule, words

CYCLES = 'kind = "at_most"\nkey = "cycles_read"\nlimit = 200'
SHARE = 'kind = "at_least"\nkey = "capacity_measured_mah"\nlimit = 80\nunit = "percent"'
AGE = 'kind = "at_most"\nkey = "battery_since_on"\nlimit = 3'
PROPS = 'kind = "used_since"\ntask = "Propellers"\nof = "hours"\nlimit = 2'
YEARLY = 'kind = "within_days"\ntask = "yearly check"\nlimit = 12\nunit = "calendar month"'
NIGHT = 'kind = "trained"\ncourses = ["Night flying", "Night refresher"]\nlimit = 365'
ONCE = 'kind = "trained"\ncourses = ["Waiver briefing"]'
SAME = 'kind = "count_in_days"\nof = "landings"\nlimit = 3\nwithin = 90\nmodel = "same"'


def battery(**facts: Raw) -> Facts:
    """The battery."""
    return {"battery/B": {"battery_chemistry": "LiPo", **facts}}


def worked(day: str, task: str = "propellers", minutes: str = "121", flown: str = "2026-11-20") -> Facts:
    """The aircraft after a task, with one flight."""
    return {
        "aircraft/A": {"maker": "Korrin"},
        "maintenance/1": {"maintenance_of": "A", "task": task, "maintenance_done_on": day},
        "flight/1": {"flight_aircraft": "A", "flown_on": flown, "minutes": minutes},
    }


def course(day: str, name: str = "night flying", **facts: Raw) -> Facts:
    """A person with one course."""
    return {
        "person/P": {"role": "pilot"},
        "course/1": {"course_of": "P", "course": name, "course_on": day, **facts},
    }


def planned(*landings: tuple[str, str], model: str = "Sarvo 4") -> Facts:
    """A planned flight with aircraft A, and flights flown before with aircraft A or B."""
    made: Facts = {
        "flight/F": {"flight_aircraft": "A", "flight_pilot": "P"},
        "aircraft/A": {"model": model},
        "aircraft/B": {"model": "Lodrel"},
    }
    for number, (aircraft, day) in enumerate(landings):
        made[f"flight/{number}"] = {
            "flight_aircraft": aircraft,
            "flight_pilot": "P",
            "flown_on": day,
            "landings": "3",
        }
    return made


@pytest.mark.parametrize(
    ("body", "about", "facts", "code"),
    [
        (CYCLES, "battery", battery(cycles_read="200", cycles_read_on="2026-11-01"), "inside"),
        (CYCLES, "battery", battery(cycles_read="201", cycles_read_on="2026-11-01"), "outside"),
        (CYCLES, "battery", battery(cycles_read="201"), "cycles_read_on"),
        (
            CYCLES,
            "battery",
            battery(cycles_read="201", cycles_read_on="2026-11-01", battery_retired_on="2026-11-02"),
            "gone",
        ),
        (SHARE, "battery", battery(capacity_new_mah="5000", capacity_measured_mah="4000"), "inside"),
        (SHARE, "battery", battery(capacity_new_mah="5000", capacity_measured_mah="3999"), "outside"),
        (SHARE, "battery", battery(capacity_new_mah="5000"), "capacity_measured_mah"),
        (AGE, "battery", battery(battery_since_on="2022-11-26"), "inside"),
        (AGE, "battery", battery(battery_since_on="2022-11-25"), "outside"),
        (PROPS, "aircraft", worked("2026-11-10", minutes="120"), "inside"),
        (PROPS, "aircraft", worked("2026-11-10"), "outside"),
        (PROPS, "aircraft", worked("2026-11-21"), "inside"),
        (PROPS, "aircraft", worked("2026-11-20"), "within_doubt"),
        (PROPS, "aircraft", worked("2026-11-10", "motors"), "never_done"),
        (YEARLY, "aircraft", worked("2025-11-01", "Yearly check"), "recent"),
        (YEARLY, "aircraft", worked("2025-10-31", "Yearly check"), "lapsed"),
        (YEARLY, "aircraft", worked("2026-11-26", "Yearly check"), "never_done"),
        (NIGHT, "person", course("2025-11-25"), "current"),
        (NIGHT, "person", course("2025-11-24"), "lapsed"),
        (NIGHT, "person", course("2025-11-25", "Night refresher"), "current"),
        (NIGHT, "person", course("2025-11-25", course_passed=False), "not_on_file"),
        (NIGHT, "person", course("2026-11-26"), "not_on_file"),
        (ONCE, "person", course("2020-01-01", "Waiver briefing"), "trained"),
        (ONCE, "person", {"person/P": {"role": "pilot"}, "course/1": {"course_of": "P"}}, "day_not_known"),
        (SAME, "flight", planned(("A", "2026-11-20")), "enough"),
        (SAME, "flight", planned(("B", "2026-11-20")), "too_few"),
        (SAME, "flight", planned(), "none_on_file"),
        (SAME, "flight", planned(("A", "2026-08-27")), "too_few"),
        (SAME, "flight", planned(("A", "2026-08-28")), "enough"),
        (SAME, "flight", {"flight/F": {"flown_on": "2026-11-20"}}, "flown"),
    ],
)
def test_a_row_gives(body: str, about: str, facts: Facts, code: str) -> None:
    made = rule(body, about=about)
    assert found(made, facts).outcome.code == code
    told = words(made, facts)
    assert told.says
    assert "{" not in told.says + told.do


@pytest.mark.parametrize(
    ("body", "about", "line"),
    [
        ('kind = "used_since"\nof = "hours"\nlimit = 3', "aircraft", "a fact or a task"),
        (f'{PROPS}\nkey = "inspected_on"', "aircraft", "a fact or a task"),
        (PROPS.replace("hours", "flights"), "person", "Only aircraft or batteries"),
        (PROPS, "battery", "Only flights count"),
        ('kind = "within_days"\ntask = "x"\nlimit = 3', "person", "have maintenance"),
        (NIGHT, "aircraft", "Only people"),
        ('kind = "trained"\ncourses = []', "person", "isn't a list"),
        ('kind = "trained"\ncourses = [3]', "person", "short text"),
        (SAME, "person", "only the same model"),
        (f'{CYCLES}\nuse = "work"', "battery", "can't have a use"),
        (
            'kind = "at_most"\nkey = "capacity_new_mah"\nlimit = 3\nunit = "percent"',
            "battery",
            "know 'percent'",
        ),
    ],
)
def test_what_does_not_fit_is_refused(body: str, about: str, line: str) -> None:
    with pytest.raises(BadHouseFile) as refused:
        house_rules(row(body, about=about), "rules.toml")
    assert line in str(refused.value)


WHO = 'kind = "returned_by"\nvalues = ["Nela Quist", "The shop"]'
STATES = 'kind = "in_states"\nvalues = ["WY", "Colorado"]'
LOWER_48 = 'kind = "in_states"\nvalues = ["48 states"]'


def returned(day: str, by: str | None, events: Facts | None = None) -> Facts:
    """The aircraft after work, returned to service by somebody; and other events."""
    work: dict[str, Raw] = {"maintenance_of": "A", "task": "arms", "maintenance_done_on": "2026-11-01"}
    work |= {"work_returned_on": day} | ({} if by is None else {"work_returned_by": by})
    return {"aircraft/A": {"maker": "Korrin"}, "maintenance/1": work, **(events or {})}


FLOWN: dict[str, Raw] = {"flight_aircraft": "A", "flown_on": "2026-11-02", "defect_seen": "loose screw"}


@pytest.mark.parametrize(
    ("facts", "verdict", "code"),
    [
        (returned("2026-11-03", "nela quist"), "met", "allowed"),
        (returned("2026-11-03", "The shop"), "met", "allowed"),
        (returned("2026-11-03", "Pax Lindmoor"), "not_met", "not_allowed"),
        (returned("2026-11-03", None), "unknown", "nobody_named"),
        (returned("2026-11-26", "Pax Lindmoor"), "not_applicable", "never_returned"),
        ({"aircraft/A": {"maker": "Korrin"}}, "not_applicable", "never_returned"),
        (
            returned(
                "2026-11-03",
                "Nela Quist",
                {
                    "flight/1": {
                        **FLOWN,
                        "defect_released_on": "2026-11-04",
                        "defect_released_by": "Pax Lindmoor",
                    }
                },
            ),
            "not_met",
            "not_allowed",
        ),
        (
            returned(
                "2026-11-05",
                "Nela Quist",
                {
                    "flight/1": {
                        **FLOWN,
                        "defect_released_on": "2026-11-04",
                        "defect_released_by": "Pax Lindmoor",
                    }
                },
            ),
            "met",
            "allowed",
        ),
        (
            returned(
                "2026-11-03",
                "Nela Quist",
                {
                    "incident/1": {
                        "incident_aircraft": "A",
                        "happened_on": "2026-11-03",
                        "aircraft_released_on": "2026-11-03",
                    }
                },
            ),
            "unknown",
            "nobody_named",
        ),
    ],
)
def test_who_returned_it_to_service(facts: Facts, verdict: str, code: str) -> None:
    outcome = found(rule(WHO), facts).outcome
    assert (outcome.verdict.value, outcome.code) == (verdict, code)
    told = words(rule(WHO), facts)
    assert told.says
    assert "{" not in told.says + told.do


@pytest.mark.parametrize(
    ("body", "states", "code"),
    [
        (STATES, "Wyoming", "inside"),
        (STATES, "wyoming, CO", "inside"),
        (STATES, "Wyoming, Utah", "outside"),
        (STATES, "none of the States", "outside"),
        (STATES, ",", "outside"),
        (STATES, None, "flight_states"),
        (LOWER_48, "Wyoming", "inside"),
        (LOWER_48, "District of Columbia", "inside"),
        (LOWER_48, "Alaska", "outside"),
        (LOWER_48, "Puerto Rico", "outside"),
        (LOWER_48.replace("48", "50"), "Hawaii", "inside"),
        (LOWER_48.replace("48", "50"), "Puerto Rico", "outside"),
        (LOWER_48.replace("48 states", "United States and Territories"), "Puerto Rico", "inside"),
    ],
)
def test_states_by_name(body: str, states: str | None, code: str) -> None:
    facts: Facts = {
        "flight/F": {"flight_aircraft": "A", **({} if states is None else {"flight_states": states})}
    }
    assert found(rule(body, about="flight"), facts).outcome.code == code


@pytest.mark.parametrize(
    ("body", "about", "line"),
    [
        (WHO, "person", "Only aircraft"),
        (STATES, "aircraft", "Only flights"),
        (STATES.replace("WY", "Atlantis"), "flight", "No State is called"),
        (STATES.replace('"WY"', "3"), "flight", "short text"),
    ],
)
def test_what_they_cannot_be_is_refused(body: str, about: str, line: str) -> None:
    with pytest.raises(BadHouseFile, match=line):
        house_rules(row(body, about=about), "rules.toml")


TODAY_ON = date(2026, 11, 25)
FLIGHTS = st.lists(
    st.tuples(st.integers(-5, 130), st.integers(0, 4), st.integers(0, 90), st.sampled_from("AB")), max_size=8
)


def logged(flights: list[tuple[int, int, int, str]]) -> Facts:
    """Flights so many days ago, with landings, minutes and an aircraft; each by its own pilot's log number."""
    made: Facts = {
        "person/P": {"role": "pilot"},
        "aircraft/A": {"model": "Sarvo 4", "inspected_on": "2026-10-01"},
        "aircraft/B": {"model": "Lodrel"},
        "battery/B": {"battery_chemistry": "LiPo"},
    }
    for number, (ago, landings, minutes, aircraft) in enumerate(flights):
        made[f"flight/log {number}"] = {
            "flight_aircraft": aircraft,
            "flight_pilot": "P",
            "flown_on": (TODAY_ON - timedelta(days=ago)).isoformat(),
            "landings": str(landings),
            "minutes": str(minutes),
            "packs": "B" if minutes % 2 else "C, B",
        }
    return made


@given(FLIGHTS)
def test_counts_are_those_of_a_plain_loop(flights: list[tuple[int, int, int, str]]) -> None:
    """Rolling counts against a naive model: sums over all flights, day by day, with no index and no shortcut."""
    facts = logged(flights)
    landings = sum(many for ago, many, _, aircraft in flights if 0 <= ago < 90 and aircraft == "A")
    outcome = found(rule(SAME.replace("same", "Sarvo 4"), about="person"), facts).outcome
    assert outcome.value == landings
    assert (outcome.verdict == "met") is (landings >= 3)
    used = sum((m for ago, _, m, aircraft in flights if 0 <= ago < 55 and aircraft == "A"), 0)
    since = rule('kind = "used_since"\nkey = "inspected_on"\nof = "hours"\nlimit = 3')
    that_day = any(ago == 55 and aircraft == "A" and m for ago, _, m, aircraft in flights)
    told = found(since, facts).outcome
    assert told.value == Decimal(0) + sum(
        (Decimal(m) / 60 for ago, _, m, aircraft in flights if 0 <= ago < 55 and aircraft == "A"), Decimal(0)
    )
    assert that_day or (told.verdict == "met") is (used <= 180)
    cycles = sum(ago >= 0 for ago, *_ in flights)
    worn = found(rule(CYCLES.replace("200", "3"), about="battery"), facts).outcome
    if not cycles:
        assert (worn.verdict, worn.code) == ("unknown", "cycles_read"), "it may be an old one"
        return
    assert worn.value == cycles
    assert (worn.verdict == "met") is (cycles <= 3)


@given(FLIGHTS)
def test_current_until_the_day_on_which_a_plain_loop_says_so(
    flights: list[tuple[int, int, int, str]],
) -> None:
    """The last day of currency: the naive model walks day by day, with no flight after today."""
    outcome = found(rule(SAME.replace("same", "Sarvo 4"), about="person"), logged(flights)).outcome
    mine = [(ago, many) for ago, many, _, aircraft in flights if ago >= 0 and aircraft == "A"]
    good = [ahead for ahead in range(95) if sum(many for ago, many in mine if ago + ahead < 90) >= 3]
    last = TODAY_ON + timedelta(days=max(good)) if good else None
    assert outcome.holds_until == last
