"""Random answers: no crash, no way whose rules are not met, no question that could not change the answer."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.asking.ask import ask
from airwrit.answers.asking.dialogue import AIRCRAFT, Dialogue, next_question
from airwrit.answers.asking.json import ask_json
from airwrit.answers.asking.questions import Prompt, answered
from airwrit.answers.registration.way import use_judged, ways_of
from airwrit.answers.standing.standing import contradictions
from airwrit.base.days import day_of
from airwrit.base.errors import BadFact
from airwrit.base.verdict import Verdict
from airwrit.facts.state import State
from airwrit.law.holder.ways import RegistrationWay
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rule import Finding, judge
from airwrit.law.rulebook import BY_NAME, RULES
from tests.properties.test_words import some_state
from tests.stories.story import Story, stories

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
MOST_QUESTIONS = 40
SAID: tuple[str, ...] = (
    "yes",
    "no",
    "?",
    "none",
    "1",
    "2",
    "3",
    "5 6",
    "249 g",
    "900 g",
    "200 g + 30 g ± 1 g",
    "60 lb",
    "0.2 g",
)
SAID += (
    "80 %",
    "1/2",
    "2026-01-10",
    "2027-03-01",
    "FA00TEST01",
    "person",
    "corporation",
    "trust",
    "standard",
)
DAYS = st.sampled_from(
    [date(2016, 3, 1), date(2017, 8, 1), date(2021, 4, 20), date(2021, 4, 21), date(2026, 11, 25)]
)


def fitting(question: Prompt, dice: st.DataObject) -> str:
    """An answer drawn for a question: mostly one it can take."""
    places = [str(place) for place, _ in enumerate(question.choices, 1)]
    said: str = dice.draw(st.sampled_from([*SAID, *places * 5]))
    return said


def undecided(state: State) -> list[Finding]:
    """What the rules of the ways, of the aircraft and of the flight's purpose leave open, or close on silence."""
    day, use = day_of(state.on), use_judged(state, AIRCRAFT)
    ways = list(ways_of(state, AIRCRAFT).findings.values())
    rules = [rule for rule in RULES if rule.about == "aircraft"]
    duties = [judge(rule, state, AIRCRAFT, use, day) for rule in rules]
    purpose = judge(BY_NAME["recreational_purpose"], state, "flight/flight", use, day)
    return [*ways, *duties, purpose]


def could_change(question: Prompt, dialogue: Dialogue) -> bool:
    """Whether an open finding looked for what is asked, or a closed look passed over it in silence."""
    state = dialogue.state()
    stated = dialogue.stated()
    asked = set(question.settles)
    for finding in (*undecided(state), *undecided(stated)):
        for subject, key, closed in finding.looks:
            silent = closed and key not in state.held.get(subject, {})
            if (subject, key) in asked and (finding.verdict is Verdict.UNKNOWN or silent):
                return True
    return any(key.name in ("holds_as", "operated_under") for _, key in asked)


@given(st.data(), DAYS)
def test_random_answers(dice: st.DataObject, day: date) -> None:
    dialogue = Dialogue(day, NOW)
    seen: set[str] = set()
    for _ in range(MOST_QUESTIONS):
        question = next_question(dialogue)
        if question is None:
            break
        assert question.name not in seen, question.name
        assert could_change(question, dialogue), question.name
        try:
            reply = answered(question, fitting(question, dice), NOW.date())
        except BadFact:
            continue
        seen.add(question.name)
        dialogue = dialogue.with_answer(reply)
        assert next_question(dialogue.back()) == question
    check_end(dialogue)


def check_end(dialogue: Dialogue) -> None:
    """The answer can be made, and its way is one whose rule is met, with every way before it shut."""
    state, problems = contradictions(dialogue.state(), NOW.date())
    answer = ask(state, problems)
    one = answer.aircraft[0]
    assert ask_json(answer)["aircraft"][0]["title"] == one.title
    decision = one.ways.decision
    if decision.verdict is Verdict.MET:
        assert one.way is not None
        assert one.ways.findings[one.way].verdict is Verdict.MET
        before = list(RegistrationWay)[: list(RegistrationWay).index(one.way)]
        assert all(one.ways.findings[way].verdict is Verdict.NOT_MET for way in before)
    if answer.verdict is Verdict.MET:
        assert decision.verdict is Verdict.MET


@pytest.mark.parametrize("story", stories(), ids=lambda story: story.id)
def test_every_story_can_be_asked(story: Story) -> None:
    held, problems = contradictions(story.state(story.answers[0].on), NOW.date())
    told = ask_json(ask(held, problems))
    assert len(told["aircraft"]) == len(held.subjects("aircraft"))


def test_random_facts_get_an_answer() -> None:
    dice = random.Random(5)
    for _ in range(40):
        state = some_state(dice)
        if day_of(state.on) >= FIRST_DAY:
            held, problems = contradictions(state, NOW.date())
            assert ask_json(ask(held, problems))["question"] == "ask"


@given(st.data())
def test_not_knowing_one_thing_more_opens_no_way(dice: st.DataObject) -> None:
    """Any one answer turned into not knowing never makes a way open that was not."""
    dialogue = Dialogue(date(2026, 11, 25), NOW)
    for _ in range(MOST_QUESTIONS):
        question = next_question(dialogue)
        if question is None:
            break
        try:
            reply = answered(question, fitting(question, dice), NOW.date())
        except BadFact:
            continue
        unsure = dialogue.with_answer(answered(question, "?", NOW.date())).ways()
        sure = dialogue.ways()
        for way, finding in unsure.findings.items():
            if finding.verdict is Verdict.MET:
                assert sure.findings[way].verdict is Verdict.MET
        dialogue = dialogue.with_answer(reply)
