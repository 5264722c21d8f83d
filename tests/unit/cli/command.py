"""Running the `airwrit` command in tests: in this process, as nearly all tests do, or as a process of its own."""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple
from unittest.mock import patch

import pytest

from airwrit.cli.main import main

ROOT = Path(__file__).parents[3]
START = "import sys; from airwrit.cli.main import main; main()"
WIDTH = {"COLUMNS": "110"}


class Ran(NamedTuple):
    """How a command ended, and what it printed."""

    returncode: int
    stdout: str
    stderr: str


class _Pipe(io.TextIOWrapper):
    """Standard output as a pipe: text and bytes, and no terminal."""

    def __init__(self) -> None:
        self.bytes = io.BytesIO()
        super().__init__(self.bytes, encoding="utf-8", write_through=True)

    def text(self) -> str:
        """What was written so far."""
        self.flush()
        return self.bytes.getvalue().decode("utf-8")


def run(folder: Path, *arguments: str) -> Ran:
    """The command in a folder, in this process, without a terminal."""
    out, err = _Pipe(), _Pipe()
    with (
        contextlib.chdir(folder),
        patch.dict(os.environ, WIDTH),
        patch.object(sys, "argv", ["airwrit", *arguments]),
        patch.object(sys, "stdin", io.StringIO()),
        patch("airwrit.cli.main.own_fault", _raised),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
        pytest.raises(SystemExit) as ended,
    ):
        main()
    return Ran(int(ended.value.code or 0), out.text(), err.text())


def _raised(error: BaseException) -> str:
    """A fault of the program shows in a test as what it is, not as its line."""
    raise error


def run_apart(folder: Path, *arguments: str) -> Ran:
    """The command in a folder, as a process of its own, where a warning ends it."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", START, *arguments],
        check=False,
        capture_output=True,
        text=True,
        cwd=folder,
        env={"PYTHONPATH": str(ROOT / "src"), "PATH": "/usr/bin:/bin", "TZ": "UTC", **WIDTH},
        timeout=60,
    )
    return Ran(done.returncode, done.stdout, done.stderr)
