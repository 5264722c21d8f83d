"""The bar that shows that a command is still at work."""

from __future__ import annotations

import sys
import time

import pytest

from airwrit.cli import console as module
from airwrit.cli.console import bar_line, waiting


class _Terminal:
    def __init__(self) -> None:
        self.text = ""

    def isatty(self) -> bool:
        return True

    def write(self, text: str) -> int:
        self.text += text
        return len(text)

    def flush(self) -> None:
        """Nothing waits."""


def test_the_bar_goes_to_and_fro_and_tells_the_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    lines = [bar_line("reading fleet.xlsx", step, 61.9) for step in range(40)]
    assert {line.index("]") for line in lines} == {25}
    assert {line.count("=") for line in lines} == {6}
    assert lines[0].startswith("[======---")
    assert lines[18].startswith("[------------------======]")
    assert lines[36] == lines[0]
    assert lines[0].endswith("1:01 reading fleet.xlsx")
    monkeypatch.setenv("COLUMNS", "30")
    assert len(bar_line("reading fleet.xlsx", 0, 1)) == 29


def test_nothing_is_shown_before_a_second_and_nothing_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    quick, slow = _Terminal(), _Terminal()
    monkeypatch.setattr(sys, "stderr", quick)
    with waiting("reading"):
        time.sleep(0.01)
    assert quick.text == ""
    monkeypatch.setattr(sys, "stderr", slow)
    monkeypatch.setattr(module, "_AFTER_S", 0.01)
    monkeypatch.setattr(module, "_EVERY_S", 0.01)
    with waiting("reading \x1b[31mfleet"):
        time.sleep(0.2)
    assert "reading" in slow.text
    assert "\x1b[31m" not in slow.text
    assert slow.text.endswith("\r\x1b[K")


def test_nothing_is_shown_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    with waiting("reading"):
        time.sleep(0.01)
    assert capsys.readouterr().err == ""
