"""More rows than are read at once are refused before facts are made of them, of one file and of several together."""

from __future__ import annotations

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.intake import sheets
from airwrit.intake.cells import book_of
from airwrit.intake.limits import LIMITS

SHEET = b"Aircraft,Use\n" + b"".join(b"H-%d,work\n" % number for number in range(9))


def test_a_file_has_a_limit_of_rows() -> None:
    assert len(book_of(SHEET, "fleet.csv", LIMITS._replace(rows=10)).sheets[0].rows) == 10
    with pytest.raises(
        UnreadableFile, match=r"fleet\.csv: 10 rows are more than the 9 that are read at once; split it"
    ):
        book_of(SHEET, "fleet.csv", LIMITS._replace(rows=9))


def test_so_have_files_together() -> None:
    books = [book_of(SHEET, name) for name in ("one.csv", "two.csv")]
    assert sheets._within(books, LIMITS._replace(rows=20)) == books
    with pytest.raises(UnreadableFile, match=r"two\.csv: 20 rows"):
        sheets._within(books, LIMITS._replace(rows=19))


def test_the_limit_keeps_the_memory_of_the_reading_process() -> None:
    """600,000 rows of a dozen columns took 4.5 GB, measured: 7.5 kB a row."""
    assert LIMITS.rows * 7_500 < LIMITS.memory_bytes
