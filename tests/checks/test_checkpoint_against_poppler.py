"""A checkpoint copied from its page by poppler's pdftotext, another reader of PDF, is the checkpoint that was printed.

Source: poppler-utils (pdftotext), as the machine has it (poppler/SOURCE.toml).
"""

from __future__ import annotations

import subprocess
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from airwrit.ledger.excerpt.check import Follows
from airwrit.ledger.log.checkpoints import compared, issued
from airwrit.ledger.log.copied_notes import checkpoint_note_in
from airwrit.ledger.log.notes import new_key, note_of, origin_of
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.checkpoint_pdf import checkpoint_pdf
from airwrit.papers.typeset import PAPERS
from tests.outside import outside_program
from tests.unit.ledger.books import draft, said


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("signed", [True, False])
@pytest.mark.parametrize("name", ["5f0c51f4a8d36bb9e4f5b7d1c1a5d9d2", "n" * 64])
def test_a_checkpoint_is_copied_from_its_page(tmp_path: Path, paper: str, signed: bool, name: str) -> None:
    page = tmp_path / "checkpoint.pdf"
    with Ledger.begin(tmp_path / "l.airwrit", name) as book:
        book.append([draft(said("aircraft/A", "maker", "m"))], lambda: datetime(2026, 11, 25, tzinfo=UTC))
        key = new_key(origin_of(name))
        note = issued(book, key if signed else None)
        page.write_bytes(checkpoint_pdf(note, date(2026, 11, 25), paper=paper))
        for options in ([], ["-layout"], ["-raw"]):
            command = [outside_program("pdftotext"), *options, str(page), "-"]
            copied = subprocess.run(command, capture_output=True, check=True).stdout
            read = checkpoint_note_in(copied, "copied.txt")
            assert read == note_of(note)
            found = compared(book, read, (key.public,))
            assert all(
                one.how is Follows.FOLLOWS or (not signed and one.where == "signature") for one in found
            )
            assert "\u200b" not in copied.decode()
