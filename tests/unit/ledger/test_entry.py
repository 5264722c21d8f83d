"""Lines: one entry, one text; everything else is refused."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import EARLIEST
from airwrit.base.errors import BadFact
from airwrit.facts.statement import Statement, Unreadable
from airwrit.ledger.entry import BadLine, Entry, canonical, entry_of, line_of, members_of, number_of, parts_of
from tests.unit.ledger.books import said

texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
zones = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
moments = st.datetimes(datetime(2000, 1, 1), datetime(2100, 1, 1), timezones=zones)  # noqa: DTZ001 - bounds
whens = st.one_of(st.dates(), moments)
values = st.one_of(
    texts, st.booleans(), st.none(), st.integers(-(2**53) + 1, 2**53 - 1), texts.map(Unreadable)
)
statements = st.builds(Statement, texts, texts, values, whens, st.one_of(st.none(), whens))
entries = st.builds(
    Entry,
    texts,
    st.integers(1, 2**53 - 1),
    st.datetimes(datetime(1970, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001 - bounds
    texts,
    texts,
    st.lists(statements, max_size=3).map(tuple),
    st.lists(st.builds(number_of, st.integers(1, 99), st.integers(0, 9)), max_size=2).map(tuple),
    texts,
    texts,
    texts,
    texts,
)
ENTRY = Entry(
    "l",
    1,
    datetime(2026, 1, 2, 3, 4, 5, 678, UTC),
    "ada",
    "record",
    (said("aircraft/A", "owner", "ann"),),
    (),
    "",
    "",
    "s",
    "",
)
LINE = line_of(ENTRY)


@given(entries)
def test_a_line_reads_back_as_its_entry(entry: Entry) -> None:
    line = line_of(entry)
    again = entry_of(line)
    assert again == entry
    assert [type(one.value) for one in again.statements] == [type(one.value) for one in entry.statements]
    assert line_of(again) == line
    assert members_of(line)["seq"] == entry.seq


def test_the_bytes_of_a_line() -> None:
    assert LINE == (
        '{"act":"record","answers":[],"by":"ada","ledger":"l","note":"","prev":"",'
        '"recorded_at":"2026-01-02T03:04:05.000678Z","salt":"s","seq":1,"source":"",'
        '"statements":[{"from":null,"key":"owner","subject":"aircraft/A","until":null,"value":"ann"}],"v":1}'
    )


def test_text_is_written_as_rfc_8785_has_it() -> None:
    """The string of RFC 8785, section 3.2.2.2, less what cannot be kept."""
    assert canonical('€$\x0f\nA\'B"\\\\"/') == '"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"'
    assert canonical({"b": [True, None, -7], "a": "\b\t\f\r\x1f\x7f"}) == (
        '{"a":"\\b\\t\\f\\r\\u001f\x7f","b":[true,null,-7]}'
    )


@pytest.mark.parametrize("text", ["a\0b", "\ud800", "x\udfff"])
def test_what_is_no_text_is_refused(text: str) -> None:
    for entry in (ENTRY._replace(note=text), ENTRY._replace(statements=(said("aircraft/A", "owner", text),))):
        with pytest.raises(BadFact):
            line_of(entry)


def test_a_typed_escape_is_no_nul() -> None:
    entry = ENTRY._replace(note="\\u0000")
    assert entry_of(line_of(entry)) == entry


@pytest.mark.parametrize("value", [1.5, 2**53, -(2**53), float("nan"), b"x", date(2026, 1, 1)])
def test_other_values_are_refused(value: object) -> None:
    with pytest.raises((BadFact, TypeError)):
        line_of(ENTRY._replace(statements=(Statement("a", "b", value),)))  # type: ignore[arg-type]


def test_times_without_a_zone_are_refused() -> None:
    naive = datetime(2026, 1, 1, 12)  # noqa: DTZ001 - the point of it
    with pytest.raises(BadFact, match="zone"):
        line_of(ENTRY._replace(recorded_at=naive))
    with pytest.raises(BadFact, match="zone"):
        line_of(ENTRY._replace(statements=(Statement("a", "b", "c", naive),)))
    with pytest.raises(BadFact, match="zone"):
        line_of(ENTRY._replace(statements=(Statement("a", "b", "c", EARLIEST, naive),)))


@pytest.mark.parametrize(
    "change",
    [
        ('"v":1', '"v":2'),
        ('"v":1', '"v":true'),
        ('"v":1', '"v":1.0'),
        ('"seq":1', '"seq":"1"'),
        ('"seq":1', '"seq":1e0'),
        ('"by":"ada",', ""),
        ('"by":"ada"', '"by":"ada","by":"ada"'),
        ('"by":"ada"', '"by":"\\u0061da"'),
        ('"by":"ada"', '"by": "ada"'),
        ('"by":"ada"', '"by":7'),
        ('"v":1', '"v":1,"w":1'),
        ('"answers":[]', '"answers":["1"]'),
        ('"answers":[]', '"answers":[1]'),
        ("05.000678Z", "05.000678"),
        ("05.000678Z", "05.0006780Z"),
        ('"value":"ann"', '"value":1.5'),
        ('"value":"ann"', '"value":["ann"]'),
        ('"value":"ann"', '"value":{"unread":"ann"}'),
        ('"from":null', '"from":"2026-02-30"'),
        ('"from":null', '"from":"2026-02-03T10:00"'),
        ('"value":"ann"', '"value":"a\\u0000b"'),
        ('"value":"ann"', '"value":"\\ud800"'),
    ],
    ids=lambda change: change[1] or "left out",
)
def test_any_other_line_is_refused(change: tuple[str, str]) -> None:
    line = LINE.replace(*change)
    assert line != LINE
    with pytest.raises(BadLine):
        entry_of(line)


@given(st.one_of(st.text(max_size=20), st.binary(max_size=20).map(lambda b: b.decode("latin-1"))))
def test_anything_else_is_a_bad_line_and_nothing_worse(text: str) -> None:
    for read in (entry_of, members_of):
        with pytest.raises(BadLine):
            read(text)
    with pytest.raises(BadLine):
        entry_of(json.dumps([text]))


@pytest.mark.parametrize("number", ["", "1", "1.", ".1", "1.x", "-1.0", "1.0.0", "\u0661.0"])
def test_what_is_no_number_of_a_statement(number: str) -> None:
    with pytest.raises(ValueError, match="no number of"):
        parts_of(number)
