"""An answer holds for whom it is given, takes the place of what it answers, and is one entry."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from airwrit.answers.acts.answer import ALL, FieldAsked, answer_entry, field_about, field_of, whom
from airwrit.answers.acts.plan import before_of
from airwrit.answers.sheets.difference import saying_by_hand
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.days import EARLIEST
from airwrit.base.errors import BadFact
from airwrit.facts.fold import state_of
from airwrit.facts.keys.aircraft import MARK_PLACE, OWNER, REGISTRATION, TAKEOFF_WEIGHT
from airwrit.facts.keys.person import COMPLETED_ON
from airwrit.facts.statement import Known, Statement

ON, NOW = date(2026, 12, 1), datetime(2026, 12, 1, 12, tzinfo=UTC)
FLEET = [
    Known(Statement(f"aircraft/A{number}", key, value))
    for number in (1, 2)
    for key, value in (
        ("used_for", "work"),
        ("owner", "Tarn & Fell"),
        ("registration", f"FA00TEST0{number}"),
        ("is_registered", True),
    )
]


def standing_now(known: list[Known]) -> Standing:
    """How everything stands by some statements."""
    return standing(known, ON, NOW)


def asked_of(known: list[Known], fact: str) -> FieldAsked:
    """The field of a missing fact."""
    answer = standing_now(known)
    gap = next(gap for gap in answer.gaps if gap.key.name == fact)
    return field_of(gap, answer.report.state, before_of(known))


def after(known: list[Known], asked: FieldAsked, chosen: str, text: str) -> list[Known]:
    """What is known once an answer was saved; it is one entry."""
    held = before_of(known)
    entry = answer_entry(asked, whom(asked, chosen), text, held, ON)
    assert entry is not None
    taking = saying_by_hand(held, entry, "tests")
    assert len(taking.drafts) == 1
    gone = {old.number for change in taking.changes for old in change.was}
    left = [item for items in held.groups.values() for item in items if item.number not in gone]
    return [*left, *(Known(change.statement) for change in taking.changes)]


def test_one_answer_for_all_is_one_entry_and_closes_the_question() -> None:
    asked = asked_of(FLEET, MARK_PLACE.name)
    assert asked.subjects == asked.alike[ALL] == ("aircraft/A1", "aircraft/A2")
    later = standing_now(after(FLEET, asked, ALL, "outside"))
    assert not any(gap.key is MARK_PLACE for gap in later.gaps)


def test_an_answer_for_one_leaves_the_other_open() -> None:
    asked = asked_of(FLEET, MARK_PLACE.name)
    later = standing_now(after(FLEET, asked, "aircraft/A1", "outside"))
    assert next(gap for gap in later.gaps if gap.key is MARK_PLACE).subjects == ("aircraft/A2",)


@pytest.mark.parametrize("word", ["?", "don't know", "unknown", "not sure"])
def test_dont_know_saves_nothing(word: str) -> None:
    asked = asked_of(FLEET, MARK_PLACE.name)
    assert answer_entry(asked, asked.subjects, word, before_of(FLEET), ON) is None


@pytest.mark.parametrize("text", ["sideways", "", " "])
def test_what_is_no_answer_is_refused(text: str) -> None:
    with pytest.raises(BadFact):
        answer_entry(asked_of(FLEET, MARK_PLACE.name), ("aircraft/A1",), text, before_of(FLEET), ON)


def test_an_answer_for_somebody_of_whom_it_is_not_asked_is_refused() -> None:
    with pytest.raises(BadFact):
        whom(asked_of(FLEET, MARK_PLACE.name), "aircraft/B9")


def test_two_values_are_offered_and_the_answer_takes_the_place_of_both() -> None:
    known = [*FLEET, Known(Statement("aircraft/A1", OWNER.name, "Bress Valley"))]
    state, held = state_of(known, ON, NOW), before_of(known)
    asked = field_about(OWNER, "aircraft/A1", state, held)
    assert asked.choices == ("Tarn & Fell", "Bress Valley")
    later = state_of(after(known, asked, "aircraft/A1", "Bress Valley"), ON, NOW)
    assert later.held["aircraft/A1"][OWNER].value == "Bress Valley"


def test_what_was_said_of_earlier_days_stays() -> None:
    """A fact ended on a day: the answer holds from that day on, and the day before is as it was."""
    ended, past = date(2026, 6, 1), date(2026, 5, 31)
    known = [
        Known(Statement("aircraft/A1", TAKEOFF_WEIGHT.name, "1400")),
        Known(Statement("aircraft/A1", TAKEOFF_WEIGHT.name, None, ended)),
    ]
    asked = field_about(TAKEOFF_WEIGHT, "aircraft/A1", state_of(known, ON, NOW), before_of(known))
    later = after(known, asked, "aircraft/A1", "3 lb")
    assert str(state_of(later, past, NOW).held["aircraft/A1"][TAKEOFF_WEIGHT].value) == "1400"
    assert state_of(later, ON, NOW).held["aircraft/A1"][TAKEOFF_WEIGHT].value > 1360


def test_the_number_of_a_registration_says_that_there_is_one() -> None:
    asked = field_about(REGISTRATION, "aircraft/B1", state_of([], ON, NOW), before_of([]))
    entry = answer_entry(asked, ("aircraft/B1",), "FA00TEST09", before_of([]), ON)
    assert entry is not None
    assert {(one.key, one.value) for one in entry.statements} == {
        ("registration", "FA00TEST09"),
        ("is_registered", True),
    }
    assert all(one.valid_from == EARLIEST for one in entry.statements)


def test_the_day_of_a_training_becomes_an_event_of_its_person() -> None:
    asked = FieldAsked(COMPLETED_ON, ("person/Pax",), (), (), True, {})
    entry = answer_entry(asked, ("person/Pax",), "2026-03-04", before_of([]), ON)
    assert entry is not None
    assert ("event_of", "Pax") in {(one.key, one.value) for one in entry.statements}


def test_a_text_that_does_not_matter_is_released_by_its_words() -> None:
    known = [*FLEET, Known(Statement("aircraft/A1", "not_understood", "loaner?"), "f.csv cell C7")]
    asked = asked_of(known, "does_not_matter")
    assert asked.word == "loaner?"
    later = standing_now(after(known, asked, "aircraft/A1", "doesn't matter"))
    assert not any(gap.word for gap in later.gaps)
