"""Missing evidence is told: kept files, checkpoints, notes of copies, rows that belong to nothing, a lowered form number."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from airwrit.base.errors import LedgerFault
from airwrit.ledger.checking.check import check
from airwrit.ledger.checking.evidence_check import FileIs, file_is
from airwrit.ledger.copies import copied, exported, from_lines
from airwrit.ledger.entry import files_in
from airwrit.ledger.given_out import CopyMade, copies_made, keep_checkpoint, note_copy
from airwrit.ledger.log.checkpoints import issued
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.blanking import Removal, Request, blank, take_out
from airwrit.ledger.sqlite.opening import schema_kept, schema_wanted
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import START, Clock, as_form_2, draft, old_ledger, said
from tests.unit.ledger.checking.test_check import without_triggers
from tests.unit.ledger.sqlite.test_both_trees import as_form_1

CREW, MARK = b"name,born\nJo,1990-01-02\n", b"a photo"


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def named(name: str, data: bytes, *statements: object, act: str = "import") -> Draft:
    """A draft that came from a file."""
    return draft(*statements, act=act)._replace(source=f"{name} sha256:{digest(data)}")  # type: ignore[arg-type]


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Ledger]:
    """A ledger with a sheet, a document, two checkpoints and a copy that was given out."""
    with Ledger.begin(tmp_path / "l.airwrit") as made:
        clock = Clock()
        crew = [
            named("crew.csv", CREW, said("person/Jo", "role", "pilot")),
            named("crew.csv", CREW, said("person/Jo", "born_on", "1990-01-02")),
        ]
        made.append(crew, clock, files=[KeptFile("crew.csv", CREW)])
        keep_checkpoint(made, 2, issued(made, None))
        mark = named(
            "mark.jpg", MARK, said("document/m aircraft/A", "document_sha256", digest(MARK)), act="attach"
        )
        made.append([mark], clock, files=[KeptFile("mark.jpg", MARK)])
        issued(made, None)
        note_copy(made, CopyMade(START, "backup", "b.airwrit", 3))
        yield made


def forged(book: Ledger, sql: str) -> None:
    """Do something behind the program's back, without the triggers, which are put back."""
    triggers = without_triggers(book)
    book.database.execute(sql)
    for trigger in triggers.values():
        book.database.execute(trigger)


FORGED: list[tuple[str, int, str]] = [
    ("DELETE FROM file WHERE name = 'crew.csv'", 1, "the kept file crew.csv that it names is gone"),
    ("DELETE FROM file WHERE name = 'mark.jpg'", 3, "the kept file mark.jpg that it names is gone"),
    ("UPDATE file SET bytes = NULL WHERE name = 'crew.csv'", 1, "no entry says they were removed"),
    ("UPDATE file SET bytes = x'' WHERE name = 'mark.jpg'", 3, "the kept file mark.jpg was changed"),
    ("UPDATE file SET bytes = CAST(bytes || x'0a' AS BLOB) WHERE name = 'crew.csv'", 1, "was changed after"),
    ("UPDATE file SET name = 'other.csv' WHERE name = 'crew.csv'", 1, "which was renamed to other.csv"),
    ("UPDATE file SET sha256 = replace(sha256, 'a', 'b') WHERE name = 'crew.csv'", 1, "is gone"),
    ("INSERT INTO file VALUES ('" + digest(b"x") + "', 'x.csv', x'78')", 0, "no line names the kept file x.csv"),
    ("INSERT INTO file VALUES ('" + digest(b"x") + "', 'x.csv', NULL)", 0, "no line names the kept file x.csv"),
    ("DELETE FROM checkpoint WHERE size = 2", 0, "of the checkpoints that were given out, 1 of 2 removed"),
    ("DELETE FROM checkpoint", 0, "2 of 2 removed"),
    ("UPDATE checkpoint SET note = (SELECT note FROM checkpoint WHERE size = 3) WHERE size = 2", 2, "a different size"),
    ("UPDATE checkpoint SET note = replace(note, 'last 2026', 'last 2025')", 0, "of 2 changed"),
    ("UPDATE checkpoint SET note = replace(note, 'last 2026', 'last 2025')", 2, "gives a different time"),
    ("UPDATE checkpoint SET note = 'airwrit/x' WHERE size = 3", 3, "isn't a checkpoint"),
    ("INSERT INTO checkpoint SELECT 1, note FROM checkpoint WHERE size = 2", 0, "1 added to 2"),
    ("INSERT INTO checkpoint VALUES (9, 'x')", 0, "the checkpoint kept for 9 entries isn't a checkpoint"),
    ("UPDATE checkpoint SET size = 1 WHERE size = 2", 1, "has a different size"),
    ("DELETE FROM given_out", 0, "of the copies noted as given out, 1 of 1 removed"),
    ("UPDATE given_out SET name = 'c'", 0, "1 or more of 1 changed"),
    ("INSERT INTO given_out VALUES (7, 1, 'backup', 'z', 1, '[]')", 0, "1 added to 1"),
    ("DELETE FROM about WHERE name = 'checkpoints'", 0, "its sum is gone"),
    ("UPDATE about SET value = 'x' WHERE name = 'given_out'", 0, "its sum is gone"),
    ("INSERT INTO about VALUES ('more', '')", 0, "the table about has a row 'more'"),
    ("INSERT INTO word (text) VALUES ('aircraft/nobody')", 0, "1 stored words"),
    ("INSERT INTO said VALUES (9223372036854775807, 0, 1, 2, 1, '', '', '')", 2**63 - 1, "no line contains"),
    ("INSERT INTO said VALUES (-9, 0, 1, 2, 1, '', '', '')", -9, "no line contains"),
    ("INSERT INTO answered VALUES (1, 0, 9223372036854775807)", 2**63 - 1, "no line contains"),
    ("INSERT INTO held VALUES (9223372036854775807, 1, 1, 1, 1, 1, 1, '', '')", 1, "don't match the entries"),
    ("INSERT INTO node VALUES (40, 7, zeroblob(32))", 3, "the hash tree doesn't match the entries"),
    ("INSERT INTO subject_head VALUES (zeroblob(32), 1, zeroblob(32))", 0, "head of a record"),
    ("INSERT INTO head_bucket VALUES (5000, 1, zeroblob(32))", 0, "belong to no record"),
    ("PRAGMA user_version = 1", 0, "its format number says 1, but its tables have format 3"),
    ("PRAGMA user_version = 2", 0, "its format number says 2"),
    ("PRAGMA user_version = 0", 0, "its format number says 0"),
    ("PRAGMA user_version = -5", 0, "its format number says -5"),
]  # fmt: skip


@pytest.mark.parametrize(("sql", "seq", "says"), FORGED, ids=[sql[:60] for sql, _, _ in FORGED])
def test_what_is_missing_changed_or_put_in_is_told(
    book: Ledger, tmp_path: Path, sql: str, seq: int, says: str
) -> None:
    assert check(book).faults == []
    forged(book, sql)
    book.close()
    with Ledger(book.path) as again:
        faults = check(again).faults
        assert any(fault.seq == seq and says in fault.what for fault in faults), faults
        assert not any("removed on request" in fault.what or "blanked" in fault.what for fault in faults)
        with pytest.raises(LedgerFault, match="would be incomplete"):
            copied(again, tmp_path / "copy")
    assert not (tmp_path / "copy").exists()


def test_the_log_alone_knows_of_the_files_that_it_names(book: Ledger) -> None:
    forged(book, "DELETE FROM file WHERE name = 'crew.csv'")
    assert [fault.seq for fault in check(book, log_only=True).faults] == [1]


def test_what_became_of_a_file_is_told(book: Ledger) -> None:
    crew, mark, document = digest(CREW), digest(MARK), "document/m aircraft/A"
    assert file_is(book, mark, document) is FileIs.KEPT
    assert file_is(book, "0" * 64) is FileIs.NOT_KEPT
    blank(book, [2], Clock(), "ada", "request 1")
    assert file_is(book, crew) is FileIs.TAKEN_OUT
    for sql, how in (
        ("UPDATE file SET name = 'x' WHERE sha256 = ?", FileIs.RENAMED),
        ("UPDATE file SET bytes = x'01' WHERE sha256 = ?", FileIs.CHANGED),
        ("UPDATE file SET bytes = NULL WHERE sha256 = ?", FileIs.GONE),
        ("DELETE FROM file WHERE sha256 = ?", FileIs.GONE),
    ):
        forged(book, sql.replace("?", f"'{mark}'"))
        assert file_is(book, mark, document) is how


def test_a_file_that_was_taken_out_has_to_stay_out_and_noted(book: Ledger) -> None:
    blank(book, [2], Clock(), "ada", "request 1")
    assert check(book).faults == []
    assert check(book).blanked == [2]
    forged(book, f"UPDATE file SET bytes = x'{CREW.hex()}' WHERE name = 'crew.csv'")
    assert [fault.what for fault in check(book).faults] == [
        "the file crew.csv was removed, but its contents are back"
    ]
    forged(book, "DELETE FROM file WHERE name = 'crew.csv'")
    assert [fault.what for fault in check(book).faults] == ["the kept file crew.csv that it names is gone"]


def test_a_name_can_go_with_the_bytes_and_a_file_can_outlive_its_lines(book: Ledger) -> None:
    clock, request = Clock(), Request("person/Jo", "Jo", "ada", "asked")
    everything = {1: frozenset({0}), 2: frozenset({0})}
    take_out(book, Removal(everything), request, clock, "ada")
    assert check(book).faults == []
    assert file_is(book, digest(CREW)) is FileIs.KEPT
    removal = Removal({3: frozenset({0})}, (digest(MARK),), frozenset({digest(MARK)}))
    take_out(book, removal, request, clock, "ada")
    assert check(book).faults == []
    assert book.file(digest(MARK)) == KeptFile("", None)
    assert "mark.jpg" not in str(list(exported(book)))
    forged(book, "UPDATE file SET name = 'mark.jpg' WHERE bytes IS NULL")
    assert ["was renamed" in fault.what for fault in check(book).faults] == [True]


def test_a_line_that_nobody_blanked_is_not_called_blanked(book: Ledger) -> None:
    forged(book, "UPDATE entry SET line = NULL WHERE seq = 2")
    found = check(book)
    assert found.blanked == []
    assert (2, "its line is gone, and no entry says it was removed") in found.faults


def test_checkpoints_and_copies_are_kept_with_their_sums(book: Ledger, tmp_path: Path) -> None:
    assert copies_made(book) == [CopyMade(START, "backup", "b.airwrit", 3, ())]
    note_copy(book, CopyMade(START, "proof", "p.pdf", 3, ("person/Jo",)))
    assert copies_made(book)[1].about == ("person/Jo",)
    assert check(book).faults == []
    copied(book, tmp_path / "copy")
    with Ledger(tmp_path / "copy") as copy:
        assert len(copies_made(copy)) == 2


# ---- earlier forms --------------------------------------------------------------------------------------------------


def test_a_ledger_that_an_earlier_version_wrote_opens_whole_and_tells_what_it_lacks(tmp_path: Path) -> None:
    path = old_ledger(tmp_path / "old.airwrit")
    for _ in range(2):
        with Ledger(path) as book:
            assert schema_kept(book.database) == schema_wanted()
            found = check(book)
            assert (found.faults, found.blanked, found.lacks_files) == ([], [2], False)
            assert len(found.gaps) == 2
            assert any(gap.startswith("the contents of crew.csv (already missing when") for gap in found.gaps)
            assert any(
                gap.startswith("crew.csv, which entry 11 names (already missing") for gap in found.gaps
            )
    with Ledger(path) as book:
        assert (
            file_is(book, "1f9da8698fdc5ee00d746b963002cd3fb8935e62281cf57b9d259f43f9ccbe70")
            is FileIs.NOT_TOLD
        )
        forged(book, "DELETE FROM file WHERE name = 'fleet.csv'")
        assert ["fleet.csv that it names is gone" in fault.what for fault in check(book).faults] == [True]
        forged(book, "DELETE FROM checkpoint WHERE size = 8")
        assert any("1 of 2 removed" in fault.what for fault in check(book).faults)


def test_taking_up_mends_nothing_that_was_done_to_an_earlier_form(tmp_path: Path, book: Ledger) -> None:
    as_form_2(book.path)
    with closing(sqlite3.connect(book.path, isolation_level=None)) as db:
        db.execute("DROP TRIGGER entry_is_never_deleted")
        db.execute("DROP TABLE node")
    with Ledger(book.path) as again:
        faults = {fault.what for fault in check(again).faults}
    assert "table, index or trigger entry_is_never_deleted is missing" in faults
    assert "table, index or trigger node is missing" in faults or any(
        "no such table: node" in one for one in faults
    )


@pytest.mark.parametrize("earlier", [as_form_1, as_form_2])
def test_an_earlier_form_is_taken_up(book: Ledger, earlier: Callable[[Path], None]) -> None:
    earlier(book.path)
    with Ledger(book.path) as again:
        assert schema_kept(again.database) == schema_wanted()
        assert check(again).faults == []


def test_a_ledger_made_of_exported_lines_tells_that_it_lacks_the_files(book: Ledger, tmp_path: Path) -> None:
    from_lines(exported(book), tmp_path / "again", "x")
    with Ledger(tmp_path / "again") as again:
        found = check(again)
        assert (found.faults, found.lacks_files) == ([], True)
        assert sorted(gap.partition(",")[0] for gap in found.gaps) == ["crew.csv", "mark.jpg"]
        assert all("made from an export" in gap for gap in found.gaps)
        assert file_is(again, digest(MARK), "document/m aircraft/A") is FileIs.NOT_TOLD


def test_the_files_of_a_source_are_told_apart() -> None:
    one, two = "0" * 64, "1" * 64
    assert files_in("") == files_in("entry 3") == files_in("f.csv sha256:00") == []
    assert [tuple(named) for named in files_in(f"a b.csv sha256:{one}")] == [("a b.csv", one, True)]
    assert [tuple(named) for named in files_in(f"a.json sha256:{one}; b.json sha256:{two} not kept")] == [
        ("a.json", one, True),
        ("b.json", two, False),
    ]
    assert files_in(f"a sha256:{one} and more") == []
