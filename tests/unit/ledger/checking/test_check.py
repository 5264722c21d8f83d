"""Damage and forgery: whatever is done to the file behind the program's back is found and named."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from airwrit.ledger.checking.check import check
from airwrit.ledger.entry import canonical
from airwrit.ledger.log.tree import Frontier, leaf_hash
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.derived import rebuild_rectangles
from airwrit.ledger.sqlite.opening import schema_kept
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, draft, said

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.fixture
def book(tmp_path: Path) -> Ledger:
    """A ledger of four entries, with a correction and a file."""
    made = Ledger.begin(tmp_path / "l.airwrit")
    clock = Clock()
    made.append(
        [draft(said("aircraft/A", "owner", "ann"))._replace(source=f"f.csv sha256:{ABC}")],
        clock,
        files=[KeptFile("f.csv", b"abc")],
    )
    made.append([draft(said("aircraft/A", "maker", "m"), said("aircraft/B", "owner", "bob"))], clock)
    made.append([draft(said("aircraft/A", "owner", "cyd"), answers=["1.0"])], clock)
    made.append([draft(said("aircraft/C", "owner", "dot", "2026-01-01"))], clock)
    return made


def without_triggers(book: Ledger) -> dict[str, str]:
    """Take the triggers off, as anybody with the file can; how to put them back."""
    triggers = {
        name: sql for name, sql in schema_kept(book.database).items() if sql.startswith("CREATE TRIGGER")
    }
    for name in triggers:
        book.database.execute(f"DROP TRIGGER {name}")
    return triggers


FORGED: list[tuple[str, str, int, str]] = [
    ("a value", "UPDATE entry SET line = replace(line, 'ann', 'eve') WHERE seq = 1", 1, "isn't the one that was hashed"),
    ("a moment", "UPDATE entry SET recorded_at = recorded_at - 1 WHERE seq = 1", 1, "time"),
    ("a leaf", "UPDATE entry SET leaf = zeroblob(32) WHERE seq = 2", 2, "isn't the one that was hashed"),
    ("a line gone", "DELETE FROM entry WHERE seq = 2", 3, "entry 2 is missing"),
    ("the last line gone", "DELETE FROM entry WHERE seq = 4", 0, "size and root"),
    ("a blank line", "UPDATE entry SET line = NULL WHERE seq = 3", 3, "no entry says it was removed"),
    ("nonsense", "UPDATE entry SET line = '{}' WHERE seq = 3", 3, "canonical"),
    ("spaces", "UPDATE entry SET line = line || ' ' WHERE seq = 3", 3, "canonical"),
    ("swapped", "UPDATE entry SET line = (SELECT line FROM entry WHERE seq = 4) WHERE seq = 3", 3, "hashed"),
    ("a saying", "UPDATE said SET value = 'eve' WHERE seq = 1", 1, "its statements don't match its line"),
    ("a saying gone", "DELETE FROM said WHERE seq = 2 AND place = 1", 2, "its statements don't match its line"),
    ("a saying moved", "UPDATE said SET seq = 9 WHERE seq = 4", 9, "no line contains"),
    ("an answer gone", "DELETE FROM answered", 3, "what it replaces"),
    ("an answer more", "INSERT INTO answered VALUES (2, 0, 4)", 4, "what it replaces"),
    ("a word", "UPDATE word SET text = 'aircraft/Z' WHERE text = 'aircraft/A'", 1, "its statements don't match its line"),
    ("a rectangle", "UPDATE held SET value = 'eve' WHERE value = 'cyd'", 3, "don't match the entries"),
    ("a rectangle gone", "DELETE FROM held WHERE value = 'cyd'", 3, "don't match the entries"),
    ("the root", "UPDATE about SET value = substr(value, 2) || substr(value, 1, 1) WHERE name = 'peaks'", 0, "size and root"),
    ("a file", "UPDATE file SET bytes = x'00'", 1, "kept file f.csv was changed"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "sql", "seq", "says"), FORGED, ids=[case[0] for case in FORGED])
def test_a_change_is_found_and_named(book: Ledger, what: str, sql: str, seq: int, says: str) -> None:
    assert check(book).faults == []
    triggers = without_triggers(book)
    book.database.execute(sql)
    for trigger in triggers.values():
        book.database.execute(trigger)
    faults = check(book).faults
    assert any(fault.seq == seq and says in fault.what for fault in faults), faults


def test_a_trigger_that_is_gone_or_changed_is_found(book: Ledger) -> None:
    without_triggers(book)
    book.database.execute("CREATE TRIGGER file_is_never_deleted BEFORE DELETE ON file BEGIN SELECT 1; END")
    told = [fault.what for fault in check(book).faults]
    assert "table, index or trigger entry_is_never_changed is missing" in told
    assert "table, index or trigger file_is_never_deleted was changed" in told


def rewritten(book: Ledger, change: Callable[[str], str]) -> None:
    """Write the whole log anew, hashes, root and all, as somebody could who has the program."""
    without_triggers(book)
    frontier, prev = Frontier(), ""
    for line in list(book.lines()):
        told = json.loads(change(line.text or ""))
        text = canonical({**told, "prev": prev})
        leaf = leaf_hash(text.encode())
        book.database.execute("UPDATE entry SET line = ?, leaf = ? WHERE seq = ?", (text, leaf, line.seq))
        frontier.add(leaf)
        prev = leaf.hex()
    with book.writing():
        book.rebuild()


def test_a_log_written_anew_shows_only_against_a_head_noted_elsewhere(book: Ledger) -> None:
    noted = book.head()
    rewritten(book, lambda text: text.replace('"ann"', '"eve"'))
    faults = [fault.what for fault in check(book).faults]
    assert all("trigger" in what for what in faults)
    told = [fault for fault in check(book, noted).faults if "trigger" not in fault.what]
    assert [(fault.seq, "whose head you saved" in fault.what) for fault in told] == [(4, True)]


def test_an_earlier_head_is_held_by_a_log_that_grew(book: Ledger) -> None:
    noted = book.head()
    book.append([draft(said("aircraft/A", "owner", "dan"))], Clock())
    assert check(book, noted).is_whole
    assert not check(book, noted._replace(size=9)).is_whole
    assert not check(book, noted._replace(size=3)).is_whole


def test_damaged_pages_are_found(book: Ledger) -> None:
    path = book.path
    book.append([draft(said(f"aircraft/{n}", "owner", "x" * 300)) for n in range(40)], Clock())
    book.close()
    data = bytearray(path.read_bytes())
    for at in range(len(data) // 2, len(data) // 2 + 3000):
        data[at] ^= 0x55
    path.write_bytes(data)
    with Ledger(path) as again:
        assert check(again).faults


def test_contradictions_are_listed_and_damage_nothing(book: Ledger) -> None:
    book.append(
        [
            draft(said("aircraft/B", "owner", "eve")),
            draft(said("aircraft/D", "owner", "fay", "2026-05-01", "2026-04-01")),
        ],
        Clock(),
    )
    found = check(book)
    assert found.is_whole
    assert found.clashes == [("aircraft/B", "owner"), ("aircraft/D", "owner")]


def test_a_rebuild_mends_what_is_derived(book: Ledger) -> None:
    book.database.execute("DELETE FROM held")
    assert not check(book).is_whole
    rebuild_rectangles(book.database)
    assert check(book).is_whole
