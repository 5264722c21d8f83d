"""Less knowledge never gives a better verdict: over every story, and over random facts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.standing.report import Report
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Problem
from airwrit.law.contradictions import settled
from airwrit.law.rule import USES, Finding, judge, no_duty
from airwrit.law.rulebook import BY_NAME, RULES
from tests.properties.lessening import How, gained, gains, groups_of, lessened, looked_at
from tests.properties.statements import KNOWN_AT, days, facts, facts_of_a_pair
from tests.stories.story import Story, found, stories

STORIES = pytest.mark.parametrize("story", stories(), ids=lambda story: story.id)
DECIDED = (Verdict.MET, Verdict.NOT_MET)


def findings(state: State, like: State | None = None, day: date | None = None) -> Iterator[Finding]:
    """Every rule on every subject of its kind under both uses, by the law of the state's day or of another.

    The subjects are those of another state where one is given.
    """
    law_of = day_of(state.on) if day is None else day
    for rule in RULES:
        for subject in (like or state).subjects(rule.about):
            for use in USES:
                yield judge(rule, state, subject, use, law_of)


@STORIES
def test_a_story_with_less_is_never_met_by_that(story: Story) -> None:
    for answer in story.answers:
        finding = found(answer, story.known)
        if finding.verdict is Verdict.MET:
            continue
        groups = groups_of(looked_at(finding), 8)
        for how in How:
            assert list(gains(finding, story.known, groups, how, answer.on, answer.use)) == [], answer.name


@given(facts(), days)
def test_removing_any_fact_never_makes_anything_met(known: list[Known], on: date) -> None:
    for rule in RULES:
        for subject in ("1", "2"):
            for use in USES:
                finding = judge(rule, state_of(known, on, KNOWN_AT), f"{rule.about}/{subject}", use, on)
                if finding.verdict is not Verdict.MET:
                    each = [(fact,) for fact in looked_at(finding)]
                    assert list(gains(finding, known, each, How.TAKEN_AWAY, on, use)) == []


OWN_TEXT = ("paper_in_term", "paper_responsible_present", "renewal_asked_in_time")
"""Of an insurance policy and its like: what binds is the paper's own text, so no section of law stands behind the answer."""

OWN_WORD = ("in_service", "in_the_fleet")
"""What the program says of its own aircraft grounds it on any day, whatever law was read; it never makes a yes."""


@given(facts_of_a_pair(), days, st.sampled_from(How), st.data())
def test_less_never_makes_anything_met(known: list[Known], on: date, how: How, data: st.DataObject) -> None:
    told = sorted({(item.statement.subject, item.statement.key) for item in known})
    less = data.draw(st.sets(st.sampled_from(told), min_size=1, max_size=3))
    whole = state_of(known, on, KNOWN_AT)
    for before, after in zip(findings(whole), findings(lessened(known, less, how, on), whole), strict=True):
        assert not gained(before, whole, after, less, how), (before.rule.name, before.outcome, less, how)


@given(facts_of_a_pair(), days)
def test_nothing_rests_on_what_is_contradicted(known: list[Known], on: date) -> None:
    state = state_of(known, on, KNOWN_AT)
    against = {place for clash in settled(state, on).clashes for place in clash.places}
    if against:
        damaged = state_of(known, on, KNOWN_AT, [(subject, key.name) for subject, key in against])
        for one, other in zip(findings(state), findings(damaged, state), strict=True):
            assert one.verdict is other.verdict, (one.rule.name, one.outcome, other.outcome)


@STORIES
def test_a_verdict_rests_on_law_that_was_read(story: Story) -> None:
    for answer in story.answers:
        finding = found(answer, story.known)
        of_itself = answer.rule in OWN_WORD and finding.verdict is Verdict.NOT_MET
        assert finding.law or of_itself or finding.verdict not in DECIDED, answer.name


@given(facts(), days)
def test_every_verdict_rests_on_law_that_was_read(known: list[Known], on: date) -> None:
    for finding in findings(state_of(known, on, KNOWN_AT)):
        if finding.verdict in DECIDED and finding.rule.name not in (*OWN_TEXT, *OWN_WORD):
            assert finding.law, (finding.rule.name, finding.outcome)


@STORIES
def test_a_day_before_all_law_is_not_answered(story: Story) -> None:
    for answer in story.answers:
        rule = BY_NAME[answer.rule]
        finding = judge(rule, story.state(answer.on), answer.subject, answer.use, date(2010, 9, 30))
        of_itself = answer.rule in OWN_WORD and finding.verdict is Verdict.NOT_MET
        assert of_itself or finding.verdict not in DECIDED, answer.name
        assert answer.verdict != "met" or finding.outcome.why is Why.LAW_NOT_READ, answer.name


@given(facts(), days)
def test_no_day_before_part_48_is_answered(known: list[Known], on: date) -> None:
    state = state_of(known, on, KNOWN_AT)
    for finding in findings(state, day=date(2010, 9, 30)):
        if finding.rule.name in OWN_WORD:
            assert finding.verdict is not Verdict.MET, finding.outcome
        elif finding.law or finding.rule.name not in OWN_TEXT:
            assert finding.verdict not in DECIDED, (finding.rule.name, finding.outcome)
    for finding in findings(state, day=date(2015, 12, 20)):
        if finding.rule.name in OWN_WORD:
            assert finding.verdict is not Verdict.MET, finding.outcome
            continue
        if not finding.law and finding.rule.name in OWN_TEXT:
            continue
        part_47_alone = finding.rule.name in (
            "registration_in_term",
            "renewal_window",
            "stated_expiry_agrees",
        )
        assert finding.verdict not in DECIDED or part_47_alone, (finding.rule.name, finding.outcome)


@given(facts(), days)
def test_a_finding_without_a_use_is_the_same_under_every_use(known: list[Known], on: date) -> None:
    state = state_of(known, on, KNOWN_AT)
    for rule in RULES:
        for subject in state.subjects(rule.about):
            work, recreation = (judge(rule, state, subject, use, on) for use in USES)
            if work.use is None:
                assert work == recreation


@given(facts(), days)
def test_a_finding_holds_codes_and_reasons_and_no_prose(known: list[Known], on: date) -> None:
    for finding in findings(state_of(known, on, KNOWN_AT)):
        assert re.fullmatch("[a-z0-9_]+", finding.outcome.code)
        assert (finding.outcome.why is None) == (finding.verdict is not Verdict.UNKNOWN)


@given(facts(), days, st.integers(0, 23))
def test_what_is_decided_of_a_day_holds_at_its_every_hour(known: list[Known], on: date, hour: int) -> None:
    instant = datetime(on.year, on.month, on.day, hour, 30, tzinfo=UTC)
    day, moment = state_of(known, on, KNOWN_AT), state_of(known, instant, KNOWN_AT)
    for whole, part in zip(findings(day), findings(moment), strict=True):
        if whole.verdict in DECIDED:
            assert part.verdict is whole.verdict, (whole.rule.name, whole.outcome, part.outcome)


@given(facts().flatmap(lambda known: st.tuples(st.just(known), st.permutations(known))), days)
def test_the_order_of_facts_never_matters(both: tuple[list[Known], list[Known]], on: date) -> None:
    one, other = (
        {(f.rule.name, f.subject, f.use): f.verdict for f in findings(state_of(known, on, KNOWN_AT))}
        for known in both
    )
    assert one == other


def report(*given_: Finding, asked: tuple[tuple[str, str], ...] = (), unread: bool = False) -> Report:
    """A report of these findings."""
    state = state_of([], date(2026, 11, 24), KNOWN_AT)
    problems = (Problem("row 7", "it could not be read", "mend it", unread=True),) if unread else ()
    return Report("standing", state, asked, given_, problems, ())


def test_a_report_of_nothing_is_unknown() -> None:
    assert report().verdict is Verdict.UNKNOWN


def test_a_report_is_met_only_when_all_that_is_owed_is() -> None:
    rule, state = BY_NAME["owner_eligible"], state_of([], date(2026, 11, 24), KNOWN_AT)
    gap = judge(rule, state, "owner/O", UsedFor.WORK, date(2026, 11, 24))
    met = gap._replace(outcome=gap.outcome._replace(verdict=Verdict.MET))
    nothing = gap._replace(outcome=no_duty("not_foreign"))
    assert report(met).verdict is Verdict.MET
    assert report(nothing).verdict is Verdict.UNKNOWN
    assert report(met, gap).verdict is Verdict.UNKNOWN
    assert report(met, asked=(("owner_eligible", "owner/P"),)).verdict is Verdict.UNKNOWN
    assert report(met, unread=True).verdict is Verdict.UNKNOWN
