"""Every file that a command writes is whole or not there, in one line of words; a person's data is its owner's alone."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest

from airwrit.base import whole_files
from tests.unit.cli.command import run
from tests.unit.intake.documents import photo

SHEET = (
    "Aircraft,Use,Owner,Weight (g),Registration,Registration kind,Issued\n"
    "H-01,work,Tarn,900,FA00TEST01,Part 48,2026-01-05\n"
)
CREW = "Pilot,Role,Certificate\nIvo Brask,remote pilot,0000001\n"
ON = ("--on", "2026-11-25")
PRIVATE: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("lines.jsonl", ("export-records", "--lines", "lines.jsonl")),
    ("copy.airwrit", ("backup", "copy.airwrit")),
    ("again.airwrit", ("restore", "copy.airwrit", "--to", "again.airwrit")),
    ("from.airwrit", ("restore", "lines.jsonl", "--to", "from.airwrit")),
    ("proof.pdf", ("proof", "aircraft/H-01", *ON, "--out", "proof.pdf")),
    ("pages.pdf", ("check-proof", "proof.pdf", "--pages", "pages.pdf")),
    ("out.xlsx", ("today", *ON, "--xlsx", "out.xlsx")),
    ("work.pdf", ("registration-sheets", "--all", *ON, "--out", "work.pdf")),
    ("due.ics", ("deadlines", *ON, "--ics", "due.ics")),
    ("pack.html", ("pilot-papers", "Ivo Brask", *ON, "--out", "pack.html")),
    ("pack.pdf", ("pilot-papers", "Ivo Brask", *ON, "--out", "pack.html", "--pdf", "pack.pdf")),
    ("marks.pdf", ("number-labels", "--number", "FA00TEST01", "--out", "marks.pdf")),
    ("back.jpg", ("attach-file", "--save", "{digest}", "back.jpg")),
    ("program.airwrit.key", ("signing-key",)),
)
OPEN: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("now.checkpoint", ("seal-records", "now.checkpoint")),
    ("now.pdf", ("seal-records", "--print", "now.pdf")),
    ("template.xlsx", ("today", "--write-template", "template.xlsx")),
    ("rules.toml", ("today", "--write-house", "rules.toml")),
    ("map.toml", ("today", "fleet.csv", *ON, "--save-mapping", "map.toml")),
    ("tarn-and-fell.xlsx", ("demo", "--no-page")),
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A ledger with an aircraft, a pilot and a photo; and no mask of the system's own."""
    monkeypatch.chdir(tmp_path)
    before = os.umask(0)
    Path("fleet.csv").write_text(SHEET, encoding="utf-8")
    Path("crew.csv").write_text(CREW, encoding="utf-8")
    Path("mark.jpg").write_bytes(photo())
    run(tmp_path, "import", "fleet.csv", "crew.csv", "--yes", "--by", "ada")
    kept = run(
        tmp_path, "attach-file", "mark.jpg", "aircraft/H-01", "--shows", "mark", "--yes", "--by", "ada"
    )
    assert kept.returncode == 0, kept.stderr
    yield tmp_path
    os.umask(before)


def written(folder: Path, name: str, arguments: tuple[str, ...]) -> Path:
    """Run a command that writes a file."""
    digest = "" if "{digest}" not in arguments else _digest()
    told = run(folder, *(one.format(digest=digest) for one in arguments))
    assert told.returncode in (0, 1, 3), (arguments, told.stderr)
    assert Path(name).stat().st_size > 0
    return Path(name)


def _digest() -> str:
    return sha256(Path("mark.jpg").read_bytes()).hexdigest()


def test_what_holds_a_persons_data_is_its_owners_alone(folder: Path) -> None:
    for name, arguments in PRIVATE:
        assert stat.S_IMODE(written(folder, name, arguments).stat().st_mode) == 0o600, name
    assert [path.name for path in Path().glob(".*")] == []


def test_what_is_to_be_handed_on_may_be_read(folder: Path) -> None:
    for name, arguments in OPEN:
        assert stat.S_IMODE(written(folder, name, arguments).stat().st_mode) == 0o666, name


def test_where_the_disk_is_full_there_is_no_file_and_one_line(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("lines.jsonl", "copy.airwrit", "proof.pdf"):
        written(folder, name, dict(PRIVATE)[name])

    def full(path: Path) -> None:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(whole_files, "_to_disk", full)
    kept = bytes_by_name()
    for name, arguments in (*PRIVATE, *OPEN):
        if name in kept:
            continue
        told = run(folder, *(one.format(digest=_digest()) for one in arguments))
        assert (told.returncode, told.stderr.count("\n")) == (2, 1), (name, told.stderr)
        assert "No space left on device" in told.stderr
        assert "Make room on the disk" in told.stderr
        assert bytes_by_name() == kept, name


def bytes_by_name() -> dict[str, bytes]:
    """The files of the folder; of the ledger itself only that it is there, since it notes a checkpoint that is given out."""
    found = {path.name: path.read_bytes() for path in Path().iterdir()}
    return {**found, "program.airwrit": b""}
