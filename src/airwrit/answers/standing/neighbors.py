"""The subjects that the standing of one subject can hang on, at any time: enough of a ledger to judge it day by day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from operator import itemgetter

from airwrit.base.identifiers import one_serial
from airwrit.facts.keys.paper import COVERS_ALL
from airwrit.facts.statement import Known, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS, kind_of

_SHARED = frozenset(key.name for key in KEYS.values() if key.shared)
_RECORDS = ("aircraft", "registration", "owner", "person")


class Circles:
    """What a ledger says of subjects and how they point at one another, laid out once; circles are then soon drawn."""

    __slots__ = ("_anywhere", "_known", "_pointing", "_said", "_sharing")

    def __init__(self, known: Iterable[Known]) -> None:
        """Lay out the statements."""
        self._said: dict[str, list[Statement]] = defaultdict(list)
        self._known: dict[str, list[tuple[int, Known]]] = defaultdict(list)
        self._pointing: dict[str, set[str]] = defaultdict(set)
        self._sharing: dict[str, set[str]] = defaultdict(set)
        self._anywhere: set[str] = set()
        for place, item in enumerate(known):
            statement = item.statement
            self._said[statement.subject].append(statement)
            self._known[statement.subject].append((place, item))
            if statement.key in _SHARED:
                self._sharing[one_serial(str(statement.value))].add(statement.subject)
            for target in _targets(statement):
                self._pointing[target].add(statement.subject)
            if isinstance(statement.value, Unreadable) and KEYS[statement.key].links_to:
                self._anywhere.add(statement.subject)
            if statement.key == COVERS_ALL.name and statement.value is True:
                self._anywhere.add(statement.subject)

    def of(self, subject: str) -> set[str]:
        """The subject, all it ever pointed at or shared a serial with, and all that ever pointed at it or what it points at.

        Of what points at another than the subject itself only its events count, not other aircraft under the same owner.
        A subject with a link that cannot be read may point anywhere and is always in it.
        """
        circle = {subject} | self._anywhere
        for statement in self._said.get(subject, ()):
            if statement.key in _SHARED:
                circle |= self._sharing[one_serial(str(statement.value))]
        circle |= self._pointing.get(subject, set())
        for _ in range(3):
            circle |= {
                target
                for one in tuple(circle)
                for statement in self._said.get(one, ())
                for target in _targets(statement)
            }
        for one in tuple(circle - {subject}):
            circle |= {other for other in self._pointing.get(one, ()) if kind_of(other) not in _RECORDS}
        return circle

    def known_around(self, subject: str) -> list[Known]:
        """All that was said of the subjects of a circle, in the order it was given."""
        found = [placed for one in self.of(subject) for placed in self._known.get(one, ())]
        return [item for _, item in sorted(found, key=itemgetter(0))]


def circle_of(known: Iterable[Known], subject: str) -> set[str]:
    """The circle of one subject among some statements."""
    return Circles(known).of(subject)


def _targets(statement: Statement) -> list[str]:
    """The subjects a statement points at."""
    key, value = KEYS[statement.key], statement.value
    if not key.links_to or not isinstance(value, str) or isinstance(value, Unreadable):
        return []
    return [f"{key.links_to}/{name}" for name in key.values_in(value)]
