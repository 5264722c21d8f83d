"""Keys, checkpoints and proofs from the outside: what is written, what is never printed, what each exit code says."""

from __future__ import annotations

import io
import json
import re
import stat
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, NumberObject

from airwrit.answers.proof.proof import MACHINE_PART
from airwrit.base.errors import BadProof
from airwrit.cli.main import cli
from airwrit.ledger.log.checkpoints import issued
from airwrit.ledger.log.notes import Signed, how_signed, new_key, note_of, public_key_of
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.proof_pdf import machine_part_in
from tests.unit.cli.command import Ran, run
from tests.unit.ledger.books import Clock, draft, said

KEY, NOTE, PROOF = "program.airwrit.key", "then.checkpoint", "proof.pdf"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger with a key, a checkpoint and a proof, as of one day."""
    made = tmp_path_factory.mktemp("proofs")
    assert run(made, "demo", "--on", "2026-11-25").returncode == 0
    assert run(made, "import", "tarn-and-fell.xlsx", "--yes", "--by", "ada").returncode in (0, 3)
    for arguments in (("signing-key",), ("seal-records", NOTE, "--print", "checkpoint.pdf")):
        done = run(made, *arguments)
        assert done.returncode == 0, done.stderr
    done = run(made, "proof", "aircraft/Alder 1", "--on", "2026-11-25", "--out", PROOF)
    assert (made / PROOF).exists(), done.stderr
    (made / "key.pub").write_text(
        run(made, "signing-key", "--public").stdout.splitlines()[-1], encoding="utf-8"
    )
    return made


def told(done: Ran) -> dict[str, str]:
    """How each place came out."""
    document = json.loads(done.stdout)
    return {one["where"]: one["how"] for one in document["conclusions"]}


def test_a_key_is_for_its_owner_alone_and_never_printed_nor_replaced(folder: Path) -> None:
    path = folder / KEY
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    # the secret is Base64, which may hold a "+" of its own
    secret = path.read_text(encoding="ascii").strip().split("+", 4)[4]
    assert len(secret) == 44
    public = run(folder, "signing-key", "--public", "--json")
    again = run(folder, "signing-key")
    assert again.returncode == 2
    assert secret not in public.stdout + public.stderr + again.stdout + again.stderr
    assert public_key_of(json.loads(public.stdout)["public"]).name.startswith("airwrit/")
    assert path.read_text(encoding="ascii").strip().endswith(secret)


def test_a_key_that_others_may_read_signs_nothing(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "open.key").write_bytes((folder / KEY).read_bytes())
    (tmp_path / "open.key").chmod(0o644)
    done = run(folder, "seal-records", "--sign-with", str(tmp_path / "open.key"))
    assert (done.returncode, done.stdout) == (2, "")
    assert "Other people can read" in done.stderr


def test_a_checkpoint_is_signed_and_printed(folder: Path) -> None:
    note = note_of((folder / NOTE).read_text(encoding="utf-8"))
    key = public_key_of((folder / "key.pub").read_text(encoding="utf-8"))
    assert how_signed(note, [key]) is Signed.GOOD
    assert run(folder, "seal-records").stdout == (folder / NOTE).read_text(encoding="utf-8")
    assert (folder / "checkpoint.pdf").read_bytes().startswith(b"%PDF-")


def test_a_checkpoint_is_held_against_the_ledger(folder: Path, tmp_path: Path) -> None:
    assert run(folder, "seal-records", "--check", NOTE).returncode == 0
    text = (folder / NOTE).read_text(encoding="utf-8")
    for name, made, code in (
        ("unsigned", text.split("\n\n")[0] + "\n", 3),
        ("windows", text.replace("\n", "\r\n"), 0),
        ("other", re.sub(r"\n(\d+)\n", lambda size: f"\n{int(size[1]) - 1}\n", text, count=1), 1),
        ("none", "hello", 2),
    ):
        (tmp_path / name).write_bytes(made.encode())
        done = run(folder, "seal-records", "--check", str(tmp_path / name))
        assert done.returncode == code, (name, done.stdout, done.stderr)


def test_a_proof_is_verified_from_its_file_alone(folder: Path, tmp_path: Path) -> None:
    (tmp_path / PROOF).write_bytes((folder / PROOF).read_bytes())
    alone = run(tmp_path, "check-proof", PROOF, "--json")
    assert alone.returncode == 3, alone.stderr
    assert "nobody outside confirmed" in alone.stdout
    assert told(alone)["pages"] == "follows"
    arguments = ("--checkpoint", str(folder / NOTE), "--key", str(folder / "key.pub"))
    anchored = run(tmp_path, "check-proof", PROOF, "--json", *arguments)
    found = told(anchored)
    assert found["your checkpoint"] == found["checkpoint"] == found["lines"] == found["subjects"] == "follows"
    assert anchored.returncode == 0
    shown = run(tmp_path, "check-proof", PROOF, *arguments)
    assert (shown.returncode, "THE SIGNER VOUCHES FOR THIS" in shown.stdout) == (0, True)
    assert shown.stdout.startswith("proof.pdf: Genuine")
    assert "THE LINES DON'T SHOW THIS" in run(tmp_path, "check-proof", PROOF).stdout
    assert "Alder 1: Papers OK for work" in shown.stdout


def test_private_facts_are_left_out_and_that_is_told(folder: Path) -> None:
    number, ask = b'"key\\":\\"certificate_number', ("proof", "person/Ivo Brask", "--on", "2026-11-25")
    done = run(folder, *ask, "--out", "ivo.pdf")
    assert (
        "Left out of Ivo Brask: remote pilot certificate number. Use --private to include it." in done.stdout
    )
    assert number not in machine_part_in((folder / "ivo.pdf").read_bytes())
    says = "the entries left out about Ivo Brask could cover more than this: remote pilot certificate number"
    found = json.loads(run(folder, "check-proof", "ivo.pdf", "--json").stdout)["conclusions"]
    assert [one["how"] for one in found if one["says"] == says] == ["open"]
    named = json.loads(run(folder, "check-proof", "ivo.pdf", "--key", "key.pub", "--json").stdout)[
        "conclusions"
    ]
    assert [one["how"] for one in named if one["says"] == says] == ["vouched"]
    document = json.loads(run(folder, *ask, "--out", "ivo.pdf", "--json").stdout)
    assert document["left_out"] == {"person/Ivo Brask": ["remote pilot certificate number"]}
    headlines = [row["headline"] for row in document["rows"]]
    done = run(folder, *ask, "--out", "all.pdf", "--private", "--json")
    document = json.loads(done.stdout)
    assert (document["left_out"], [row["headline"] for row in document["rows"]]) == ({}, headlines)
    assert number in machine_part_in((folder / "all.pdf").read_bytes())
    assert "left out" not in run(folder, "check-proof", "all.pdf").stdout


def test_a_named_key_that_did_not_sign_contradicts_the_proof_on_the_first_line(
    folder: Path, tmp_path: Path
) -> None:
    other = new_key("airwrit/another").public.text
    for keys in (("--key", other), ("--key", str(folder / "key.pub"), "--key", other)):
        done = run(folder, "check-proof", PROOF, "--checkpoint", NOTE, *keys)
        assert done.returncode == 1
        assert done.stdout.startswith("proof.pdf: Contradicted")
    unsigned = tmp_path / "unsigned.pdf"
    (folder / KEY).rename(tmp_path / "key")
    try:
        run(folder, "proof", "aircraft/Alder 1", "--on", "2026-11-25", "--out", str(unsigned))
        done = run(folder, "check-proof", str(unsigned))
        assert (done.returncode, "nobody signed it" in done.stdout) == (3, True)
        named = run(folder, "check-proof", str(unsigned), "--key", str(folder / "key.pub"))
        assert named.returncode == 1
        assert "nobody signed it" in named.stdout
    finally:
        (tmp_path / "key").rename(folder / KEY)


def test_an_altered_proof_is_contradicted_or_unreadable(folder: Path, tmp_path: Path) -> None:
    data, altered, made = (folder / PROOF).read_bytes(), tmp_path / "altered.pdf", tmp_path / "made.pdf"
    for at in range(len(data) // 9, len(data), len(data) // 7):
        altered.write_bytes(data[:at] + bytes([data[at] ^ 0x20]) + data[at + 1 :])
        done = CliRunner().invoke(cli, ["check-proof", str(altered)], standalone_mode=False)
        assert done.return_value == 1 or isinstance(done.exception, BadProof), done.output
    done = CliRunner().invoke(
        cli, ["check-proof", str(folder / PROOF), "--pages", str(made)], standalone_mode=False
    )
    assert done.return_value == 3
    assert made.read_bytes() == data


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7 nothing", b"{}", b"\xff\xfe", b"[1,2]", b'{"excerpt":{}}'])
def test_what_is_no_proof_is_refused_in_one_line(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "x.pdf").write_bytes(data)
    done = run(tmp_path, "check-proof", "x.pdf")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("airwrit: x.pdf")
    assert done.stderr.count("\n") == 1


def another_page(writer: PdfWriter) -> None:
    """The first page shows what the second does."""
    writer.pages[0][NameObject("/Contents")] = writer.pages[1]["/Contents"]


def another_part(writer: PdfWriter) -> None:
    """The machine part is one that fits its lines and not these pages."""
    (one,) = writer.attachment_list
    told = json.loads(one.content)
    told["question"]["paper"] = "A4"
    one.content = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    one.size = NumberObject(len(one.content))


def two_parts(writer: PdfWriter) -> None:
    """A second machine part, of the same name."""
    writer.add_attachment(MACHINE_PART, b"{}")


def locked(writer: PdfWriter) -> None:
    """Locked against reading."""
    writer.encrypt("secret", algorithm="AES-256")


def half_locked(writer: PdfWriter) -> None:
    """Locked against changes alone: whoever opens it is asked for nothing."""
    writer.encrypt("", "secret", algorithm="AES-256")


@pytest.mark.parametrize(
    ("change", "code", "says"),
    [
        (another_page, 1, "pages"),
        (another_part, 1, "signature pages"),
        (half_locked, 1, "pages"),
        (two_parts, 2, f"It has 2 {MACHINE_PART}. Use the original proof, unchanged."),
        (locked, 2, "The file is locked with a password. Save a copy without it."),
    ],
)
def test_a_proof_file_that_was_worked_over_is_contradicted_or_refused(
    folder: Path, tmp_path: Path, change: Callable[[PdfWriter], None], code: int, says: str
) -> None:
    writer, out, path = PdfWriter(clone_from=PdfReader(folder / PROOF)), io.BytesIO(), tmp_path / "worked.pdf"
    change(writer)
    writer.write(out)
    path.write_bytes(out.getvalue())
    done = CliRunner().invoke(cli, ["check-proof", str(path), "--json"], standalone_mode=False)
    if code == 2:
        assert isinstance(done.exception, BadProof)
        assert str(done.exception).startswith(f"worked.pdf: {says}")
    else:
        assert done.return_value == code
        against = [one for one in json.loads(done.stdout)["conclusions"] if one["how"] == "contradicts"]
        assert [one["where"] for one in against] == says.split()
        assert "Read the answers here, not the pages" in against[-1]["says"]


def test_the_pages_of_one_with_the_lines_of_another_are_contradicted(folder: Path, tmp_path: Path) -> None:
    made = run(folder, "proof", "aircraft/Alder 2", "--on", "2026-11-25", "--out", str(tmp_path / PROOF))
    assert made.returncode == 1, made.stderr
    writer = PdfWriter(clone_from=PdfReader(folder / PROOF))
    (one,) = writer.attachment_list
    one.content = machine_part_in((tmp_path / PROOF).read_bytes())
    one.size = NumberObject(len(one.content))
    writer.write(tmp_path / "swapped.pdf")
    done = run(tmp_path, "check-proof", "swapped.pdf")
    assert done.returncode == 1
    assert "About aircraft/Alder 2 on" in done.stdout
    assert "Alder 2: Grounded." in done.stdout
    said = " ".join(done.stdout.split())
    assert re.search(r"lines are in the log of \d+ entries that the checkpoint", said)


def test_a_checkpoint_of_another_ledger_anchors_nothing(folder: Path, tmp_path: Path) -> None:
    with Ledger.begin(tmp_path / "other.airwrit") as book:
        book.append([draft(said("aircraft/A", "maker", "invented"))], Clock())
        (tmp_path / NOTE).write_text(issued(book, None), encoding="utf-8")
    done = run(folder, "check-proof", PROOF, "--checkpoint", str(tmp_path / NOTE), "--json")
    assert done.returncode == 1
    assert told(done)["your checkpoint"] == "contradicts"


def test_a_machine_part_is_read_by_itself_unless_its_name_says_that_it_is_a_pdf(
    folder: Path, tmp_path: Path
) -> None:
    part = machine_part_in((folder / PROOF).read_bytes())
    for name, code in (("part.json", 3), ("part.PDF", 2)):
        (tmp_path / name).write_bytes(part)
        done = run(tmp_path, "check-proof", name)
        assert done.returncode == code, done.stderr
    assert (
        done.stderr
        == "airwrit: part.PDF: The file's name ends in .pdf, but it isn't a PDF. Enter the name of a proof file.\n"
    )
