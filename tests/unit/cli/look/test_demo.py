"""`airwrit demo`: forty lines a newcomer can act on, the page's address with them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.unit.cli.command import run

PAGE_LINES = 4
"""An empty line, the address, how it is opened, and that it is closed."""


@pytest.mark.parametrize("columns", ["80", "110"])
def test_it_fits_forty_lines_with_the_pages_address(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, columns: str
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    monkeypatch.setenv("AIRWRIT_TYPED", "python3 start.py airwrit")
    done = run(tmp_path, "demo", "--on", "2026-11-25", "--no-page")
    assert done.returncode == 0
    assert len(done.stdout.splitlines()) + PAGE_LINES <= 40
    assert "FIX FIRST\n1.  Register 3 aircraft" in done.stdout
    assert "Not checked: airspace, weather" in done.stdout


def test_its_next_steps_are_commands_that_run(tmp_path: Path) -> None:
    shown = run(tmp_path, "demo", "--on", "2026-11-25", "--no-page").stdout
    line = next(line for line in shown.splitlines() if line.startswith("See why:"))
    words = line.partition("airwrit ")[2].split()
    done = run(tmp_path, *words, "--on", "2026-11-25")
    assert done.returncode == 1
    assert "Registration expired Nov 24, 2026. There is no grace period." in " ".join(done.stdout.split())
