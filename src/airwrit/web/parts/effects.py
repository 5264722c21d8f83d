"""What a change causes, as a page shows it: what it would write, and what changes for people."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from airwrit.answers.acts.changes import WhatChanges, change_of
from airwrit.answers.acts.plan import Effects, Reckoned, difference, reckoned
from airwrit.answers.sheets.difference import Contradiction, Difference, OnRecord
from airwrit.answers.sheets.importing import known_after
from airwrit.answers.standing.standing import Standing, standing
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.web.server.day import DayAsked
from airwrit.web.server.forms import StatementWritten, writes_of
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import Workspace, judged


class Caused(NamedTuple):
    """All that a change would write, and what it changes for people; `notes` are what it would contradict and the like.

    `change` is None where nothing is on record yet that could change.
    """

    writes: tuple[StatementWritten, ...]
    change: WhatChanges | None
    notes: tuple[str, ...]
    entries: int


def effects_for(visit: Visit, taking: Difference, after: Sequence[Known]) -> Effects:
    """What differs on the day shown between what is known and what would be known, `after`, once it was taken in."""
    subjects = {change.statement.subject for change in taking.changes}
    told = [item for item in after if item.answers or item.statement.subject in subjects]
    raw = visit.desk.judged_on(visit.asked).state
    folded = state_of(told, raw.on, raw.known_at)
    after_it = raw.with_facts({subject: folded.held.get(subject, {}) for subject in subjects})
    return effects_in(visit, after_it)


def effects_in(visit: Visit, after: State) -> Effects:
    """What differs on the day shown between how things stand and how they would."""
    desk = visit.desk
    rules = desk.house().rules
    before, side = reckoned_on(desk, visit.asked)
    report = before.report

    def work() -> Effects:
        changed = standing(
            after, report.on, report.known_at, report.problems, report.sources, rules, like=before
        )
        return difference(before, changed, side)

    with desk.judging:
        return judged(work)


def reckoned_on(desk: Workspace, asked: DayAsked) -> tuple[Standing, Reckoned]:
    """The standing of the day asked about, and what is held of it against others, kept as long as it."""
    return desk.made_of("reckoned", asked, lambda now: (now, judged(lambda: reckoned(now))))


def caused_of(taking: Difference | None, effects: Effects, subject: str) -> Caused:
    """What a change writes and causes; `subject` is told of though nothing changes for it."""
    return Caused(
        () if taking is None else writes_of(taking),
        change_of(effects, (subject,)),
        tuple(_contradicted(() if taking is None else taking.contradictions)),
        0 if taking is None else len(taking.drafts),
    )


def caused_by(
    visit: Visit, taking: Difference, held: OnRecord, subjects: Sequence[str], notes: Sequence[str] = ()
) -> Caused:
    """What taking something in writes and causes, told of some subjects though nothing changes for them."""
    change = None
    if not visit.desk.is_empty:
        change = change_of(effects_for(visit, taking, known_after(held, taking)), subjects)
    notes = (*notes, *_contradicted(taking.contradictions))
    return Caused(writes_of(taking), change, notes, len(taking.drafts))


def _contradicted(found: Iterable[Contradiction]) -> list[str]:
    return [
        f"{KEYS[one.key].meaning} of {id_of(one.subject)} would have two different values. "
        "It counts as unknown until you correct one"
        for one in found
        if one.new
    ]
