"""Legends that explain colors of rows, as lines above or below a table write them: `RED = tagged out`."""

from __future__ import annotations

import colorsys
import re
from collections.abc import Iterable, Mapping

from airwrit.intake.meaning.status import status_of

Legend = Mapping[str, str]
"""Color by name -> what it stands for."""

LETTERS = "letters"
"""The entry of a legend that is about the color of letters, not of cells."""
_NAMES = "red|green|yellow|orange|blue|gray|grey|purple|pink|amber|brown"
_WHAT = "rows?|cells?|fill|tag|letters?|text|font|print|ink|type|writing|names?"
_ENTRY = re.compile(
    rf"\b({_NAMES})\b(?: (?:{_WHAT}))?\s*(?:=|:|-|–|means|is|are)\s*(.+?)(?=[,;.|]|\s{{2,}}|\s\b(?:{_NAMES})\b|$)",
    re.IGNORECASE,
)
_HUES = (
    (15, "red"),
    (45, "orange"),
    (70, "yellow"),
    (165, "green"),
    (260, "blue"),
    (300, "purple"),
    (345, "pink"),
    (361, "red"),
)
_SAME = {"grey": "gray", "amber": "orange"}
_COLORLESS = 0.12


def legend_of(lines: Iterable[str]) -> Legend:
    """What colors stand for by some lines of text."""
    found: dict[str, str] = {}
    lines = list(lines)
    letters = letters_in(lines)
    if letters:
        found[LETTERS] = letters
    for line in lines:
        for match in _ENTRY.finditer(line):
            name = match[1].casefold()
            found.setdefault(_SAME.get(name, name), match[2].strip())
    return found


_LETTERS = re.compile(
    rf"\b(?:{_NAMES})\b (?:letters?|text|font|print|writing|ink|type)\b[^.]*", re.IGNORECASE
)


def letters_in(lines: Iterable[str]) -> str:
    """What a line says that colors of letters mean, where it explains them; "" where none does."""
    return next((match[0].strip() for line in lines if (match := _LETTERS.search(line))), "")


_SIGN = r"(?:[\w✓✔☑*/-]{1,12}|---)"
_CODE = re.compile(
    rf"(?<![\w*/-])({_SIGN})\s*=\s*([^=.;!]+?)(?=[.;!]|\s{{2,}}|,\s*{_SIGN}\s*=|\s{_SIGN}\s*=|$)"
)
_BARE = re.compile(r"([A-Z0-9][\w-]{0,7})\s+(?:- )?([a-z][a-z ]+)")


def codes_in(lines: Iterable[str]) -> dict[str, str]:
    """What short codes stand for by some lines of text: `NMC = do not fly`, `x = no`, `10-8 in service / 10-7 out`."""
    found: dict[str, str] = {}
    for line in lines:
        for code, means in (*_CODE.findall(line), *_bare_codes(line)):
            found.setdefault(code.casefold(), means.strip(" ,"))
    return found


def _bare_codes(line: str) -> list[tuple[str, str]]:
    """The codes of a line that holds nothing else than codes, each with a state right behind it."""
    parts = [_BARE.fullmatch(part) for part in re.split(r"\s*[/;|,]\s*|\s{2,}", line.strip(" ."))]
    found = [(match[1], match[2]) for match in parts if match is not None and status_of(match[2])]
    return found if len(found) == len(parts) > 1 else []


def color_named(fill: str) -> str:
    """The name of a color of six hexadecimal digits, as people call it."""
    red, green, blue = (int(fill[place : place + 2], 16) / 255 for place in (0, 2, 4))
    hue, lightness, _ = colorsys.rgb_to_hls(red, green, blue)
    if max(red, green, blue) - min(red, green, blue) < _COLORLESS:
        return "black" if lightness < _COLORLESS else "gray"
    return next(name for end, name in _HUES if hue * 360 < end)
