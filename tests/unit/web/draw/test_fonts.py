"""The cut fonts, read by another reader of fonts."""

from __future__ import annotations

import io
from importlib.resources import files

import pytest
from PIL import Image, ImageDraw, ImageFont

from airwrit.web.draw.fonts import FACES, KEPT_SIGNS, cut, font_files, glyphs_of, tables_of

TEXT = "Hamburgefonstiv 0O1lI8B ÄÖÜßéñçŁž — \u2018quoted\u2019 “text” …"


def picture(font: bytes, text: str) -> bytes:
    """A text as FreeType draws it with a font, kerning aside."""
    face = ImageFont.truetype(io.BytesIO(font), 40, layout_engine=ImageFont.Layout.BASIC)
    image = Image.new("L", (1400, 80))
    ImageDraw.Draw(image).text((5, 10), text, font=face, fill=255, features=None)
    return image.tobytes()


def original(name: str) -> bytes:
    """The font as its package has it."""
    return (files(FACES[name].package) / "files" / FACES[name].file).read_bytes()


@pytest.mark.parametrize("name", FACES)
def test_a_cut_font_draws_the_same_text(name: str) -> None:
    """FreeType draws every kept sign as with the whole font; the cut one is a valid font of its own."""
    assert picture(font_files()[name], TEXT) == picture(original(name), TEXT)


@pytest.mark.parametrize("name", FACES)
def test_a_cut_font_holds_the_kept_signs_and_no_others(name: str) -> None:
    whole = set(glyphs_of(tables_of(original(name))[b"cmap"]))
    assert set(glyphs_of(tables_of(font_files()[name])[b"cmap"])) == whole & KEPT_SIGNS


@pytest.mark.parametrize("name", FACES)
def test_a_cut_font_is_light(name: str) -> None:
    assert len(font_files()[name]) < 60_000


def test_every_table_is_where_the_directory_says() -> None:
    """The sum over the whole file is the one that the format asks for."""
    for font in font_files().values():
        padded = font + bytes(-len(font) % 4)
        total = sum(int.from_bytes(padded[at : at + 4], "big") for at in range(0, len(padded), 4))
        assert total & 0xFFFFFFFF == 0xB1B0AFBA


def test_a_font_can_be_cut_to_nothing() -> None:
    font = cut(original("text.ttf"), signs=frozenset())
    assert glyphs_of(tables_of(font)[b"cmap"]) == {}
