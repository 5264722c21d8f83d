"""Our own description of the ledger held against our own code: docs/ledger-format.md recomputes an export and a proof.

The lines of code in that page share nothing with the program; they are ours all the same, so this is no outside check.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from airwrit.ledger.copies import exported
from airwrit.ledger.entry import canonical
from airwrit.ledger.excerpt.excerpt import checkpoint_now, excerpt_of
from airwrit.ledger.excerpt.form import as_json
from airwrit.ledger.log.notes import new_key, origin_of
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, draft, said

DOCS = Path(__file__).parents[3] / "docs" / "ledger-format.md"


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


def program(number: int, path: Path) -> subprocess.CompletedProcess[str]:
    """What a program of the page says of a file."""
    found = re.findall(r"```python\n(.*?)```", DOCS.read_text(encoding="utf-8"), re.DOTALL)
    command = [sys.executable, "-I", "-c", found[number], str(path)]
    return subprocess.run(command, check=False, capture_output=True, text=True)


def by_hand(folder: Path, lines: list[str]) -> subprocess.CompletedProcess[str]:
    """What the first program says of an export."""
    path = folder / "export.jsonl"
    path.write_text("".join(line + "\n" for line in lines), encoding="utf-8", newline="\n")
    return program(0, path)


def test_the_page_recomputes_the_head_and_the_root_over_the_subjects(
    tmp_path: Path, lines: list[str]
) -> None:
    done = by_hand(tmp_path, lines)
    with Ledger(tmp_path / "l.airwrit") as book:
        told = checkpoint_now(book)
    assert done.stdout == (
        f"whole: {told.size} entries, root {told.root.hex()}\nsubjects: 7 root {told.subjects.hex()}\n"
    ), done.stderr


def test_the_page_finds_a_changed_line(tmp_path: Path, lines: list[str]) -> None:
    for at in (0, 1, 4, 6, 7):
        changed = [*lines]
        changed[at] = changed[at].replace('"by":"ada"', '"by":"eve"')
        assert by_hand(tmp_path, changed).returncode == 1
    assert by_hand(tmp_path, [*lines[:-2], lines[-1]]).returncode == 1


def test_the_page_checks_a_proof(tmp_path: Path, lines: list[str]) -> None:
    assert len(lines) == 10
    subjects = [f"aircraft/Ä\n{number}" for number in (1, 2, 4)]
    with Ledger(tmp_path / "l.airwrit") as book:
        told = as_json(excerpt_of(book, subjects, key=new_key(origin_of(book.name))))
        origin = origin_of(book.name)
    path = tmp_path / "airwrit-proof.json"
    for document in (told, {"excerpt": told}):
        path.write_text(canonical(document), encoding="utf-8")
        done = program(1, path)
        assert done.stdout == f"proved: 5 lines of 9 in {origin}\n", done.stderr
    forged = [
        told | {"lines": told["lines"][:-1]},
        told | {"lines": [told["lines"][0] | {"leaf": "0" * 64}, *told["lines"][1:]]},
        told | {"subjects": [told["subjects"][0] | {"entries": 1}, *told["subjects"][1:]]},
        told | {"subjects": [told["subjects"][0] | {"beside": []}]},
        told | {"hashes": ["0" * 64, *told["hashes"][1:]]},
    ]
    for document in forged:
        path.write_text(canonical(document), encoding="utf-8")
        assert program(1, path).returncode == 1
