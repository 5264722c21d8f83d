"""Commands run inside this process."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.unit.cli.inside import Inside


@pytest.fixture
def inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Inside:
    """Commands in a folder of their own; a fault of the program shows as what it is, not as its line."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "110")
    monkeypatch.setattr("airwrit.cli.main.own_fault", _raised)
    return Inside(tmp_path, capsys)


def _raised(error: BaseException) -> str:
    raise error
