"""Backup, restore, export, and blanking."""

from __future__ import annotations

import stat
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from airwrit.base.errors import BadFact, LedgerFault
from airwrit.base.verdict import Why
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.checking.check import check
from airwrit.ledger.copies import copied, exported, from_lines
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import START, Clock, draft, said

BORN = KEYS["born_on"]
DAY = date(2026, 1, 1)


@pytest.fixture
def book(tmp_path: Path) -> Ledger:
    """A person's birthday, said wrong, then right, out of a file."""
    made, clock = Ledger.begin(tmp_path / "l.airwrit"), Clock()
    digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    made.append([draft(said("person/P", "born_on", "1990-03-04"))], clock)
    clock.on()
    right = said("person/P", "born_on", "1991-05-06")
    source = f"crew.csv sha256:{digest}"
    made.append(
        [Draft("ada", "import", (right,), ("1.0",), source)], clock, files=[KeptFile("crew.csv", b"abc")]
    )
    clock.on()
    made.append([draft(said("aircraft/A", "owner", "ann"))], clock)
    return made


def test_a_backup_is_the_same_ledger(book: Ledger, tmp_path: Path) -> None:
    to = tmp_path / "copy"
    assert copied(book, to).head == book.head()
    assert stat.S_IMODE(to.stat().st_mode) == 0o600
    with Ledger(to) as copy:
        assert list(exported(copy)) == list(exported(book))
        assert copy.state(DAY, book.last_moment()).held == book.state(DAY, book.last_moment()).held
        assert copy.file("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad") is not None


def test_a_backup_is_taken_while_others_write(book: Ledger, tmp_path: Path) -> None:
    with Ledger(book.path) as other:
        copied(book, tmp_path / "copy")
        other.append([draft(said("aircraft/B", "owner", "bob"))], Clock())
    with Ledger(tmp_path / "copy") as copy:
        assert copy.head().size == 3


def test_nothing_is_overwritten_and_a_damaged_ledger_is_not_copied(book: Ledger, tmp_path: Path) -> None:
    there = tmp_path / "there"
    there.write_text("mine")
    with pytest.raises(LedgerFault, match="there: A file"):
        copied(book, there)
    with pytest.raises(LedgerFault, match="there: A file"):
        from_lines(exported(book), there, "x")
    assert there.read_text() == "mine"
    book.database.execute("DELETE FROM held")
    with pytest.raises(LedgerFault, match="would be incomplete"):
        copied(book, tmp_path / "copy")
    assert not (tmp_path / "copy").exists()


def test_lines_make_the_same_ledger_again(book: Ledger, tmp_path: Path) -> None:
    blank(book, [2], Clock(START + timedelta(days=1)), "ada", "request 7")
    lines = list(exported(book))
    assert from_lines(lines, tmp_path / "again", "x") == book.head()
    with Ledger(tmp_path / "again") as again:
        assert list(exported(again)) == lines
        assert again.name == book.name
        assert check(again).is_whole
        for known_at in (START, book.last_moment()):
            assert again.state(DAY, known_at).held == book.state(DAY, known_at).held


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda lines: [lines[0].replace("1990", "1992"), *lines[1:]], "Line 2: this line doesn't follow"),
        (lambda lines: [lines[1], *lines[1:]], "Line 1: this line doesn't follow"),
        (lambda lines: [lines[0], *lines[2:]], "Line 2: this line doesn't follow"),
        (lambda lines: lines[:-1], "x: The last"),
        (lambda lines: [*lines[:-2], lines[-1]], "x: The last"),
        (lambda lines: [*lines, "{}"], "Line 4:"),
        (lambda lines: ["{}", *lines], "Line 1:"),
        (
            lambda lines: [lines[0], '{"blanked":{"leaf":"00","recorded_at":"x","seq":2}}', *lines[2:]],
            "Line 2:",
        ),
        (lambda lines: [], "no entries"),
        (lambda lines: lines[-1:], "no entries"),
    ],
)
def test_other_lines_are_refused_by_number(book: Ledger, tmp_path: Path, change: object, says: str) -> None:
    assert callable(change)
    with pytest.raises(LedgerFault, match=says):
        from_lines(change(list(exported(book))), tmp_path / "again", "x")
    assert not (tmp_path / "again").exists()


def test_a_blanked_line_is_gone_and_the_log_still_verifies(book: Ledger) -> None:
    noted, clock = book.head(), Clock(START + timedelta(days=1))
    blank(book, [2], clock, "ada", "request 7")
    found = check(book, noted)
    assert found.is_whole
    assert found.blanked == [2]
    assert book.entry(2) is None
    assert b"1991-05-06" not in book.path.read_bytes()
    kept = book.file("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
    assert kept == KeptFile("crew.csv", None)
    entry = book.entry(4)
    assert entry is not None
    assert (entry.act, entry.note, entry.source) == ("blank", "request 7", "entry 2")


def test_what_a_blanked_line_corrected_does_not_come_back(book: Ledger) -> None:
    before = book.state(DAY, START).held["person/P"][BORN]
    blank(book, [2], Clock(START + timedelta(days=1)), "ada", "request 7")
    assert book.state(DAY, START).held["person/P"][BORN] == before
    for known_at in (START + timedelta(hours=1), START + timedelta(days=2)):
        assert book.state(DAY, known_at).held["person/P"][BORN].why is Why.DAMAGED


def test_a_blanked_line_is_rebuilt_as_blank(book: Ledger) -> None:
    blank(book, [2], Clock(START + timedelta(days=1)), "ada", "request 7")
    with book.writing():
        book.rebuild()
    assert check(book).is_whole


def test_only_what_is_there_is_blanked_and_for_a_reason(book: Ledger) -> None:
    clock = Clock(datetime(2026, 2, 1, tzinfo=UTC))
    with pytest.raises(BadFact, match="Entry 9"):
        blank(book, [1, 9], clock, "ada", "request 7")
    with pytest.raises(BadFact, match="need a reason"):
        blank(book, [1], clock, "ada", "")
    blank(book, [1], clock, "ada", "request 7")
    with pytest.raises(BadFact, match="Entry 1 has nothing to remove"):
        blank(book, [1], clock, "ada", "again")
    for seq in (4, 5):
        with pytest.raises(BadFact, match="has to stay"):
            blank(book, [seq], clock, "ada", "again")
    assert book.head().size == 5
