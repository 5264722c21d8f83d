"""The cut fonts of the page, read by FreeType and by fontTools."""

from __future__ import annotations

import io

import pytest
from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw, ImageFont

from airwrit.web.server.render import static_file
from tools.cut_fonts import FACES, FOLDER, KEPT_SIGNS, cut, licenses, original

TEXT = "Hamburgefonstiv 0O1lI8B ÄÖÜßéñçŁž — \u2018quoted\u2019 “text” …"


def served(name: str) -> bytes:
    """The font as the page sends it."""
    found = static_file(name)
    assert found is not None
    assert found.media_type == "font/ttf"
    return found.content


def picture(font: bytes, text: str) -> bytes:
    """A text as FreeType draws it with a font, kerning aside."""
    face = ImageFont.truetype(io.BytesIO(font), 40, layout_engine=ImageFont.Layout.BASIC)
    image = Image.new("L", (1400, 80))
    ImageDraw.Draw(image).text((5, 10), text, font=face, fill=255, features=None)
    return image.tobytes()


@pytest.mark.parametrize("name", FACES)
def test_what_is_kept_is_what_the_tool_makes(name: str) -> None:
    assert served(name) == cut(FACES[name])


@pytest.mark.parametrize("name", FACES)
def test_a_cut_font_draws_the_same_text(name: str) -> None:
    assert picture(served(name), TEXT) == picture(original(FACES[name]), TEXT)


@pytest.mark.parametrize("name", FACES)
def test_a_cut_font_holds_the_kept_signs_and_no_others(name: str) -> None:
    whole = set(TTFont(io.BytesIO(original(FACES[name]))).getBestCmap())
    assert set(TTFont(io.BytesIO(served(name))).getBestCmap()) == whole & KEPT_SIGNS


@pytest.mark.parametrize("name", FACES)
def test_a_cut_font_is_light_and_has_a_name_of_its_own(name: str) -> None:
    font = TTFont(io.BytesIO(served(name)))
    assert len(served(name)) < 60_000
    assert font["name"].getDebugName(1) in ("Sheet Text", "Sheet Title")
    assert str(font["name"].getDebugName(0)).startswith("Copyright")
    assert "Open Font License" in str(font["name"].getDebugName(13))


@pytest.mark.parametrize("name", ["text.ttf", "text-bold.ttf"])
def test_figures_of_one_width_are_kept_where_the_face_has_them(name: str) -> None:
    features = {
        one.FeatureTag
        for one in TTFont(io.BytesIO(original(FACES[name])))["GSUB"].table.FeatureList.FeatureRecord
    }
    kept = {
        one.FeatureTag for one in TTFont(io.BytesIO(served(name)))["GSUB"].table.FeatureList.FeatureRecord
    }
    assert ("tnum" in features) == ("tnum" in kept)


def test_the_licenses_lie_beside_them() -> None:
    assert (FOLDER / "OFL.txt").read_text(encoding="utf-8") == licenses()
