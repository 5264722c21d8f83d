"""What is read by the make of sheets and not by words of one: days under yes or no, short forms, blanks, odd numbers, cards."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.facts.keys.service import NOT_UNDERSTOOD
from airwrit.intake.meaning.lexicon import whole_lexicon
from airwrit.intake.sheets import Answers, Intake, read_given

READ_ON = date(2026, 12, 1)
FLEET = "Drone,FAA number,RID serial,{}\nFern 1,FA00TEST01,ZZ9Z3A0001,{}\nFern 2,FA00TEST02,ZZ9Z3A0002,{}\n"


def taken(text: str) -> Intake:
    """A text as a sheet, read on the day of the tests."""
    return read_given([("fleet.csv", text.encode())], Answers(read_on=READ_ON))


def values_of(intake: Intake, key: str) -> dict[str, object]:
    """What is said of a fact, by subject."""
    return {
        item.statement.subject: item.statement.value for item in intake.known if item.statement.key == key
    }


def held(intake: Intake) -> dict[str, object]:
    """The texts that hold an aircraft."""
    return values_of(intake, NOT_UNDERSTOOD.name)


@pytest.mark.parametrize(
    ("heading", "key"),
    [("Registered", "issued_on"), ("Sold", "sold_on"), ("Lost", "lost_on"), ("Destroyed", "destroyed_on")],
)
def test_a_day_under_a_yes_or_no_is_the_day_it_was_done(heading: str, key: str) -> None:
    intake = taken(FLEET.format(heading, "2025-03-03", "2025-04-04"))
    assert set(values_of(intake, key).values()) == {"2025-03-03", "2025-04-04"}
    assert not values_of(intake, "is_registered") or set(values_of(intake, "is_registered").values()) == {
        True
    }


@pytest.mark.parametrize("heading", ["Marked", "Listed", "Retired"])
def test_a_day_that_no_fact_has_is_asked_about(heading: str) -> None:
    intake = taken(FLEET.format(heading, "2025-03-03", "2025-04-04"))
    assert [column.heading for column in intake.columns if column.why] == [heading]
    assert set(held(intake)) == {"aircraft/Fern 1", "aircraft/Fern 2"}


def test_days_to_come_are_no_days_of_issue() -> None:
    intake = taken(FLEET.format("Registered", "2028-03-03", "2028-04-04"))
    assert not values_of(intake, "issued_on")
    assert [column.heading for column in intake.columns if column.why] == ["Registered"]


@pytest.mark.parametrize(
    ("short", "whole"),
    [("Nbr", "number"), ("Mkg", "marking"), ("Recurr", "recurrent"), ("Acptd", "accepted"), ("Lbl", "label")],
)
def test_a_short_form_is_known_by_its_letters(short: str, whole: str) -> None:
    lexicon = whole_lexicon()
    assert lexicon.heard(short).concepts == lexicon.heard(whole).concepts != frozenset()


@pytest.mark.parametrize("word", ["QMT", "Xyz", "Gab", "jq"])
def test_other_letters_stay_unknown(word: str) -> None:
    assert whole_lexicon().heard(word).unknown == (word.lower(),)


def test_articles_make_no_difference() -> None:
    lexicon = whole_lexicon()
    assert lexicon.heard("number on the drone").concepts == lexicon.heard("number on drone").concepts


STATES = "Drone,FAA number,Status\n" + "".join(
    f"Fern {at},FA00TEST0{at},{state}\n" for at, state in enumerate(("ok", "ok", "", "down"))
)


def test_a_blank_state_among_told_ones_holds_its_row() -> None:
    assert held(taken(STATES)) == {"aircraft/Fern 2": "Status: nothing is written"}


def test_blank_states_among_blank_ones_do_not() -> None:
    assert held(taken(STATES.replace(",ok", ",").replace(",down", ","))) == {}


def test_a_number_shorter_than_all_others_is_doubted() -> None:
    numbers = ["FA00TEST01", "FA00TEST02", "FA00TEST3", "FA00TEST04", "FA00TEST05"]
    text = "Drone,FAA number\n" + "".join(f"Fern {at},{number}\n" for at, number in enumerate(numbers))
    assert held(taken(text)) == {"aircraft/Fern 2": "FAA number: FA00TEST3"}
    assert held(taken(text.replace("TEST3", "TEST03"))) == {}


def test_the_last_word_of_a_card_is_its_value() -> None:
    card = "Airframe,Fern 1\nFAA no.,FA00TEST01\nRID s/n,ZZ9Z3A0001\nFlight mass,1.85 kg\nState today,stripped for parts\n"
    intake = taken(card)
    assert values_of(intake, "service_status") == {"aircraft/Fern 1": "retired"}


def test_a_list_of_codes_below_is_no_row_of_the_table() -> None:
    rows = "".join(f"Fern {at},FA00TEST0{at},{code}\n" for at, code in enumerate("AWDAAWDA"))
    intake = taken(f"Drone,FAA number,Code\n{rows},,\nA,available,\nW,in workshop,\nD,disposed of,\n")
    states = values_of(intake, "service_status")
    assert sorted(states) == [f"aircraft/Fern {at}" for at in range(8)]
    assert states["aircraft/Fern 1"] == "out of service"
    assert states["aircraft/Fern 2"] == "retired"


def test_boats_among_drones_are_no_aircraft() -> None:
    intake = taken(
        "Asset,Sort,FAA number,RID serial\n"
        "Tern,drone,FA00TEST01,ZZ9Z3A0001\nCoot,work boat,,\nSkua,drone,FA00TEST02,ZZ9Z3A0002\n"
    )
    assert {
        item.statement.subject for item in intake.known if item.statement.subject.startswith("aircraft/")
    } == {
        "aircraft/Tern",
        "aircraft/Skua",
    }


def test_an_inspection_to_come_makes_no_person_of_an_aircraft() -> None:
    intake = taken(
        "Call name,FAA #,RID #,# outside,Insp. last,Insp. next\n"
        "Ember,FA00TEST01,ZZ9Z3A0001,Y,2026-09-01,2027-03-01\nAsh,FA00TEST02,ZZ9Z3A0002,Y,2026-09-02,2027-03-02\n"
    )
    assert not [item for item in intake.known if item.statement.subject.startswith("person/")]
    assert values_of(intake, "inspection_due_on") == {
        "aircraft/Ember": "2027-03-01",
        "aircraft/Ash": "2027-03-02",
    }
