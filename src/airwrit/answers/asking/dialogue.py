"""The questions one by one: what is known from the answers so far, and the next question that can change the answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from airwrit.answers.asking.gone import what_became_of
from airwrit.answers.asking.kind import is_kind_open
from airwrit.answers.asking.questions import (
    ANY_OF,
    BECAME,
    ONLY_THIS,
    WHAT_BECAME,
    Answered,
    Prompt,
    any_of,
    only_this,
    question_of,
    what_became,
)
from airwrit.answers.asking.steps import decision_text, words
from airwrit.answers.registration.way import Ways, use_judged, ways_of
from airwrit.base.days import When, day_of
from airwrit.base.sentences import sentence
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    IS_REGISTERED,
    OPERATED_UNDER,
    OWNER,
    REGISTRATION,
    SCALE_ERROR,
    SOLD_ON,
    USED_FOR,
)
from airwrit.facts.keys.flights.flight import EDUCATIONAL, FLIGHT_AIRCRAFT
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Held, State, value_held, with_held
from airwrit.facts.statement import Known, Statement
from airwrit.law.aircraft.duty import RIGHT_KIND_FOR_USE_RULE
from airwrit.law.aircraft.filings import CANCEL_REGISTRATION_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.marking import MARKED_OUTSIDE_RULE
from airwrit.law.aircraft.remote_id import REMOTE_ID_WAY_RULE
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE
from airwrit.law.flight.other_law import OPERATING_RULES_RULE
from airwrit.law.flight.purpose import RECREATIONAL_PURPOSE_RULE
from airwrit.law.holder.owner import (
    COUNTS_AS_OWNER_RULE,
    NOTICE_OF_IDENTIFICATION_RULE,
    RECOGNITION_OF_OWNERSHIP_RULE,
    REGISTERED_TO_OWNER_RULE,
)
from airwrit.law.holder.ways import Decision, RegistrationWay
from airwrit.law.rule import Finding, judge

AIRCRAFT, OWNED_BY, FLIGHT = "aircraft/A", "owner/the true owner", "flight/flight"
_ORIGIN = "answer to: "
_FEW = 3
_GIVEN = (Statement(AIRCRAFT, OWNER.name, "the true owner"), Statement(FLIGHT, FLIGHT_AIRCRAFT.name, "A"))
_AFTER_FOREIGN = (RECOGNITION_OF_OWNERSHIP_RULE, NOTICE_OF_IDENTIFICATION_RULE, REMOTE_ID_WAY_RULE)
_AFTER_WAY = (
    MUST_BE_REGISTERED_RULE,
    REGISTRATION_IN_TERM_RULE,
    RIGHT_KIND_FOR_USE_RULE,
    REGISTERED_TO_OWNER_RULE,
)
_ON_AIRCRAFT = (MARKED_OUTSIDE_RULE, REMOTE_ID_WAY_RULE)


@dataclass(frozen=True, slots=True)
class Dialogue:
    """The answers given so far, the day asked about, and what was told before the first question."""

    on: When
    known_at: datetime
    told: tuple[Statement, ...] = ()
    given: tuple[Answered, ...] = ()

    def with_answer(self, answer: Answered) -> Dialogue:
        """The dialogue with one more answer."""
        return replace(self, given=(*self.given, answer))

    def back(self) -> Dialogue:
        """The dialogue without its last answer."""
        return replace(self, given=self.given[:-1])

    def known(self) -> tuple[Known, ...]:
        """Every statement so far."""
        answered = [Known(s, _ORIGIN + a.question) for a in self.given for s in a.statements]
        return (*(Known(s) for s in (*_GIVEN, *self.told)), *answered)

    def asked(self, name: str) -> bool:
        """Whether a question was put."""
        return any(answer.question == name for answer in self.given)

    def stated(self) -> State:
        """What was said, and what nobody knows; nothing worked out."""
        state = state_of(self.known(), self.on, self.known_at)
        missing: dict[str, dict[Key[Any], Held]] = {}
        for answer in self.given:
            for subject, key in _not_known(answer):
                if key not in state.held.get(subject, {}):
                    missing.setdefault(subject, {})[key] = Held(None, Why.MISSING)
        return with_held(state, missing)

    def state(self) -> State:
        """What was said, with the use that follows from what the flights are for."""
        state = self.stated()
        if USED_FOR in state.held.get(AIRCRAFT, {}):
            return state
        purpose = _purpose(state)
        if purpose.verdict is Verdict.NOT_MET:
            held = Held(UsedFor.WORK, None, ("follows from what its flights are for",))
            return with_held(state, {AIRCRAFT: {USED_FOR: held}})
        if purpose.verdict is Verdict.UNKNOWN and next(_unasked(purpose, state), None) is None:
            return with_held(state, {AIRCRAFT: {USED_FOR: Held(None, Why.MISSING)}})
        return state

    def ways(self) -> Ways:
        """The ways by the answers so far."""
        return ways_of(self.state(), AIRCRAFT)


def _not_known(answer: Answered) -> Iterator[tuple[str, Key[Any]]]:
    """What an answer leaves unknown. That something became of the aircraft leaves nothing: the next question tells what.

    Where nobody knows whether anything did, each of the things that may have is not known.
    """
    for subject, key in answer.unknown:
        if answer.question != ANY_OF or key is not SOLD_ON:
            yield subject, key
        elif not answer.statements:
            yield from ((subject, one) for one in BECAME)


def next_question(dialogue: Dialogue) -> Prompt | None:
    """The next question that can change the answer; None when every fact that matters is told or not known."""
    state, day = dialogue.state(), day_of(dialogue.on)
    if what_became_of(state, AIRCRAFT) is not None:
        return _about_rare(dialogue, state, day) or _about_gone(state, day)
    return (
        _about_purpose(dialogue, day)
        or _about_rare(dialogue, state, day)
        or _about_ways(dialogue, state, day)
        or _about_standing(state, day)
    )


def _purpose(state: State) -> Finding:
    return judge(RECREATIONAL_PURPOSE_RULE, state, FLIGHT, UsedFor.WORK, day_of(state.on))


def _unasked(finding: Finding, state: State) -> Iterator[tuple[str, Key[Any]]]:
    """The facts an undecided finding looked for and nobody was asked about."""
    if finding.verdict is not Verdict.UNKNOWN:
        return
    for subject, key, closed in finding.looks:
        if not closed and key not in state.held.get(subject, {}):
            yield subject, key


def _about_purpose(dialogue: Dialogue, day: date) -> Prompt | None:
    state = dialogue.stated()
    if USED_FOR in state.held.get(AIRCRAFT, {}):
        return None
    purpose = _purpose(state)
    for place in _unasked(purpose, state):
        return question_of(place, purpose, day)
    if purpose.outcome.code == "organization" and not dialogue.asked(EDUCATIONAL.name):
        return question_of((FLIGHT, EDUCATIONAL), purpose, day)
    if purpose.verdict is Verdict.MET and not dialogue.asked(ONLY_THIS):
        return only_this(AIRCRAFT, purpose, day)
    return None


def _about_rare(dialogue: Dialogue, state: State, day: date) -> Prompt | None:
    """What was said to apply and has to be told more exactly."""
    for answer in dialogue.given:
        if answer.question == WHAT_BECAME and len(answer.unknown) == 1:
            for place in answer.unknown:
                if not dialogue.asked(place[1].name):
                    return question_of(place, _canceling(state, day), day)
        for subject, key in answer.unknown if answer.question == ANY_OF and answer.statements else ():
            if key is SOLD_ON:
                if not dialogue.asked(WHAT_BECAME):
                    return what_became(subject, _canceling(state, day), day)
            elif not dialogue.asked(key.name):
                rule = OPERATING_RULES_RULE if key is OPERATED_UNDER else COUNTS_AS_OWNER_RULE
                finding = judge(rule, state, subject, use_judged(state, AIRCRAFT), day)
                return question_of((subject, key), finding, day)
    return None


def _canceling(state: State, day: date) -> Finding:
    return judge(CANCEL_REGISTRATION_RULE, state, AIRCRAFT, use_judged(state, AIRCRAFT), day)


def _about_gone(state: State, day: date) -> Prompt | None:
    """Of an aircraft that is gone only its registration: whether there is one, its number, its kind."""
    number = value_held(state, AIRCRAFT, REGISTRATION)
    places: list[tuple[str, Key[Any]]] = [(AIRCRAFT, IS_REGISTERED)]
    if value_held(state, AIRCRAFT, IS_REGISTERED):
        places += [(AIRCRAFT, REGISTRATION)]
        if number is not None and is_kind_open(state, number):
            places.append((f"registration/{number}", REGISTRATION_KIND))
    for subject, key in places:
        if key not in state.held.get(subject, {}):
            return question_of((subject, key), _canceling(state, day), day)
    return None


def _about_ways(dialogue: Dialogue, state: State, day: date) -> Prompt | None:
    """The first fact that keeps the first way not shut from being decided; the rare things before those of the owner."""
    ways = ways_of(state, AIRCRAFT)
    question = _gap_of_ways(ways, state, day)
    rare = not dialogue.asked(ANY_OF)
    if question is None or (rare and question.settles[0][1].table == "owner"):
        return any_of(AIRCRAFT, OWNED_BY, ways.findings[RegistrationWay.NONE], day) if rare else question
    return question


def _gap_of_ways(ways: Ways, state: State, day: date) -> Prompt | None:
    for finding in ways.findings.values():
        if finding.verdict is Verdict.MET:
            return None
        if finding.verdict is Verdict.NOT_MET:
            continue
        for place in _unasked(finding, state):
            return question_of(place, finding, day)
        scale = SCALE_ERROR not in state.held.get(AIRCRAFT, {})
        if finding.outcome.why is Why.WITHIN_DOUBT and scale:
            return question_of((AIRCRAFT, SCALE_ERROR), finding, day)
    return None


def _about_standing(state: State, day: date) -> Prompt | None:
    """Once a way is open: how the aircraft stands already, and its Remote ID."""
    decision = ways_of(state, AIRCRAFT).decision
    way = decision.way or decision.sure
    if way in (None, RegistrationWay.NONE):
        return None
    held = state.held[AIRCRAFT].get(IS_REGISTERED)
    registered = held is not None and held.value is True
    rules = _AFTER_FOREIGN if way is RegistrationWay.RECOGNITION else (*_AFTER_WAY, *_ON_AIRCRAFT)
    for rule in rules:
        if rule is MARKED_OUTSIDE_RULE and not registered:
            continue
        finding = judge(rule, state, AIRCRAFT, use_judged(state, AIRCRAFT), day)
        for place in _unasked(finding, state):
            return question_of(place, finding, day)
    return None


def so_far(dialogue: Dialogue) -> str:
    """What can be said already, in one line."""
    state = dialogue.state()
    became = what_became_of(state, AIRCRAFT)
    if became is not None:
        return f"{sentence(became.value)} {words()['gone']['so_far']}"
    decision = ways_of(state, AIRCRAFT).decision
    use = value_held(state, AIRCRAFT, USED_FOR)
    told = decision_text(decision)
    if decision.way is None and len(decision.left) > _FEW:
        told = f"{len(decision.left)} of the {len(RegistrationWay)} ways still possible"
    if decision.sure is not None and decision.sure is not decision.way:
        told += f"; open in any case: {decision_text(Decision(decision.sure, Verdict.MET, None, ()))}"
    return told if use is None else f"flown for {use.value}; {told}"
