"""Which subjects a proof is about: those asked for, and all that their findings looked at, until no look leads outside."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from airwrit.answers.standing.standing import standing
from airwrit.base.days import When, day_of
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION
from airwrit.facts.keys.document import DOCUMENT_OF, attached_to
from airwrit.facts.keys.flights.authority import FLIGHT_STARTS
from airwrit.facts.keys.flights.flight import ANSWER_GIVEN, FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.program import log_subject
from airwrit.facts.keys.registration import REGISTERED_TO
from airwrit.facts.looks import NamedLook
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import TABLES, id_of, kind_of
from airwrit.law.rule import Finding
from airwrit.ledger.clock import steps_back
from airwrit.ledger.rows_read import readings_behind
from airwrit.ledger.sqlite.pointing import saying, spoken_of
from airwrit.ledger.sqlite.store import Ledger

_HANGS_ON: tuple[Key[str], ...] = (OWNER, REGISTRATION, REGISTERED_TO)


class Search(NamedTuple):
    """A look of a rule over all subjects: those that say `value` for `key`. `about` is the subject the rule judged by it.

    What it found is on record; that there is no more does not follow from an excerpt.
    """

    about: str
    key: Key[Any]
    value: str

    @property
    def is_link(self) -> bool:
        """Whether it looked for those that point at the subject; else for those that hold the same value as it."""
        return TABLES[self.key.table] != kind_of(self.about)


def judged_subjects(state: State, chosen: Sequence[str]) -> list[str]:
    """The chosen subjects, and the registrations and owners that these hang on."""
    found = dict.fromkeys(chosen)
    for _ in _HANGS_ON:
        for subject in tuple(found):
            for key in _HANGS_ON:
                held = state.held.get(subject, {}).get(key)
                if held is not None and held.why is None:
                    found.setdefault(f"{key.links_to}/{held.value}")
    return list(found)


def findings_on(findings: Iterable[Finding], subjects: Iterable[str]) -> tuple[Finding, ...]:
    """The findings about some subjects."""
    wanted = set(subjects)
    return tuple(finding for finding in findings if finding.subject in wanted)


def searches_of(findings: Iterable[Finding], state: State) -> Iterator[Search]:
    """Every look over all subjects, each once."""
    seen: set[Search] = set()
    for finding in findings:
        before: NamedLook | None = None
        for subject, key, closed in finding.looks:
            search = None
            if closed and TABLES[key.table] != kind_of(subject):
                search = Search(subject, key, id_of(subject))
            elif closed and before is not None and _is_looked_for(before, subject, key):
                named = value_held(state, subject, before[1])
                search = None if named is None else Search(subject, key, str(named))
            if search is not None and search not in seen:
                seen.add(search)
                yield search
            before = (subject, key, closed)


def _is_looked_for(before: NamedLook, subject: str, key: Key[Any]) -> bool:
    """Whether the look before was at the value for which a look over all subjects then looked under a key."""
    return before[0] == subject and not before[2] and key.same_thing(before[1])


def subjects_of(ledger: Ledger, chosen: Sequence[str], on: When, known_at: datetime) -> list[str]:
    """The chosen subjects, all that their findings look at, the documents attached to what is judged, and the files behind it.

    Subjects of which the ledger says nothing are left out: there is nothing to show of them. So are those that a look over
    all subjects came upon and passed over, such as flights without a defect.
    """
    members = dict.fromkeys(chosen)
    done: set[tuple[str, str]] = set()
    while True:
        seen = _seen(ledger, list(members), chosen, on, known_at)
        fresh = set(seen.judged) - members.keys()
        if not fresh:
            found = saying(ledger, seen.pairs - done, known_at) if seen.pairs - done else set()
            done |= seen.pairs
            fresh = (seen.looked | found) - members.keys()
        if not fresh:
            break
        members.update(dict.fromkeys(sorted(fresh)))
    needed = [
        one for one in members if one in seen.looked or one in seen.judged or attached_to(one) in seen.judged
    ]
    if _seen(ledger, needed, chosen, on, known_at).outcomes == seen.outcomes:
        members = dict.fromkeys(needed)
    members.update(dict.fromkeys(sorted(_planned(ledger, chosen, on, known_at))))
    there = spoken_of(ledger, list(members))
    told = [subject for subject in members if subject in there]
    own = [log_subject(ledger.name)] if steps_back(ledger.database) else []
    return [*told, *readings_behind(ledger, told, known_at), *own]


def _planned(ledger: Ledger, chosen: Sequence[str], on: When, known_at: datetime) -> set[str]:
    """The planned flights of the day by the chosen aircraft and people, which say what was answered and who released them."""
    links = {"aircraft": FLIGHT_AIRCRAFT.name, "person": FLIGHT_PILOT.name}
    pairs = {(links[kind_of(one)], id_of(one)) for one in chosen if kind_of(one) in links}
    flights = sorted(saying(ledger, pairs, known_at)) if pairs else []
    state = ledger.state(on, known_at, flights)
    return {one for one in flights if is_planned_for(state, one, on)}


def is_planned_for(state: State, flight: str, on: When) -> bool:
    """Whether a flight was planned for the day, and an answer was saved with it."""
    held = state.held.get(flight, {})
    start, given = held.get(FLIGHT_STARTS), held.get(ANSWER_GIVEN)
    return given is not None and start is not None and start.why is None and day_of(start.value) == day_of(on)


class _SubjectsSeen(NamedTuple):
    """What is judged from some subjects alone: whom, what was looked at, the looks over all subjects, how it came out."""

    judged: list[str]
    looked: set[str]
    pairs: set[tuple[str, str]]
    outcomes: list[tuple[Any, ...]]


def _seen(
    ledger: Ledger, members: Sequence[str], chosen: Sequence[str], on: When, known_at: datetime
) -> _SubjectsSeen:
    state = ledger.state(on, known_at, members)
    judged = judged_subjects(state, chosen)
    findings = findings_on(standing(state, on, known_at).report.findings, judged)
    pairs = {(search.key.name, search.value) for search in searches_of(findings, state)}
    return _SubjectsSeen(
        judged,
        {look[0] for finding in findings for look in finding.looks},
        pairs | {(DOCUMENT_OF.name, subject) for subject in judged},
        [(finding.rule.name, finding.subject, finding.use, finding.outcome) for finding in findings],
    )
