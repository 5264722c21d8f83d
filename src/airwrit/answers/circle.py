"""The subjects that the standing of one subject can hang on, at any time: enough of a ledger to judge it day by day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from airwrit.facts.aircraft import LISTED_SERIAL, REMOTE_ID_SERIAL
from airwrit.facts.papers import COVERS_ALL
from airwrit.facts.statement import Known, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS, kind_of

_SHARED = (LISTED_SERIAL.name, REMOTE_ID_SERIAL.name)
_RECORDS = ("aircraft", "registration", "owner", "person")


def circle_of(known: Iterable[Known], subject: str) -> set[str]:
    """The subject, all it ever pointed at or shared a serial with, and all that ever pointed at it or at what it points at.

    Of what points at another than the subject itself only its events count, not other aircraft under the same owner.
    A subject with a link that cannot be read may point anywhere and is always in it.
    """
    said: dict[str, list[Statement]] = defaultdict(list)
    pointing: dict[str, set[str]] = defaultdict(set)
    sharing: dict[str, set[str]] = defaultdict(set)
    circle = {subject}
    for item in known:
        statement = item.statement
        said[statement.subject].append(statement)
        if statement.key in _SHARED:
            sharing[str(statement.value)].add(statement.subject)
        if target := _target(statement):
            pointing[target].add(statement.subject)
        if isinstance(statement.value, Unreadable) and KEYS[statement.key].links_to:
            circle.add(statement.subject)
        if statement.key == COVERS_ALL.name and statement.value is True:
            circle.add(statement.subject)
    for statement in tuple(said[subject]):
        if statement.key in _SHARED:
            circle |= sharing[str(statement.value)]
    circle |= pointing[subject]
    for _ in range(3):
        targets = {_target(statement) for one in tuple(circle) for statement in said[one]}
        circle |= {target for target in targets if target}
    for one in tuple(circle - {subject}):
        circle |= {other for other in pointing[one] if kind_of(other) not in _RECORDS}
    return circle


def _target(statement: Statement) -> str:
    """The subject a statement points at; empty when it points at none."""
    kind = KEYS[statement.key].links_to
    plain = isinstance(statement.value, str) and not isinstance(statement.value, Unreadable)
    return f"{kind}/{statement.value}" if kind and plain else ""
