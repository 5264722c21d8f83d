"""A stranger's proof file is read in a process of its own: what breaks, hangs or swells there is refused here, in time."""

from __future__ import annotations

import base64
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwrit.answers.proof.proof import MACHINE_PART
from airwrit.base.errors import BadProof
from airwrit.intake.reader.limits import Limits
from airwrit.papers.proof_pdf import PROOF_LIMITS, machine_part_in
from tests.unit.intake.documents import paper
from tests.unit.intake.pdfs import attached, packed, stream

ENDLESS = b"%PDF-1.7\n" + b"1 0 obj\n" * 1_500_000
"""Takes the reader many seconds."""
WHOLE = attached(stream(b'{"a":1}'), name=MACHINE_PART)


def refused(data: bytes, limits: Limits = PROOF_LIMITS) -> str:
    with pytest.raises(BadProof) as caught:
        machine_part_in(data, limits)
    assert caught.value.do
    return caught.value.what


def test_the_machine_part_comes_back_as_it_was() -> None:
    assert machine_part_in(WHOLE) == b'{"a":1}'


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (ENDLESS, "gave up after 1 seconds"),
        (attached(packed(90_000_000), name=MACHINE_PART), "far too"),
        (
            attached(stream(b"{}", b"/Params<</Size 9>>"), name=MACHINE_PART),
            "the PDF's attachment isn't the size",
        ),
        (attached(stream(b"{}"), b"[" * 100_000 + b"]" * 100_000), "we can't read"),
        (attached(stream(b"{}"), b"[(%b) 4 0 R(x) 4 0 R]" % MACHINE_PART.encode(), MACHINE_PART), "has 2"),
        (attached(stream(b"{}")), f"has no {MACHINE_PART}"),
        (paper(password="secret"), "locked with a password"),
    ],
    ids=["endless", "bomb", "size", "nested", "two", "none", "locked"],
)
def test_what_cannot_be_read_is_refused_in_time(data: bytes, says: str) -> None:
    limits = PROOF_LIMITS._replace(seconds=1) if data is ENDLESS else PROOF_LIMITS
    assert says in refused(data, limits)


def test_a_reader_that_breaks_or_has_no_room_is_told() -> None:
    full = attached(stream(base64.b16encode(bytes(8_000_000)), b"/Filter/ASCIIHexDecode"), name=MACHINE_PART)
    for data, megabytes in ((full, 120), (WHOLE, 1)):
        says = refused(data, PROOF_LIMITS._replace(memory_bytes=megabytes * 2**20))
        assert says.startswith("the file is damaged")


@pytest.mark.parametrize("spare", [0, 1])
def test_a_file_may_be_as_large_as_the_limit(spare: int) -> None:
    limits = PROOF_LIMITS._replace(file_bytes=len(WHOLE) - spare)
    if spare:
        assert "A proof can be" in refused(WHOLE, limits)
    else:
        assert machine_part_in(WHOLE, limits) == b'{"a":1}'


@settings(max_examples=6)
@given(st.binary(max_size=300), st.integers(0, len(WHOLE)))
def test_whatever_is_put_into_a_file_it_is_read_or_refused(data: bytes, at: int) -> None:
    try:
        found = machine_part_in(WHOLE[:at] + data + WHOLE[at:])
    except BadProof as fault:
        found = fault.do.encode()
    assert found


def test_the_page_and_the_papers_load_no_reader_of_strangers_files() -> None:
    code = "import sys, airwrit.web.pages.proof, airwrit.cli.keep.check_proof; print({'pypdf', 'PIL'} & sys.modules.keys())"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
