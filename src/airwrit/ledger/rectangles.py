"""Rectangles of valid time by known time: what holds of one subject and key, ready to be looked up.

They say what the fold says. A statement that begins or ends at an instant has no place on an axis of days; its subject and
key are marked MIXED as a whole and left to the fold itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from airwrit.facts.key import Raw
from airwrit.facts.statement import Unreadable

FAR_DAY = 10_000_000
"""Later than every day: an end until further notice."""

FAR_SEQ = 2**62
"""Later than every entry: still known."""

NOTHING, TEXT, WHOLE, BOOL, UNREADABLE, CONFLICT, MIXED = range(7)
"""Kinds of a kept value; CONFLICT and MIXED only of rectangles."""


class Rectangle(NamedTuple):
    """From one day to another this holds: the kind of value, its text, and the entries that say so, in order."""

    valid_from: int
    valid_until: int
    kind: int
    value: str
    seqs: str


class Claim(NamedTuple):
    """One statement of the group, with its entry."""

    seq: int
    kind: int
    value: str
    valid_from: int | None
    valid_until: int | None


_ALL_MIXED = (Rectangle(1, FAR_DAY, MIXED, "", ""),)


def kept_of(value: Raw) -> tuple[int, str]:
    """A raw value as kind and text."""
    if value is None:
        return NOTHING, ""
    if isinstance(value, bool):
        return BOOL, "true" if value else "false"
    if isinstance(value, int):
        return WHOLE, str(value)
    return (UNREADABLE if isinstance(value, Unreadable) else TEXT), str(value)


def raw_kept(kind: int, text: str) -> Raw:
    """The raw value that `kept_of` kept."""
    if kind == TEXT:
        return text
    if kind == BOOL:
        return text == "true"
    if kind == WHOLE:
        return int(text)
    return Unreadable(text) if kind == UNREADABLE else None


def rectangles_of(sayings: Sequence[Claim]) -> tuple[Rectangle, ...]:
    """What holds from when until when, by all that is said and unanswered, one rectangle between any two turns.

    A stretch in which nothing holds has a rectangle of kind NOTHING: the whole axis is covered, every turn is a start.
    """
    if not sayings:
        return ()
    starting: dict[int, list[tuple[int, Claim]]] = {}
    turns = {1}
    for saying in sayings:
        _, _, _, start, end = saying
        if start is None or end is None:
            return _ALL_MIXED
        starting.setdefault(start, []).append((end, saying))
        turns.add(start)
        if end != FAR_DAY:
            turns.add(end)
    open_ended: list[Claim] = []
    ending: list[tuple[int, Claim]] = []
    found = []
    ordered = sorted(turns)
    for turn, until in zip(ordered, [*ordered[1:], FAR_DAY], strict=True):
        begun = starting.get(turn)
        if begun is not None:
            open_ended = [saying for end, saying in begun if end == FAR_DAY]
            ending += [(end, saying) for end, saying in begun if end != FAR_DAY]
        covering = open_ended
        if ending:
            ending = [one for one in ending if one[0] > turn]
            covering = [*open_ended, *(saying for _, saying in ending)]
        found.append(_between(turn, until, covering))
    return tuple(found)


def _between(start: int, until: int, covering: Sequence[Claim]) -> Rectangle:
    if not covering:
        return Rectangle(start, until, NOTHING, "", "")
    first = covering[0]
    if len(covering) == 1:
        return Rectangle(start, until, first.kind, first.value, str(first.seq))
    seqs = ",".join(map(str, sorted({saying.seq for saying in covering})))
    if len({(saying.kind, saying.value) for saying in covering}) > 1:
        return Rectangle(start, until, CONFLICT, "", seqs)
    return Rectangle(start, until, first.kind, first.value, seqs)


FROM_THE_START = Rectangle(1, FAR_DAY, NOTHING, "", "")
"""What holds before anything is said: nothing, for ever."""


def extended(last: Rectangle, saying: Claim) -> tuple[Rectangle, ...] | None:
    """What takes the place of the last rectangle of a group once one more thing is said that lies beyond all before.

    None when it does not: it begins earlier, with another, or ends before it begins. The last rectangle reaches to FAR_DAY.
    """
    seq, kind, value, start, end = saying
    since, _, was, held, seqs = last
    if start is None or end is None or end <= start or was == MIXED:
        return None
    if start < since or (start == since and seqs):
        return None
    new = Rectangle(start, end, kind, value, str(seq))
    after = () if end == FAR_DAY else (Rectangle(end, FAR_DAY, NOTHING, "", ""),)
    return (Rectangle(since, start, was, held, seqs), new, *after) if start > since else (new, *after)


def replayed(sayings: Sequence[tuple[Claim, int]]) -> Iterator[tuple[int, int, Rectangle]]:
    """All rectangles of a group through its history, each with the entries from and until which it was known.

    `sayings` are in the order of the ledger, each with the entry that answered it, or FAR_SEQ.
    """
    alive: dict[int, Claim] = {}
    standing: dict[int, tuple[int, Rectangle]] = {}
    last = FROM_THE_START
    for turn, added, gone in _turns(sayings):
        for place in gone:
            del alive[place]
        alive.update(added)
        now = extended(last, added[0][1]) if len(added) == 1 and not gone else None
        if now is None:
            now = rectangles_of(tuple(alive.values()))
            kept = set(now)
            over = [one for _, one in standing.values() if one not in kept]
        else:
            over = [last] if last.valid_from in standing else []
        for one in over:
            yield standing.pop(one.valid_from)[0], turn, one
        for one in now:
            standing.setdefault(one.valid_from, (turn, one))
        last = now[-1] if now else FROM_THE_START
    for since, one in standing.values():
        yield since, FAR_SEQ, one


def _turns(
    sayings: Sequence[tuple[Claim, int]],
) -> Iterator[tuple[int, list[tuple[int, Claim]], list[int]]]:
    """Entry by entry: the sayings it adds by their places in the group, and the places of those it answers."""
    added: dict[int, list[tuple[int, Claim]]] = {}
    gone: dict[int, list[int]] = {}
    for place, (saying, until) in enumerate(sayings):
        added.setdefault(saying.seq, []).append((place, saying))
        if until != FAR_SEQ:
            gone.setdefault(until, []).append(place)
    for turn in sorted(added.keys() | gone.keys()) if gone else added:
        yield turn, added.get(turn, []), gone.get(turn, [])
