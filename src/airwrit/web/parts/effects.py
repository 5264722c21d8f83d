"""What a change causes, in the words and marks of a page: entries, duties, headlines, clauses, and what stays open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.effects import Effects, Reckoned, difference, double_text, reckoned
from airwrit.answers.due.deadlines import Deadline
from airwrit.answers.sheets.difference import Contradiction, Difference
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.law import wording
from airwrit.web.parts.subject_list import mark_of
from airwrit.web.server.day import DayAsked
from airwrit.web.server.forms import StatementWritten, writes_of
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import Workspace, judged

_SHOWN = 24


class Task(NamedTuple):
    """Something to do that a change causes: by when (None: before the next flight), for whom, why, what, by which sections."""

    by: date | None
    was: date | None
    subjects: tuple[str, ...]
    says: str
    do: str
    cites: str


class ChangeSide(NamedTuple):
    """How an aircraft or person stands: the headline and its mark; empty and None where it is not on record."""

    word: str
    mark: Verdict | None


class Turned(NamedTuple):
    """An aircraft or person before and after."""

    subject: str
    before: ChangeSide
    after: ChangeSide
    because: str


class ClauseChange(NamedTuple):
    """A clause before and after (None: not asked), for all subjects of which it reads the same."""

    subjects: tuple[str, ...]
    rule: str
    use: str
    before: Verdict | None
    after: Verdict | None
    says: str
    do: str
    cites: str


class Caused(NamedTuple):
    """All that a change would write and cause. `more` counts the clauses left out."""

    writes: tuple[StatementWritten, ...]
    tasks: tuple[Task, ...]
    gone: tuple[Task, ...]
    turns: tuple[Turned, ...]
    clauses: tuple[ClauseChange, ...]
    more: int
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
    clauses = _clauses(effects)
    return Caused(
        () if taking is None else writes_of(taking),
        _tasks(effects),
        _alike(_task(one) for one in effects.go),
        tuple(_turns(effects, subject)),
        clauses[:_SHOWN],
        max(0, len(clauses) - _SHOWN),
        (*_contradicted(() if taking is None else taking.contradictions), *_notes(effects)),
        0 if taking is None else len(taking.drafts),
    )


def _tasks(effects: Effects) -> tuple[Task, ...]:
    found = [_task(one) for one in effects.appear]
    found += [_task(one.after)._replace(was=one.before.day) for one in effects.moved]
    return _alike(sorted(found, key=lambda task: task.by or date.min))


def _alike(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """Tasks that read the same, told once for all they touch."""
    found: dict[tuple[object, ...], Task] = {}
    for task in tasks:
        key = (task.by, task.was, task.do or task.says, task.cites)
        had = found.get(key)
        found[key] = task if had is None else had._replace(subjects=(*had.subjects, *task.subjects))
    return tuple(found.values())


def _clauses(effects: Effects) -> tuple[ClauseChange, ...]:
    """The clauses that turn, but for filings that stand among the tasks; those that read the same once."""
    filed = {(one.finding.rule.name, one.finding.subject) for one in effects.appear}
    found: dict[tuple[object, ...], ClauseChange] = {}
    for one in effects.shifts:
        if (one.rule, one.subject) in filed:
            continue
        cites = "; ".join(one.cites)
        key = (one.rule, one.use, one.before, one.after, one.says, one.do)
        had = found.get(key)
        subjects = (one.subject,) if had is None else (*had.subjects, one.subject)
        found[key] = ClauseChange(subjects, one.rule, one.use, one.before, one.after, one.says, one.do, cites)
    return tuple(found.values())


def _task(one: Deadline) -> Task:
    return Task(one.day, None, one.subjects, one.says, one.do, "; ".join(wording.cites(one.finding)))


def _turns(effects: Effects, subject: str) -> Iterable[Turned]:
    old = {row.subject: row for row in effects.before.rows}
    new = {row.subject: row for row in effects.after.rows}
    told = {one.subject: one.because for one in effects.turns}
    for one in dict.fromkeys((subject, *told)):
        if one in old or one in new:
            yield Turned(one, _side(old.get(one)), _side(new.get(one)), told.get(one, ""))


def _side(row: SubjectStanding | None) -> ChangeSide:
    return ChangeSide("", None) if row is None else ChangeSide(row.headline.value, mark_of(row))


def _contradicted(found: Iterable[Contradiction]) -> list[str]:
    return [
        f"{KEYS[one.key].meaning} of {id_of(one.subject)} would have two different values. "
        "It counts as unknown until you correct one"
        for one in found
        if one.new
    ]


def _notes(effects: Effects) -> list[str]:
    told = [double_text(one) for one in effects.doubles]
    before, after = effects.usd
    if before != after:
        told.append(f"fees for one term change from ${before} to ${after}")
    return told
