"""A flight or an incident somebody tells of: what every rule about it finds, what is missing, and the whole in a word."""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.asking.kind import put_by_form
from airwrit.answers.asking.questions import Prompt, question_of
from airwrit.answers.lookup.facts import rules_of_keys
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict, Why, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION, USED_FOR
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_FOR
from airwrit.facts.keys.incident import INCIDENT_AIRCRAFT
from airwrit.facts.looks import Used
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import kind_of
from airwrit.law import wording
from airwrit.law.aircraft.duty import USE_STATED_RULE
from airwrit.law.flight.airspace import FACILITY_MAP_LOWEST_RULE
from airwrit.law.flight.light import NIGHT_LIGHTS_RULE
from airwrit.law.flight.places import LAND_RULES_RULE, STATE_LAW_RULE
from airwrit.law.flight.purpose import RECREATIONAL_EXCEPTION_RULE, RECREATIONAL_PURPOSE_RULE
from airwrit.law.flight.waivers import PART_108_RELIEF_RULE, WAIVER_POSSIBLE_RULE
from airwrit.law.holder.pilot import FLIES_FOR_STATED_RULE
from airwrit.law.rule import USES, Bears, Finding

KINDS = ("flight", "incident")
PURPOSE, EXCEPTION = RECREATIONAL_PURPOSE_RULE.name, RECREATIONAL_EXCEPTION_RULE.name
QUESTIONS_OF_A_FLIGHT = (WAIVER_POSSIBLE_RULE, PART_108_RELIEF_RULE, FACILITY_MAP_LOWEST_RULE)
"""Rules that answer a question beside the flight: whatever they find, it stands in no flight's way."""
NEVER_JUDGED = (STATE_LAW_RULE, LAND_RULES_RULE)
"""Rules that stay open for every flight, because nobody read the law of its place."""
_OF_ANY_USE = (USE_STATED_RULE, FLIES_FOR_STATED_RULE)
"""Rules that ask what is flown for in general: a flight says itself what it is for."""
_TO_BE_TOLD = (Why.MISSING, Why.CONFLICT, Why.DAMAGED, Why.WITHIN_DOUBT)


class Whole(StrEnum):
    """The whole in a word: a code that the words of the faces hang on."""

    NOT_MET = "not_met"
    OWED = "owed"
    CANT_TELL = "cant_tell"
    OPEN = "open"
    NOTHING_AGAINST = "nothing_against"
    MET = "met"
    NO_DUTY = "no_duty"


class Needed(NamedTuple):
    """A question that is open, and the rules that wait for its answer."""

    question: Prompt
    rules: tuple[str, ...]


class UseFindings(NamedTuple):
    """What is found of an event under one use.

    `rules` are the findings about the event itself. `beside` are those about its aircraft, registration, owner and pilot that
    decide whether it may go. `later` are facts that may be asked for once the first ones are known. `due_on` is the first last
    day of what is owed.
    """

    use: UsedFor
    verdict: Verdict
    whole: Whole
    rules: tuple[Finding, ...]
    beside: tuple[Finding, ...]
    missing: tuple[Needed, ...]
    later: tuple[Used, ...]
    due_on: date | None


class EventAnswer(NamedTuple):
    """One flight or incident: a column for each use that what was told leaves possible."""

    subject: str
    columns: tuple[UseFindings, ...]

    @property
    def verdict(self) -> Verdict:
        """That of its column; unknown where the use is open and decides."""
        verdicts = {column.verdict for column in self.columns}
        return verdicts.pop() if len(verdicts) == 1 else Verdict.UNKNOWN


@cache
def event_words() -> Mapping[str, Any]:
    """The shipped words about flights and incidents."""
    return tomllib.loads(Path(__file__).with_name("events.toml").read_text(encoding="utf-8"))


def events_told(state: State) -> tuple[str, ...]:
    """The flights and incidents to judge.

    A flight of which only the purpose is told says what its aircraft is for. It is judged where no aircraft is told of.
    """
    flights = [s for s in state.subjects("flight") if is_planned(s, state) or not state.subjects("aircraft")]
    return (*flights, *state.subjects("incident"))


def is_planned(flight: str, state: State) -> bool:
    """Whether more is told of a flight than who flies it with what, and what for."""
    return any(not _tells_purpose(key) for key in state.held[flight])


def _tells_purpose(key: Key[object]) -> bool:
    if key in (FLIGHT_AIRCRAFT, FLIGHT_PILOT, FLOWN_FOR):
        return True
    rules = rules_of_keys()[key.name]
    return PURPOSE in rules and set(rules) <= {PURPOSE, EXCEPTION}


def about_event(event: str, state: State) -> tuple[str, ...]:
    """The aircraft of an event, its registration and owner, and the pilot: as far as they are told."""
    key = FLIGHT_AIRCRAFT if kind_of(event) == "flight" else INCIDENT_AIRCRAFT
    found = [_pointed(event, key, state), _pointed(event, FLIGHT_PILOT, state)]
    if found[0] is not None:
        found += [_pointed(found[0], REGISTRATION, state), _pointed(found[0], OWNER, state)]
    return tuple(subject for subject in found if subject is not None)


def _pointed(subject: str, key: Key[str], state: State) -> str | None:
    name = value_held(state, subject, key)
    return None if name is None else f"{key.links_to}/{name}"


def event_of(subject: str, findings: Sequence[Finding], state: State, told: UsedFor | None) -> EventAnswer:
    """The event with all that was found of it; `told` is the use told with the question."""
    mine = [finding for finding in findings if finding.subject == subject]
    about = about_event(subject, state) if kind_of(subject) == "flight" else ()
    beside = [f for f in findings if f.subject in about and f.rule not in _OF_ANY_USE]
    return EventAnswer(
        subject, tuple(_column(use, mine, beside, state) for use in uses_of(subject, mine, state, told))
    )


def uses_of(
    event: str, findings: Iterable[Finding], state: State, told: UsedFor | None
) -> tuple[UsedFor, ...]:
    """The uses the event is judged for: the one that was told, and both where nobody told one.

    What a flight is for outweighs what its aircraft is for. A flight told to be recreation that breaks a condition of the
    exception comes under Part 107, so it is judged for work too.
    """
    of = {finding.rule.name: finding.verdict for finding in findings if finding.use is not UsedFor.WORK}
    purpose = of.get(PURPOSE)
    if purpose is Verdict.NOT_MET:
        return (UsedFor.WORK,)
    declared = value_held(state, event, FLOWN_FOR)
    if declared is None and purpose is Verdict.MET:
        declared = UsedFor.RECREATION
    declared = declared or told or _use_of_aircraft(event, state)
    if declared is UsedFor.WORK:
        return (UsedFor.WORK,)
    if declared is UsedFor.RECREATION and of.get(EXCEPTION) is not Verdict.NOT_MET:
        return (UsedFor.RECREATION,)
    return USES


def _use_of_aircraft(event: str, state: State) -> UsedFor | None:
    about = about_event(event, state)
    use: UsedFor | None = value_held(state, about[0], USED_FOR) if about else None
    return use


def _column(use: UsedFor, mine: Iterable[Finding], about: Iterable[Finding], state: State) -> UseFindings:
    rules = rules_under(use, mine)
    binding = [f for f in rules if _is_binding(f)]
    by_night = any(f.rule is NIGHT_LIGHTS_RULE and f.verdict is not Verdict.NOT_APPLICABLE for f in binding)
    bears = (Bears.FLIGHT, Bears.NIGHT) if by_night else (Bears.FLIGHT,)
    beside = tuple(f for f in about if f.use in (None, use) and f.rule.bears in bears)
    deciding = [*binding, *beside]
    waiting = [f for f in rules if is_waiting(f)]
    missing = needed_by((*waiting, *beside), state)
    asked = {need.question.settles[0] for need in missing}
    return UseFindings(
        use,
        worst_of({f.verdict for f in deciding}),
        _whole(deciding),
        rules,
        beside,
        missing,
        tuple(used for used in _gaps((*waiting, *beside), state) if (used.subject, used.key) not in asked),
        min((f.outcome.due_on for f in rules if _is_owed(f) and f.outcome.due_on is not None), default=None),
    )


def rules_under(use: UsedFor, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Of the findings about an event itself those that count under a use."""
    return tuple(f for f in findings if f.use in (None, use) and not _of_other_use(f, use))


def is_waiting(finding: Finding) -> bool:
    """Whether what a finding about an event lacks is asked for: it binds, and is one that is judged."""
    return _is_binding(finding) and finding.rule not in NEVER_JUDGED


def _is_binding(finding: Finding) -> bool:
    return finding.rule not in (*QUESTIONS_OF_A_FLIGHT, RECREATIONAL_PURPOSE_RULE)


def _of_other_use(finding: Finding, use: UsedFor) -> bool:
    """Whether it is about recreation alone, while the event is judged for work."""
    return finding.rule in (RECREATIONAL_PURPOSE_RULE, RECREATIONAL_EXCEPTION_RULE) and use is UsedFor.WORK


def _whole(deciding: Collection[Finding]) -> Whole:
    if any(f.verdict is Verdict.NOT_MET for f in deciding):
        return Whole.NOT_MET
    if any(_is_owed(f) for f in deciding):
        return Whole.OWED
    waiting = [f for f in deciding if f.verdict is Verdict.UNKNOWN and f.rule not in NEVER_JUDGED]
    if any(f.outcome.why in _TO_BE_TOLD for f in waiting):
        return Whole.CANT_TELL
    if waiting:
        return Whole.OPEN
    if any(f.verdict is Verdict.UNKNOWN for f in deciding):
        return Whole.NOTHING_AGAINST
    return Whole.MET if any(f.verdict is Verdict.MET for f in deciding) else Whole.NO_DUTY


def groups_of(column: UseFindings) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
    """The findings of a column by what they come to, in the order in which they are told; `missing` holds no place of its own.

    What stands in the way comes first, then what is still to be done, the aircraft and the pilot, what is missing, what is
    open, and what is OK or does not apply.
    """
    aside = [f for f in column.rules if f.rule in QUESTIONS_OF_A_FLIGHT]
    rules = [f for f in column.rules if f not in aside]
    waits = {name for need in column.missing for name in need.rules}
    unknown = [f for f in rules if f.verdict is Verdict.UNKNOWN]
    speaking = [f for f in column.beside if f.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN)]
    groups: tuple[tuple[str, Iterable[Finding]], ...] = (
        ("not_met", (f for f in rules if f.verdict is Verdict.NOT_MET)),
        ("owed", (f for f in unknown if f.outcome.due_on)),
        ("beside", (f for f in speaking if f.rule.name not in waits)),
        ("missing", ()),
        ("open", (f for f in unknown if not f.outcome.due_on and f.rule.name not in waits)),
        ("met", (f for f in rules if f.verdict is Verdict.MET)),
        ("not_applicable", (f for f in rules if f.verdict is Verdict.NOT_APPLICABLE)),
        ("questions", aside),
    )
    return tuple((name, tuple(findings)) for name, findings in groups)


def in_a_line(event: EventAnswer, column: UseFindings) -> str:
    """The whole in a sentence or two."""
    text: str = event_words()[kind_of(event.subject)][column.whole.value]
    return text.format(due_on=column.due_on)


def _is_owed(finding: Finding) -> bool:
    """Whether something is still to be done by a day that has not passed."""
    outcome = finding.outcome
    return (
        kind_of(finding.subject) == "incident"
        and outcome.verdict is Verdict.UNKNOWN
        and outcome.why is Why.MISSING
        and outcome.due_on is not None
    )


def needed_by(findings: Iterable[Finding], state: State) -> tuple[Needed, ...]:
    """The facts that rules wait for, those that most rules wait for first."""
    first: dict[tuple[str, str], Finding] = {}
    rules: dict[tuple[str, str], list[str]] = {}
    places: dict[tuple[str, str], Used] = {}
    for finding in findings:
        used = wording.missing_fact(finding, state)
        if used is None:
            continue
        place = used.subject, used.key.name
        first.setdefault(place, finding)
        places.setdefault(place, used)
        rules.setdefault(place, []).append(finding.rule.name)
    day = day_of(state.on)
    needed = [
        Needed(
            put_by_form(question_of((used.subject, used.key), first[place], day), state),
            tuple(dict.fromkeys(rules[place])),
        )
        for place, used in places.items()
    ]
    return tuple(sorted(needed, key=lambda need: -len(need.rules)))


def _gaps(findings: Iterable[Finding], state: State) -> Iterator[Used]:
    """Every fact that an open finding looked for and that is not told."""
    seen: set[tuple[str, Key[object]]] = set()
    for finding in findings:
        if finding.outcome.why is not Why.MISSING:
            continue
        for used in finding.used:
            held = state.held.get(used.subject, {}).get(used.key)
            if not used.closed and held is None and (used.subject, used.key) not in seen:
                seen.add((used.subject, used.key))
                yield used
