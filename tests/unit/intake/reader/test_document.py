"""Photos and PDFs to be kept: told by their bytes; what lies, is damaged, is too large or is two things at once is refused."""

from __future__ import annotations

import io
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from airwrit.base.errors import UnreadableFile
from airwrit.facts.keys.document import DocumentType
from airwrit.intake.child import document as document_reader
from airwrit.intake.reader.document import (
    DOCUMENT_LIMITS,
    also_read_as,
    document_of,
    plain_name,
    read_document,
    reduced,
    sniffed,
)
from airwrit.intake.reader.limits import Fault
from tests.unit.intake.documents import bomb, paper, photo


def refused(data: bytes, name: str) -> str:
    """Why a file is not taken."""
    with pytest.raises(UnreadableFile) as caught:
        document_of(data, name)
    return caught.value.what


@pytest.mark.parametrize(
    ("data", "name", "kind"),
    [
        (photo("JPEG"), "mark.jpg", DocumentType.JPEG),
        (photo("PNG"), "mark.PNG", DocumentType.PNG),
        (photo("WEBP"), "mark.webp", DocumentType.WEBP),
        (paper(), "waiver.pdf", DocumentType.PDF),
    ],
)
def test_what_a_file_is_is_told_by_its_bytes(data: bytes, name: str, kind: DocumentType) -> None:
    told = document_of(data, name)
    assert (told.type, told.name, told.data) == (kind, name, data)
    assert (told.width, told.height, told.pages) == ((0, 0, 2) if kind is DocumentType.PDF else (320, 240, 0))


def test_what_a_photo_says_of_itself_is_told() -> None:
    told = document_of(photo(), "mark.jpg")
    assert (told.says_on, told.has_position) == ("2026-10-02", True)
    bare = io.BytesIO()
    Image.new("RGB", (10, 10)).save(bare, "JPEG")
    told = document_of(bare.getvalue(), "mark.jpg")
    assert (told.says_on, told.has_position) == ("", False)
    assert document_of(photo(taken="yesterday"), "mark.jpg").says_on == ""


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (paper(), "mark.jpg"),
        (photo(), "waiver.pdf"),
        (photo(), "mark.png"),
        (photo("PNG"), "mark.jpg"),
        (photo(), "mark.exe"),
        (photo(), "mark.jpg.html"),
    ],
)
def test_a_name_that_says_something_else_is_refused(data: bytes, name: str) -> None:
    assert "its name ends in" in refused(data, name)


@pytest.mark.parametrize(
    "data",
    [
        b"<!DOCTYPE html><script>alert(1)</script>",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"PK\x03\x04" + b"\0" * 30,
        b"MZ\x90\x00" + b"\0" * 60,
        b"\x7fELF" + b"\0" * 60,
        b"#!/bin/sh\n",
        b"GIF89a" + b"\0" * 30,
        b" %PDF-1.7\n",
        b"\xff\xd8",
    ],
)
@pytest.mark.parametrize("name", ["mark.jpg", "mark.pdf", "mark"])
def test_other_kinds_are_refused_whatever_their_name(data: bytes, name: str) -> None:
    assert "a JPEG, PNG or WebP picture, or a PDF" in refused(data, name)


def test_an_empty_file_is_refused() -> None:
    assert refused(b"", "mark.jpg") == "the file is empty"


ZIP_END = b"PK\x05\x06" + b"\0" * 18


@pytest.mark.parametrize(
    ("data", "name", "says"),
    [
        (photo() + b"PK\x03\x04" + ZIP_END, "mark.jpg", "a zip archive"),
        (paper() + ZIP_END, "waiver.pdf", "a zip archive"),
        (photo()[:20] + b"%PDF-1.4" + photo()[20:], "mark.jpg", "a PDF"),
        (photo()[:20] + b"<SCRIPT>x</script>" + photo()[20:], "mark.jpg", "a page or a script"),
        (paper().replace(b"\n", b"\n<html>\n", 1), "waiver.pdf", "a page or a script"),
    ],
)
def test_a_file_that_is_two_things_at_once_is_refused(data: bytes, name: str, says: str) -> None:
    assert refused(data, name).endswith(f" and also as {says}")


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (photo()[:200], "mark.jpg"),
        (photo("PNG")[:-40], "mark.png"),
        (photo("WEBP")[:-10], "mark.webp"),
        (b"%PDF-1.7\nnothing follows", "waiver.pdf"),
        (paper(password="secret"), "waiver.pdf"),
    ],
)
def test_a_damaged_or_locked_file_is_refused(data: bytes, name: str) -> None:
    assert any(word in refused(data, name) for word in ("damaged", "incomplete", "can't read"))


def test_a_bomb_is_refused_by_its_head() -> None:
    assert len(bomb()) < 1_000
    assert "900,000,000 pixels" not in refused(bomb(), "mark.png")
    assert "30,000 by 30,000 pixels. We read" in refused(bomb(), "mark.png")


@pytest.mark.parametrize(("spare", "is_taken"), [(0, True), (1, False)])
def test_a_file_may_be_as_large_as_the_limit(spare: int, is_taken: bool) -> None:
    data = paper()
    limits = DOCUMENT_LIMITS._replace(file_bytes=len(data) - spare)
    if is_taken:
        assert document_of(data, "waiver.pdf", limits).data == data
    else:
        with pytest.raises(UnreadableFile, match="up to"):
            document_of(data, "waiver.pdf", limits)


@pytest.mark.parametrize(("spare", "is_taken"), [(0, True), (1, False)])
def test_a_picture_may_have_as_many_pixels_as_the_limit(spare: int, is_taken: bool) -> None:
    limits = DOCUMENT_LIMITS._replace(pixels=320 * 240 - spare)
    if is_taken:
        assert document_reader.read(photo(), limits)["width"] == 320
    else:
        with pytest.raises(Fault, match="up to"):
            document_reader.read(photo(), limits)


def test_a_missing_file_and_a_folder_are_told(tmp_path: Path) -> None:
    for path in (tmp_path / "none.jpg", tmp_path):
        with pytest.raises(UnreadableFile):
            read_document(path)
    path = tmp_path / "mark.jpg"
    path.write_bytes(photo())
    assert read_document(path).name == "mark.jpg"


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("../../etc/passwd", "passwd"),
        ("C:\\fleet\\mark.jpg", "mark.jpg"),
        ("/", "document"),
        ("..", "document"),
        ("a\x00b\x1b[31m.jpg", "a b [31m.jpg"),
        ("gpj.\u202eexe.jpg", "gpj.exe.jpg"),
        ("CON.jpg", "_CON.jpg"),
        ("nul", "_nul"),
        ('a<b>:"|?*.pdf', "a_b______.pdf"),
        (" . mark .jpg ", "mark .jpg"),
        ("m" * 300 + ".jpg", "m" * 97 + ".jpg"),
        ("Stra\u00dfe.jpg", "Stra\u00dfe.jpg"),
    ],
)
def test_names_become_plain(name: str, plain: str) -> None:
    assert plain_name(name) == plain


def test_a_file_without_an_end_to_its_name_gets_one() -> None:
    assert document_of(photo(), "mark").name == "mark.jpg"


@given(st.text(max_size=300))
def test_any_name_becomes_a_plain_one(name: str) -> None:
    plain = plain_name(name)
    assert plain
    assert len(plain) <= 110
    assert not set(plain) & set('/\\<>:"|?*\0')
    assert not plain.startswith(".")
    assert all(unicodedata.category(sign)[0] != "C" for sign in plain)
    assert plain_name(plain) == plain


@given(
    st.sampled_from(
        [b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"RIFF\x10\0\0\0WEBPVP8 ", b"%PDF-1.7\n"]
    ),
    st.binary(max_size=400),
)
def test_random_bytes_never_break_the_sniffing(head: bytes, rest: bytes) -> None:
    found = sniffed(head + rest)
    assert found is None or isinstance(also_read_as(head + rest, found), str)
    assert found is None or read_or_refused(head + rest)


def read_or_refused(data: bytes) -> bool:
    """Whether the reading process tells a size, or why it cannot."""
    try:
        told = document_reader.read(data, DOCUMENT_LIMITS)
    except Fault as fault:
        return bool(fault.what)
    return bool(told["width"] or told["pages"])


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_small_copy_holds_pixels_and_nothing_else(kind: str) -> None:
    data = photo(kind)
    copy = reduced(data, "mark.jpg")
    for told in (b"Exif", b"GPS", b"xmp", b"invented maker", b"a word about", b"2026:10:02"):
        assert told not in copy
    opened = Image.open(io.BytesIO(copy))
    assert dict(opened.getexif()) == {}
    assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert reduced(data, "mark.jpg") == copy


@pytest.mark.parametrize(("turned", "dark"), [(1, (10, 10)), (6, (230, 10)), (3, (310, 230)), (8, (10, 310))])
def test_a_small_copy_stands_upright(turned: int, dark: tuple[int, int]) -> None:
    opened = Image.open(io.BytesIO(reduced(photo(turned=turned), "mark.jpg")))
    assert opened.size == ((320, 240) if turned in (1, 3) else (240, 320))
    assert sum(opened.getpixel(dark)) < 60  # type: ignore[arg-type]


def test_a_small_copy_is_small() -> None:
    opened = Image.open(io.BytesIO(reduced(photo(size=(4000, 1000)), "mark.jpg")))
    assert opened.size == (1200, 300)


def test_what_is_transparent_becomes_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (40, 40), (0, 0, 0, 0)).save(out, "PNG")
    opened = Image.open(io.BytesIO(reduced(out.getvalue(), "mark.png")))
    assert opened.getpixel((20, 20)) == (255, 255, 255)
