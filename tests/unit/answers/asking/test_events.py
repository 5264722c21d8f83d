"""A flight or an incident told of: every rule about it, the use it is judged for, what is missing, and the whole."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from airwrit.answers.asking.ask import AskAnswer, ask, ask_event
from airwrit.answers.asking.events import QUESTIONS_OF_A_FLIGHT, UseFindings, Whole, event_words
from airwrit.answers.asking.json import ask_json
from airwrit.answers.lookup.law import asked_by, in_words
from airwrit.answers.standing.standing import standing
from airwrit.base.days import When
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.vocabulary import TABLES
from airwrit.intake.typed.facts_file import read_facts
from airwrit.law.flight.rulebook import FLIGHT_RULES
from airwrit.law.rulebook import ASKED, BY_NAME, WAYS
from tests.stories.story import answers as told_in_stories

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
DAY = date(2026, 11, 25)
FLIGHT = "[flight]\nheight_agl_ft = 90\n"
NOT_FOR_FUN = "paid = true\n"
ALL_FOR_FUN = "paid = false\nhelps_business = false\nhelps_organization = false\n"
WHOLE_FLIGHT = Path(__file__).with_name("whole_flight.toml").read_text(encoding="utf-8")
INCIDENT = """[incident]
happened_on = 2026-03-05
anyone_hurt = "nobody"
serious_injury = false
unconscious = false
damaged_property = "property apart from the aircraft"
total_loss = false
death_or_injury = false
substantial_damage = false
cause = "none of these"
"""
OVER_500 = "repair_cost_usd = 700\nproperty_value_usd = 900\n"


def state(text: str, on: When = DAY) -> State:
    """How things stand by a file of facts."""
    return state_of(read_facts(text, "facts.toml").known, on, NOW)


def asked(text: str, on: When = DAY, use: UsedFor | None = None) -> AskAnswer:
    """The answer for a file of facts."""
    return ask(state(text, on), use=use)


def column(text: str, on: When = DAY, use: UsedFor | None = UsedFor.WORK) -> UseFindings:
    """The only column of the only event."""
    (event,) = asked(text, on, use).events
    (one,) = event.columns
    return one


def rules_of(one: UseFindings) -> dict[str, Verdict]:
    """The verdicts by rule."""
    return {finding.rule.name: finding.verdict for finding in one.rules}


def uses(text: str, use: UsedFor | None = None) -> list[str]:
    """The uses an only flight is judged for."""
    return [one.use.value for one in asked(text, use=use).events[0].columns]


def test_every_rule_of_a_flight_and_of_an_incident_is_judged() -> None:
    told = {**rules_of(column(FLIGHT)), **rules_of(column(INCIDENT, use=UsedFor.WORK))}
    assert set(told) == {rule.name for rule in FLIGHT_RULES}
    assert len(told) == 49


@pytest.mark.parametrize(
    ("text", "use", "expected"),
    [
        (FLIGHT, None, ["work", "recreation"]),
        (FLIGHT + NOT_FOR_FUN, None, ["work"]),
        (FLIGHT + NOT_FOR_FUN, UsedFor.RECREATION, ["work"]),
        (FLIGHT + ALL_FOR_FUN, None, ["recreation"]),
        (FLIGHT, UsedFor.WORK, ["work"]),
        (FLIGHT, UsedFor.RECREATION, ["recreation"]),
        (FLIGHT + 'flown_for = "recreation"\n', UsedFor.WORK, ["recreation"]),
        (FLIGHT + '[aircraft]\nused_for = "work"\n', None, ["work"]),
        (FLIGHT + ALL_FOR_FUN + '[aircraft]\nused_for = "work"\n', None, ["recreation"]),
        (FLIGHT + '[aircraft]\nused_for = "work and recreation"\n', None, ["work", "recreation"]),
        (INCIDENT + '[aircraft]\nused_for = "recreation"\n', None, ["recreation"]),
        (INCIDENT, None, ["work", "recreation"]),
    ],
)
def test_the_use_it_is_judged_for(text: str, use: UsedFor | None, expected: list[str]) -> None:
    assert uses(text, use) == expected


def test_recreation_that_breaks_a_condition_is_judged_for_work_too() -> None:
    high = "[flight]\nheight_agl_ft = 401\n" + ALL_FOR_FUN
    assert uses(high) == ["work", "recreation"]
    recreation = asked(high).events[0].columns[1]
    assert rules_of(recreation)["recreational_exception"] is Verdict.NOT_MET
    assert recreation.whole is Whole.NOT_MET


def test_an_open_use_decides_only_what_both_uses_have_alike() -> None:
    assert asked(FLIGHT).events[0].verdict is Verdict.UNKNOWN
    over_fire = "[flight]\nheight_agl_ft = 90\n[site]\nnotice_covers = true\nnotice_authorized = false\n"
    assert asked(over_fire).events[0].verdict is Verdict.NOT_MET


@pytest.mark.parametrize(
    ("height", "verdict"), [("400", Verdict.MET), ("400.1", Verdict.NOT_MET), ("401", Verdict.NOT_MET)]
)
def test_both_sides_of_a_limit(height: str, verdict: Verdict) -> None:
    """14 CFR 107.51(b): 400 feet above ground level."""
    one = column(f"[flight]\nheight_agl_ft = {height}\n")
    assert rules_of(one)["height_limit"] is verdict
    assert one.whole is (Whole.NOT_MET if verdict is Verdict.NOT_MET else Whole.CANT_TELL)


def test_a_question_beside_the_flight_stands_in_no_flights_way() -> None:
    one = column(FLIGHT + 'waiver_wanted = "another section"\n')
    assert rules_of(one)["waiver_possible"] is Verdict.NOT_MET
    assert one.whole is Whole.CANT_TELL
    assert not {name for need in one.missing for name in need.rules} & set(QUESTIONS_OF_A_FLIGHT)


def test_what_most_rules_wait_for_is_asked_first() -> None:
    one = column(FLIGHT)
    waits = [len(need.rules) for need in one.missing]
    assert waits == sorted(waits, reverse=True)
    first = one.missing[0]
    assert first.question.settles[0][1].name == "flight_aircraft"
    assert first.rules == (
        *("remote_id_in_sight", "standard_remote_id_not_disabled", "registration_at_hand"),
    )
    ring = next(need for need in one.missing if need.rules == ("dc_inner_ring", "dc_outer_ring"))
    assert ring.question.settles[0][1].name == "washington_distance_mi"
    assert ring.question.hint == "a number, in miles"
    later = {used.key.name for used in one.later}
    assert "id_at_hand" in later
    assert not later & {need.question.settles[0][1].name for need in one.missing}


def test_the_aircraft_and_the_pilot_stand_in_its_way_too() -> None:
    unregistered = FLIGHT + '[aircraft]\nused_for = "work"\ntakeoff_weight = "900 g"\nis_registered = false\n'
    one = column(unregistered)
    assert "must_be_registered" in {f.rule.name for f in one.beside if f.verdict is Verdict.NOT_MET}
    assert one.whole is Whole.NOT_MET
    no_card = column(FLIGHT + "[pilot]\nhas_certificate = false\n")
    assert {f.rule.name for f in no_card.beside if f.verdict is Verdict.NOT_MET} == {"certificate_held"}


def test_night_training_counts_where_the_flight_may_be_at_night() -> None:
    trained = '[pilot]\nhas_certificate = true\n[training]\nevent_kind = "initial test"\ncompleted_on = 2021-03-01\n'
    by_day = 'evening_twilight_end_on = "2026-11-25T17:30:00-06:00"\nmorning_twilight_on = "2026-11-25T06:20:00-06:00"\n'
    noon, late = (datetime.fromisoformat(f"2026-11-25T{hour}:00-06:00") for hour in ("12:00", "21:00"))
    names = {
        on: {f.rule.name for f in column(f"{FLIGHT}[site]\n{by_day}{trained}", on).beside}
        for on in (noon, late)
    }
    assert "night_eligible" not in names[noon]
    assert "night_eligible" in names[late]


def test_a_flight_of_which_only_the_purpose_is_told_is_not_judged_beside_an_aircraft() -> None:
    purpose = "[flight]\npaid = true\n"
    assert asked(purpose + '[aircraft]\nmaker = "x"\n').events == ()
    assert len(asked(purpose).events) == 1


@pytest.mark.parametrize(
    ("more", "on", "whole", "verdict"),
    [
        (OVER_500, date(2026, 3, 15), Whole.OWED, Verdict.UNKNOWN),
        (OVER_500, date(2026, 3, 16), Whole.NOT_MET, Verdict.NOT_MET),
        (OVER_500 + "reported_on = 2026-03-15\n", date(2026, 3, 16), Whole.MET, Verdict.MET),
        (
            "repair_cost_usd = 500\nproperty_value_usd = 900\n",
            date(2026, 3, 16),
            Whole.NO_DUTY,
            Verdict.UNKNOWN,
        ),
        ("", date(2026, 3, 16), Whole.CANT_TELL, Verdict.UNKNOWN),
    ],
)
def test_an_incident(more: str, on: date, whole: Whole, verdict: Verdict) -> None:
    """14 CFR 107.9: ten calendar days; damage over 500 dollars to other property."""
    one = column(INCIDENT + more, on)
    assert (one.whole, one.verdict) == (whole, verdict)
    assert one.due_on == (date(2026, 3, 15) if whole is Whole.OWED else None)


def test_no_report_is_owed_never_reads_as_met() -> None:
    answer = asked(INCIDENT + "repair_cost_usd = 100\nproperty_value_usd = 100\n", use=UsedFor.WORK)
    assert answer.verdict is Verdict.UNKNOWN
    assert answer.events[0].columns[0].whole is Whole.NO_DUTY


def test_a_missing_fact_never_makes_a_yes() -> None:
    """A flight with everything told that rules ask; taking any fact away never leaves it better."""
    rank = (Whole.NOT_MET, Whole.CANT_TELL, Whole.OPEN, Whole.NOTHING_AGAINST)
    known = read_facts(WHOLE_FLIGHT, "facts.toml").known
    on = datetime.fromisoformat("2026-11-25T12:00:00-06:00")
    full = ask(state_of(known, on, NOW)).events[0].columns
    assert [one.whole for one in full] == [Whole.NOTHING_AGAINST]
    for left_out in known:
        rest = [item for item in known if item is not left_out]
        for one in ask(state_of(rest, on, NOW)).events[0].columns:
            assert rank.index(one.whole) <= rank.index(Whole.NOTHING_AGAINST), left_out.statement
            assert one.verdict is not Verdict.MET


def test_facts_that_changed_nothing_are_told() -> None:
    answer = asked(
        FLIGHT
        + "minutes = 20\nwithin_guidelines = true\n[crew]\nobserver_used = false\nobserver_able = true\n",
        use=UsedFor.WORK,
    )
    told = {one.key.name: one.rules for one in answer.idle}
    assert told == {"minutes": (), "within_guidelines": (), "observer_able": ("visual_observer",)}
    assert ask_json(answer)["changed_nothing"][0] == {
        "subject": "flight/flight",
        "key": "minutes",
        "rules": [],
    }


def test_facts_about_registering_that_changed_nothing_are_told_too() -> None:
    text = '[aircraft]\nmaker = "x"\nholder = "y"\nused_for = "work"\ntakeoff_weight = "900 g"\n'
    text += '[owner]\nowner_kind = "government"\n'
    assert [one.key.name for one in asked(text).idle] == ["holder"]


def test_an_event_of_the_ledger_is_asked_alone() -> None:
    told = state("[[flight]]\nid = 'a'\npaid = true\n[[flight]]\nid = 'b'\nheight_agl_ft = 500\n")
    answer = ask_event(told, "flight/b", use=UsedFor.WORK)
    assert [event.subject for event in answer.events] == ["flight/b"]
    assert answer.verdict is Verdict.NOT_MET
    with pytest.raises(UsageError, match="is too"):
        ask_event(state(FLIGHT, date(2015, 1, 1)), "flight/flight")


@pytest.mark.parametrize("name", BY_NAME)
def test_every_rule_is_asked_by_the_command_that_its_page_names(name: str) -> None:
    rule = BY_NAME[name]
    commands = asked_by(rule)
    assert commands
    for one in commands:
        assert one.command in in_words(one)
        if one.command == "airwrit today":
            assert rule in ASKED[rule.about]
        if one.tables:
            assert {TABLES[table] for table in one.tables} == {rule.about}
            assert name in _judged_with(one.tables[0])


def _judged_with(table: str) -> set[str]:
    """The rules that a file with one table has judged."""
    first = {
        "aircraft": "maker = 'x'",
        "registration": "number = 'FA00TEST01'\nissued_on = 2025-05-05",
        "owner": "owner_kind = 'trust'",
        "pilot": "role = 'x'",
        "paper": "paper_number = '1'",
        "battery": "battery_serial = 'x'",
        "flight": "height_agl_ft = 90",
        "incident": "happened_on = 2026-03-05",
    }
    told: dict[str, Any] = ask_json(asked(f"[{table}]\n{first[table]}\n"))
    ways = {row["rule"] for one in told["aircraft"] for row in one["ways"].values()}
    return ways | {row["rule"] for row in told["findings"]}


def test_a_standing_asks_what_its_rules_say() -> None:
    """Outside the law files: the standing of a state with one subject of each kind."""
    text = "[aircraft]\nmaker = 'x'\n[owner]\nowner_kind = 'trust'\n[pilot]\nrole = 'x'\n[paper]\npaper_number = '1'\n"
    text += "[battery]\nbattery_serial = 'x'\n"
    text += "[registration]\nnumber = 'FA00TEST01'\nissued_on = 2025-05-05\n"
    found = {f.rule.name for f in standing(state(text), DAY, NOW).report.findings}
    named = {
        rule.name
        for rule in BY_NAME.values()
        if any(one.command == "airwrit today" for one in asked_by(rule))
    }
    assert found - {"weight_exemption"} == named
    assert not {rule.name for rule in WAYS.values()} & named


def test_the_words_of_every_whole() -> None:
    words = event_words()
    for kind in ("flight", "incident"):
        told = set(words[kind]) - {"not_checked"}
        assert told <= {one.value for one in Whole}
    assert set(words["flight"]) | {"owed"} == {one.value for one in Whole} | {"not_checked"}
    assert set(words["incident"]) | {"nothing_against"} == {one.value for one in Whole} | {"not_checked"}


_EVENT_ANSWERS = [
    pytest.param(story, answer, id=answer.name)
    for story, answer in told_in_stories()
    if answer.subject.partition("/")[0] in ("flight", "incident")
    and answer.rule in {r.name for r in FLIGHT_RULES}
]


@pytest.mark.parametrize(("story", "answer"), _EVENT_ANSWERS)
def test_the_command_gives_every_story_its_answer(story: Any, answer: Any) -> None:
    """The law told as cases: what a rule finds alone, `ask` finds too, under the use of the story."""
    found = ask_event(story.state(answer.on), answer.subject, use=answer.use)
    verdicts = {
        finding.verdict
        for one in found.events[0].columns
        for finding in one.rules
        if finding.rule.name == answer.rule and one.use is answer.use
    }
    declared = [one.use for one in found.events[0].columns]
    assert verdicts == {answer.verdict} or answer.use not in declared


def test_decimals_come_through() -> None:
    told = ask_json(asked("[flight]\nheight_agl_ft = 90.5\n", use=UsedFor.WORK))
    rows = {row["rule"]: row for row in told["events"][0]["columns"][0]["rules"]}
    assert Decimal(rows["height_limit"]["used"]["height_agl_ft"]) == Decimal("90.5")
    assert told["events"][0]["columns"][0]["headline_code"] == "cant_tell"
