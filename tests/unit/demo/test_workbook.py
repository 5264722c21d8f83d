"""The demo's workbook: the same bytes for the same day, and the same traps on any day."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from airwrit.answers.standing.standing import standing
from airwrit.demo.workbook import write_demo
from airwrit.intake.sheets import read_sheets

DAYS = ("2026-11-25", "2027-01-01", "2027-02-28", "2027-06-12", "2028-02-29", "2028-10-10")


def headlines(folder: Path, day: date) -> dict[str, tuple[str, str]]:
    """How each row stands by the law alone, and the rule that decides."""
    path = folder / f"{day}.xlsx"
    write_demo(path, day)
    intake = read_sheets([path])
    answer = standing(intake.known, day, datetime(2026, 1, 1, tzinfo=UTC), intake.problems, intake.sources)
    return {
        row.subject: (row.headline.value, row.deciding.rule.name if row.deciding else "")
        for row in answer.rows
    }


def test_the_same_day_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.xlsx", "b.xlsx"):
        write_demo(tmp_path / name, date(2026, 11, 25))
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()


@pytest.mark.parametrize("text", DAYS[1:])
def test_the_traps_are_the_same_on_any_day(tmp_path: Path, text: str) -> None:
    first = headlines(tmp_path, date.fromisoformat(DAYS[0]))
    assert headlines(tmp_path, date.fromisoformat(text)) == first
    assert len(first) == 22
