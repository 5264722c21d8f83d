"""The looks of a rule: at which facts of which subjects, and by which steps it came from the subject judged to each of them.

A look is told from the subject judged, not by name: one and the same look serves a whole fleet. The names that go with it are
kept beside it. So looks cost little to keep, and from a fact that changed one can walk back to whom it bears on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.facts.key import Key

NamedLook = tuple[str, Key[Any], bool]
"""A subject, a key, and whether silence was read as "nothing on file"."""

_LONGEST_SHARED = 64
_MOST_SHARED = 1 << 14


class Used(NamedTuple):
    """One look of a rule: at which fact, and whether silence was read as "nothing on file" (closed)."""

    subject: str
    key: Key[Any]
    closed: bool = False


class Way(StrEnum):
    """How a step leads from one subject to others."""

    TO = "to"
    """to the one that a link names"""
    FROM = "from"
    """to those whose link names it"""
    SAME = "same"
    """to those that hold under the key what it holds under `own`"""
    ALL = "all"
    """to those that say yes under the key, whoever asks"""


class Step(NamedTuple):
    """One step from a subject to others."""

    way: Way
    key: Key[Any]
    own: Key[Any] | None = None


Path = tuple[Step, ...]
"""The steps from the subject judged."""


class Watched(NamedTuple):
    """A fact as an index knows it: its key, and by which steps a rule came to its subject."""

    path: Path
    key: Key[Any]


class Look:
    """One look: at the how-manieth subject met, by which steps it was come to, under which key.

    Of a look over all subjects `over` are the facts that decide which of them it came upon.
    """

    __slots__ = ("closed", "key", "over", "place")

    def __init__(
        self, place: FactPlaced, key: Key[Any], *, closed: bool, over: tuple[Watched, ...] = ()
    ) -> None:
        """Looks are told apart by which object they are: each is made once."""
        self.place, self.key, self.closed, self.over = place, key, closed, over


class _Looks(dict[Key[Any], Look]):
    """The looks at one place, each made when it is first asked for."""

    __slots__ = ("_closed", "_place")

    def __init__(self, place: FactPlaced, *, closed: bool) -> None:
        self._place, self._closed = place, closed

    def __missing__(self, key: Key[Any]) -> Look:
        look = self[key] = Look(self._place, key, closed=self._closed)
        return look


class FactPlaced:
    """Where a rule has come to: by which steps, and the how-manieth subject it met. Looks and further places are made once."""

    __slots__ = ("_further", "_linked", "_over", "closed", "number", "open", "path")

    def __init__(self, path: Path = (), number: int = 0) -> None:
        """The place of the subject judged, or one further on."""
        self.path, self.number = path, number
        self.open, self.closed = _Looks(self, closed=False), _Looks(self, closed=True)
        self._further: dict[tuple[Step, int], FactPlaced] = {}
        self._linked: dict[tuple[Key[Any], int], FactPlaced] = {}
        self._over: dict[tuple[tuple[Step, Key[Any]], ...], Look] = {}

    def further(self, step: Step, number: int) -> FactPlaced:
        """The place one step on, of the how-manieth subject."""
        found = self._further.get((step, number))
        if found is None:
            found = FactPlaced((*self.path, step), number)
            if number < _LONGEST_SHARED:
                self._further[step, number] = found
        return found

    def linked(self, key: Key[Any], number: int) -> FactPlaced:
        """The place of the how-manieth subject, that a link names."""
        found = self._linked.get((key, number))
        if found is None:
            found = self.further(Step(Way.TO, key), number)
            if number < _LONGEST_SHARED:
                self._linked[key, number] = found
        return found

    def over(self, *facts: tuple[Step, Key[Any]]) -> Look:
        """The look over all subjects that a step may lead to, which hangs on some facts of each; it goes by the first one."""
        found = self._over.get(facts)
        if found is None:
            over = tuple([Watched((*self.path, step), key) for step, key in facts])
            found = self._over[facts] = Look(self, facts[0][1], closed=True, over=over)
        return found


START = FactPlaced()
"""The place of the subject judged."""


class LookedAt(Collection[NamedLook]):
    """What one finding looked at, in order: looks that it shares with others, and the names of the subjects it met.

    `asked_when` tells whether it asked for the day or instant of the question too.
    """

    __slots__ = ("asked_when", "looks", "subjects")

    def __init__(
        self, looks: tuple[Look, ...], subjects: tuple[str, ...], *, asked_when: bool = False
    ) -> None:
        """Subjects by their number."""
        self.looks, self.subjects, self.asked_when = looks, subjects, asked_when

    def __iter__(self) -> Iterator[NamedLook]:
        subjects = self.subjects
        return ((subjects[look.place.number], look.key, look.closed) for look in self.looks)

    def __len__(self) -> int:
        return len(self.looks)

    def __contains__(self, look: object) -> bool:
        return any(look == one for one in self)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, LookedAt) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        return hash(tuple(self))


_SHARED: dict[tuple[Look, ...], tuple[Look, ...]] = {}


class Noted:
    """The looks of a rule while it is asked, and the subjects it meets, each by its number."""

    __slots__ = ("asked_when", "looks", "subjects")

    def __init__(self, subject: str) -> None:
        """The subject judged is the first one."""
        self.asked_when = False
        self.looks: list[Look] = []
        self.subjects: dict[str, int] = {subject: 0}

    def number_of(self, subject: str) -> int:
        """The number of a subject that was met."""
        return self.subjects.setdefault(subject, len(self.subjects))

    def looked_at(self) -> LookedAt:
        """All of it; looks alike are one and the same for every finding that made them."""
        looks = tuple(self.looks)
        if len(looks) <= _LONGEST_SHARED:
            if len(_SHARED) >= _MOST_SHARED:
                _SHARED.clear()
            looks = _SHARED.setdefault(looks, looks)
        return LookedAt(looks, tuple(self.subjects), asked_when=self.asked_when)


def watched_by(looks: tuple[Look, ...]) -> frozenset[Watched]:
    """The facts that a finding with these looks hangs on."""
    mine = {Watched(look.place.path, look.key) for look in looks}
    return frozenset(mine.union(*(look.over for look in looks)))
