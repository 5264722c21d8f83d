"""A ledger that a clock ahead of time marked has a way back, on record: later entries go by the right clock again."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from airwrit.answers.history.clock import clock_put_back, stamped_ahead
from airwrit.base.errors import BadFact, LedgerFault, UsageError
from airwrit.cli.keep import fix_entry_dates as command
from airwrit.cli.shared import ledger as ledgers
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.checking.check import check
from airwrit.ledger.copies import exported, from_lines
from airwrit.ledger.entry import CLOCK_BACK
from airwrit.ledger.excerpt.check import Follows, check_excerpt
from airwrit.ledger.excerpt.excerpt import excerpt_of, known_in
from airwrit.ledger.given_out import checkpoints_kept
from airwrit.ledger.log.checkpoints import compared, issued
from airwrit.ledger.log.notes import note_of
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.cli.command import run
from tests.unit.ledger.books import Clock, draft, said

GOOD = datetime(2026, 6, 1, 12, tzinfo=UTC)
WRONG = datetime(2066, 1, 1, tzinfo=UTC)
RIGHT = datetime(2026, 6, 3, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)
OWNER = KEYS["owner"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A ledger with one good entry and two that a clock forty years ahead stamped; a checkpoint was given out of it."""
    with Ledger.begin(tmp_path / "program.airwrit") as book:
        book.append([draft(said("aircraft/A", "owner", "Tarn", "2026-01-01"))], Clock(GOOD))
        book.append([draft(said("aircraft/A", "maker", "Quernby"))], Clock(WRONG))
        book.append([draft(said("aircraft/A", "owner", "Fell", "2026-02-01"))], Clock(WRONG + HOUR))
        issued(book, None)
    return tmp_path


@pytest.fixture
def back(folder: Path) -> Path:
    """The same with the clock put back, and two entries since."""
    with Ledger(folder / "program.airwrit") as book:
        clock_put_back(book, RIGHT, "ada", "an empty battery")
        book.append([draft(said("aircraft/A", "model", "Lodrel"))], Clock(RIGHT + HOUR))
        book.append([draft(said("aircraft/A", "owner", "Moss", "2026-03-01"))], Clock(RIGHT + 2 * HOUR))
    return folder


def moments(book: Ledger) -> list[datetime]:
    return [line.recorded_at for line in book.lines()]


def test_later_entries_go_by_the_right_clock_again(back: Path) -> None:
    with Ledger(back / "program.airwrit") as book:
        assert moments(book) == [GOOD, WRONG, WRONG + HOUR, RIGHT, RIGHT + HOUR, RIGHT + 2 * HOUR]
        entry = book.entry(4)
        assert entry is not None
        assert (entry.act, entry.by, entry.note, entry.statements[0].value) == (
            CLOCK_BACK,
            "ada",
            "an empty battery",
            2,
        )
        assert check(book).is_whole
        assert stamped_ahead(book, RIGHT + 3 * HOUR) is None


@pytest.mark.parametrize(
    ("known_at", "seq", "owner"),
    [
        (GOOD - HOUR, 0, None),
        (GOOD, 1, "Tarn"),
        (RIGHT - HOUR, 1, "Tarn"),
        (RIGHT, 4, "Fell"),
        (RIGHT + HOUR, 5, "Fell"),
        (RIGHT + 2 * HOUR, 6, "Moss"),
        (WRONG + 2 * HOUR, 6, "Moss"),
    ],
)
def test_what_was_known_when(back: Path, known_at: datetime, seq: int, owner: str | None) -> None:
    """What the wrong clock stamped is sure to have been known from the step back on, and not before."""
    day = datetime(2026, 5, 1, tzinfo=UTC).date()
    with Ledger(back / "program.airwrit") as book:
        if known_at != WRONG + 2 * HOUR:
            assert book.seq_at(known_at) == seq
        held = book.state(day, known_at).held.get("aircraft/A", {}).get(OWNER)
        assert (None if held is None else held.value) == owner
        assert max((one.recorded_at for one in book.known(known_at)), default=known_at) <= known_at


def test_what_was_given_out_before_stays_good(back: Path) -> None:
    with Ledger(back / "program.airwrit") as book:
        (_, note), *_ = checkpoints_kept(book)
        found = compared(book, note_of(note))
        assert found[0].how is Follows.FOLLOWS
        excerpt = excerpt_of(book, ["aircraft/A", f"log/{book.name}"])
        assert not [one for one in check_excerpt(excerpt) if one.how is Follows.CONTRADICTS]
        last = book.last_moment()
        assert {one.number: one.recorded_at for one in known_in(excerpt)} == {
            one.number: one.recorded_at for one in book.known(last)
        }


def test_it_is_restored_from_its_lines(back: Path) -> None:
    with Ledger(back / "program.airwrit") as book:
        lines, head = list(exported(book)), book.head()
    assert from_lines(lines, back / "again.airwrit", "lines") == head
    with Ledger(back / "again.airwrit") as again:
        assert check(again).is_whole


def test_only_that_act_steps_back(folder: Path) -> None:
    with Ledger(folder / "program.airwrit") as book:
        book.append([draft(said("aircraft/A", "model", "Lodrel"))], Clock(RIGHT))
        assert book.last_moment() == WRONG + HOUR + timedelta(microseconds=1)
        clock_put_back(book, RIGHT, "ada", "")
        with pytest.raises(UsageError, match="No entry is dated later"):
            clock_put_back(book, RIGHT + HOUR, "ada", "")
        with pytest.raises(LedgerFault):
            _forced(book)
        with pytest.raises(BadFact, match="has to stay"):
            blank(book, [5], Clock(RIGHT + HOUR), "ada", "a request")


def _forced(book: Ledger) -> None:
    with book.writing():
        book.database.execute("INSERT INTO entry VALUES (6, 0, '{}', zeroblob(32))")


def test_a_step_back_that_says_the_wrong_entry_is_no_step(folder: Path) -> None:
    with Ledger(folder / "program.airwrit") as book:
        wrong = said(f"log/{book.name}", "stamped_ahead_from", 4)
        book.append([Draft("eve", CLOCK_BACK, (wrong,))], Clock(RIGHT))
        assert [fault.seq for fault in check(book).faults] == [4]


def test_a_clock_that_is_wrong_twice_is_put_back_twice(back: Path) -> None:
    with Ledger(back / "program.airwrit") as book:
        book.append([draft(said("aircraft/B", "maker", "m"))], Clock(WRONG))
        entry = clock_put_back(book, RIGHT + 9 * HOUR, "ada", "again")
        assert entry.statements[0].value == 7
        assert check(book).is_whole
        assert book.seq_at(RIGHT + 9 * HOUR) == 8
        assert book.seq_at(RIGHT + 8 * HOUR) == 6


def test_the_command_tells_asks_and_keeps(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (command, ledgers):
        monkeypatch.setattr(module, "now", lambda: RIGHT)
    told = run(folder, "fix-entry-dates")
    assert told.returncode == 3
    assert "Entries 2 to 3 are dated later than this computer's clock, up to Jan 1, 2066" in told.stdout
    assert run(folder, "fix-entry-dates", "--back").returncode == 3
    found = json.loads(run(folder, "fix-entry-dates", "--json").stdout)
    assert (found["stamped_ahead"]["first"], found["kept"]) == (2, None)
    kept = run(folder, "fix-entry-dates", "--back", "--yes", "--by", "ada", "--note", "an empty battery")
    assert kept.returncode == 0
    assert "Entry 4 says so" in kept.stdout
    assert run(folder, "fix-entry-dates").returncode == 0
    assert run(folder, "record-change", "aircraft/A", "model=Lodrel", "--by", "ada").returncode == 0
    assert run(folder, "check-records").returncode in (0, 3)
