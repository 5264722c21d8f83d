"""Random acts on random facts: refused with a word or kept; the past stays; saying it again adds nothing; no yes by silence."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.acts.act import ActField
from airwrit.answers.acts.catalog import ACTS, ActRequest
from airwrit.answers.acts.plan import ActPlan, all_known, before_of, effects_of, held_with, plan_of
from airwrit.answers.sheets.difference import EVER, OnRecord
from airwrit.base.days import day_of
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known
from airwrit.law.rule import USES, judge
from airwrit.law.rulebook import RULES
from tests.properties.lessening import How, gains, looked_at
from tests.properties.statements import KNOWN_AT, NAMES, SERIALS, days, facts
from tests.unit.answers.program import FIRM, KNOWN, ONE, TWO

POOL = {
    "aircraft": ("H-01", "H-02", "1"),
    "registration": (ONE, TWO, "FA00TEST09", "1"),
    "owner": (FIRM, "Ann", "1"),
    "person": ("Ann", "Bob", "1"),
    "paper": ("W-1", "1"),
    "part": ("H-01 lamp", "1"),
    "battery": ("P-1", "1"),
    "model": ("Sarvo 4", "1"),
    "configuration": ("H-01 survey", "1"),
    "defect": ("D-1", "1"),
    "bulletin": ("B-1", "1"),
}
SOME = st.one_of(facts(most=30), facts(most=6).map(lambda more: [*KNOWN, *more]))
"""Random facts, or a program with a few random facts beside it."""


def told_of(field: ActField) -> st.SearchStrategy[Raw]:
    """What may be told of a field: good values, and now and then a bad one."""
    if field.names:
        good: st.SearchStrategy[Raw] = st.sampled_from((*POOL[field.names], "3"))
    elif field.words:
        good = st.sampled_from(field.words)
    elif field.kind is date:
        good = days.map(str)
    elif field.kind is Decimal:
        good = st.sampled_from(("200", "900.5"))
    else:
        good = st.sampled_from((*SERIALS, *NAMES))
    return st.one_of(good, good, good, st.sampled_from(("", "perhaps")))


@st.composite
def thoughts(draw: st.DrawFn) -> ActRequest:
    """A random act of a random subject."""
    act = draw(st.sampled_from(ACTS))
    fields = [field for field in act.fields if field.required or draw(st.booleans())]
    told = {field.name: draw(told_of(field)) for field in fields}
    return ActRequest(act.name, draw(st.sampled_from(POOL[act.about])), told, draw(days))


def done(book: OnRecord, thought: ActRequest) -> ActPlan | None:
    """The act worked out; None where it cannot be."""
    try:
        return plan_of(thought, book, "ada")
    except AirwritError:
        return None


def stood(known: tuple[Known, ...], on: date) -> dict[str, object]:
    """What was held on a day, by subject and key, where it came from left out."""
    state = state_of(known, on, EVER)
    return {
        f"{subject} {key.name}": (held.value, held.why)
        for subject, facts_held in state.held.items()
        for key, held in facts_held.items()
    }


@given(SOME, st.lists(thoughts(), min_size=1, max_size=4), days)
def test_acts_are_refused_or_kept_and_the_past_stays(
    known: list[Known], acts: list[ActRequest], on: date
) -> None:
    book = before_of(known)
    for thought in acts:
        plan = done(book, thought)
        if plan is None:
            continue
        eve = thought.on - timedelta(days=1)
        after = held_with(book, plan)
        assert stood(all_known(after), eve) == stood(plan.before, eve)
        assert len(plan.taking.drafts) <= 1
        again = done(after, thought) if plan.taking.drafts else plan
        assert again is None or again.taking.is_empty or again.deed.statements != plan.deed.statements
        book = after
    effects = effects_of(known, all_known(book), max(on, date(2016, 1, 1)), KNOWN_AT)
    assert day_of(effects.on) >= date(2016, 1, 1)


@given(SOME, st.lists(thoughts(), min_size=1, max_size=3), days)
def test_removing_what_an_act_said_never_makes_anything_met(
    known: list[Known], acts: list[ActRequest], on: date
) -> None:
    book = before_of(known)
    touched: set[str] = set()
    for thought in acts:
        plan = done(book, thought)
        if plan is not None:
            book = held_with(book, plan)
            touched |= {one.subject for one in plan.deed.statements}
    after = all_known(book)
    state = state_of(after, on, KNOWN_AT)
    for rule in RULES:
        for subject in sorted(touched):
            if subject.partition("/")[0] != rule.about:
                continue
            for use in USES:
                finding = judge(rule, state, subject, use, on)
                if finding.verdict is not Verdict.MET:
                    each = [(fact,) for fact in looked_at(finding)]
                    assert list(gains(finding, after, each, How.TAKEN_AWAY, on, use)) == []
