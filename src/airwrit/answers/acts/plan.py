"""Keeping an act: what that does to the ledger, and what is known then; nothing here writes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from airwrit.answers.acts.act import Act, refused
from airwrit.answers.acts.catalog import ActPlanned, ActRequest, act_named, deed_of, subject_meant
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, Pair, saying_by_hand, seq_of
from airwrit.answers.standing.standing import numbers_shared
from airwrit.base.errors import UsageError
from airwrit.facts.state import State
from airwrit.facts.statement import Known
from airwrit.ledger.entry import number_of


class ActPlan(NamedTuple):
    """An act worked out against a ledger: its deed, what keeping it does, what is known without it and with it.

    `taking.drafts` is the one entry to append, with `after=taking.after`; it is empty where nothing is new.
    """

    deed: ActPlanned
    taking: Difference
    before: tuple[Known, ...]
    after: tuple[Known, ...]


def plan_of(
    thought: ActRequest,
    held: OnRecord,
    by: str,
    note: str = "",
    *,
    corrects: bool = False,
    state: State | None = None,
) -> ActPlan:
    """What keeping an act would do. UsageError and BadFact on an act that cannot be.

    `corrects`: it takes the place of the last such act on record of the same subject, as if that had never been said.
    `state` is what `held` comes to, where it is at hand for the day of the act.
    """
    before = all_known(held)
    act = act_named(thought.act)
    takes: tuple[Known, ...] = ()
    if corrects:
        subject = subject_meant(act, thought.subject, before, thought.on)
        takes = _last_such(act.name, subject, held)
        if not takes:
            what = f"{subject} has no {act.name!r} on record to correct"
            raise refused(what, "leave out --correct", "--correct")
        deed = deed_of(act, thought.subject, thought.told, thought.on, _but(before, takes))
    else:
        known_then = state if state is not None and state.on == thought.on else None
        deed = _deed(act, thought, before, held, known_then)
    takes += follow_up(deed, held, {item.number for item in takes})
    taking = saying_by_hand(held, HandEntry(deed.statements, note=note, act=act.name, takes=takes), by)
    shared = numbers_shared(held, taking.changes, deed.on)
    taking = replace(taking, contradictions=(*taking.contradictions, *shared))
    return ActPlan(deed, taking, before, (*before, *kept_of(taking)))


def _deed(
    act: Act, thought: ActRequest, before: Sequence[Known], held: OnRecord, state: State | None
) -> ActPlanned:
    """The deed; of an act that is said again for its day, such as a form sent twice, the one that was said first."""
    try:
        return deed_of(act, thought.subject, thought.told, thought.on, before, state)
    except UsageError:
        subject = subject_meant(act, thought.subject, before, thought.on)
        same = [
            item for item in _last_such(act.name, subject, held) if item.statement.valid_from == thought.on
        ]
        if not same:
            raise
        try:
            again = deed_of(act, thought.subject, thought.told, thought.on, _but(before, same))
        except UsageError:
            again = None
        if again is None or not {item.statement for item in same} >= set(again.statements):
            raise
        return again


def follow_up(deed: ActPlanned, held: OnRecord, taken: set[str]) -> tuple[Known, ...]:
    """What acts that this one follows on the same day said otherwise of the same facts."""
    found = []
    for pair in dict.fromkeys((one.subject, one.key) for one in deed.statements):
        values = {one.value for one in deed.statements if (one.subject, one.key) == pair}
        for item in held.alive(pair):
            same_day = item.statement.valid_from == deed.on and item.statement.value not in values
            if same_day and item.number not in taken and _act_of(item, held) in deed.act.follows:
                found.append(item)
    return tuple(found)


def _act_of(item: Known, held: OnRecord) -> str:
    return held.acts.get(seq_of(item), ("", ""))[0] if item.number else ""


def before_of(known: Iterable[Known], acts: Mapping[int, tuple[str, str]] | None = None) -> OnRecord:
    """Statements of sheets, or of a ledger with its acts, ready for acts to be tried on; each gets a number if it has none."""
    groups: dict[Pair, list[Known]] = {}
    answered: dict[str, list[int]] = {}
    for place, item in enumerate(known):
        numbered = item if item.number else item._replace(number=number_of(0, place))
        groups.setdefault((item.statement.subject, item.statement.key), []).append(numbered)
        for number in item.answers:
            answered.setdefault(number, []).append(seq_of(numbered))
    return OnRecord(0, groups, acts or {}, answered)


def held_with(held: OnRecord, plan: ActPlan) -> OnRecord:
    """What a ledger would hold once an act was kept."""
    seq = max((0, *held.acts)) + 1
    groups = {pair: list(items) for pair, items in held.groups.items()}
    answered = {number: list(seqs) for number, seqs in held.answered.items()}
    place = 0
    for draft in plan.taking.drafts:
        for number in draft.answers:
            answered.setdefault(number, []).append(seq)
        for statement in draft.statements:
            item = Known(
                statement,
                f"{draft.act} on {plan.deed.on}",
                number=number_of(seq, place),
                answers=draft.answers,
            )
            groups.setdefault((statement.subject, statement.key), []).append(item)
            place += 1
    return OnRecord(held.after, groups, {**held.acts, seq: (plan.deed.act.name, "")}, answered)


def all_known(held: OnRecord) -> tuple[Known, ...]:
    """Every statement a ledger holds."""
    return tuple(item for items in held.groups.values() for item in items)


def _but(known: Sequence[Known], gone: Sequence[Known]) -> list[Known]:
    """The statements without some of them."""
    numbers = {item.number for item in gone}
    return [item for item in known if item.number not in numbers]


def kept_of(taking: Difference) -> list[Known]:
    """The statements that keeping would add, with what they take the place of."""
    return [
        Known(statement, draft.act, answers=draft.answers)
        for draft in taking.drafts
        for statement in draft.statements
    ]


def _last_such(act: str, subject: str, held: OnRecord) -> tuple[Known, ...]:
    """What the last act of that name about a subject put on record, where it still stands; nothing where there is none."""
    mine: dict[int, list[Known]] = {}
    for pair in held.groups:
        for item in held.alive(pair):
            if _act_of(item, held) == act:
                mine.setdefault(seq_of(item), []).append(item)
    for seq in sorted(mine, reverse=True):
        if any(item.statement.subject == subject for item in mine[seq]):
            return tuple(mine[seq])
    return ()
