"""Colors as six hexadecimal digits, from the numbers, themes, tints and patterns that workbooks name them by."""

from __future__ import annotations

import colorsys
import re
import tomllib
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

BLACK, WHITE = "000000", "ffffff"
_HEX = re.compile(r"(?:[0-9a-f]{2})?([0-9a-f]{6})")
_DARK_LIGHT = (1, 0, 3, 2)
"""A color's number in a theme has light before dark; the theme itself lists dark before light."""


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads((Path(__file__).parent / "colors.toml").read_text(encoding="utf-8"))


@cache
def indexed_colors() -> tuple[str, ...]:
    """The 64 colors by number of a workbook that does not bring its own."""
    return tuple(_data()["indexed"].split())


@cache
def theme_colors() -> tuple[str, ...]:
    """The 12 colors of a workbook that does not bring a theme, in the order of a theme."""
    return tuple(_data()["theme"].split())


@cache
def patterns() -> dict[str, float]:
    """How much of its foreground color each pattern shows, from 0 to 1, in the order of their numbers in .xls."""
    return dict(_data()["patterns"])


def hex_color(text: str) -> str:
    """The six digits of an #rrggbb, rrggbb or aarrggbb; "" when it is none. How opaque it is does not matter in a sheet."""
    found = _HEX.fullmatch(text.strip().lstrip("#").lower())
    return found[1] if found else ""


def themed(number: int, theme: Sequence[str]) -> str:
    """The color a workbook calls by its number in the theme; "" when the theme has no such number."""
    number = _DARK_LIGHT[number] if 0 <= number < len(_DARK_LIGHT) else number
    return theme[number] if 0 <= number < len(theme) else ""


def tinted(color: str, tint: float) -> str:
    """A color made darker (-1 to 0) or lighter (0 to 1).

    Source: ECMA-376 Part 1, 18.8.19: L' = L (1 + tint) below 0, L' = L (1 - tint) + tint above, in hue, lightness, saturation.
    """
    if not color or not -1 <= tint <= 1:
        return color
    hue, light, saturation = colorsys.rgb_to_hls(*(int(color[at : at + 2], 16) / 255 for at in (0, 2, 4)))
    light = light * (1 + tint) if tint < 0 else light * (1 - tint) + tint
    return "".join(f"{round(part * 255):02x}" for part in colorsys.hls_to_rgb(hue, light, saturation))


def ink_of(color: str) -> str:
    """The color of letters as it singles them out; "" for black and white, in which most are written."""
    if not color:
        return ""
    red, green, blue = (int(color[at : at + 2], 16) / 255 for at in (0, 2, 4))
    light = (max(red, green, blue) + min(red, green, blue)) / 2
    is_gray = max(red, green, blue) - min(red, green, blue) < _COLORLESS
    return "" if is_gray and not _DARK_GRAY < light < _LIGHT_GRAY else color


_COLORLESS, _DARK_GRAY, _LIGHT_GRAY = 0.12, 0.35, 0.85


def blended(front: str, back: str, share: float) -> str:
    """What is seen from afar of a pattern that shows this share of its front color; "" where that is white, as paper is."""
    parts = (
        round(int(front[at : at + 2], 16) * share + int(back[at : at + 2], 16) * (1 - share))
        for at in (0, 2, 4)
    )
    color = "".join(f"{part:02x}" for part in parts)
    return "" if color == WHITE else color
