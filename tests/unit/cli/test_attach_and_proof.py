"""Attaching and proving from the outside: shown before it is kept, kept once, bytes back, a file that says and proves it."""

from __future__ import annotations

import json
import stat
from pathlib import Path
from typing import Any

import pytest

from airwrit.papers.proof_pdf import machine_part_in
from tests.unit.cli.command import run
from tests.unit.intake.documents import photo
from tests.unit.papers.pictures import text_of

SHEET = (
    "Aircraft,Use,Owner,Registration,Registered,Weight (g),Mark place\n"
    "H-01,work,Tarn,FA00TEST01,yes,900,outside\nH-02,work,Tarn,FA00TEST02,yes,900,not marked\n"
)
ATTACH = ("attach-file", "mark.jpg", "aircraft/H-01", "--shows", "mark", "--on", "2026-10-02")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a sheet that was imported, and a photo."""
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    (tmp_path / "mark.jpg").write_bytes(photo())
    assert run(tmp_path, "import", "fleet.csv", "--yes", "--by", "ada").returncode in (0, 3)
    return tmp_path


def told(folder: Path, *arguments: str) -> dict[str, Any]:
    """What a command says as JSON."""
    done = run(folder, *arguments, "--json")
    assert done.stdout, done.stderr
    document: dict[str, Any] = json.loads(done.stdout)
    return document


def test_a_document_is_shown_before_it_is_kept(folder: Path) -> None:
    done = run(folder, *ATTACH)
    assert done.returncode == 3
    assert "JPEG photo, 320 by 240 pixels" in done.stdout
    assert "the photo says where it was taken. Proof files leave that out," in done.stdout
    assert "Nothing was saved. Add --yes to save it." in done.stdout
    assert told(folder, "attach-file", "--list", "aircraft/H-01")["documents"] == []


def test_a_document_is_kept_once_and_comes_back_as_it_was(folder: Path) -> None:
    first = told(folder, *ATTACH, "--yes", "--by", "ada")
    assert len(first["kept"]) == 1
    assert told(folder, *ATTACH, "--yes")["kept"] == []
    (one,) = told(folder, "attach-file", "--list", "aircraft/H-01")["documents"]
    assert (one["shows"], one["made_on"], one["kept"]) == ("mark", "2026-10-02", True)
    assert one["sha256"][:16] in run(folder, "attach-file", "--list", "aircraft/H-01").stdout
    assert run(folder, "attach-file", "--save", one["sha256"][:12], "back.jpg").returncode == 0
    assert (folder / "back.jpg").read_bytes() == (folder / "mark.jpg").read_bytes()
    assert stat.S_IMODE((folder / "back.jpg").stat().st_mode) == 0o600
    again = run(folder, "attach-file", "--save", one["sha256"][:12], "back.jpg")
    assert (again.returncode, "A file with this name already exists" in again.stderr) == (2, True)
    assert run(folder, "check-records").returncode in (0, 3)


def test_a_photo_that_tells_another_day_is_minded(folder: Path) -> None:
    done = run(folder, *ATTACH[:-1], "2026-10-05", "--yes")
    assert "the photo says it was taken on 2026-10-02, not 2026-10-05" in done.stdout
    done = run(folder, *ATTACH[:-2])
    assert "Use --on to record a" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("attach-file",), "We need a file, a record and --shows."),
        (("attach-file", "none.jpg", "aircraft/H-01", "--shows", "mark"), "This file doesn't exist."),
        (("attach-file", "mark.jpg", "aircraft/H-1", "--shows", "mark"), "Did you mean aircraft/H-01?"),
        (("attach-file", "mark.jpg", "H-77", "--shows", "mark"), "H-77"),
        (("attach-file", "mark.jpg", "document/1", "--shows", "mark"), "can't attach documents"),
        (
            ("attach-file", "fleet.csv", "aircraft/H-01", "--shows", "mark"),
            "a JPEG, PNG or WebP picture, or a PDF.",
        ),
        (("attach-file", "--save", "0123", "x.jpg"), "isn't part"),
        (("proof", "aircraft/H-77"), "There is no record named 'aircraft/H-77'."),
        (("proof", "H-77"), "H-77"),
        (("proof", "aircraft/H-01", "--sign-with", "none.key"), "none.key"),
        (("proof", "aircraft/H-01", "--out", "no/such/folder.pdf"), "the proof (No such file or"),
    ],
)
def test_wrong_use_is_one_line(folder: Path, arguments: tuple[str, ...], says: str) -> None:
    done = run(folder, *arguments)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_proof_is_written_and_told(folder: Path) -> None:
    assert run(folder, *ATTACH, "--yes").returncode == 0
    done = run(folder, "proof", "aircraft/H-02", "--on", "2026-11-25", "--out", "h-02.pdf")
    assert done.returncode == 1, done.stderr
    assert "|//| H-02: Grounded." in done.stdout
    assert "Check it with `airwrit check-proof`" in done.stdout
    assert "Grounded." in text_of((folder / "h-02.pdf").read_bytes())
    document = told(folder, "proof", "aircraft/H-01", "aircraft/H-02", "--on", "2026-11-25")
    assert document["file"] == "proof-2026-11-25.pdf"
    assert [row["subject"] for row in document["rows"]] == ["aircraft/H-01", "aircraft/H-02"]
    assert document["verdict"] == "not_met"
    machine = json.loads(machine_part_in((folder / document["file"]).read_bytes()))
    assert machine["answers"]["rows"] == document["rows"]
    assert len(machine["copies"]) == 1


def test_a_proof_of_a_past_moment_says_what_was_known_then(folder: Path) -> None:
    first = told(folder, "history", "aircraft/H-02")["said"][-1]["recorded_at"]
    assert run(folder, "record-change", "aircraft/H-02", "mark_place=outside", "--correct").returncode == 0
    arguments = ("proof", "aircraft/H-02", "--on", "2026-11-25")
    verdicts = [
        {one["rule"]: one["verdict"] for one in told(folder, *arguments, *more)["findings"]}["marked_outside"]
        for more in ((), ("--known-at", first))
    ]
    assert verdicts == ["met", "not_met"]
    assert "written after that time" in text_of((folder / "proof-2026-11-25.pdf").read_bytes())


def test_a_key_beside_the_ledger_signs(folder: Path) -> None:
    assert run(folder, "signing-key").returncode == 0
    assert run(folder, "proof", "aircraft/H-01", "--out", "signed.pdf").returncode in (1, 3)
    assert "signed with the key airwrit" in text_of((folder / "signed.pdf").read_bytes())
