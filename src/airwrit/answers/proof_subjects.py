"""Which subjects a proof is about: those asked for, and all that their findings looked at, until no look leads outside."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from airwrit.answers.standing import standing
from airwrit.base.times import When
from airwrit.facts.aircraft import OWNER, REGISTRATION
from airwrit.facts.documents import DOCUMENT_OF
from airwrit.facts.key import Key
from airwrit.facts.registration import REGISTERED_TO
from airwrit.facts.state import State
from airwrit.facts.vocabulary import TABLES, id_of, kind_of
from airwrit.law.judging import Finding
from airwrit.ledger.pointing import saying, spoken_of
from airwrit.ledger.store import Ledger

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
        before = None
        for subject, key, closed in finding.looks:
            search = None
            if closed and TABLES[key.table] != kind_of(subject):
                search = Search(subject, key, id_of(subject))
            elif closed and before == (subject, key, False):
                held = state.held.get(subject, {}).get(key)
                search = (
                    None if held is None or held.why is not None else Search(subject, key, str(held.value))
                )
            if search is not None and search not in seen:
                seen.add(search)
                yield search
            before = (subject, key, closed)


def subjects_of(ledger: Ledger, chosen: Sequence[str], on: When, known_at: datetime) -> list[str]:
    """The chosen subjects, all that their findings look at, and the documents attached to what is judged.

    Subjects of which the ledger says nothing are left out: there is nothing to show of them.
    """
    members = dict.fromkeys(chosen)
    done: set[tuple[str, str]] = set()
    while True:
        state = ledger.state(on, known_at, list(members))
        judged = judged_subjects(state, chosen)
        fresh = [subject for subject in judged if subject not in members]
        if fresh:
            members.update(dict.fromkeys(fresh))
            continue
        findings = findings_on(standing(state, on, known_at).report.findings, judged)
        looked = {look[0] for finding in findings for look in finding.looks}
        pairs = {(search.key.name, search.value) for search in searches_of(findings, state)}
        pairs |= {(DOCUMENT_OF.name, subject) for subject in judged}
        found = saying(ledger, pairs - done, known_at) if pairs - done else set()
        done |= pairs
        fresh = sorted((looked | found) - members.keys())
        if not fresh:
            there = spoken_of(ledger, list(members))
            return [subject for subject in members if subject in there]
        members.update(dict.fromkeys(fresh))
