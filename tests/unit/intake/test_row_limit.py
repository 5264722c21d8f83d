"""More rows and cells than are read at once are refused before facts are made of them, and more than are judged at once."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.cli.shared import fleet as ledgers
from airwrit.intake import sheets
from airwrit.intake.reader.cells import book_of
from airwrit.intake.reader.limits import LIMITS
from tests.unit.cli.command import run

SHEET = b"Aircraft,Use\n" + b"".join(b"H-%d,work\n" % number for number in range(9))


def test_a_file_has_a_limit_of_rows() -> None:
    assert len(book_of(SHEET, "fleet.csv", LIMITS._replace(rows=10)).sheets[0].rows) == 10
    with pytest.raises(
        UnreadableFile, match=r"fleet.csv: The file has 10 rows. We read up to 9 at once. Split the file,"
    ):
        book_of(SHEET, "fleet.csv", LIMITS._replace(rows=9))


def test_so_have_files_together() -> None:
    books = [book_of(SHEET, name) for name in ("one.csv", "two.csv")]
    assert sheets._within(books, LIMITS._replace(rows=20)) == books
    with pytest.raises(UnreadableFile, match=r"two.csv: There are 20 rows."):
        sheets._within(books, LIMITS._replace(rows=19))


def test_filled_cells_have_a_limit_and_empty_ones_count_for_nothing() -> None:
    books = [book_of(SHEET.replace(b"work", b""), name) for name in ("one.csv", "two.csv")]
    assert [book.filled for book in books] == [11, 11]
    assert sheets._within(books, LIMITS._replace(filled=22)) == books
    says = "two.csv: There are 22 filled cells. We read up to 21 at once. Split the file,"
    with pytest.raises(UnreadableFile, match=says):
        sheets._within(books, LIMITS._replace(filled=21))


def test_aircraft_and_people_of_sheets_are_judged_up_to_a_limit(tmp_path: Path) -> None:
    (tmp_path / "fleet.csv").write_bytes(SHEET)
    (tmp_path / "crew.csv").write_bytes(b"Name,Role\nAda,pilot\n")
    intake = sheets.read_sheets([tmp_path / "fleet.csv", tmp_path / "crew.csv"])
    assert sheets.judged_at_once(intake, LIMITS._replace(judged=10)) is intake
    says = (
        "fleet.csv, crew.csv: There are 10 aircraft and people. We check up to 9 from sheets at once. Split"
    )
    with pytest.raises(UnreadableFile, match=says):
        sheets.judged_at_once(intake, LIMITS._replace(judged=9))


def test_a_command_over_a_sheet_keeps_that_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "fleet.csv").write_bytes(SHEET)
    small = partial(sheets.judged_at_once, limits=LIMITS._replace(judged=8))
    monkeypatch.setattr(ledgers, "judged_at_once", small)
    for arguments in (("today", "fleet.csv"), ("what-if", "sell aircraft/H-1", "--sheet", "fleet.csv")):
        done = run(tmp_path, *arguments)
        assert (done.returncode, done.stderr.count("\n")) == (2, 1)
        assert "9 aircraft and people. We check up to 8 from sheets at once." in done.stderr


def test_the_limits_keep_the_memory_of_this_process() -> None:
    """Measured, see docs/speed.md: up to 1.6 kB for a filled cell of an import, 42 kB for an aircraft that is judged."""
    assert LIMITS.filled * 1_600 <= 1.6e9
    assert LIMITS.judged * 42_000 < 1.5e9
