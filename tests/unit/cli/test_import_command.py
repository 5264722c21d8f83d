"""Importing from the outside: files that are none, writers in between, a stop by hand, a sheet through the months."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
import openpyxl
import pytest
from click.testing import CliRunner

from airwrit.answers.sheets.difference import HandEntry, OnRecord, saying_by_hand
from airwrit.cli.main import cli
from airwrit.cli.shared.ledger import held_in
from airwrit.cli.shared.options import now
from airwrit.cli.write import import_sheets
from airwrit.facts.statement import Statement
from airwrit.ledger.checking.check import check
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.cli.command import ROOT, START, run
from tests.unit.cli.test_ledger_commands import LEDGER, document

FLEET = "Aircraft,Use,Owner,Weight (g)\nH-01,work,Tarn,900\nH-02,work,Tarn,950\n"


def sheet(folder: Path, text: str = FLEET, name: str = "fleet.csv") -> Path:
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def does(told: dict[str, Any]) -> list[tuple[str, str, str]]:
    return [(one["subject"], one["key"], one["does"]) for one in told["changes"]]


# ---- files that are none ----------------------------------------------------------------------------------------


def _folder(path: Path) -> None:
    path.mkdir()


def _loop(path: Path) -> None:
    path.symlink_to(path.name)


def _huge(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(500 * 2**20)


@pytest.mark.parametrize(
    ("name", "make", "says"),
    [
        ("d.csv", _folder, "This is a folder"),
        ("f.csv", os.mkfifo, "This isn't a file"),
        ("l.csv", _loop, "We can't open it"),
        ("e.csv", Path.touch, "The file is empty"),
        ("h.csv", _huge, "The most we read is"),
        ("n.csv", lambda path: path.symlink_to("nowhere"), "This file doesn't exist"),
    ],
)
def test_what_is_no_sheet_is_refused_in_one_line(tmp_path: Path, name: str, make: Any, says: str) -> None:
    make(tmp_path / name)
    done = run(tmp_path, "import", name, "--yes")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"airwrit: {name}: {says}") or says in done.stderr
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / LEDGER).exists()


def test_two_files_of_one_name_are_refused(tmp_path: Path) -> None:
    sheet(tmp_path)
    (tmp_path / "other").mkdir()
    sheet(tmp_path / "other")
    done = run(tmp_path, "import", "fleet.csv", "other/fleet.csv", "--yes")
    assert done.returncode == 2
    assert "Two files have this name." in done.stderr


# ---- a sheet through the months ---------------------------------------------------------------------------------


def test_what_is_shown_before_anything_is_kept(tmp_path: Path) -> None:
    sheet(tmp_path)
    assert run(tmp_path, "import", "fleet.csv", "--yes", "--by", "ada").returncode == 0
    sheet(tmp_path, "Aircraft,Use,Owner,Weight (g)\nH-01,work,Tarn,960\nH-03,work,Tarn,400\n")
    done = run(tmp_path, "import", "fleet.csv", "--from", "2026-11-25")
    assert done.returncode == 3
    for title in ("CHANGED", "NO LONGER IN THE FILE", "ADDED"):
        assert title in done.stdout
    assert "1 to change" in done.stdout
    assert "Before that" in done.stdout
    assert "--take-back" in done.stdout
    assert "Nothing was" in done.stdout
    told = document(tmp_path, "import", "fleet.csv", "--from", "2026-11-25")
    assert ("aircraft/H-01", "takeoff_weight_g", "changed") in does(told)
    assert {one["subject"] for one in told["no_longer_said"]} == {"aircraft/H-02"}
    assert [one["read_as"] for one in told["columns"]] == ["id", "used_for", "owner", "takeoff_weight_g"]


def test_what_never_was_so_is_taken_back(tmp_path: Path) -> None:
    sheet(tmp_path)
    run(tmp_path, "import", "fleet.csv", "--yes")
    sheet(tmp_path, FLEET.replace("H-02", "H-20"))
    told = document(tmp_path, "import", "fleet.csv", "--take-back", "--yes")
    assert {does for _, _, does in does(told)} == {"added", "taken_back"}
    rows = document(tmp_path, "today", "--on", "2026-11-25")["rows"]
    assert sorted(row["subject"] for row in rows) == ["aircraft/H-01", "aircraft/H-20"]


def test_a_day_and_a_correction_do_not_go_together(tmp_path: Path) -> None:
    sheet(tmp_path)
    done = run(tmp_path, "import", "fleet.csv", "--from", "2026-11-25", "--correct")
    assert done.returncode == 2
    assert "Use only one of the two." in done.stderr


def test_rows_put_in_above_leave_the_rest_as_it_was(tmp_path: Path) -> None:
    assert run(tmp_path, "demo", "--on", "2026-11-25").returncode == 0
    assert run(tmp_path, "import", "tarn-and-fell.xlsx", "--yes").returncode == 3
    book = openpyxl.load_workbook(tmp_path / "tarn-and-fell.xlsx")
    rows: tuple[tuple[str, list[str | int]], ...] = (
        ("Flight log", ["2026-11-24", "Nela Quist", "Alder 3", 1, 2]),
        ("Courses", ["Nela Quist", "Part 61 pilot training", "2026-11-20"]),
        ("Extras", ["Alder 1", "strobe", "6 g", "0.1 g"]),
    )
    for name, row in rows:
        book[name].insert_rows(2)
        for column, value in enumerate(row, start=1):
            book[name].cell(2, column, value)
    book.save(tmp_path / "tarn-and-fell.xlsx")
    told = document(tmp_path, "import", "tarn-and-fell.xlsx")
    assert {subject for subject, _, _ in does(told)} == {
        "flight/Nela Quist, 2026-11-24, Alder 3",
        "training/Nela Quist, Part 61 pilot training, 2026-11-20",
        "part/Alder 1, strobe",
    }
    assert told["no_longer_said"] == []


def test_a_mended_row_clears_the_mark_that_rows_went_unread(tmp_path: Path) -> None:
    sheet(tmp_path, FLEET + ",work,Tarn,100\n")
    assert run(tmp_path, "import", "fleet.csv", "--yes").returncode == 3
    assert "Rows not read: 1" in run(tmp_path, "today", "--on", "2026-11-25").stdout
    sheet(tmp_path)
    done = run(tmp_path, "import", "fleet.csv", "--yes")
    assert done.returncode == 0
    assert "was read again" in done.stdout
    assert "rows not read" not in run(tmp_path, "today", "--on", "2026-11-25").stdout
    assert "Nothing to save" in run(tmp_path, "import", "fleet.csv", "--yes").stdout


# ---- others who write, and a stop by hand -----------------------------------------------------------------------


def test_it_looks_again_when_others_wrote_meanwhile(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, book = sheet(tmp_path), tmp_path / LEDGER
    assert run(tmp_path, "import", "fleet.csv", "--yes").returncode == 0
    sheet(tmp_path, FLEET.replace("900", "960"))
    looks = 0

    def looked(where: Path) -> OnRecord:
        nonlocal looks
        looks += 1
        held = held_in(where)
        if looks < 3:
            said = HandEntry((Statement("aircraft/H-02", "maker", f"Maker {looks}"),), corrects=True)
            with Ledger(where) as ledger:
                ledger.append(saying_by_hand(held, said, "bob").drafts, now)
        return held

    monkeypatch.setattr(import_sheets, "held_in", looked)
    done = CliRunner().invoke(cli, ["import", str(path), "--ledger", str(book), "--yes", "--json"])
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert looks == 3
    assert len(told["kept"]) == 2
    assert told["after"] == told["kept"][0] - 1
    with Ledger(book) as ledger:
        assert check(ledger).is_whole


def test_it_gives_up_on_others_who_never_stop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, book = sheet(tmp_path), tmp_path / LEDGER

    def looked(where: Path) -> OnRecord:
        held = held_in(where)
        said = HandEntry((Statement("aircraft/H-02", "maker", f"Maker {held.after}"),), corrects=True)
        with Ledger(where) if where.exists() else Ledger.begin(where) as ledger:
            ledger.append(saying_by_hand(held, said, "bob").drafts, now)
        return held

    monkeypatch.setattr(import_sheets, "held_in", looked)
    done = CliRunner().invoke(cli, ["import", str(path), "--ledger", str(book), "--yes"])
    assert done.exit_code == 1
    assert "else keeps saving" in str(done.exception)


@pytest.fixture
def stops() -> Iterator[None]:
    """The stop by hand is heard, also where the tests were begun in the background and hear of none."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("stops")
@pytest.mark.parametrize("moment", ["data_of", "read_files", "preview_of", "keep"])
def test_a_stop_by_hand_keeps_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str) -> None:
    path, book = sheet(tmp_path), tmp_path / LEDGER

    def stopped(*_: object, **__: object) -> None:
        signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(import_sheets, moment, stopped)
    with pytest.raises(click.exceptions.Abort):
        import_sheets.command.main([str(path), "--ledger", str(book), "--yes"], standalone_mode=False)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["fleet.csv"]


@pytest.mark.usefixtures("stops")
def test_a_stop_after_it_was_kept_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path, book = sheet(tmp_path), tmp_path / LEDGER
    monkeypatch.setattr(import_sheets, "_tell", lambda *_: signal.raise_signal(signal.SIGINT))
    with pytest.raises(click.exceptions.Abort):
        import_sheets.command.main([str(path), "--ledger", str(book), "--yes"], standalone_mode=False)
    assert "everything was already" in capsys.readouterr().err
    with Ledger(book) as ledger:
        assert ledger.head().size == 3


def test_a_stop_at_any_moment_leaves_all_or_nothing(tmp_path: Path) -> None:
    many = "".join(f"X-{n:04d},work,Tarn,{500 + n}\n" for n in range(1500))
    sheet(tmp_path, FLEET + many)
    outcomes = set()
    for tenths in (3, 7, 10, 14, 20):
        (tmp_path / LEDGER).unlink(missing_ok=True)
        process = subprocess.Popen(
            [sys.executable, "-c", START, "import", "fleet.csv", "--yes"],
            cwd=tmp_path,
            env={"PYTHONPATH": str(ROOT / "src"), "PATH": "/usr/bin:/bin"},
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        time.sleep(tenths / 10)
        process.send_signal(signal.SIGINT)
        _, told = process.communicate(timeout=60)
        if not (tmp_path / LEDGER).exists():
            outcomes.add("nothing")
            continue
        with Ledger(tmp_path / LEDGER) as ledger:
            assert check(ledger).is_whole
            assert ledger.head().size == 1503, told
        outcomes.add("all")
    assert outcomes
