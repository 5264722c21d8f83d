"""Ways to know less: facts taken away, contradicted, damaged or not yet so, one or several at once, and who gains by it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from itertools import combinations

from airwrit.base.days import When, day_of
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw, raw_of
from airwrit.facts.state import Clash, State
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import KEYS
from airwrit.law.contradictions import pairs, settled
from airwrit.law.rule import Finding, judge
from airwrit.law.wording import missing_fact
from tests.properties.statements import KNOWN_AT

Fact = tuple[str, str]
"""A subject and the name of a key."""


class How(StrEnum):
    """How a fact is lessened."""

    TAKEN_AWAY = "taken away"
    CONTRADICTED = "contradicted"
    DAMAGED = "damaged"
    POSTPONED = "postponed"


def lessened(known: Sequence[Known], facts: Collection[Fact], how: How, on: When) -> State:
    """The state of a day when some facts are lessened."""
    if how is How.DAMAGED:
        return state_of(known, on, KNOWN_AT, facts)
    kept = [item for item in known if _fact(item) not in facts]
    mine = [item for item in known if _fact(item) in facts]
    if how is How.CONTRADICTED:
        kept += mine + [_said_otherwise(item) for item in mine]
    if how is How.POSTPONED:
        kept += [_from_the_next_day(item, on) for item in mine]
    return state_of(kept, on, KNOWN_AT)


def _fact(item: Known) -> Fact:
    return item.statement.subject, item.statement.key


def _said_otherwise(item: Known) -> Known:
    statement = item.statement
    return item._replace(
        statement=statement._replace(value=_other(statement.key, statement.value)), origin="another"
    )


def _other(name: str, value: object) -> Raw:
    kind = KEYS[name].kind
    if kind is bool:
        return value is not True
    if kind is date:
        return "2019-03-03" if value != "2019-03-03" else "2019-03-04"
    if kind is Decimal:
        return "7" if value != "7" else "8"
    if issubclass(kind, StrEnum):
        return next(raw_of(word) for word in kind if raw_of(word) != value)
    return f"{value}-other"


def _from_the_next_day(item: Known, on: When) -> Known:
    start = day_of(on) + timedelta(days=1)
    return item._replace(statement=item.statement._replace(valid_from=start, valid_until=None))


def gained(before: Finding, state: State, after: Finding, facts: Collection[Fact], how: How) -> bool:
    """Whether a finding that was no yes is one once some facts are lessened, and owes it to nothing but that.

    A rule may read silence as "nothing on file" and tells it; silence is what is left where a fact is taken away or not yet
    so. And where a fact was contradicted by one that is gone, the contradiction cannot be seen any more.
    """
    if before.verdict is Verdict.MET or after.verdict is not Verdict.MET:
        return False
    if how in (How.TAKEN_AWAY, How.POSTPONED):
        quiet = {(used.subject, used.key.name) for used in before.used if used.closed} & {
            (used.subject, used.key.name) for used in after.used if used.closed
        }
        if quiet & set(facts):
            return False
    return not _contradicted_by(before, state, facts)


def _contradicted_by(finding: Finding, state: State, facts: Collection[Fact]) -> bool:
    """Whether a finding was left open by a fact that some facts contradict, without being among them itself."""
    if finding.outcome.why is not Why.CONFLICT:
        return False
    fact = missing_fact(finding, state)
    place = None if fact is None else (fact.subject, fact.key)
    clashes = [clash for clash in settled(state, day_of(state.on)).clashes if place in clash.places]
    others = {(subject, key.name) for clash in clashes for subject, key in clash.places}
    others |= {link for clash in clashes for link in _links(clash)}
    return bool(others & set(facts))


def _links(clash: Clash) -> Iterator[Fact]:
    """The facts by which the subjects of a clash belong together."""
    pair = next(pair for pair in pairs() if pair.name == clash.name)
    return ((clash.places[0][0], place.by.name) for place in pair.places if place.by is not None)


def gains(
    finding: Finding,
    known: Sequence[Known],
    groups: Iterable[Collection[Fact]],
    how: How,
    on: When,
    use: UsedFor,
) -> Iterator[str]:
    """A line for each group of facts by whose lessening a finding that was no yes becomes one."""
    state = state_of(known, on, KNOWN_AT)
    for facts in groups:
        less = lessened(known, facts, how, on)
        after = judge(finding.rule, less, finding.subject, use, day_of(on))
        if gained(finding, state, after, facts, how):
            yield f"{finding.rule.name}: {finding.outcome.code}, {sorted(facts)} {how}"


def looked_at(finding: Finding) -> list[Fact]:
    """The facts that a finding looked at, each once."""
    return list(dict.fromkeys((used.subject, used.key.name) for used in finding.used))


def groups_of(facts: Sequence[Fact], most_pairs: int) -> list[tuple[Fact, ...]]:
    """Some facts one by one, and so many pairs of them, spread over all that there are."""
    pairs = list(combinations(facts, 2))
    step = max(1, len(pairs) // most_pairs)
    return [*((fact,) for fact in facts), *pairs[::step]]
