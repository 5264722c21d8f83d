"""Names that may be one person: "Dana Haskell", "D. Haskell", "Haskell, Dana". They are offered, never joined unasked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from airwrit.facts.keys.person import ALSO_CALLED, EVENT_OF, NOT_CALLED
from airwrit.facts.keys.service import HOLDS
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Problem, Statement
from airwrit.facts.vocabulary import KEYS, id_of, kind_of, subject_named


class _Name(NamedTuple):
    """A name taken apart, in small letters: the last name and the first, which may be an initial."""

    last: str
    first: str


Pairs = Collection[frozenset[str]]
"""Pairs of people who are not one, as somebody said."""


def perhaps_one(subjects: Iterable[str], apart: Pairs = frozenset()) -> tuple[tuple[str, ...], ...]:
    """The people who may be one, the fullest name first. Nobody is in two groups that differ: then none is offered.

    Those of whom somebody said that they are different people are not offered together.
    """
    people = [subject for subject in dict.fromkeys(subjects) if kind_of(subject) == "person"]
    by_last: dict[str, list[str]] = defaultdict(list)
    for subject in people:
        name = _taken_apart(id_of(subject))
        if name is not None:
            by_last[name.last].append(subject)
    groups = (group for same in by_last.values() for group in _groups(same))
    return tuple(part for group in groups for part in _parted(group, apart))


def _parted(group: Sequence[str], apart: Pairs) -> Iterator[tuple[str, ...]]:
    """The group without those who are different people, who may make groups of their own."""
    rest = list(group)
    while len(rest) > 1:
        first, *others = rest
        mates = [other for other in others if frozenset((first, other)) not in apart]
        if mates:
            yield (first, *mates)
        rest = [other for other in others if other not in mates]


def perhaps_one_in(state: State) -> tuple[tuple[str, ...], ...]:
    """The people of a state who may be one, those whose tests or training alone are on file among them."""
    trained = [state.held[event].get(EVENT_OF) for event in state.subjects("training")]
    pointed = [
        subject_named("person", held.value) for held in trained if held is not None and held.why is None
    ]
    people = state.subjects("person")
    return perhaps_one(
        (*people, *pointed), {pair for person in people for pair in _said_apart(person, state)}
    )


def _said_apart(person: str, state: State) -> Iterator[frozenset[str]]:
    """The pairs of a person and somebody of a like name who is another."""
    held = state.held[person].get(NOT_CALLED)
    names = held.value if held is not None and held.why is None else ()
    for name in (names,) if isinstance(names, str) else names:
        yield frozenset((person, subject_named("person", name)))


def _taken_apart(text: str) -> _Name | None:
    """The parts of a name; None for one of a single word."""
    last, comma, first = text.casefold().replace(".", " ").partition(",")
    words = [*first.split(), *last.split()] if comma else last.split()
    return _Name(words[-1], words[0]) if len(words) > 1 else None


def _groups(same: Sequence[str]) -> Iterable[tuple[str, ...]]:
    """Those of one last name whose first names are the same, or one the initial of the other."""
    firsts: dict[str, list[str]] = defaultdict(list)
    for subject in same:
        name = _taken_apart(id_of(subject))
        firsts["" if name is None else name.first].append(subject)
    full = [first for first in firsts if len(first) > 1]
    for first in full or list(firsts):
        short = firsts.get(first[:1], []) if len(first) > 1 else []
        alone = sum(other.startswith(first[:1]) for other in full) == 1
        group = [*firsts[first], *(short if alone else ())]
        if len(group) > 1:
            yield tuple(sorted(group, key=_by_fullness))


def _by_fullness(subject: str) -> tuple[bool, int]:
    """Plain and long names first."""
    name = id_of(subject)
    return ("," in name, -len(name))


def spelled_again(known: Collection[Known]) -> Iterator[Known]:
    """What holds each further spelling of a name until somebody says whose it is: a yes for it may be another person's."""
    own = {item.statement.subject: item.origin for item in known}
    for first, *others in perhaps_one(people_in(known)):
        for other in filter(own.__contains__, others):
            yield Known(Statement(other, HOLDS["person"].text.name, spelling_of(first)), own[other])


def spelling_of(person: str) -> str:
    """The text that holds a name that may be another spelling of a person's."""
    return f"may be another spelling of {id_of(person)}"


def names_told(known: Iterable[Known]) -> dict[str, str]:
    """The names that a person also goes by, each with the person, as subjects."""
    return {
        subject_named("person", str(item.statement.value)): item.statement.subject
        for item in known
        if item.statement.key == ALSO_CALLED.name and item.statement.value is not None
    }


def joined(known: Iterable[Known], others: Mapping[str, str]) -> list[Known]:
    """The statements, with everything said of some names said of the people they are."""
    return [_joined(item, others) for item in known] if others else list(known)


def _joined(item: Known, others: Mapping[str, str]) -> Known:
    subject, key, value = item.statement[:3]
    person = others.get(subject, subject)
    if KEYS[key].links_to == "person" and isinstance(value, str):
        value = id_of(others.get(subject_named("person", value), subject_named("person", value)))
    if (person, value) == (subject, item.statement.value):
        return item
    return item._replace(statement=item.statement._replace(subject=person, value=value))


def problems_joined(problems: Iterable[Problem], others: Mapping[str, str]) -> list[Problem]:
    """The problems, with what they spoil of some names spoiled of the people they are."""
    return [
        problem._replace(spoils=tuple((others.get(subject, subject), key) for subject, key in problem.spoils))
        for problem in problems
    ]


def people_in(known: Collection[Known]) -> list[str]:
    """The people that statements speak of or point at."""
    found = dict.fromkeys(item.statement.subject for item in known)
    pointed = {
        subject_named("person", str(item.statement.value)): None
        for item in known
        if KEYS[item.statement.key].links_to == "person" and isinstance(item.statement.value, str)
    }
    return [subject for subject in (*found, *pointed) if kind_of(subject) == "person"]
