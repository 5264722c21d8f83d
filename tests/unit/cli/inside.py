"""A command run inside this process: quick, and with what it printed."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

from airwrit.cli.main import run


class Told(NamedTuple):
    """The exit code, and what was printed."""

    code: int
    out: str
    err: str


class Inside:
    """Runs commands in a folder."""

    def __init__(self, folder: Path, capture: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capture = folder, capture

    def __call__(self, *arguments: str | Path) -> Told:
        """Run a command; its code and words."""
        self._capture.readouterr()
        code = run([str(one) for one in arguments])
        return Told(code, *self._capture.readouterr())
