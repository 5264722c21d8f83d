"""Codes in photos: found where they can be, never read wrongly; what is no photo ends as one line."""

from __future__ import annotations

import io
import json
import struct
import zlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from airwrit.base.errors import UnreadableFile
from airwrit.intake.child import codes
from airwrit.intake.reader.limits import Fault, Limits
from airwrit.intake.reader.photo import is_photo_name, read_photo
from tests.unit.intake.photos import EASY, HARD, KINDS, MEDIUM, Level, as_bytes, code_picture, photo

TEXT = "ZZ9ZA1234567890"
LIMITS = Limits()


def texts_in(data: bytes) -> list[tuple[str, str]]:
    return [(code["format"], code["text"]) for code in codes.read(data, LIMITS)["codes"]]


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("kind", KINDS)
def test_every_easy_photo_is_read(kind: str, seed: int) -> None:
    assert texts_in(as_bytes(photo(kind, TEXT, EASY, seed))) == [(kind, TEXT)]


@pytest.mark.parametrize("kind", ["Aztec", "Code 39"])
def test_other_kinds_are_read_too(kind: str) -> None:
    assert texts_in(as_bytes(photo(kind, "FA00TEST01", EASY, 1))) == [(kind, "FA00TEST01")]


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("level", [MEDIUM, HARD])
@pytest.mark.parametrize("module", [3, 4])
@pytest.mark.parametrize("kind", KINDS)
def test_a_bad_photo_is_read_rightly_or_not_at_all(kind: str, module: int, level: Level, seed: int) -> None:
    size = (960, 720) if kind == "Code 128" else (480, 360)  # as large as the code needs
    taken = as_bytes(photo(kind, TEXT, level, seed, size=size, module=module))
    assert texts_in(taken) in ([], [(kind, TEXT)])


def test_a_large_photo_is_read_from_a_smaller_copy() -> None:
    data = as_bytes(photo("Data Matrix", TEXT, EASY, 1, size=(4000, 3000), module=8))
    told = codes.read(data, LIMITS)
    assert told["step"] == "as it is, smaller"
    assert [code["text"] for code in told["codes"]] == [TEXT]


def test_two_codes_are_both_told_once_each() -> None:
    both = Image.new("L", (900, 300), 255)
    both.paste(code_picture("QR Code", TEXT, 6), (20, 20))
    both.paste(code_picture("QR Code", TEXT, 6), (320, 20))
    both.paste(code_picture("Data Matrix", "FA00TEST01", 6), (640, 20))
    assert sorted(texts_in(as_bytes(both, "PNG"))) == [("Data Matrix", "FA00TEST01"), ("QR Code", TEXT)]


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP", "BMP", "TIFF", "GIF"])
def test_kinds_of_picture(kind: str) -> None:
    assert texts_in(as_bytes(code_picture("QR Code", TEXT, 6), kind)) == [("QR Code", TEXT)]


@pytest.mark.parametrize("mode", ["1", "RGB", "RGBA", "LA", "P", "CMYK", "I;16", "I", "F"])
def test_ways_to_keep_colors(mode: str) -> None:
    code = code_picture("QR Code", TEXT, 6)
    if mode in ("I;16", "I", "F"):
        code = code.convert("I").point(lambda value: value * 200).convert(mode)
    elif mode in ("RGBA", "LA"):
        clear = Image.new(mode, code.size)
        clear.paste(Image.new(mode, code.size, "black"), (0, 0), code.point(lambda value: 255 - value))
        code = clear
    else:
        code = code.convert(mode)
    kind = "TIFF" if mode in ("CMYK", "F", "I") else "PNG"
    assert texts_in(as_bytes(code, kind)) == [("QR Code", TEXT)]


def test_only_the_first_of_several_pictures_is_read() -> None:
    out = io.BytesIO()
    first, second = code_picture("QR Code", TEXT, 6), code_picture("QR Code", "FA00TEST01", 6)
    first.save(out, "TIFF", save_all=True, append_images=[second])
    told = codes.read(out.getvalue(), LIMITS)
    assert told["pictures"] == 2
    assert [code["text"] for code in told["codes"]] == [TEXT]


def huge_png(width: int, height: int) -> bytes:
    """A picture of a few bytes that claims to be huge, and holds its first rows only."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    rows = zlib.compress(bytes(100_000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (huge_png(20_000, 20_000), "read up to 100,000,000"),
        (huge_png(2**31 - 1, 2**31 - 1), "read up to 100,000,000"),
        (huge_png(4000, 4000), "or damaged"),
        (as_bytes(code_picture("QR Code", TEXT, 6))[:-400], "or damaged"),
        (as_bytes(code_picture("QR Code", TEXT, 6), "PNG")[:-40], "or damaged"),
        (b"hello", "of picture"),
        (b"\x89PNG\r\n\x1a\n", "of picture"),
        (b"GIF89a", "of picture"),
    ],
)
def test_what_cannot_be_read_says_why(data: bytes, says: str) -> None:
    with pytest.raises(Fault, match=says):
        codes.read(data, LIMITS)


@given(st.data())
def test_a_changed_picture_is_read_or_refused(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(["PNG", "JPEG", "GIF", "BMP", "TIFF", "WEBP"]))
    whole = bytearray(as_bytes(code_picture("QR Code", TEXT, 2), kind))
    for _ in range(data.draw(st.integers(1, 8))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    try:
        told = codes.read(bytes(whole), Limits(pixels=1_000_000))
    except (Fault, MemoryError):  # the second ends the child, which its parent tells
        return
    json.dumps(told)
    assert all(code["text"] == TEXT for code in told["codes"])


def test_a_file_is_read_in_a_process_of_its_own(tmp_path: Path) -> None:
    path = tmp_path / "label.jpg"
    path.write_bytes(as_bytes(photo("Data Matrix", TEXT, EASY, 1)))
    found = read_photo(path)
    assert (found.source.name, found.width, found.height, found.pictures) == ("label.jpg", 1280, 960, 1)
    assert [(code.kind, code.text) for code in found.codes] == [("Data Matrix", TEXT)]
    assert len(found.source.sha256) == 64


def test_a_code_without_text_keeps_its_bytes(tmp_path: Path) -> None:
    path = tmp_path / "bytes.png"
    made = code_picture("QR Code", TEXT, 6)
    path.write_bytes(as_bytes(made, "PNG"))
    assert read_photo(path).codes[0].raw == TEXT.encode()


@pytest.mark.parametrize(
    ("name", "data", "limits", "says"),
    [
        ("none.jpg", None, Limits(), "This file doesn't exist."),
        ("empty.jpg", b"", Limits(), "The file is empty."),
        ("text.png", b"hello", Limits(), "of picture"),
        ("bomb.png", huge_png(20_000, 20_000), Limits(), "read up to 100,000,000"),
        ("new.heic", b"x", Limits(), "can't read .heic"),
        ("large.jpg", b"x" * 101, Limits(file_bytes=100), "101 bytes. The most we read is"),
        ("slow.png", huge_png(4000, 4000), Limits(seconds=0), "after 0 seconds"),
        ("wide.png", huge_png(9000, 9000), Limits(memory_bytes=2**26), "The file is damaged or far too"),
    ],
)
def test_what_is_no_photo_ends_as_one_line(
    tmp_path: Path, name: str, data: bytes | None, limits: Limits, says: str
) -> None:
    path = tmp_path / name
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(UnreadableFile, match=says) as told:
        read_photo(path, limits)
    assert "\n" not in str(told.value)
    assert told.value.do


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("label.JPG", True),
        ("a/b.heic", True),
        ("ZZ9Z5A1B2C", False),
        ("https://faa.gov/a.png", False),
        ("52332503.0", False),
    ],
)
def test_names_of_photos(text: str, is_one: bool) -> None:
    assert is_photo_name(text) == is_one
