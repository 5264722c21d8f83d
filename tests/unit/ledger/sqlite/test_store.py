"""The store: what is kept is on disk, in order, added only; several writers keep one log; odd files are refused."""

from __future__ import annotations

import multiprocessing
import sqlite3
import stat
from datetime import UTC, datetime, timedelta, timezone
from hashlib import sha256
from pathlib import Path

import pytest

from airwrit.base.errors import BadFact, LedgerFault, LedgerMoved
from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement, Unreadable
from airwrit.ledger.checking.check import check
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite import opening
from airwrit.ledger.sqlite.opening import FORMAT, wal_is_safe
from airwrit.ledger.sqlite.store import Ledger
from tests.conftest import SAFE_PRAGMAS
from tests.unit.ledger.books import START, Clock, draft, said

OWNER = said("aircraft/A", "owner", "ann")


@pytest.fixture
def book(tmp_path: Path) -> Ledger:
    """A ledger with one entry."""
    made = Ledger.begin(tmp_path / "l.airwrit")
    made.append([draft(OWNER)], Clock())
    return made


def test_an_entry_is_numbered_chained_and_timed_in_utc(book: Ledger) -> None:
    east = datetime(2026, 1, 1, 20, tzinfo=timezone(timedelta(hours=3)))
    (second,) = book.append([draft(said("aircraft/B", "owner", "bob"))], lambda: east)
    assert (second.seq, second.recorded_at, second.ledger) == (2, east.astimezone(UTC), book.name)
    assert second.recorded_at.utcoffset() == timedelta(0)
    first = book.entry(1)
    assert first is not None
    assert (first.prev, first.statements, len(first.salt)) == ("", (OWNER,), 32)
    assert second.prev == next(book.lines()).leaf.hex()
    assert first.salt != second.salt


def test_time_never_goes_back(book: Ledger) -> None:
    (same,) = book.append([draft(OWNER)], Clock())
    assert same.recorded_at == START + timedelta(microseconds=1)
    assert same.note == ""
    (behind,) = book.append([draft(OWNER)], Clock(START - timedelta(hours=2)))
    assert behind.recorded_at == START + timedelta(microseconds=2)
    assert behind.note == ""


def test_the_clock_is_read_once_the_file_is_locked(book: Ledger) -> None:
    def clock() -> datetime:
        other = sqlite3.connect(book.path, timeout=0)
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")
        other.close()
        return START

    book.append([draft(OWNER)], clock)


def test_a_naive_clock_is_refused_and_nothing_is_kept(book: Ledger) -> None:
    with pytest.raises((BadFact, TypeError)):
        book.append([draft(OWNER)], lambda: datetime(2026, 2, 1))  # noqa: DTZ001 - the point of it
    assert book.head().size == 1
    assert check(book).is_whole


@pytest.mark.parametrize(
    ("statement", "answers", "says"),
    [
        (said("aircraft/A", "ownr", "x"), (), r"Did you mean owner\?"),
        (said("aircraft/A", "weighed_on", "soon"), (), "We can't use 'soon'"),
        (said("aircraft/A", "owner", "x"), ("9.0",), "No statement '9.0'"),
        (said("aircraft/A", "owner", "x"), ("1.1",), "No statement '1.1'"),
        (said("aircraft/A", "owner", "x"), ("first",), "No statement 'first'"),
        (said("aircraft/A", "owner", "x"), (f"{2**70}.0",), "No statement"),
        (said("aircraft/B", "owner", "x"), ("1.0",), "for these facts."),
        (said("aircraft/A", "maker", "x"), ("1.0",), "for these facts."),
        (said("aircraft/A", "owner", "a\0b"), (), "again."),
    ],
)
def test_what_cannot_be_is_refused_whole(
    book: Ledger, statement: Statement, answers: tuple[str, ...], says: str
) -> None:
    good = draft(said("aircraft/C", "owner", "cyd"))
    with pytest.raises(BadFact, match=says):
        book.append([good, draft(statement, answers=answers)], Clock())
    assert book.head().size == 1
    assert book.subjects() == ["aircraft/A"]
    assert check(book).is_whole


def test_an_entry_says_something(book: Ledger) -> None:
    with pytest.raises(BadFact, match="The entry"):
        book.append([draft()], Clock())


def test_an_answer_may_follow_in_the_same_write(book: Ledger) -> None:
    book.append(
        [draft(said("aircraft/B", "owner", "x")), draft(said("aircraft/B", "owner", "y"), answers=["2.0"])],
        Clock(),
    )
    assert book.answered_by(2, 0) == (3,)


def test_nothing_is_written_for_what_has_changed_since(book: Ledger) -> None:
    with Ledger(book.path) as other:
        other.append([draft(OWNER)], Clock())
    with pytest.raises(LedgerMoved, match="1 more entries"):
        book.append([draft(OWNER)], Clock(), after=1)
    assert book.head().size == 2


def named(name: str, data: bytes) -> Draft:
    """A draft that came from a file."""
    return draft(OWNER)._replace(source=f"{name} sha256:{sha256(data).hexdigest()}")


def test_a_file_that_no_line_names_is_not_kept(book: Ledger) -> None:
    for source in (
        "",
        "f.csv",
        f"f.csv sha256:{'0' * 64}",
        f"f.csv sha256:{sha256(b'a').hexdigest()} not kept",
    ):
        book.append([draft(OWNER)._replace(source=source)], Clock(), files=[KeptFile("f.csv", b"a")])
    assert book.database.execute("SELECT count(*) FROM file").fetchone() == (0,)


@pytest.mark.parametrize(
    "sql",
    [
        "DELETE FROM entry",
        "UPDATE entry SET line = replace(line, 'ann', 'eve')",
        "UPDATE entry SET recorded_at = recorded_at + 1",
        "UPDATE entry SET leaf = zeroblob(32)",
        "UPDATE entry SET seq = 7",
        "INSERT INTO entry SELECT 5, recorded_at + 9, line, leaf FROM entry",
        "INSERT INTO entry SELECT 2, recorded_at, line, leaf FROM entry",
        "DELETE FROM file",
        "UPDATE file SET name = 'other'",
        "UPDATE file SET bytes = x'00'",
        "INSERT INTO held VALUES (1, 2, 1, 1, 'late', 1, 1, '', '')",
    ],
)
def test_the_file_itself_refuses_changes(book: Ledger, sql: str) -> None:
    book.append([named("f.csv", b"a,b")], Clock(), files=[KeptFile("f.csv", b"a,b")])
    with pytest.raises(sqlite3.IntegrityError):
        book.database.execute(sql)


def test_a_file_is_kept_by_its_hash_once(book: Ledger) -> None:
    for _ in range(2):
        book.append([named("f.csv", b"abc")], Clock(), files=[KeptFile("f.csv", b"abc")])
    digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"  # FIPS 180-4, its own example
    assert book.file(digest) == KeptFile("f.csv", b"abc")
    assert book.file("0" * 64) is None
    assert book.database.execute("SELECT count(*) FROM file").fetchone() == (1,)


def test_values_come_back_in_their_own_kind(book: Ledger) -> None:
    raws: list[Raw] = [True, False, None, "true", "1", Unreadable("1.2E+9"), Unreadable("")]
    keys = ["is_registered" if isinstance(raw, bool) else "owner" for raw in raws]
    statements = [said("aircraft/K", key, raw) for key, raw in zip(keys, raws, strict=True)]
    book.append([draft(*statements)], Clock())
    back = [item.statement for item in book.known(START + timedelta(days=1), ["aircraft/K"])]
    assert back == statements
    assert [type(one.value) for one in back] == [type(raw) for raw in raws]


def test_only_the_owner_may_read_it(book: Ledger) -> None:
    assert stat.S_IMODE(book.path.stat().st_mode) == 0o600


def test_nothing_is_overwritten(book: Ledger) -> None:
    with pytest.raises(LedgerFault, match=r"A file with this name already exists."):
        Ledger.begin(book.path)
    assert book.head().size == 1


def test_a_newer_file_is_refused(book: Ledger) -> None:
    book.database.execute(f"PRAGMA user_version = {FORMAT + 1}")
    with pytest.raises(LedgerFault, match="newer version"):
        Ledger(book.path)


@pytest.mark.parametrize("data", [b"", b"not a ledger", b"SQLite format 3\0" + b"\0" * 200, None])
def test_what_is_no_ledger_is_refused(tmp_path: Path, data: bytes | None) -> None:
    path = tmp_path / "x.airwrit"
    if data is None:
        sqlite3.connect(path).execute("CREATE TABLE t (a)").connection.close()
    else:
        path.write_bytes(data)
    before = path.read_bytes()
    with pytest.raises(LedgerFault):
        Ledger(path)
    assert path.read_bytes() == before
    with pytest.raises(LedgerFault, match=r"no ledger with that name."):
        Ledger(tmp_path / "missing")


@pytest.mark.parametrize(
    ("version", "safe"),
    [
        ((3, 40, 1), False),
        ((3, 44, 5), False),
        ((3, 44, 6), True),
        ((3, 45, 0), False),
        ((3, 50, 6), False),
        ((3, 50, 7), True),
        ((3, 51, 2), False),
        ((3, 51, 3), True),
        ((3, 52, 0), False),
        ((3, 53, 0), True),
        ((4, 0, 0), True),
    ],
)
def test_the_write_ahead_log_is_used_only_where_it_is_safe(version: tuple[int, int, int], safe: bool) -> None:
    assert wal_is_safe(version) is safe


def test_the_journal_waits_for_the_disk(book: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "PRAGMAS", SAFE_PRAGMAS)
    mode = "wal" if wal_is_safe(sqlite3.sqlite_version_info) else "truncate"
    with Ledger(book.path) as again:
        assert again.database.execute("PRAGMA journal_mode").fetchone() == (mode,)
        assert again.database.execute("PRAGMA synchronous").fetchone() == (2,)


def write(path: str, name: str, count: int) -> None:
    """One of several writers."""
    with Ledger(Path(path)) as book:
        for number in range(count):
            book.append([draft(said(f"aircraft/{name}{number}", "owner", name))], Clock())


def test_several_processes_keep_one_log(tmp_path: Path) -> None:
    path = tmp_path / "l.airwrit"
    Ledger.begin(path).close()
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=write, args=(str(path), name, 25)) for name in "abc"]
    for one in writers:
        one.start()
    for one in writers:
        one.join(120)
    assert [one.exitcode for one in writers] == [0, 0, 0]
    with Ledger(path) as book:
        assert check(book).faults == []
        assert book.head().size == 75
        assert len(book.subjects()) == 75
        found = [line.recorded_at for line in book.lines()]
        assert found == [START + timedelta(microseconds=n) for n in range(75)]
