"""A fact that a newer version put on record went unread here, and so leaves every answer from that ledger unknown."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from airwrit.answers.history.from_ledger import of_newer_version, read_ledger
from airwrit.answers.standing.standing import standing
from airwrit.base.verdict import Verdict
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger

NOW = datetime(2026, 11, 24, 12, tzinfo=UTC)


def test_a_fact_of_a_newer_version_is_told_as_unread(tmp_path: Path) -> None:
    path = tmp_path / "p.airwrit"
    with Ledger.begin(path) as book:
        book.append([Draft("ada", "record", (Statement("owner/O", "organized_in_us", True),))], lambda: NOW)
        assert of_newer_version(book) == []
        book.database.execute("UPDATE word SET text = 'color_of_the_sky' WHERE text = 'organized_in_us'")
    with Ledger(path) as book:
        (problem,) = of_newer_version(book)
        assert (problem.where, problem.unread) == ("p.airwrit", True)
        assert "'color_of_the_sky'" in problem.what
        assert "newer version" in problem.do
        read = read_ledger(book, date(2026, 11, 24), NOW)
        assert read.problems == (problem,)
        whole = standing(read.state, date(2026, 11, 24), NOW, read.problems, read.sources).report
        assert whole.verdict is Verdict.UNKNOWN
