"""How many rows went unread is kept as a value; words of a user are never taken for a count, old notes are still read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.facts.statement import Source
from airwrit.ledger.entry import Entry, source_text
from airwrit.ledger.ports import Draft
from airwrit.ledger.rows_read import (
    IMPORT,
    UNREAD,
    count_in_note,
    reading_draft,
    unread_among,
    unread_counts,
)
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, said

EVER = datetime.max.replace(tzinfo=UTC)
SHEET = Source("fleet.xlsx", "ab" * 32)
BEHIND = "; the clock stood 7 s behind the entry before"


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Ledger]:
    """An empty ledger."""
    with Ledger.begin(tmp_path / "l.airwrit") as made:
        yield made


def imports(book: Ledger, note: str, source: Source = SHEET) -> None:
    """Import as the program did before counts were kept as values."""
    statement = said("aircraft/A", "maker", f"m{book.head().size}")
    book.append([Draft("ada", IMPORT, (statement,), (), source_text(source), note)], Clock())


def reads(book: Ledger, count: int, note: str = "", answers: tuple[str, ...] = ()) -> None:
    """Keep a count."""
    book.append([reading_draft("ada", SHEET, count, answers, note)], Clock())


def entries(book: Ledger) -> list[Entry]:
    """All entries."""
    found = [book.entry(line.seq) for line in book.lines()]
    return [entry for entry in found if entry is not None]


@pytest.mark.parametrize(
    ("note", "count"),
    [
        ("rows not read: 2", 2),
        ("of May; rows not read: 12", 12),
        ("two\nlines; rows not read: 3", 3),
        ("rows not read: 1; rows not read: 4", 4),
        (f"rows not read: 5{BEHIND}", 5),
        (f"of May; rows not read: 6{BEHIND}", 6),
        ("", 0),
        ("read again, every row", 0),
        ("rows not read: some", 0),
        ("rows not read: ", 0),
        ("rows not read: -1", 0),
        ("rows not read: 2 or 3", 0),
        ("rows not read: 2; of May", 0),
        ("rows not read: ١٢", 0),
        ("rows not read: 99999999999999999999999", 0),
        ("see rows not read: 2", 0),
    ],
)
def test_an_old_note_is_read_by_the_whole_pattern_and_digits_alone(
    book: Ledger, note: str, count: int
) -> None:
    assert count_in_note(note) == count
    imports(book, note)
    assert unread_counts(book, EVER) == {"fleet.xlsx": count}
    assert unread_among(entries(book)) == {"fleet.xlsx": count}


@given(st.text(), st.integers(0, 10**9 - 1))
def test_an_old_note_holds_its_count_behind_any_words(words: str, count: int) -> None:
    assert count_in_note(f"{words}; {UNREAD}{count}") == count


@given(st.text() | st.text().map(lambda words: UNREAD + words))
def test_no_note_is_too_strange(words: str) -> None:
    assert count_in_note(words) >= 0


@pytest.mark.parametrize("note", ["rows not read: 9", "rows not read: some", "of May"])
def test_a_count_kept_as_a_value_stands_above_any_words(book: Ledger, note: str) -> None:
    imports(book, note)
    reads(book, 3, note)
    assert unread_counts(book, EVER) == unread_among(entries(book)) == {"fleet.xlsx": 3}


def test_the_last_import_counts_also_where_an_older_program_made_it(book: Ledger) -> None:
    reads(book, 3)
    imports(book, "rows not read: 2")
    assert unread_counts(book, EVER) == unread_among(entries(book)) == {"fleet.xlsx": 2}


def test_what_was_known_then_has_the_count_of_then(book: Ledger) -> None:
    reads(book, 3)
    then = book.last_moment()
    reads(book, 0, answers=("1.0",))
    assert unread_counts(book, then) == {"fleet.xlsx": 3}
    assert unread_counts(book, EVER) == {"fleet.xlsx": 0}
    assert unread_counts(book, then - timedelta(days=1)) == {}


def test_a_count_of_another_file_is_its_own(book: Ledger) -> None:
    reads(book, 3)
    imports(book, "rows not read: 2", Source("crew.csv", "cd" * 32))
    assert unread_counts(book, EVER) == {"fleet.xlsx": 3, "crew.csv": 2}
