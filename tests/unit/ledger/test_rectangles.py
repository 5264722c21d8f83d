"""Rectangles that grow entry by entry against those made of everything at once."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from airwrit.ledger.rectangles import (
    FAR_DAY,
    FAR_SEQ,
    FROM_THE_START,
    Claim,
    Rectangle,
    extended,
    rectangles_of,
    replayed,
)

starts = st.one_of(st.integers(1, 9), st.integers(1, 9), st.none())
ends = st.one_of(st.just(FAR_DAY), st.integers(1, 12))
said = st.lists(
    st.tuples(st.integers(0, 2), st.sampled_from("ab"), starts, ends, st.integers(0, 12)), max_size=8
)
Told = list[tuple[int, str, int | None, int, int]]


def history(told: Told) -> list[tuple[Claim, int]]:
    """Sayings in the order of the ledger; some of one entry, some answered by a later entry."""
    found, seq = list[tuple[Claim, int]](), 1
    for step, value, start, end, _ in told:
        seq += step
        found.append((Claim(seq, 1, value, start, end), FAR_SEQ))
    seqs = sorted({saying.seq for saying, _ in found})
    for place, (saying, _) in enumerate(found):
        later = [one for one in seqs if one > saying.seq]
        pick = told[place][4]
        if pick < len(later):
            found[place] = (saying, later[pick])
    return found


@given(said)
def test_the_replay_knows_at_every_entry_what_all_so_far_makes(told: Told) -> None:
    sayings = history(told)
    made = list(replayed(sayings))
    for turn in {saying.seq for saying, _ in sayings} | {gone for _, gone in sayings if gone != FAR_SEQ}:
        alive = [saying for saying, gone in sayings if saying.seq <= turn < gone]
        known = sorted(one for since, until, one in made if since <= turn < until)
        assert known == sorted(rectangles_of(alive))
    assert all(since < until for since, until, _ in made)


@given(said)
def test_what_lies_beyond_all_before_only_ends_the_last_rectangle(told: Told) -> None:
    sayings = [saying for saying, _ in history(told)]
    before = rectangles_of(sayings[:-1]) or (FROM_THE_START,)
    if sayings and (more := extended(before[-1], sayings[-1])) is not None:
        assert (*before[:-1], *more) == rectangles_of(sayings)


def test_what_begins_earlier_or_with_another_is_no_end() -> None:
    last = Rectangle(5, FAR_DAY, 1, "a", "1")
    assert extended(last, Claim(2, 1, "b", 5, FAR_DAY)) is None
    assert extended(last, Claim(2, 1, "b", 4, FAR_DAY)) is None
    assert extended(last, Claim(2, 1, "b", 9, 9)) is None
    assert extended(last, Claim(2, 1, "b", None, FAR_DAY)) is None
    assert extended(last, Claim(2, 1, "b", 6, FAR_DAY)) == (
        Rectangle(5, 6, 1, "a", "1"),
        Rectangle(6, FAR_DAY, 1, "b", "2"),
    )
