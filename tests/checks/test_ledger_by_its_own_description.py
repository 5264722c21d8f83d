"""An export recomputed by the lines of code in docs/ledger-format.md, which share nothing with the program."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from airwrit.ledger.blanking import blank
from airwrit.ledger.copies import exported
from airwrit.ledger.store import Ledger
from tests.unit.ledger.books import Clock, draft, said

DOCS = Path(__file__).parents[2] / "docs" / "ledger-format.md"


@pytest.fixture
def lines(tmp_path: Path) -> list[str]:
    """The export of a ledger with a correction, odd letters and a blanked line."""
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        clock = Clock()
        for number in range(6):
            book.append([draft(said(f"aircraft/Ä\n{number}", "owner", 'Tarn "&" Fell \u2028'))], clock)
        book.append([draft(said("aircraft/Ä\n1", "owner", "x"), answers=["2.0"])], clock)
        blank(book, [3], clock, "ada", "request 7")
        return list(exported(book))


def by_hand(folder: Path, lines: list[str]) -> subprocess.CompletedProcess[str]:
    """What the code of the page says of an export."""
    found = re.search(r"```python\n(.*?)```", DOCS.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    path = folder / "export.jsonl"
    path.write_text("".join(line + "\n" for line in lines), encoding="utf-8", newline="\n")
    command = [sys.executable, "-I", "-c", found[1], str(path)]
    return subprocess.run(command, check=False, capture_output=True, text=True)


def test_the_page_recomputes_the_head(tmp_path: Path, lines: list[str]) -> None:
    done = by_hand(tmp_path, lines)
    with Ledger(tmp_path / "l.airwrit") as book:
        head = book.head()
    assert done.stdout == f"whole: {head.size} entries, root {head.root.hex()}\n", done.stderr


def test_the_page_finds_a_changed_line(tmp_path: Path, lines: list[str]) -> None:
    for at in (0, 1, 4, 6, 7):
        changed = [*lines]
        changed[at] = changed[at].replace('"by":"ada"', '"by":"eve"')
        assert by_hand(tmp_path, changed).returncode == 1
    assert by_hand(tmp_path, [*lines[:-2], lines[-1]]).returncode == 1
