"""Each act states what it changes, from its day on, and closes what ends; an act that cannot be is refused."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.acts.act import Act
from airwrit.answers.acts.catalog import ACTS, act_named, deed_of, fields_shown, subjects_named
from airwrit.base.days import EARLIEST
from airwrit.base.errors import AirwritError, BadFact, UsageError
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.vocabulary import KEYS, TABLES, kind_of
from tests.unit.answers.act_cases import CASES, H1, H2, ON, R1, R2, Case
from tests.unit.answers.program import (
    EVENT,
    FIRM,
    KNOWN,
    ONE,
    SERIAL,
    TWO,
    after,
    done,
    held,
    planned,
    said,
)
from tests.unit.answers.told import KNOWN_AT

_AFTER_ANOTHER = {
    "find",
    "give_back",
    "fly_check",
    "return_to_service",
    "check_battery",
    "damage_battery",
    "clear_battery",
    "pair_battery",
    "service_battery",
    "ship_battery",
    "receive_battery",
    "retire_battery",
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.act}-{len(case.told)}")
def test_an_act_states_what_it_changes_from_its_day_on(case: Case) -> None:
    deed = case.deed()
    assert said(deed) == case.states
    assert {(one.valid_from, one.valid_until) for one in deed.statements} == {(EVENT, None)}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.act}-{len(case.told)}")
def test_the_past_stays_as_it_was(case: Case) -> None:
    deed, day = case.deed(), date(2026, 11, 19)
    before, later = (state_of(known, day, KNOWN_AT).held for known in (KNOWN, after(deed)))
    assert {subject: facts for subject, facts in later.items() if facts} == {
        s: f for s, f in before.items() if f
    }


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.act}-{len(case.told)}")
def test_the_same_act_twice_says_nothing_new(case: Case) -> None:
    deed = case.deed()
    again = planned(deed, held(deed)).taking
    assert again.is_empty
    assert not [one for one in again.contradictions if one.new]


def test_every_act_is_tried_here() -> None:
    assert {case.act for case in CASES} | _AFTER_ANOTHER == {act.name for act in ACTS}
    assert len({act.name for act in ACTS}) == len(ACTS)


def test_a_lost_aircraft_is_found() -> None:
    lost = done("lose", "H-01")
    found = done("find", "H-01", date(2026, 11, 22), after(lost), holder="Bob")
    assert said(found) == {(H1, "lost_on", None), (H1, "holder", "Bob")}
    with pytest.raises(UsageError, match=r"was lost on 2026-11-20."):
        done("find", "H-01")


def test_what_was_lent_is_given_back() -> None:
    lent = done("lend", "H-01", to="Ola", back_on="2026-12-01")
    back = done("give_back", "H-01", date(2026, 12, 1), after(lent))
    assert said(back) == {(H1, "holder", None), (H1, "held_under", None), (H1, "back_on", None)}
    with pytest.raises(UsageError, match="on loan or leased"):
        done("give_back", "H-01")


def test_a_sold_aircraft_bought_back_can_be_sold_again() -> None:
    sold = done("sell", "H-01")
    bought = done("buy", "H-01", date(2026, 11, 22), after(sold), owner=FIRM)
    assert (H1, "sold_on", None) in said(bought)
    again = done("sell", "H-01", date(2026, 11, 24), after(sold, bought))
    assert [one.value for one in again.statements if one.key == "sold_on"] == ["2026-11-24"]


@pytest.mark.parametrize("other", [date(2026, 11, 10), date(2026, 11, 24)], ids=["earlier", "later"])
def test_two_days_of_one_sale_are_kept_as_said_and_contradict(other: date) -> None:
    first = done("sell", "H-01")
    second = done("sell", "H-01", other, after(first))
    taking = planned(second, held(first)).taking
    (clash,) = [one for one in taking.contradictions if one.key == "sold_on"]
    assert clash.on == max(EVENT, other)
    assert {value for value, _ in clash.said} == {ON, other.isoformat()}


def test_an_act_corrects_the_last_such_act() -> None:
    book = held(done("sell", "H-01", to="Ola"))
    plan = planned(done("sell", "H-01", date(2026, 11, 10)), book, corrects=True)
    (draft,) = plan.taking.drafts
    assert draft.act == "sell"
    assert len(draft.answers) == 3
    assert {(one.key, one.value, str(one.valid_from)) for one in draft.statements} == {
        ("sold_on", "2026-11-10", "2026-11-10"),
        ("owner", None, "2026-11-10"),
        ("holder", None, "2026-11-10"),
    }
    assert plan.taking.contradictions == ()
    with pytest.raises(UsageError, match="has no 'lose' on record to correct"):
        planned(done("lose", "H-01"), book, corrects=True)


def test_a_corrected_act_is_worked_out_as_if_the_first_had_not_been_said() -> None:
    first = done("move_module", "H-01", to="H-02", filed="yes")
    plan = planned(first, held(first), corrects=True, to="H-02")
    (draft,) = plan.taking.drafts
    stated = {(one.subject, one.key, one.value) for one in draft.statements if one.valid_until != EARLIEST}
    assert stated == set()
    assert {(one.subject, one.key) for one in draft.statements} == {
        (H1, "listed_serial"),
        (H2, "listed_serial"),
        (R1, "change_filed_on"),
        (R2, "change_filed_on"),
        (f"change/Remote ID serial for H-01 of {ONE}, {ON}", "filed_on"),
        (f"change/Remote ID serial for H-02 of {TWO}, {ON}", "filed_on"),
    }


def test_a_filing_is_kept_with_each_change_that_it_tells() -> None:
    leaving = done("change_representative", FIRM, to="Ann")
    plan = planned(done("file_change", ONE), held(leaving))
    (draft,) = plan.taking.drafts
    told = {(one.subject, one.key, one.value) for one in draft.statements}
    assert told == {
        (R1, "change_filed_on", ON),
        (f"change/representative of {ONE}, {ON}", "filed_on", ON),
    }


def test_one_act_is_one_entry() -> None:
    for case in CASES:
        taking = planned(case.deed(), held()).taking
        (draft,) = taking.drafts
        assert (draft.by, draft.act, draft.note) == ("ada", case.act, "a word")


def test_a_new_part_ends_the_weighing_of_the_whole_once() -> None:
    on = done("change_equipment", "H-01", part_on="guards")
    assert (H1, "takeoff_weight_g", None) in said(on)
    bare = after(on)
    assert "takeoff_weight_g" not in {
        one.key
        for one in done(
            "change_equipment", "H-01", date(2026, 11, 22), bare, part_off="H-01 guards"
        ).statements
    }


REFUSED: tuple[tuple[str, str, dict[str, Raw], str], ...] = (
    ("mark", "H-09", {"place": "outside"}, "No aircraft named 'H-09' is on file. Did you mean 'H-02'?"),
    ("mark", "H-01", {}, "'place' is missing"),
    ("mark", "H-01", {"place": "on top"}, "We can't use 'on top'"),
    ("mark", "H-01", {"palce": "outside"}, "Did you mean place?"),
    ("sell", "person/Ann", {}, "'sell' can't be recorded for person/Ann. Name a record of"),
    ("sell", "", {}, "You didn't name the aircraft."),
    ("lend", "H-01", {"to": "Ola", "back_on": "2026-11-19"}, "date 2026-11-19 is before"),
    ("confirm", "Ann", {"what": "x", "good_until_on": "2026-11-19"}, "good day 2026-11-19 is before"),
    (
        "confirm",
        "Ann",
        {"what": "x", "good_until_on": "2026-11-20", "at": "2026-11-21T10:00Z"},
        "isn't on the day of this entry, 2026-11-20.",
    ),
    (
        "confirm",
        "Ann",
        {"what": "x", "good_until_on": "2026-11-20", "at": "2026-11-20T10:00"},
        "We can't use",
    ),
    ("register", "H-02", {"number": "FA00TEST03"}, "what kind of registration FA00TEST03 is."),
    (
        "register",
        "H-02",
        {"number": "FA00TEST03", "kind": "Part 47", "expires_on": "2026-11-20"},
        "would expire 2026-11-20,",
    ),
    ("renew", ONE, {"expires_on": "2026-11-20"}, "would expire 2026-11-20,"),
    ("move_module", "H-02", {"to": "H-01"}, "module is on file for aircraft/H-02"),
    ("move_module", "H-01", {"to": "H-01"}, "on that aircraft. Enter"),
    ("change_equipment", "H-01", {}, "say what changed."),
    ("change_equipment", "H-02", {"part_off": "H-01 lamp"}, "was on aircraft/H-02"),
    ("change_role", "Ann", {"role": ""}, "say what changed."),
    ("change_representative", "Ola", {"to": "Ann"}, "No owner named 'Ola' is on file."),
    ("change_representative", FIRM, {"to": "Bob"}, "All of this is already"),
    ("file_change", ONE, {"aircraft": "H-01"}, "Enter both aircraft= and listed_serial=."),
    ("hand_over", "W-1", {"to": "Nobody"}, "No person named 'Nobody' is on file."),
    ("move_house", "Ann", {"told": "perhaps"}, "Answer yes or no."),
)


@pytest.mark.parametrize(("act", "subject", "told", "message"), REFUSED)
def test_an_act_that_cannot_be_is_refused(act: str, subject: str, told: dict[str, Raw], message: str) -> None:
    with pytest.raises(AirwritError) as refused:
        deed_of(act_named(act), subject, told, EVENT, KNOWN)
    assert message in str(refused.value)


def test_a_mark_needs_a_number() -> None:
    bought = done("buy", "H-03", owner=FIRM)
    with pytest.raises(UsageError, match="No registration number is on file"):
        done("mark", "H-03", known=after(bought), place="outside")
    assert done("mark", "H-03", known=after(bought), place="outside", text="FA00TEST03").statements


def test_a_part_47_renewal_tells_its_expiry() -> None:
    known = after(done("register", "H-02", number="N-x", kind="Part 47"))
    with pytest.raises(UsageError, match="Enter expires_on= as printed"):
        done("renew", "N-x", date(2026, 11, 22), known)
    renewed = done("renew", "N-x", date(2026, 11, 22), known, expires_on="2040-01-31")
    assert ("registration/N-x", "issued_on", None) in said(renewed)


@pytest.mark.parametrize("day", [date(1979, 12, 31), date(2100, 1, 1)])
def test_a_day_without_sense_is_refused(day: date) -> None:
    with pytest.raises(UsageError, match="a date from"):
        done("sell", "H-01", day)


@pytest.mark.parametrize("day", [date(1980, 1, 1), date(2099, 12, 31)])
def test_the_first_and_the_last_day_are_taken(day: date) -> None:
    assert done("sell", "H-01", day).on == day


def test_an_act_is_found_by_its_name() -> None:
    assert act_named("move-module") is act_named("move_module")
    with pytest.raises(UsageError, match=r"Did you mean sell\?"):
        act_named("sel")
    with pytest.raises(UsageError, match="--acts"):
        act_named("xyzzy")


def test_names_are_found_in_any_case_and_spacing() -> None:
    assert done("sell", "aircraft/h-01").subject == H1
    assert done("hand_over", "w-1", to="ann").told["to"] == "Ann"


def test_new_subjects_are_told() -> None:
    assert done("buy", "H-03", owner="Ola").new == ("aircraft/H-03", "owner/Ola")
    assert done("buy", "H-01", owner=FIRM).new == ()


def test_a_form_gets_choices_and_what_it_may_fill_in() -> None:
    state = state_of(KNOWN, EVENT, KNOWN_AT)
    shown = {one.field.name: one for one in fields_shown(act_named("register"), state, H1)}
    assert FIRM in shown["registered_to"].choices
    assert shown["registered_to"].suggestion == FIRM
    assert shown["listed_serial"].suggestion == SERIAL
    assert shown["kind"].choices == ("Part 48 per aircraft", "Part 48 recreational", "Part 47")
    assert shown["number"].suggestion is None
    assert subjects_named(state, "person") == ["Ann", "Bob"]


@pytest.mark.parametrize("act", ACTS, ids=lambda act: act.name)
def test_an_act_can_be_made_a_form_of(act: Act) -> None:
    assert act.name.isidentifier()
    assert act.about in TABLES.values()
    assert act.meaning
    names = [field.name for field in act.fields]
    assert len(set(names)) == len(names)
    for field in act.fields:
        assert field.asks.endswith("?")
        assert field.key is None or not field.key.private
        assert not field.names or field.names in TABLES.values()


def test_no_act_states_a_private_fact() -> None:
    for case in CASES:
        assert not [key for _, key, _ in case.states if KEYS[key].private]
        assert all(TABLES[KEYS[key].table] == kind_of(subject) for subject, key, _ in case.states)


def test_a_value_of_the_wrong_kind_names_its_field() -> None:
    with pytest.raises(BadFact, match=r"takeoff_weight_g. Write a"):
        deed_of(act_named("change_equipment"), "H-01", {"takeoff_weight_g": "heavy"}, EVENT, KNOWN)
