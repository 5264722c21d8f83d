"""Facts told with the question, for rows that say nothing themselves: what all is used for, who owns it."""

from __future__ import annotations

from collections.abc import Iterable

from airwrit.facts.aircraft import OWNER, USED_FOR
from airwrit.facts.key import Key
from airwrit.facts.people import FLIES_FOR
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import kind_of
from airwrit.facts.words import UsedFor

ORIGIN = "told with the question"


def told_for_all(known: Iterable[Known], use: UsedFor | None, owner: str | None) -> tuple[Known, ...]:
    """The statements, and for each aircraft or person silent on its use or owner the one told for all."""
    given = tuple(known)
    said = {(item.statement.subject, item.statement.key) for item in given}
    subjects = dict.fromkeys(item.statement.subject for item in given)
    wanted: list[tuple[str, Key[str] | Key[UsedFor], str]] = []
    if use is not None:
        wanted += [("aircraft", USED_FOR, use.value), ("person", FLIES_FOR, use.value)]
    if owner is not None:
        wanted.append(("aircraft", OWNER, owner))
    told = [
        Known(Statement(subject, key.name, value), ORIGIN)
        for kind, key, value in wanted
        for subject in subjects
        if kind_of(subject) == kind and (subject, key.name) not in said
    ]
    return given + tuple(told)
