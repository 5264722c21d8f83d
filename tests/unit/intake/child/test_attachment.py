"""Reading what is attached to a PDF: one file of the name, exactly; whatever else the bytes are, a fault in plain words."""

from __future__ import annotations

import base64
import logging
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.child.attachment import read
from airwrit.intake.reader.limits import Fault, Limits
from tests.unit.intake.documents import paper
from tests.unit.intake.pdfs import NAME, attached, packed, pdf, stream

LIMITS = Limits(unpacked_bytes=1_000_000)
TWICE = b"[(%b) 4 0 R(%b) 4 0 R]" % (NAME.encode(), NAME.encode())
WHOLE = attached(stream(b'{"a":1}' * 40))


@pytest.fixture(autouse=True)
def told_again() -> Iterator[None]:
    """Lets what the reader silenced in its own process be heard again in this one."""
    yield
    logging.disable(logging.NOTSET)


def content(data: bytes) -> bytes:
    return base64.b64decode(read(data, LIMITS, NAME)["bytes"])


def fault(data: bytes) -> str:
    with pytest.raises(Fault) as caught:
        read(data, LIMITS, NAME)
    assert caught.value.do
    return caught.value.what


@pytest.mark.parametrize("size", [0, 1, 70_000])
def test_what_is_attached_is_read_as_it_was(size: int) -> None:
    data = bytes(at % 251 for at in range(size))
    assert content(attached(stream(data))) == data


@pytest.mark.parametrize(
    ("names", "count"),
    [
        (b"", 1),
        (TWICE, 2),
        (b"[(first) 4 0 R(second) 4 0 R]", 2),
        (b"[(other) 4 0 R]", 1),
        (b"[]", 0),
    ],
)
def test_all_that_bear_the_name_are_counted_by_whichever_of_their_names(names: bytes, count: int) -> None:
    told = read(attached(stream(b"{}"), names), LIMITS, NAME)
    assert (told["count"], told["bytes"]) == (count, "e30=" if count == 1 else "")
    assert read(attached(stream(b"{}"), names), LIMITS, "another.json")["count"] == 0


@pytest.mark.parametrize("spare", [0, 1])
def test_as_much_is_unpacked_as_the_limit_allows(spare: int) -> None:
    data = attached(packed(LIMITS.unpacked_bytes + spare))
    if spare:
        assert "1,000,001 bytes. We read up to 1,000,000" in fault(data)
    else:
        assert content(data) == bytes(LIMITS.unpacked_bytes)


def test_a_bomb_is_not_unpacked_to_its_end() -> None:
    for bomb in (packed(90_000_000), packed(90_000_000, 2)):
        assert "far too" in fault(attached(bomb))


@pytest.mark.parametrize("length", [-5, 0, 3, 270, 290, 2**40])
def test_a_length_that_lies_is_put_right_or_refused(length: int) -> None:
    data = b'{"a":1}' * 40
    told, refused = outcome(attached(stream(data, length=length)))
    assert "damaged" in refused if refused else told.strip() == data


@pytest.mark.parametrize("size", [b"3", b"-1", b"(many)", b"9999999999999999999999"])
def test_a_size_that_lies_is_refused(size: bytes) -> None:
    assert fault(attached(stream(b"{}", b"/Params<</Size %b>>" % size))) == (
        "the PDF's attachment isn't the size it says"
    )
    assert content(attached(stream(b"{}", b"/Params<</Size 2>>"))) == b"{}"


def outcome(data: bytes) -> tuple[bytes, str]:
    """The bytes of what is attached, or why they cannot be had, with what to do."""
    try:
        return content(data), ""
    except Fault as refused:
        return b"", f"{refused.what}; {refused.do}"


DEEP = 100_000
LOOP = [b"<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles 3 0 R>>>>", b"<</Kids[]/Count 0>>"]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"%PDF-1.7\n",
        attached(stream(b"{}"), b"[" * DEEP + b"]" * DEEP),
        attached(stream(b"{}", b"/A" + b"<</A " * DEEP + b"1" + b">>" * DEEP)),
        attached(b"<</Length 5 0 R>>\nstream\n{}\nendstream"),
        attached(stream(b"x", b"/Filter[%b]" % (b"/FlateDecode" * 5_000))),
        attached(b"null"),
        b"%PDF-1.7\nxref\n0 1\n0000000000 65535 f \ntrailer\n<</Size 1/Prev 9>>\nstartxref\n9\n%%EOF\n",
        b"%PDF-1.7\nxref\n0 9999999999\ntrailer\n<</Size 1/Root 1 0 R>>\nstartxref\n9\n%%EOF\n",
        WHOLE[:300],
    ],
)
def test_what_is_nested_looped_or_cut_off_is_refused(data: bytes) -> None:
    assert fault(data)


@pytest.mark.parametrize(
    "kids", [[b"<</Kids[3 0 R 3 0 R]>>"], [b"<</Kids[4 0 R]>>", b"<</Kids[3 0 R]>>"]], ids=["self", "ring"]
)
def test_a_ring_of_names_ends(kids: list[bytes]) -> None:
    assert read(pdf([*LOOP, *kids]), LIMITS, NAME)["count"] == 0


def test_a_locked_file_says_that_it_is_locked() -> None:
    assert fault(paper(password="secret")) == "the file is locked with a password"


@given(st.binary(max_size=400), st.booleans())
def test_any_bytes_are_counted_or_refused(data: bytes, begins_well: bool) -> None:
    _count_or_fault(b"%PDF-1.7\n" + data if begins_well else data)


@given(
    st.lists(st.tuples(st.integers(0, len(WHOLE) - 1), st.binary(max_size=6), st.integers(0, 9)), max_size=6)
)
def test_any_change_of_a_whole_file_is_counted_or_refused(cuts: list[tuple[int, bytes, int]]) -> None:
    data = WHOLE
    for at, put, gone in cuts:
        data = data[:at] + put + data[at + gone :]
    _count_or_fault(data)


def _count_or_fault(data: bytes) -> None:
    told, refused = outcome(data)
    assert not (told and refused)
    assert not refused or "; " in refused
