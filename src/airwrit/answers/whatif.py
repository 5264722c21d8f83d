"""Acts tried without writing: two futures of one day side by side, without them and with them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from airwrit.answers.acts import Deed, act_named, deed_of, known_with
from airwrit.answers.effects import NO_BASIS, Basis, Effects, effects_of
from airwrit.answers.standing import Headline
from airwrit.answers.taking_in import Contradiction, clashes
from airwrit.base.errors import UsageError
from airwrit.base.findings import Verdict
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import kind_of

Pair = tuple[str, str]


class Thought(NamedTuple):
    """An act thought of: its name, its subject, what is told, and the day."""

    act: str
    subject: str
    told: Mapping[str, Raw]
    on: date


class Side(NamedTuple):
    """One aircraft or person in both futures; None where it does not stand in one of them."""

    subject: str
    without: Headline | None
    with_it: Headline | None


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The acts in order as they would be kept, what cannot both be so, and the two futures on each day asked about."""

    deeds: tuple[Deed, ...]
    contradictions: tuple[Contradiction, ...]
    futures: tuple[Effects, ...]

    @property
    def verdict(self) -> Verdict:
        """The verdict of the first day with the acts; unknown where they contradict what is on file."""
        verdict = self.futures[0].after.report.verdict
        return Verdict.UNKNOWN if self.contradictions and verdict is Verdict.MET else verdict


def whatif(
    known: Iterable[Known],
    thoughts: Sequence[Thought],
    days: Sequence[date],
    known_at: datetime,
    basis: Basis = NO_BASIS,
) -> WhatIf:
    """What the acts would change on each of the days. Each act is tried on top of those before it; nothing is written.

    UsageError and BadFact on an act that cannot be.
    """
    if not thoughts:
        raise UsageError("no act was thought of", where="ACT", do='name one, like "sell aircraft/NAME"')
    before = list(known)
    after, deeds = before, []
    for thought in thoughts:
        deed = deed_of(act_named(thought.act), thought.subject, thought.told, thought.on, after)
        after = known_with(after, deed)
        deeds.append(deed)
    futures = tuple(effects_of(before, after, day, known_at, basis) for day in days)
    return WhatIf(tuple(deeds), _contradictions(before, after, deeds), futures)


def sides(effects: Effects) -> tuple[Side, ...]:
    """Every aircraft and person in both futures, those that differ first."""
    old = {row.subject: row.headline for row in effects.before.rows}
    new = {row.subject: row.headline for row in effects.after.rows}
    found = [Side(subject, old.get(subject), new.get(subject)) for subject in dict.fromkeys((*old, *new))]
    return tuple(
        sorted(found, key=lambda side: (side.without is side.with_it, kind_of(side.subject) == "person"))
    )


def _contradictions(
    before: Sequence[Known], after: Sequence[Known], deeds: Iterable[Deed]
) -> tuple[Contradiction, ...]:
    """What cannot both hold of the facts the acts speak of."""
    pairs = dict.fromkeys((one.subject, one.key) for deed in deeds for one in deed.statements)
    found = []
    for pair in pairs:
        were = {one.on for one in clashes(_unanswered(before, pair))}
        found += [
            one._replace(new=one.on not in were)
            for one in clashes(_unanswered(after, pair))
            if one.on not in were
        ]
    return tuple(found)


def _unanswered(known: Sequence[Known], pair: Pair) -> list[Known]:
    mine = [item for item in known if (item.statement.subject, item.statement.key) == pair]
    answered = {number for item in mine for number in item.answers}
    return [item for item in mine if not (item.number and item.number in answered)]
