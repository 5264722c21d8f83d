"""A full standard output is one line on stderr and an exit code of 2, however much is printed and whenever it is noticed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.unit.cli.command import ROOT, START

FULL = Path("/dev/full")


@pytest.mark.parametrize("arguments", [("rules",), ("--version",), ("check-number", "FA00TEST01", "--json")])
def test_a_full_output_is_told_in_a_line(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    if not FULL.exists():  # a device of Linux alone; elsewhere the same code runs with another file
        return
    with FULL.open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-W", "error", "-c", START, *arguments],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "the output or a file: The disk" in done.stderr
