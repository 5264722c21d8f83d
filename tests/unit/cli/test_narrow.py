"""Answers on a terminal of 80 columns: no name and no number is cut, and the width told is kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from airwrit.cli.console import console, longest_word
from airwrit.cli.main import cli

_SHEET = """Aircraft,Registration number,Issued on,Weight,Used for,Owner
Bittersweet 1,FA00TEST01,2025-03-01,900 g,work,Tarn & Fell
Larch,FA00TEST02,2025-03-02,900 g,work,Tarn & Fell
"""


@pytest.fixture
def narrow(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a sheet, and 80 columns told by the environment."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    (tmp_path / "fleet.csv").write_text(_SHEET, encoding="utf-8")
    return tmp_path


def _lines(*arguments: str) -> list[str]:
    return CliRunner().invoke(cli, arguments, standalone_mode=False).output.splitlines()


def test_the_width_told_is_kept(narrow: Path) -> None:
    lines = _lines("today", "fleet.csv", "--on", "2026-11-25")
    assert max(map(len, lines)) <= 80
    assert any("Bittersweet " in line for line in lines)
    every = _lines("today", "fleet.csv", "--on", "2026-11-25", "--all")
    assert any(line.startswith("Bittersweet ") for line in every)
    assert "BY" not in next(line for line in every if line.startswith("AIRCRAFT")).split()


def test_a_wide_one_has_a_column_of_days(narrow: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "110")
    lines = _lines("today", "fleet.csv", "--on", "2026-11-25", "--all")
    assert "BY" in next(line for line in lines if line.startswith("AIRCRAFT")).split()


def test_numbers_stay_whole_where_an_import_is_shown(narrow: Path) -> None:
    shown = "\n".join(_lines("import", "fleet.csv"))
    assert "FA00TEST01" in shown
    assert "0 to" not in shown


def test_a_gap_names_its_fact_and_where_to_answer(narrow: Path) -> None:
    lines = _lines("today", "fleet.csv", "--on", "2026-11-25", "--all")
    shown = " ".join(" ".join(lines).split())
    assert "mark_place of" in shown
    assert "airwrit record-change SUBJECT FACT=VALUE" in shown


def test_without_a_word_on_width_it_is_110() -> None:
    assert console().width == 110


@pytest.mark.parametrize(
    ("texts", "width"),
    [((), 0), (("Alder 2", "Larch"), 5), (("aircraft/FA00TEST01", "x"), 19), (("y" * 60,), 24)],
)
def test_the_longest_word_sets_the_least_width(texts: tuple[str, ...], width: int) -> None:
    assert longest_word(texts) == width
