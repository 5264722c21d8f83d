"""Acts tried without writing: two futures of one day side by side, without them and with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from airwrit.answers.acts.catalog import ActPlanned, ActRequest
from airwrit.answers.acts.plan import (
    NO_BASIS,
    ActPlan,
    Basis,
    Effects,
    all_known,
    effects_of,
    held_with,
    plan_of,
)
from airwrit.answers.sheets.difference import Contradiction, OnRecord, clashes
from airwrit.answers.standing.headline import Headline
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.vocabulary import kind_of

WHATIF = "whatif"
"""Who says what is only thought of."""


class Future(NamedTuple):
    """One aircraft or person in both futures; None where it does not stand in one of them."""

    subject: str
    without: Headline | None
    with_it: Headline | None


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The acts in order as they would be kept, what cannot both be so, and the two futures on each day asked about."""

    deeds: tuple[ActPlanned, ...]
    contradictions: tuple[Contradiction, ...]
    futures: tuple[Effects, ...]

    @property
    def verdict(self) -> Verdict:
        """The verdict of the first day with the acts; unknown where they contradict what is on file."""
        verdict = self.futures[0].after.report.verdict
        return Verdict.UNKNOWN if self.contradictions and verdict is Verdict.MET else verdict


def whatif(
    held: OnRecord,
    thoughts: Sequence[ActRequest],
    days: Sequence[date],
    known_at: datetime,
    basis: Basis = NO_BASIS,
) -> WhatIf:
    """What the acts would change on each of the days. Each act is tried on top of those before it; nothing is written.

    UsageError and BadFact on an act that cannot be.
    """
    if not thoughts:
        raise UsageError(
            "you didn't say what might happen", where="ACT", do='write it like "sell aircraft/NAME"'
        )
    before, plans = held, list[ActPlan]()
    for thought in thoughts:
        plans.append(plan_of(thought, held, WHATIF))
        held = held_with(held, plans[-1])
    first, last = plans[0].before, all_known(held)
    return WhatIf(
        tuple(plan.deed for plan in plans),
        _contradictions(before, held, plans),
        tuple(effects_of(first, last, day, known_at, basis) for day in days),
    )


def sides(effects: Effects) -> tuple[Future, ...]:
    """Every aircraft and person in both futures, those that differ first."""
    old = {row.subject: row.headline for row in effects.before.rows}
    new = {row.subject: row.headline for row in effects.after.rows}
    found = [Future(subject, old.get(subject), new.get(subject)) for subject in dict.fromkeys((*old, *new))]
    return tuple(
        sorted(found, key=lambda side: (side.without is side.with_it, kind_of(side.subject) == "person"))
    )


def _contradictions(before: OnRecord, after: OnRecord, plans: Sequence[ActPlan]) -> tuple[Contradiction, ...]:
    """What cannot both hold, of the facts the acts speak of, and could before; a certificate that two aircraft would have."""
    pairs = dict.fromkeys((one.subject, one.key) for plan in plans for one in plan.deed.statements)
    found = []
    for pair in pairs:
        were = {one.on for one in clashes(before.alive(pair))}
        found += [one for one in clashes(after.alive(pair)) if one.on not in were]
    shared = [one for plan in plans for one in plan.taking.contradictions if _is_of_a_certificate(one)]
    return tuple(dict.fromkeys((*found, *shared)))


def _is_of_a_certificate(one: Contradiction) -> bool:
    """Whether it is about the aircraft a certificate stands on."""
    return one.key == REGISTRATION.name and kind_of(one.subject) == "registration"
