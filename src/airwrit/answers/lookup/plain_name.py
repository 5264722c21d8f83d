"""An aircraft, a person or a registration by its plain name: UAS-1 for aircraft/UAS-1."""

from __future__ import annotations

from collections.abc import Iterable

from airwrit.base.errors import UsageError
from airwrit.facts.vocabulary import TELLABLE, folded, id_of, kind_of

_KINDS = ("aircraft", "person", "registration", "owner", "paper")
"""Kinds of subject that people call by name; the name of anything else is written with its kind."""


def subjects_called(text: str, subjects: Iterable[str]) -> list[str]:
    """The subjects that a name may mean, in any case and spacing: those of its kind where that stands before it."""
    given = list(dict.fromkeys(subjects))
    if text in given:
        return [text]
    wanted = folded(text)
    if kind_of(text) in TELLABLE.values() and "/" in text:
        return [one for one in given if folded(one) == wanted]
    found = [one for one in given if kind_of(one) in _KINDS and folded(id_of(one)) == wanted]
    return sorted(found, key=lambda one: _KINDS.index(kind_of(one)))


def the_one_called(text: str, subjects: Iterable[str]) -> str:
    """The one subject of a name; the text itself where none is. UsageError where several are, with each."""
    found = subjects_called(text, subjects)
    if len(found) > 1:
        raise UsageError(
            f"{text!r} is the name of {' and '.join(_told(one) for one in found)}",
            where=text,
            do=f"write {' or '.join(found)}",
        )
    return found[0] if found else text


def _told(subject: str) -> str:
    kind = kind_of(subject)
    return f"{'an' if kind[:1] in 'ao' else 'a'} {kind}"
