"""A clock more than a day ahead of the last entry is asked about before anything is written, `--yes` or not."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from airwrit.cli.keep import fix_entry_dates
from airwrit.cli.main import cli
from airwrit.cli.shared import ledger as ledgers
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.cli.command import run
from tests.unit.intake.documents import photo
from tests.unit.ledger.books import Clock, draft, said

LAST = datetime(2026, 6, 1, 12, tzinfo=UTC)
DAY = timedelta(days=1)
SECOND = timedelta(seconds=1)
WRITING: tuple[tuple[str, ...], ...] = (
    ("record-change", "aircraft/H-01", "model=Rook", "--yes"),
    ("record-change", "sell", "aircraft/H-01", "--on", "2026-06-01", "--yes"),
    ("record-change", "--take-back", "1", "--yes"),
    ("import", "fleet.csv", "--yes"),
    ("log-flight", "--aircraft", "H-01", "--pilot", "Ivo Brask", "--landed", "2026-06-01", "--yes"),
    ("attach-file", "mark.jpg", "aircraft/H-01", "--shows", "mark", "--yes"),
    ("erase-personal-data", "2", "--why", "a request", "--yes"),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A ledger whose last entry was recorded at one moment, and what may be written into it."""
    with Ledger.begin(tmp_path / "program.airwrit") as book:
        facts = draft(said("aircraft/H-01", "maker", "Quernby"), said("aircraft/H-01", "owner", "Tarn"))
        person = draft(
            said("person/Ivo Brask", "role", "remote pilot"),
            said("person/Ivo Brask", "born_on", "1990-01-01"),
        )
        book.append([facts, person], Clock(LAST - SECOND))
        book.append([draft(said("aircraft/H-01", "used_for", "work"))], Clock(LAST))
    (tmp_path / "fleet.csv").write_text("Aircraft,Use,Owner\nH-02,work,Tarn\n", encoding="utf-8")
    (tmp_path / "mark.jpg").write_bytes(photo())
    return tmp_path


def clock_at(monkeypatch: pytest.MonkeyPatch, moment: datetime) -> None:
    """Set this computer's clock."""
    monkeypatch.setattr(ledgers, "now", lambda: moment)


def size(folder: Path) -> int:
    with Ledger(folder / "program.airwrit") as book:
        return book.head().size


@pytest.mark.parametrize("arguments", WRITING, ids=[one[0] + one[1] for one in WRITING])
def test_nothing_is_written_by_a_clock_that_nobody_vouches_for(
    folder: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...]
) -> None:
    clock_at(monkeypatch, LAST + 400 * DAY)
    before = size(folder)
    refused = run(folder, *arguments, "--by", "ada")
    assert (refused.returncode, refused.stderr.count("\n")) == (2, 1), refused.stderr
    assert "400 days earlier" in refused.stderr
    assert "--clock-is-right" in refused.stderr
    assert size(folder) == before
    kept = run(folder, *arguments, "--by", "ada", "--clock-is-right")
    assert kept.returncode in (0, 3), kept.stderr
    assert size(folder) > before


def test_nothing_is_written_while_the_last_entry_lies_more_than_a_day_ahead(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock_at(monkeypatch, LAST - DAY - SECOND)
    monkeypatch.setattr(fix_entry_dates, "now", lambda: LAST - DAY - SECOND)
    told = run(folder, *WRITING[0], "--by", "ada")
    assert (told.returncode, told.stdout) == (2, "")
    assert (
        "Nothing was saved. If this computer's clock is right, run `airwrit fix-entry-dates --back`"
        in told.stderr
    )
    assert run(folder, "fix-entry-dates", "--back", "--by", "ada", "--yes").returncode == 0
    assert run(folder, *WRITING[0], "--by", "ada").returncode == 0


@pytest.mark.parametrize(
    ("ahead", "asked"), [(DAY - SECOND, False), (DAY, False), (DAY + SECOND, True), (-DAY, False)]
)
def test_a_day_is_the_limit(
    folder: Path, monkeypatch: pytest.MonkeyPatch, ahead: timedelta, asked: bool
) -> None:
    clock_at(monkeypatch, LAST + ahead)
    assert run(folder, *WRITING[0], "--by", "ada").returncode == (2 if asked else 0)


def test_a_new_ledger_has_nothing_to_compare_with(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    clock_at(monkeypatch, LAST + 40_000 * DAY)
    (tmp_path / "fleet.csv").write_text("Aircraft,Use,Owner\nH-02,work,Tarn\n", encoding="utf-8")
    assert run(tmp_path, "import", "fleet.csv", "--yes", "--by", "ada").returncode == 0
    assert run(tmp_path, *WRITING[0], "--by", "ada").returncode == 0


@pytest.mark.parametrize(("says", "written"), [("y\n", 1), ("n\n", 0), ("\n", 0)])
def test_on_a_terminal_it_is_asked(
    folder: Path, monkeypatch: pytest.MonkeyPatch, says: str, written: int
) -> None:
    class Terminal:
        """A stand-in for the streams of a terminal."""

        def isatty(self) -> bool:
            return True

    clock_at(monkeypatch, LAST + 2 * DAY)
    streams: Any = type("Streams", (), {"stdin": Terminal(), "stdout": Terminal()})
    monkeypatch.setattr(ledgers, "sys", streams)
    before = size(folder)
    ledger = str(folder / "program.airwrit")
    arguments = ["record-change", "aircraft/H-01", "model=Rook", "--by", "ada", "--ledger", ledger]
    result = CliRunner().invoke(cli, arguments, input=says)
    assert "The last entry was recorded 2 days earlier" in result.output
    assert "Is the clock right?" in result.output
    assert size(folder) == before + written
