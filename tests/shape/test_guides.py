"""Every command of the guides runs, in the order in which a reader meets it, over the records of the invented program."""

from __future__ import annotations

import importlib
import re
import shlex
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from airwrit.cli.main import COMMANDS
from airwrit.cli.shared.options import now
from tests.unit.cli.command import ROOT, run

GUIDES = ROOT / "docs" / "guides"
NOW = datetime(2026, 11, 25, 20, tzinfo=UTC)
_BLOCK = re.compile(r"```\n(.*?)```", re.DOTALL)
_PICTURE = re.compile(r"!\[[^\]]*\]\(([^)]+)\)")
_CRASH = '[incident]\nhappened_on = 2026-11-20\nanyone_hurt = "nobody"\ndamaged_property = "nothing"\n'


def commands_of(guide: Path) -> list[list[str]]:
    """The commands of a guide, each as its words."""
    lines = [
        line for block in _BLOCK.findall(guide.read_text(encoding="utf-8")) for line in block.splitlines()
    ]
    return [shlex.split(line) for line in lines if line.strip()]


def stand_still(patch: pytest.MonkeyPatch) -> None:
    """Let every command take the invented program's day for today."""
    for module, _ in COMMANDS.values():
        importlib.import_module(module.partition(":")[0])
    for name, loaded in list(sys.modules.items()):
        if name.startswith("airwrit.cli.") and getattr(loaded, "now", None) is now:
            patch.setattr(loaded, "now", lambda: NOW)


@pytest.mark.parametrize("guide", sorted(GUIDES.glob("*.md")), ids=lambda guide: guide.stem)
def test_every_command_of_a_guide_runs(guide: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stand_still(monkeypatch)
    assert run(tmp_path, "demo", "--no-page", "--on", "2026-11-25").returncode == 0
    if guide.stem != "lead":
        done = run(tmp_path, "import", "tarn-and-fell.xlsx", "--use", "work", "--yes", "--by", "lead")
        assert done.returncode in (0, 3), done.stderr
    (tmp_path / "crash.toml").write_text(_CRASH, encoding="utf-8")
    (tmp_path / "bought.csv").write_text("Serial number\nZZ9Z8SURV4A01\n", encoding="utf-8")
    (tmp_path / "shelf.csv").write_text("Name\nAlder 1\n", encoding="utf-8")
    for words in commands_of(guide):
        assert words[0] == "airwrit"
        done = run(tmp_path, *words[1:])
        assert done.returncode in (0, 1, 3), f"{shlex.join(words)}: {done.stderr}"


def test_each_reader_has_a_guide_whose_commands_and_pictures_are_there() -> None:
    guides = sorted(GUIDES.glob("*.md"))
    assert [one.stem for one in guides] == ["developer", "it", "lead", "mechanic", "pilot"]
    for guide in guides:
        assert {words[1] for words in commands_of(guide)} <= set(COMMANDS)
        shown = _PICTURE.findall(guide.read_text(encoding="utf-8"))
        assert all((guide.parent / path).is_file() for path in shown)
