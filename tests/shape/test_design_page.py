"""The palette told in docs/design-page.md is the style sheet's, and its contrast is what WCAG asks for.

Source: WCAG 2.2, definitions of relative luminance and contrast ratio; success criteria 1.4.3 (4.5 for text) and 1.4.11 (3 for
edges of fields).
"""

from __future__ import annotations

import re

import pytest

from tests.shape.tree import ROOT, SRC

SHEET = (SRC / "web" / "static" / "sheet.css").read_text(encoding="utf-8")
PAGE = (ROOT / "docs" / "design-page.md").read_text(encoding="utf-8")
TEXT, EDGE = 4.5, 3.0
LEAST = {"ink": TEXT, "soft": TEXT, "blue": TEXT, "stamp": TEXT, "rule": EDGE}


def palettes() -> list[dict[str, str]]:
    """The colors by role: light, dark, more contrast, more contrast in the dark; forced and print colors are not among them."""
    blocks = re.findall(r":root \{(.*?)\}", SHEET, re.DOTALL)
    found = [dict(re.findall(r"--(\w+): (#[0-9a-f]+)", block)) for block in blocks]
    return [colors for colors in found if colors][:4]


def luminance(color: str) -> float:
    """Relative luminance of an sRGB color, from 0 for black to 1 for white."""
    digits = color.removeprefix("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colors, from 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_is_the_published_one() -> None:
    """Black on white is 21:1, and the often quoted lightest gray for text on white is #767676."""
    assert contrast("#000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#fff") >= TEXT > contrast("#777777", "#fff")


@pytest.mark.parametrize("ground", ["paper", "band"])
@pytest.mark.parametrize("role", LEAST)
@pytest.mark.parametrize("number", range(4))
def test_every_tone_stands_out(number: int, role: str, ground: str) -> None:
    colors = palettes()[number]
    assert contrast(colors[role], colors[ground]) >= LEAST[role]


def test_the_page_tells_the_palette_of_the_sheet() -> None:
    light, dark = palettes()[:2]
    for role in LEAST:
        row = next(line for line in PAGE.splitlines() if line.startswith(f"| {role}"))
        told = [
            f"{colors[role]} {contrast(colors[role], colors['paper']):.1f} {contrast(colors[role], colors['band']):.1f}"
            for colors in (light, dark)
        ]
        assert row.split(" | ")[1:] == [told[0], told[1] + " |"]
    for role in ("paper", "hair", "band"):
        assert light[role] in PAGE
        assert dark[role] in PAGE
