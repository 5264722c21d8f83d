"""An incident put on record, with a hold on it; files kept as evidence by their hash; near misses and how close they came."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from airwrit.answers.document import ON_RECORDS, Json
from airwrit.answers.incident.questions import said_of
from airwrit.answers.removal.holds import holds_of, set_hold
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.base.days import EARLIEST, day_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import day_words
from airwrit.facts.key import raw_of
from airwrit.facts.keys.incident import (
    HAPPENED_ON,
    INCIDENT_AIRCRAFT,
    KEPT_AS_EVIDENCE,
    NARRATIVE,
    NEAR_MISS,
)
from airwrit.facts.keys.program import HoldKind
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Source, Statement
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.ledger.entry import source_text
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.store import Clock, Ledger

INCIDENT, EVIDENCE = "incident", "evidence"
"""The acts of the entries that say an incident and that keep its evidence."""
CLOSE = timedelta(days=30)
MOST_EVIDENCE = 64 << 20
"""The most bytes of a file that is kept as evidence."""
MANY = 3
"""Three near misses in thirty days are shown as many; common practice, no source."""


def subject_for(state: State, incident: str) -> str:
    """The name an incident goes on record by: its own where it has one, else its day and aircraft. UsageError without a day."""
    if id_of(incident) != INCIDENT:
        return incident
    said = said_of(state, incident)
    if said(HAPPENED_ON) is None:
        raise UsageError("an incident needs its date", where="happened_on", do="enter when it happened")
    aircraft = said(INCIDENT_AIRCRAFT)
    name = f"{day_of(said(HAPPENED_ON))}{f' {aircraft}' if aircraft else ''}"
    return subject_named(INCIDENT, name)


def statements_of_state(state: State, incident: str) -> tuple[Known, ...]:
    """What a state holds of an incident, as statements to put on record; what can't be read is left out."""
    return tuple(
        Known(Statement(incident, key.name, raw_of(held.value), EARLIEST, None))
        for key, held in state.held.get(incident, {}).items()
        if held.why is None and not key.has_many
    )


def saying(held: OnRecord, subject: str, known: Sequence[Known], by: str) -> Difference:
    """What putting an incident on record would do: a new word on a fact takes the place of the old one."""
    told = tuple(one.statement._replace(subject=subject) for one in known)
    return saying_by_hand(held, HandEntry(told, corrects=True, act=INCIDENT), by)


def keep_incident(book: Ledger, taking: Difference, subject: str, who: str, clock: Clock, by: str) -> int:
    """Append an incident and set a hold on its record where none is live; the number of the last entry."""
    last = taking.after
    if taking.drafts:
        last = book.append(taking.drafts, clock, after=taking.after)[-1].seq
    if not any(one.is_live and one.of == subject for one in holds_of(book)):
        last = set_hold(
            book, subject, HoldKind.INCIDENT, who, "set with the incident", clock, by, after=last
        ).seq
    return last


class Evidence(NamedTuple):
    """Files to keep with an incident: the drafts that name each by its hash, and their bytes."""

    drafts: tuple[Draft, ...]
    files: tuple[KeptFile, ...]


def evidence(subject: str, files: Sequence[KeptFile], by: str) -> Evidence:
    """What keeping files as evidence of an incident appends: each under its hash, whatever kind of file it is."""
    drafts = []
    for file in files:
        digest = hashlib.sha256(file.data or b"").hexdigest()
        said = Statement(subject, KEPT_AS_EVIDENCE.name, f"{file.name} sha256:{digest}", EARLIEST, None)
        drafts.append(Draft(by, EVIDENCE, (said,), (), source_text(Source(file.name, digest)), ""))
    return Evidence(tuple(drafts), tuple(files))


class IncidentOnFile(NamedTuple):
    """An incident on record: its name, its day, its aircraft, whether it was a near miss, the first words of what happened."""

    subject: str
    day: date | None
    aircraft: str
    near_miss: bool
    says: str


class NearMisses(NamedTuple):
    """Near misses that came close together: how many, from which day to which."""

    many: int
    first: date
    last: date


def incidents_on_file(state: State) -> tuple[IncidentOnFile, ...]:
    """Every incident on record, the newest first; those without a day at the end."""
    found = []
    for subject in state.subjects(INCIDENT):
        said = said_of(state, subject)
        on = said(HAPPENED_ON)
        found.append(
            IncidentOnFile(
                subject,
                None if on is None else day_of(on),
                said(INCIDENT_AIRCRAFT) or "",
                said(NEAR_MISS) is True,
                said(NARRATIVE) or "",
            )
        )
    return tuple(sorted(found, key=lambda one: one.day or date.min, reverse=True))


def close_together(incidents: Sequence[IncidentOnFile]) -> tuple[NearMisses, ...]:
    """The spans of at most thirty days that hold three near misses or more; spans that overlap are one."""
    days = sorted(one.day for one in incidents if one.near_miss and one.day is not None)
    spans: list[tuple[date, date]] = []
    for first, last in zip(days, days[MANY - 1 :], strict=False):
        if last - first >= CLOSE:
            continue
        if spans and first <= spans[-1][1]:
            spans[-1] = spans[-1][0], last
        else:
            spans.append((first, last))
    return tuple(NearMisses(sum(first <= day <= last for day in days), first, last) for first, last in spans)


def incidents_json(incidents: Sequence[IncidentOnFile], close: Sequence[NearMisses]) -> Json:
    """Every incident on record, and where near misses came close together."""
    return {
        "question": "incidents",
        **ON_RECORDS,
        "incidents": [
            {
                "incident": one.subject,
                "day": one.day and one.day.isoformat(),
                "aircraft": one.aircraft or None,
                "near_miss": one.near_miss,
                "says": one.says or None,
            }
            for one in incidents
        ],
        "near_misses_close_together": [
            {"many": one.many, "first": one.first.isoformat(), "last": one.last.isoformat()} for one in close
        ],
    }


def close_text(one: NearMisses) -> str:
    """That near misses came close together, in words."""
    return (
        f"{one.many} near misses from {day_words(one.first)} to {day_words(one.last)}, "
        f"{MANY} or more of them within {CLOSE.days} days. Look for what they have in common."
    )
