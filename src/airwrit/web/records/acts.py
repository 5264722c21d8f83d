"""The acts that fit a subject, each with the address of its form."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple
from urllib.parse import quote

from airwrit.answers.acts import ACTS
from airwrit.facts.vocabulary import id_of, kind_of


class Way(NamedTuple):
    """An act that may be written: its word, the subject where that is not the sheet's own, what it means, its address."""

    word: str
    about: str
    meaning: str
    path: str


def acts_for(subject: str, others: Iterable[str] = ()) -> tuple[Way, ...]:
    """The acts of a subject, and of other subjects that its sheet speaks for."""
    return tuple(
        Way(
            act.name.replace("_", " ").capitalize(),
            "" if one == subject else f"{kind_of(one)} {id_of(one)}",
            act.meaning,
            f"/act/{act.name}/{kind_of(one)}/{quote(id_of(one), safe='')}",
        )
        for one in dict.fromkeys((subject, *others))
        for act in ACTS
        if act.about == kind_of(one)
    )
