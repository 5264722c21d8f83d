"""Proof files against another reader of PDF: text, attachment and form come out as put in (poppler/SOURCE.toml).

Source: poppler-utils (pdftotext, pdfdetach, pdfinfo), as the machine has it.
"""

from __future__ import annotations

import subprocess
from datetime import date
from pathlib import Path

import pytest

from airwrit.answers.proof.conclusions import ProofQuestion
from airwrit.answers.proof.proof import MACHINE_PART, ProofOptions, machine_part, proof_of
from airwrit.papers.proof_pdf import render, typesetter
from tests.outside import outside_program
from tests.unit.answers.proving import JULY, program

SUSPECTS = "Syntax Error: Suspects object is wrong type (boolean)\n"
"""What poppler up to 22.12 says of `/Suspects false`, which is a boolean as ISO 32000-1, 14.7.1, table 321 asks: it errs."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes]:
    """A proof file, and the machine part it was made from."""
    folder = tmp_path_factory.mktemp("poppler")
    with program(folder / "program.airwrit") as book:
        question = ProofQuestion(date(2026, 6, 5), JULY, ("aircraft/H-01",))
        machine = machine_part(proof_of(book, question, ProofOptions(typeset_by=typesetter())))
    (folder / "proof.pdf").write_bytes(render(machine))
    return folder / "proof.pdf", machine


def told(tool: str, *arguments: str | Path) -> str:
    """What a tool prints, without the places where a long word may break."""
    command = [outside_program(tool), *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stderr.replace(SUSPECTS, "") == ""
    return done.stdout.replace("\u200b", "")


def test_the_text_is_read(made: tuple[Path, bytes]) -> None:
    text = " ".join(told("pdftotext", made[0], "-").split())
    assert "The status of H-01 on Jun 5, 2026" in text
    assert "Not in the fleet. Sold on Jun 1, 2026. The sale ended its registration." in text
    assert "What it doesn" in text


def test_the_machine_part_is_taken_out_as_it_was(made: tuple[Path, bytes], tmp_path: Path) -> None:
    assert told("pdfdetach", "-list", made[0]).splitlines() == ["1 embedded files", f"1: {MACHINE_PART}"]
    told("pdfdetach", "-save", "1", "-o", tmp_path / "out.json", made[0])
    assert (tmp_path / "out.json").read_bytes() == made[1]


def test_it_is_tagged_and_runs_nothing(made: tuple[Path, bytes]) -> None:
    lines = dict(line.split(":", 1) for line in told("pdfinfo", made[0]).splitlines())
    found = {name: lines[name].strip() for name in ("Tagged", "JavaScript", "Form", "Encrypted", "Title")}
    assert found == {"Tagged": "yes", "JavaScript": "no", "Form": "none", "Encrypted": "no", "Title": "Proof"}
