"""Whatever a user writes in a note, the ledger opens again and no count is read out of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airwrit.facts.statement import Source, Statement
from airwrit.ledger.entry import source_text
from airwrit.ledger.ports import Draft
from airwrit.ledger.rows_read import IMPORT
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.cli.command import run
from tests.unit.ledger.books import Clock

SHEET = "Aircraft,Use,Owner,Weight (g)\nH-01,work,Tarn,900\n,work,Tarn,950\n"
"""Its second row does not say which aircraft, so it goes unread."""

NOTES = (
    "rows not read: some",
    "rows not read: 7",
    "rows not read: ",
    "; rows not read: 1 or 2",
    "rows not read: ٣",
)
TELLING = (
    ("today", "--on", "2026-11-25"),
    ("deadlines",),
    ("flight-hours",),
    ("check-records",),
    ("history", "aircraft/H-01"),
    ("export-records",),
    ("what-if", "sell aircraft/H-01"),
    ("proof", "aircraft/H-01"),
    ("import", "fleet.csv"),
    ("check-scenario", "aircraft/H-01"),
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a ledger, to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def unread(folder: Path) -> list[str]:
    """What the standing says of rows that were not read."""
    told = json.loads(run(folder, "today", "--on", "2026-11-25", "--json").stdout)
    return [one["what"] for one in told["problems"] if one["where"] == "fleet.csv"]


@pytest.mark.parametrize("note", NOTES)
def test_a_note_is_words_alone(folder: Path, note: str) -> None:
    Path("fleet.csv").write_text(SHEET, encoding="utf-8")
    run(folder, "import", "fleet.csv", "--yes", "--by", "ada", "--note", note)
    assert unread(folder) == ["rows not read: 1"]
    with Ledger(Path("program.airwrit")) as book:
        notes = {entry.note for line in book.lines() if (entry := book.entry(line.seq))}
    assert notes == {note}
    assert run(folder, "import", "fleet.csv", "--yes", "--note", note).stdout.startswith("Nothing to save")
    Path("fleet.csv").write_text(SHEET.replace("\n,", "\nH-02,"), encoding="utf-8")
    run(folder, "import", "fleet.csv", "--yes", "--by", "ada", "--note", note)
    assert unread(folder) == []


@pytest.mark.parametrize("note", NOTES)
def test_a_ledger_whose_note_once_broke_it_opens_again(folder: Path, note: str) -> None:
    Path("fleet.csv").write_text(SHEET, encoding="utf-8")
    said = (Statement("aircraft/H-01", "owner", "Tarn"), Statement("aircraft/H-01", "used_for", "work"))
    source = source_text(Source("fleet.csv", "0" * 64))
    with Ledger.begin(Path("program.airwrit")) as book:
        book.append([Draft("ada", IMPORT, said, (), source, note)], Clock())
    for arguments in TELLING:
        told = run(folder, *arguments)
        assert told.returncode in (0, 1, 3), (arguments, told.stderr)
    assert unread(folder) == (["rows not read: 7"] if note.endswith("7") else [])
    told = run(folder, "import", "fleet.csv", "--yes", "--by", "ada", "--clock-is-right")
    assert told.returncode in (0, 3), told.stderr
    assert unread(folder) == ["rows not read: 1"]
