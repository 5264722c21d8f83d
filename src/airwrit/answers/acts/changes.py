"""A change as it is told to people: whose status changes and from when, what to do then by when and who, what is over.

Rules that only begin or cease to be asked are not told: what they ask for stands among the things to do.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.plan import Effects, double_text
from airwrit.answers.document import Json
from airwrit.answers.due.deadlines import Deadline
from airwrit.answers.sheets.difference import Difference
from airwrit.answers.standing.headline import Due, Headline, SubjectStanding
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import (
    Expiry,
    Fix,
    ToFix,
    cause_of,
    expiries,
    expiry_json,
    fix_json,
    fixes_of,
    to_fix,
)
from airwrit.base.days import day_of
from airwrit.base.sentences import day_words, sentence, with_section
from airwrit.base.verdict import Why
from airwrit.facts.vocabulary import KEYS, id_of, kind_of
from airwrit.law.rule import Finding
from airwrit.law.wording import Teller

_NAMED = 5

Rows = dict[str, SubjectStanding]
_Key = tuple[str, str, str, date | None]


class Turn(NamedTuple):
    """All whose status goes the same way, and why; None where they are not checked without the change, or with it."""

    subjects: tuple[str, ...]
    before: Headline | None
    after: Headline | None
    why: str

    @property
    def whom(self) -> str:
        """Who or what it is about."""
        return named(self.subjects)

    def becomes(self, on: date) -> str:
        """What the status is from a day on: `papers OK for work from Dec 3, 2026 (was grounded)`."""
        if self.after is None:
            return f"no longer checked from {day_words(on)}"
        if self.before is self.after:
            return f"still {self.after.value}"
        were = "were" if len(self.subjects) > 1 else "was"
        was = "new" if self.before is None else f"{were} {self.before.value}"
        return f"{self.after.value} from {day_words(on)} ({was})"

    def says(self, on: date) -> str:
        """A sentence or two: of whom, to what, from when, why."""
        return f"{self.whom}: {self.becomes(on)}. {self.why}".strip()


class DueThen(NamedTuple):
    """What comes due with a change, and when it was due without it; None where it was not."""

    expiry: Expiry
    was: date | None


@dataclass(frozen=True, slots=True)
class WhatChanges:
    """What a change does to aircraft and people on one day.

    `over` is what no longer has to be done, and `gone` whose dates no longer count because they are not of the program.
    """

    on: date
    turns: tuple[Turn, ...]
    same: int
    to_do: tuple[Fix, ...]
    due: tuple[DueThen, ...]
    over: tuple[Expiry | Fix, ...]
    gone: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def unchanged(self) -> str:
        """What is told where no status changes."""
        return f"No status changes on {day_words(self.on)}."

    @property
    def over_lines(self) -> tuple[str, ...]:
        """What no longer has to be done, a line each; of who is not of the program any more that all their dates go."""
        lines = [
            _whose(one.do, one.subjects)
            if isinstance(one, Fix)
            else f"{_whose(one.what, one.subjects)} It was due by {day_words(one.day)}."
            for one in self.over
        ]
        return (*lines, *_other_dates(self))


class SideBySide(NamedTuple):
    """One line of two futures side by side; empty where nothing stands in one of them."""

    about: str
    without: str
    with_it: str


def changed_in(taking: Difference) -> tuple[str, ...]:
    """Who and what a taking speaks of."""
    return tuple(dict.fromkeys(change.statement.subject for change in taking.changes))


def change_of(effects: Effects, about: Iterable[str] = ()) -> WhatChanges:
    """What a change does, told for people; of those it is `about` also that their status stays as it is."""
    before, after = effects.before, effects.after
    old, new = _rows(before), _rows(after)
    tellers = Teller(before.report.state), Teller(after.report.state)
    fixed, to_do = _parted(before, after, tellers)
    gone = tuple(one for one, row in old.items() if row.headline.is_here and not _is_here(new.get(one)))
    over: list[Expiry | Fix] = [*_expiries(effects.go, before, tellers[0], fixed), *fixed]
    stay = [one for one in over if not set(one.subjects) <= set(gone)]
    differ = sum(_headline(old.get(subject)) is not _headline(new.get(subject)) for subject in {**old, **new})
    return WhatChanges(
        day_of(effects.on),
        tuple(_turns(effects, (*about,), tellers[1])),
        len({**old, **new}) - differ,
        to_do,
        tuple(_due(effects, to_do, tellers[1])),
        tuple(stay),
        gone if len(stay) < len(over) else (),
        tuple(_notes(effects)),
    )


def _rows(standing: Standing) -> Rows:
    return {row.subject: row for row in standing.rows}


def _headline(row: SubjectStanding | None) -> Headline | None:
    return None if row is None else row.headline


def _is_here(row: SubjectStanding | None) -> bool:
    return row is not None and row.headline.is_here


def _turns(effects: Effects, about: Sequence[str], teller: Teller) -> Iterable[Turn]:
    """The statuses that change, those that change alike for one cause together."""
    old, new = _rows(effects.before), _rows(effects.after)
    changed = [one.subject for one in effects.turns]
    alike: dict[tuple[Headline | None, Headline | None, str, str], list[str]] = defaultdict(list)
    for subject in dict.fromkeys((*about, *changed)):
        if subject not in old and subject not in new:
            continue
        row = new.get(subject)
        cause = "" if row is None or row.deciding is None else cause_of(row.deciding)
        alike[_headline(old.get(subject)), _headline(row), cause, kind_of(subject)].append(subject)
    for (before, after, _, _), subjects in alike.items():
        yield Turn(tuple(subjects), before, after, _why([new.get(one) for one in subjects], teller))


def _why(rows: Sequence[SubjectStanding | None], teller: Teller) -> str:
    """Why, where it is the same for all; of what nobody can fix or is only asked for, also what to do."""
    words = {
        (one.says, "" if row.headline is Headline.GROUNDED else one.do)
        for row in rows
        if row is not None and row.deciding is not None
        for one in [teller.worded(row.deciding)]
    }
    return " ".join(sentence(part) for part in words.pop() if part) if len(words) == 1 else ""


def _parted(
    before: Standing, after: Standing, tellers: tuple[Teller, Teller]
) -> tuple[tuple[Fix, ...], tuple[Fix, ...]]:
    """What no longer has to be fixed, and what newly has to."""
    old, new = to_fix(before), to_fix(after)
    had, has = {_key(one) for one in old}, {_key(one) for one in new}
    return (
        fixes_of([one for one in old if _key(one) not in has], before.report.state, tellers[0]),
        fixes_of([one for one in new if _key(one) not in had], after.report.state, tellers[1]),
    )


def _key(one: ToFix) -> _Key:
    return (
        one.subject,
        one.finding.rule.name,
        one.finding.outcome.code,
        None if one.due is None else one.due.day,
    )


def _expiries(
    found: Sequence[Deadline], of: Standing, teller: Teller, told: Sequence[Fix]
) -> tuple[Expiry, ...]:
    """Deadlines as one line for all of whom it is the same, without those that are told as things to fix."""
    causes = {(fix.cause, subject) for fix in told for subject in fix.subjects}
    rest = [
        Due(one.day, one.overdue, one.finding, one.subjects)
        for one in sorted(found, key=lambda one: one.day)
        if not all((cause_of(one.finding), subject) in causes for subject in one.subjects)
    ]
    return expiries(rest, of.report.state, teller)


def _due(effects: Effects, to_do: Sequence[Fix], teller: Teller) -> Iterable[DueThen]:
    moved: dict[date, list[Deadline]] = defaultdict(list)
    for one in effects.moved:
        moved[one.before.day].append(one.after)
    lines = [DueThen(one, None) for one in _expiries(effects.appear, effects.after, teller, to_do)]
    for was, found in moved.items():
        lines += [DueThen(one, was) for one in _expiries(found, effects.after, teller, to_do)]
    return sorted(lines, key=lambda line: line.expiry.day)


def _notes(effects: Effects) -> Iterable[str]:
    yield from (sentence(double_text(one)) for one in effects.doubles)
    old, teller = {_place(one) for one in _at_odds(effects.before)}, Teller(effects.after.report.state)
    for one in _at_odds(effects.after):
        if _place(one) not in old:
            yield f"{id_of(one.subject)}: {teller.worded(one).says}"
    before, after = effects.usd
    if before != after:
        yield f"Fees for one term: ${after} instead of ${before}."


def _at_odds(standing: Standing) -> Iterable[Finding]:
    """What a rule finds that can't be right by the record, such as a sign-off by somebody who had left."""
    outcomes = ((one, one.outcome) for one in standing.report.counted)
    return (one for one, outcome in outcomes if outcome.why is Why.CONFLICT and outcome.code not in KEYS)


def _place(finding: Finding) -> tuple[str, str, str]:
    return finding.subject, finding.rule.name, finding.outcome.code


def named(subjects: Sequence[str]) -> str:
    """Who or what a line is about: the names of a few, or how many of what with the first names."""
    names = ", ".join(id_of(one) for one in subjects[:_NAMED])
    if len(subjects) <= _NAMED:
        return names
    return f"{names} and {len(subjects) - _NAMED} more"


def fix_text(fix: Fix) -> str:
    """What is to be fixed, by when and who does it: `Mark Maple 1. Before it flies (14 CFR 48.205). Who: Nela Quist.`"""
    when = with_section(sentence(fix.when), fix.cites)
    return _with_who(f"{_whose(fix.do, fix.subjects)} {when}", fix.who_else)


def due_text(due: Expiry) -> str:
    """What is due, by when and who does it: `Renew Maple 1. By Feb 13, 2030. Who: Nela Quist.`"""
    when = with_section(f"By {day_words(due.day)}.", due.cites)
    return _with_who(f"{_whose(due.what, due.subjects)} {when}", due.who_else)


def _whose(text: str, subjects: Sequence[str]) -> str:
    """A text as a sentence; where it is about several, with their names."""
    return sentence(text if len(subjects) == 1 else f"{text.removesuffix('.')} ({named(subjects)})")


def _other_dates(change: WhatChanges) -> Iterable[str]:
    if change.gone:
        yield f"Other deadlines of {named(change.gone)}."


def _with_who(text: str, who: Sequence[str]) -> str:
    return f"{text} Who: {', '.join(who[:_NAMED])}." if who else text


def side_by_side(effects: Effects, about: Iterable[str] = ()) -> tuple[SideBySide, ...]:
    """Two futures of one day in two columns: statuses that differ, all counted, what is to be done, the fees."""
    change = change_of(effects, about)
    rows = [SideBySide(named(turn.subjects), *_sides(turn)) for turn in change.turns]
    rows.append(SideBySide("All together", _counted(effects.before), _counted(effects.after)))
    over = [fix_text(one) if isinstance(one, Fix) else due_text(one) for one in change.over]
    rows += [SideBySide("To do", one, "") for one in (*over, *_other_dates(change))]
    rows += [SideBySide("To do", "", fix_text(one)) for one in change.to_do]
    for due in change.due:
        was = "" if due.was is None else due_text(due.expiry._replace(day=due.was))
        rows.append(SideBySide("To do", was, due_text(due.expiry)))
    before, after = effects.usd
    return (*rows, SideBySide("Fees for one term", f"${before}", f"${after}"))


def _sides(turn: Turn) -> tuple[str, str]:
    return _status(turn.before), f"{_status(turn.after)} {turn.why}".strip()


def _counted(of: Standing) -> str:
    """All of a future counted by status."""
    found = [row.headline for row in of.rows]
    return ", ".join(head.of(found.count(head)) for head in Headline if head in found)


def _status(headline: Headline | None) -> str:
    return "Not checked." if headline is None else sentence(headline.value)


def change_json(change: WhatChanges) -> Json:
    """What a change does to people, as part of a document."""
    return {
        "status": [
            {
                "subjects": list(turn.subjects),
                "before": code_of(turn.before),
                "after": code_of(turn.after),
                "why": turn.why or None,
            }
            for turn in change.turns
        ],
        "stay_the_same": change.same,
        "to_do": [fix_json(fix) for fix in change.to_do],
        "comes_due": [
            {**expiry_json(one.expiry), "was": None if one.was is None else one.was.isoformat()}
            for one in change.due
        ],
        "no_longer_to_do": [
            fix_json(one) if isinstance(one, Fix) else expiry_json(one) for one in change.over
        ],
        "no_longer_in_the_program": list(change.gone),
        "notes": list(change.notes),
    }


def code_of(headline: Headline | None) -> str | None:
    """The code of a status in documents."""
    return None if headline is None else headline.code
