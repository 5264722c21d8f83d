"""The Remote ID serial of an aircraft wherever it is on file, laid side by side, character by character."""

from __future__ import annotations

from itertools import zip_longest
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.base.identifiers import broadcast_serial
from airwrit.facts.keys.aircraft import LISTED_SERIAL, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of

_TOLD = 3


class SerialCharacter(NamedTuple):
    """One character, empty where the other serial has one more; `odd` where it is not the one that is broadcast."""

    sign: str
    odd: bool


class Serial(NamedTuple):
    """A serial in one place: where it stands, of which subject, its characters, and how it differs in words."""

    where: str
    subject: str
    text: str
    cells: tuple[SerialCharacter, ...]
    says: tuple[str, ...]


def serials_of(state: State, subject: str) -> tuple[Serial, ...]:
    """The serial that is broadcast, the one on its registration, and the same serial on the registration of any other."""
    sent = value_held(state, subject, REMOTE_ID_SERIAL)
    listed = value_held(state, subject, LISTED_SERIAL)
    rows = []
    if sent is not None:
        rows.append(_row("broadcast by it", subject, sent, sent))
    if listed is not None:
        number = value_held(state, subject, REGISTRATION)
        where = f"on its registration {number}" if number else "on its registration"
        rows.append(_row(where, subject, listed, sent))
    for other in _others(state, subject, {sent, listed} - {None}):
        number = value_held(state, other, REGISTRATION)
        where = f"on registration {number}, for {id_of(other)}" if number else f"on file for {id_of(other)}"
        rows.append(_row(where, other, value_held(state, other, LISTED_SERIAL) or "", sent))
    return tuple(rows)


def _others(state: State, subject: str, serials: set[str | None]) -> list[str]:
    found = [other for serial in serials for other in state.holding(LISTED_SERIAL, serial)]
    return [other for other in dict.fromkeys(sorted(found)) if other != subject]


def _row(where: str, subject: str, text: str, sent: str | None) -> Serial:
    checked = broadcast_serial(text)
    says = [fault.hint for fault in checked.faults]
    against = checked.text if sent is None else broadcast_serial(sent).text
    pairs = list(zip_longest(checked.text, against, fillvalue=""))
    odd = [(place, ours, theirs) for place, (ours, theirs) in enumerate(pairs, 1) if ours != theirs]
    says += _differences(odd)
    return Serial(
        where,
        subject,
        text,
        tuple(SerialCharacter(ours, ours != theirs) for ours, theirs in pairs),
        tuple(says),
    )


def _differences(odd: list[tuple[int, str, str]]) -> list[str]:
    if len(odd) > _TOLD:
        return [f"{len(odd)} characters differ from the serial that is broadcast"]
    return [f"character {place}: {_named(ours)} for {_named(theirs)}" for place, ours, theirs in odd]


def _named(sign: str) -> str:
    """A character and what it is, so that 0 and O cannot be taken for each other."""
    if not sign:
        return "nothing"
    return f"{'figure' if sign.isdigit() else 'letter' if sign.isalpha() else 'sign'} {sign}"


def serials_json(serials: tuple[Serial, ...]) -> list[Json]:
    """The serials as part of a document."""
    return [
        {
            "where": one.where,
            "subject": one.subject,
            "serial": one.text,
            "odd_at": [place for place, cell in enumerate(one.cells, 1) if cell.odd],
            "says": list(one.says),
        }
        for one in serials
    ]
