"""The pattern of a line against decoding and encoding it again: it takes nothing that is not canonical, and all we write."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import EARLIEST
from airwrit.facts.statement import Statement, Unreadable
from airwrit.ledger.entry import BadLine, Entry, entry_of, instant_text, line_of, members_of
from airwrit.ledger.line_form import LINE, moment_text, quoted, statements_text
from airwrit.ledger.rectangles import BOOL, NOTHING, TEXT, UNREADABLE, WHOLE, kept_of
from airwrit.ledger.sqlite.as_of import micros_of

texts = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=12)
moments = st.datetimes(datetime(1, 1, 1), datetime(9999, 1, 1), timezones=st.just(UTC))  # noqa: DTZ001 - bounds have none
whens = st.one_of(st.dates(date(2, 1, 1)), st.just(EARLIEST))
values = st.one_of(
    texts, st.booleans(), st.none(), texts.map(Unreadable), st.integers(-(10**15) + 1, 10**15 - 1)
)
statements = st.builds(Statement, texts, texts, values, whens, st.one_of(st.none(), st.dates()))
answers = st.lists(st.tuples(st.integers(0, 99), st.integers(0, 9)), max_size=3)
entries = st.builds(
    Entry,
    texts,
    st.integers(0, 10**15 - 1),
    moments,
    texts,
    texts,
    st.lists(statements, max_size=3).map(tuple),
    answers.map(lambda told: tuple(f"{seq}.{place}" for seq, place in told)),
    texts,
    texts,
    texts,
    st.sampled_from(["", "0a" * 32]),
)


@given(entries)
def test_every_line_we_write_is_taken_and_cut(entry: Entry) -> None:
    line = line_of(entry)
    cut = LINE.fullmatch(line)
    assert cut is not None
    told = json.loads(line)
    assert cut[1] == ",".join(f'"{number}"' for number in entry.answers)
    assert cut[2] == quoted(entry.ledger)
    assert cut[3] == entry.prev
    assert cut[4] == told["recorded_at"] == moment_text(micros_of(entry.recorded_at))
    assert cut[5] == str(entry.seq)
    assert cut[6] == quoted(entry.source)
    words = dict(enumerate({text for one in entry.statements for text in (one.subject, one.key)}))
    numbers = {text: number for number, text in words.items()}
    rows = [
        (
            1,
            place,
            numbers[one.subject],
            numbers[one.key],
            *kept_of(one.value),
            said["from"] or "",
            said["until"] or "",
        )
        for place, (one, said) in enumerate(zip(entry.statements, told["statements"], strict=True))
    ]
    assert cut[7] == statements_text(rows, {number: quoted(text) for number, text in words.items()})


@given(
    entries,
    st.integers(0, 10**6),
    st.sampled_from([*'"\\{}[],:0 -.e1nul', "\x01", "\x7f", "\\u0041", "\\/", "é"]),
)
def test_a_line_with_a_sign_changed_is_taken_only_if_it_is_canonical(
    entry: Entry, at: int, sign: str
) -> None:
    line = line_of(entry)
    at %= len(line)
    for changed in (
        line[:at] + sign + line[at + 1 :],
        line[:at] + sign + line[at:],
        line[:at] + line[at + 1 :],
    ):
        if LINE.fullmatch(changed) is not None:
            assert members_of(changed)


ENTRY = Entry(
    "l",
    5,
    datetime(2026, 1, 1, tzinfo=UTC),
    "ada",
    "record",
    (Statement("a/b", "k", 7),),
    (),
    "",
    "",
    "s",
    "",
)
CANONICAL_TO_NONE = [
    ('"value":7', '"value":07'),
    ('"value":7', '"value":-0'),
    ('"value":7', '"value":7.0'),
    ('"value":7', '"value":[7]'),
    ('"value":7', '"value":{"unreadable":"x","a":1}'),
    ('"value":7', '"value": 7'),
    ('"by":"ada"', '"by":"\\u0061da"'),
    ('"by":"ada"', '"by":"a\\/da"'),
    ('"by":"ada"', '"by":"\\u0009"'),
    ('"by":"ada"', '"by":"\\u001F"'),
    ('"by":"ada",', ""),
    ('"by":"ada"', '"by":"ada","by":"ada"'),
    ('"v":1', '"v":2'),
    ('"v":1', '"v":true'),
    ('"seq":5', '"seq":"5"'),
    ('"seq":5', '"seq":05'),
    ('"until":null', '"until":7'),
    ('"until":null', '"until":"tomorrow"'),
]


@pytest.mark.parametrize(("was", "now"), CANONICAL_TO_NONE)
def test_what_is_no_line_is_not_taken(was: str, now: str) -> None:
    line = line_of(ENTRY)
    assert LINE.fullmatch(line)
    changed = line.replace(was, now)
    assert changed != line
    assert LINE.fullmatch(changed) is None
    with pytest.raises(BadLine):
        entry_of(changed)


WORDS = {1: '"a/b"', 2: '"k"'}


@pytest.mark.parametrize(
    "row",
    [
        (5, 1, 1, 2, TEXT, "x", "", ""),
        (5, 0, 9, 2, TEXT, "x", "", ""),
        (5, 0, 1, 2, NOTHING, "x", "", ""),
        (5, 0, 1, 2, BOOL, "yes", "", ""),
        (5, 0, 1, 2, WHOLE, "null", "", ""),
        (5, 0, 1, 2, WHOLE, "1_000", "", ""),
        (5, 0, 1, 2, 9, "x", "", ""),
        (5, 0, 1, 2, TEXT, "x", "soon", ""),
        (5, 0, 1, 2, TEXT, "x", "", "2026-02-30"),
    ],
)
def test_a_row_that_no_statement_makes_fits_no_line(
    row: tuple[int, int, int, int, int, str, str, str],
) -> None:
    assert "\0" in statements_text([row], WORDS)
    assert "\0" not in statements_text([(5, 0, 1, 2, UNREADABLE, "x", "2026-02-28", "")], WORDS)


@given(moments)
def test_a_moment_is_told_as_in_a_line(moment: datetime) -> None:
    assert moment_text(micros_of(moment)) == instant_text(moment)
