"""Facts that cannot all be so: a state in which they decide nothing, and the sentences that tell why.

The pairs stand in `contradictions.toml`, one row each; here are the tests that the rows name.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Container, Iterator, Mapping
from datetime import date
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.days import (
    Order,
    When,
    add_years,
    day_of,
    end_of_calendar_months,
    first_of_month_before,
    order_of,
    whole_years_between,
)
from airwrit.base.errors import BadLawFile
from airwrit.base.identifiers import NumberForm, number_form
from airwrit.base.verdict import Undecided, Why
from airwrit.facts.choices import RegistrationKind, words_of
from airwrit.facts.key import Key, raw_of
from airwrit.facts.state import Clash, Held, State, value_held, with_held
from airwrit.facts.vocabulary import KEYS, TABLES
from airwrit.law.parameters import Law, Param, parameter

LEAST_AGE = parameter("remote_pilot_least_age", int)
TERM_YEARS = parameter("registration_term_years", int)
RECREATIONAL_TERM_YEARS = parameter("recreational_term_years", int)
PART_47_TERM_YEARS = parameter("part_47_term_years", int)
WINDOW_MONTHS = parameter("renewal_window_months", int)
EARLY_RECREATIONAL_EXPIRY = parameter("early_recreational_expiry", date)

TABLE = Path(__file__).with_name("contradictions.toml")
_FIELDS = {"name", "keys", "test", "is", "is_not", "unless", "cites", "says", "do"}


class FactPlace(NamedTuple):
    """One fact of a pair: its key, and the key by which the first one's subject points at its own; None for the same."""

    key: Key[Any]
    by: Key[str] | None


class Pair(NamedTuple):
    """A row: facts that cannot all be so where they hold (or do not hold) some values and break a test.

    It is passed over where something is on file of the same subject under one of the keys of `unless`, or nothing under one of
    its `own`, the keys of its first fact's subject.
    """

    name: str
    places: tuple[FactPlace, ...]
    test: str
    holds: Mapping[str, tuple[Any, ...]]
    holds_not: Mapping[str, tuple[Any, ...]]
    unless: tuple[Key[Any], ...]
    own: frozenset[Key[Any]]
    cites: str
    says: str
    do: str


class Case(NamedTuple):
    """Some facts to be tested: the first one's subject, their values in the row's order, the day, the law of the day."""

    subject: str
    values: tuple[Any, ...]
    on: When
    law: Law


@cache
def pairs() -> tuple[Pair, ...]:
    """The rows of the table."""
    return read_pairs(TABLE.read_text(encoding="utf-8"))


def read_pairs(text: str) -> tuple[Pair, ...]:
    """The rows of a table. BadLawFile for unknown fields, keys and tests, and for a value of no key of the row."""
    return tuple(_pair(row) for row in tomllib.loads(text)["pairs"])


def _pair(row: Mapping[str, Any]) -> Pair:
    name = row["name"]
    if set(row) - _FIELDS:
        raise BadLawFile(f"unknown field {min(set(row) - _FIELDS)}", where=name)
    if row["test"] not in TESTS:
        raise BadLawFile(f"no test is called {row['test']}", where=name)
    places = tuple(_place(text, name) for text in row["keys"])
    held = {place.key.name for place in places}
    for values in (row.get("is", {}), row.get("is_not", {})):
        if set(values) - held:
            raise BadLawFile(f"{min(set(values) - held)} is none of its keys", where=name)
    return Pair(
        name,
        places,
        row["test"],
        {key: tuple(values) for key, values in row.get("is", {}).items()},
        {key: tuple(values) for key, values in row.get("is_not", {}).items()},
        tuple(_place(text, name).key for text in row.get("unless", ())),
        frozenset(place.key for place in places if place.by is None),
        row["cites"],
        row["says"],
        row["do"],
    )


def _place(text: str, where: str) -> FactPlace:
    by, _, name = text.rpartition(".")
    for key in (by, name):
        if key and key not in KEYS:
            raise BadLawFile(f"there is no fact called {key}", where=where)
    return FactPlace(KEYS[name], KEYS[by] if by else None)


@cache
def _by_kind() -> Mapping[str, tuple[Pair, ...]]:
    """The rows by the kind of subject that holds their first fact."""
    found: dict[str, list[Pair]] = {}
    for pair in pairs():
        found.setdefault(TABLES[pair.places[0].key.table], []).append(pair)
    return {kind: tuple(rows) for kind, rows in found.items()}


def settled(state: State, day: date, earlier: State | None = None) -> State:
    """The state with every fact of a contradiction held as contradicted by the law of a day; itself where there is none.

    `earlier` is a state of the same day or instant, settled by the same law: only what is held otherwise is looked at again.
    """
    if state.settled_on == day:
        return state
    found: State | None = state.once(("settled", day), lambda: _settled(state, day, earlier))
    return state if found is None else found


def _settled(state: State, day: date, earlier: State | None) -> State | None:
    among = None if earlier is None else _to_look_at(state, earlier)
    clashes = tuple(_clashes(state, Law(day), among))
    if not clashes:
        return None
    changes: dict[str, dict[Key[Any], Held]] = {}
    for clash in clashes:
        for subject, key in clash.places:
            held = state.held[subject][key]
            changes.setdefault(subject, {})[key] = Held(held.value, Why.CONFLICT, held.origins)
    return with_held(state, changes).with_clashes(clashes, day)


def _to_look_at(state: State, earlier: State) -> set[str]:
    """The subjects whose facts may clash otherwise: those held otherwise, those that point at one, those in a clash before.

    What points at a subject that is gone clashes no more; if it did before, it was in a clash.
    """
    before = earlier.held
    found = {subject for subject, facts in state.held.items() if before.get(subject) is not facts}
    for by in _links():
        found.update([one for to in tuple(found) for one in state.holding(by, to.partition("/")[2])])
    return found.union(subject for clash in earlier.clashes for subject, _ in clash.places)


@cache
def _links() -> frozenset[Key[Any]]:
    """The facts through which a row looks at another subject."""
    return frozenset(place.by for pair in pairs() for place in pair.places if place.by is not None)


def _clashes(state: State, law: Law, among: Container[str] | None) -> Iterator[Clash]:
    """The clashes of the subjects to look at; of all where `among` is None."""
    for kind, rows in _by_kind().items():
        for subject in state.subjects(kind):
            if among is not None and subject not in among:
                continue
            facts = state.held[subject]
            for pair in rows:
                if pair.own <= facts.keys() and facts.keys().isdisjoint(pair.unless):
                    places = _broken(pair, state, subject, law)
                    if places is not None:
                        yield Clash(pair.name, places)


def _broken(pair: Pair, state: State, subject: str, law: Law) -> tuple[tuple[str, Key[Any]], ...] | None:
    """The places of a pair's facts about a subject where they cannot all be so; None where they can."""
    places, values = [], []
    for key, by in pair.places:
        owner: str | None = subject
        if by is not None:
            link = value_held(state, subject, by)
            owner = None if link is None else f"{by.links_to}/{link}"
        value = None if owner is None else value_held(state, owner, key)
        if owner is None or value is None or not _is_looked_at(pair, key, value):
            return None
        places.append((owner, key))
        values.append(value)
    try:
        broken = TESTS[pair.test](Case(subject, tuple(values), state.on, law))
    except Undecided:  # We haven't read the law for that day: whether they can be so is not known
        return None
    return tuple(places) if broken else None


def _is_looked_at(pair: Pair, key: Key[Any], value: Any) -> bool:
    wanted, unwanted = pair.holds.get(key.name), pair.holds_not.get(key.name)
    if wanted is None and unwanted is None:
        return True
    raw = raw_of(value)
    return (wanted is None or raw in wanted) and (unwanted is None or raw not in unwanted)


class ContradictionText(NamedTuple):
    """A contradiction in words; `cites` is "" where it is plain sense."""

    says: str
    do: str
    cites: str


def told(clash: Clash, state: State) -> ContradictionText:
    """A contradiction of a state in words, filled with its facts."""
    pair = next(pair for pair in pairs() if pair.name == clash.name)
    held = ((key.name, state.held[subject][key].value) for subject, key in clash.places)
    values = {name: raw_of(words_of(one) if isinstance(one, StrEnum) else one) for name, one in held}
    values["subject"] = clash.places[0][0].partition("/")[2]
    return ContradictionText(pair.says.format_map(values), pair.do, pair.cites)


# ---- the tests ----------------------------------------------------------------------------------------------------------


def _together(case: Case) -> bool:
    del case
    return True


def _first_before_second(case: Case) -> bool:
    first, second, *_ = case.values
    return order_of(first, second) is Order.BEFORE


def _second_has_come(case: Case) -> bool:
    return order_of(case.values[1], case.on) in (Order.BEFORE, Order.SAME)


def _first_below_second(case: Case) -> bool:
    first, second, *_ = case.values
    return bool(first < second)


def _second_below_first(case: Case) -> bool:
    first, second, *_ = case.values
    return bool(second < first)


def _second_too_young(case: Case) -> bool:
    return whole_years_between(case.values[1], day_of(case.on)) < case.law[LEAST_AGE]


def _second_too_young_on_third(case: Case) -> bool:
    _, born, done = case.values
    return whole_years_between(born, day_of(done)) < case.law[LEAST_AGE]


def _number_of_another_kind(case: Case) -> bool:
    (kind,) = case.values
    other = NumberForm.PART_48 if kind is RegistrationKind.PART_47 else NumberForm.N_NUMBER
    return number_form(case.subject.partition("/")[2]) is other


def _renewed_too_early(case: Case) -> bool:
    """Whether a renewal lies between the issue and the opening of the first window, whichever term the issue gave.

    That is the term as issued or the longer one of the renewal's day. An end that relief gave lies beyond both.
    """
    renewed, issued, kind = case.values
    if renewed < issued:
        return False
    then = case.law.then(renewed)
    ends = [_first_end(issued, kind, law) for law in (case.law.then(issued), then)]
    return all(renewed < _window_opens(end, then) for end in ends)


def _runs_too_long(case: Case) -> bool:
    """Whether the certificate runs longer than any that is in force on the day, made or renewed by then."""
    expires, kind = case.values
    return _is_beyond(expires, kind, day_of(case.on), case.law)


def _runs_too_long_from_issue(case: Case) -> bool:
    """Whether it runs longer than one issued then could by the day, had it been renewed as early as can be."""
    expires, issued, kind = case.values
    return _is_beyond(expires, kind, max(issued, day_of(case.on)), case.law)


def _runs_too_long_from_renewal(case: Case) -> bool:
    """Whether it runs longer than the last renewal on file could make it."""
    expires, renewed, kind = case.values
    return _is_beyond(expires, kind, renewed, case.law)


def _is_beyond(expires: date, kind: RegistrationKind, day: date, law: Law) -> bool:
    """Whether an expiry lies beyond all that a filing up to a day could give: a term, and what was left of the one before.

    A term lengthened since, or relief, counts by the law of the day asked about.
    """
    then, param = law.then(day), _years(kind)
    if kind is RegistrationKind.RECREATIONAL and expires <= law[EARLY_RECREATIONAL_EXPIRY]:
        return False
    before = add_years(expires, -max(then[param], law[param]))
    return day < _window_opens(before, then)


def _years(kind: RegistrationKind) -> Param[int]:
    if kind is RegistrationKind.PART_47:
        return PART_47_TERM_YEARS
    return RECREATIONAL_TERM_YEARS if kind is RegistrationKind.RECREATIONAL else TERM_YEARS


def _first_end(issued: date, kind: RegistrationKind, law: Law) -> date:
    """The end of a certificate's first term by the law of a day, relief left out."""
    if kind is RegistrationKind.PART_47:
        return end_of_calendar_months(issued, 12 * law[PART_47_TERM_YEARS])
    return add_years(issued, law[_years(kind)])


def _window_opens(end: date, law: Law) -> date:
    return first_of_month_before(end, law[WINDOW_MONTHS])


TESTS: Mapping[str, Callable[[Case], bool]] = {
    "together": _together,
    "first_before_second": _first_before_second,
    "second_has_come": _second_has_come,
    "first_below_second": _first_below_second,
    "second_below_first": _second_below_first,
    "second_too_young": _second_too_young,
    "second_too_young_on_third": _second_too_young_on_third,
    "number_of_another_kind": _number_of_another_kind,
    "renewed_too_early": _renewed_too_early,
    "runs_too_long": _runs_too_long,
    "runs_too_long_from_issue": _runs_too_long_from_issue,
    "runs_too_long_from_renewal": _runs_too_long_from_renewal,
}
