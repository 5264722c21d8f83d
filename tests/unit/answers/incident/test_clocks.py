"""The notices still owed after incidents on record, with who and by when; one that is marked as sent leaves the list."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import count

import pytest

from airwrit.answers.incident.clocks import notice_called, owed_notices
from airwrit.answers.incident.decision import Must, decided
from airwrit.answers.incident.sending import SentTyped, marking
from airwrit.answers.sheets.difference import NOTHING_HELD
from airwrit.base.errors import AirwritError, UsageError
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.statement import Known
from airwrit.intake.typed.facts_file import read_facts

INCIDENT = "incident/crash"
FACTS = """[[incident]]
id = "crash"
happened_on = 2026-12-01
happened_time = "14:40"
incident_zone = "America/Denver"
incident_under = "Part 107"
incident_pilot = "Nela Quist"
anyone_hurt = "nobody"
damaged_property = "property apart from the aircraft"
repair_cost_usd = 1150
total_loss = false
airworthiness_certificate = false
cause = "none of these"
wreckage_kept = true
[[paper]]
id = "Liability"
paper_kind = "insurance policy"
paper_responsible = "Maris Tolland"
notice_within_hours = 24
"""
NOW = datetime(2026, 12, 1, 23, 10, tzinfo=UTC)


def state(
    text: str = FACTS, at: datetime = NOW, on: date | None = None, more: tuple[Known, ...] = ()
) -> State:
    """What a file of facts says, as of an instant or a day."""
    return state_of([*read_facts(text, "facts.toml").known, *more], on or at, at)


def told(of: State) -> list[tuple[str, str, str, str, str]]:
    """What is owed: must, the notice, who, by when, how long."""
    return [(one.must.value, one.name, one.who, one.by_when, one.left) for one in owed_notices(of)]


def sent(of: State, word: str, typed: SentTyped) -> tuple[Known, ...]:
    """The statements that marking a notice as sent would put on record."""
    named = notice_called(decided(of, INCIDENT, NOW), word)
    taking = marking(NOTHING_HELD, of, INCIDENT, (named.name, named.paper), typed, "me")
    number = count(1000)
    return tuple(Known(one, number=str(next(number))) for draft in taking.drafts for one in draft.statements)


def test_each_owed_notice_says_who_and_by_when() -> None:
    assert told(state()) == [
        ("yes", "insurance", "Maris Tolland", "Dec 2, 2026, 2:40 PM MST", "22 h 30 min left"),
        ("yes", "report_107_9", "Nela Quist", "Dec 11, 2026, 11:59 PM MST", "10 days left"),
        ("choice", "nasa_report", "Nela Quist", "Dec 11, 2026, 11:59 PM MST", "10 days left"),
    ]


def test_a_notice_marked_as_sent_leaves_the_list_and_says_so() -> None:
    known = sent(state(), "faa", SentTyped("2026-12-01 16:00", "Nela Quist", "F-118"))
    after = state(more=known)
    assert [name for _, name, *_ in told(after)] == ["insurance", "nasa_report"]
    one = next(one for one in decided(after, INCIDENT, NOW).notices if one.name == "report_107_9")
    assert one.must is Must.DONE
    assert one.says == "Sent Dec 1, 2026, 4:00 PM MST by Nela Quist. Reference F-118."


def test_a_policys_notice_is_marked_by_the_papers_name_and_says_when_it_was_late() -> None:
    later = NOW + timedelta(days=2)
    of = state(at=later)
    assert told(of)[0][:2] == ("late", "insurance")
    after = state(at=later, more=sent(of, "liability", SentTyped("2026-12-03 09:00", "Maris Tolland")))
    one = next(one for one in decided(after, INCIDENT, later).notices if one.name == "insurance")
    assert one.must is Must.DONE
    assert one.says == "Sent Dec 3, 2026, 9:00 AM MST by Maris Tolland. That was after the deadline."


def test_one_persons_safety_report_leaves_everyone_elses_open_to_them() -> None:
    after = state(more=sent(state(), "nasa", SentTyped("2026-12-01", "Nela Quist")))
    one = next(one for one in decided(after, INCIDENT, NOW).notices if one.name == "nasa_report")
    assert "Everyone else involved can still send their own report." in one.says


def test_a_call_that_the_law_leaves_open_is_owed_until_it_is_marked() -> None:
    text = FACTS.replace('cause = "none of these"', "flew_away = true")
    assert ("call", "notify_ntsb", "the operator", "immediately", "") in told(state(text))
    after = state(text, more=sent(state(text), "ntsb", SentTyped("2026-12-01 15:30", "Maris Tolland")))
    assert "notify_ntsb" not in [name for _, name, *_ in told(after)]


def test_what_cannot_be_told_for_want_of_answers_is_one_line() -> None:
    of = state(FACTS.replace('damaged_property = "property apart from the aircraft"\n', ""))
    line = next(one for one in owed_notices(of) if not one.name)
    assert (line.must, line.by_when) == (Must.CANT_TELL, "immediately")
    assert line.says == "We can't tell about: the NTSB, the FAA."


def test_a_day_alone_counts_the_clock_to_the_moment_known_on_that_day() -> None:
    assert told(state(on=date(2026, 12, 1)))[0][4] == "22 h 30 min left"
    assert told(state(on=date(2026, 12, 3)))[0][0] == "late"


def test_an_incident_still_to_come_or_without_a_day_owes_nothing() -> None:
    assert not owed_notices(state(at=NOW - timedelta(days=2)))
    assert not owed_notices(state(FACTS.replace("happened_on = 2026-12-01\n", "")))


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (SentTyped("2026-12-01 14:00", "Nela Quist"), "before the incident"),
        (SentTyped("2026-12-05", "Nela Quist"), "still to come"),
        (SentTyped("soon", "Nela Quist"), "soon"),
        (SentTyped("2026-12-01 16:00", " "), "you didn't say who"),
        (SentTyped("2026-12-01 16:00", "Nela Quist", "x" * 101), "too long"),
    ],
)
def test_what_cannot_be_marked_is_said(typed: SentTyped, says: str) -> None:
    with pytest.raises(AirwritError) as caught:
        sent(state(), "faa", typed)
    assert says in f"{caught.value.what} {caught.value.do}"


def test_a_word_that_means_no_notice_or_several_is_refused() -> None:
    two = FACTS + FACTS[FACTS.index("[[paper]]") :].replace("Liability", "Hull")
    with pytest.raises(UsageError, match="several documents"):
        sent(state(two), "insurer", SentTyped("2026-12-01", "me"))
    with pytest.raises(UsageError, match="There is no notice called"):
        sent(state(), "the press", SentTyped("2026-12-01", "me"))
