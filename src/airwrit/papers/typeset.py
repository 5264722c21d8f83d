"""Papers set by Typst: data through JSON, our own fonts, a fixed day; the same data and day give the same bytes."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import typst

from airwrit.base.sentences import with_days

FOLDER = Path(__file__).parent / "typst"
FONT_PACKAGES = ("fontpkg_atkinson_hyperlegible", "fontpkg_literata")
PAPERS = ("letter", "A4")
"""The papers a sheet can be set for."""

_PAPER_NAMES = {"letter": "us-letter", "A4": "a4"}
_PRINTED = (
    (0x20, 0x7E),
    (0xA0, 0xAC),
    (0xAE, 0x2FF),
    (0x384, 0x38A),
    (0x38E, 0x3A1),
    (0x3A3, 0x482),
    (0x48A, 0x4FF),
    (0x531, 0x556),
    (0x561, 0x587),
    (0x5D0, 0x5EA),
    (0x621, 0x63A),
    (0x640, 0x64A),
    (0x10D0, 0x10FF),
    (0x1E00, 0x1F15),
    (0x2010, 0x2027),
    (0x2030, 0x2040),
    (0x20A0, 0x20C0),
    (0x2190, 0x23FF),
    (0x2500, 0x25FF),
)
"""The signs that the fonts of our papers can print; a test sets each of them."""

_MOMENT = re.compile(r"(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2}:\d{2})(?:\.\d+)?Z")

Json = dict[str, Any]


@cache
def fonts() -> typst.Fonts:
    """Our fonts and Typst's own, never the machine's, so that a paper looks the same everywhere."""
    folders = [str(files(package) / "files") for package in FONT_PACKAGES]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=folders)


def pdf_of(template: str, data: Json, day: date) -> bytes:
    """The PDF of a template of ours filled with `data`, dated `day`."""
    return typst.compile(
        FOLDER / template,
        root=FOLDER,
        font_paths=fonts(),
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": json.dumps(in_days(data))},
        timestamp=_midnight(day),
    )


def archive_of(template: str, data: Json, day: date, parts: Mapping[str, str]) -> bytes:
    """The same as PDF/A-3, level A, which may hold files and tells its structure; `parts` are further inputs, as text."""
    return typst.compile(
        FOLDER / template,
        root=FOLDER,
        font_paths=fonts(),
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": json.dumps(in_days(data)), **parts},
        pdf_standards="a-3a",
        timestamp=_midnight(day),
    )


def _midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, tzinfo=UTC)


def in_days(data: Any) -> Any:
    """The same data, its days written as people write them: Nov 30, 2026."""
    if isinstance(data, dict):
        return {name: in_days(one) for name, one in data.items()}
    if isinstance(data, list):
        return [in_days(one) for one in data]
    return with_days(data) if isinstance(data, str) else data


def moment_words(text: str) -> str:
    """A moment as the ledger writes it, in words to the second: Nov 30, 2026 14:05:00 UTC; the text where it is none."""
    found = _MOMENT.fullmatch(text)
    return printable(f"{found[1]} {found[2]} UTC" if found else text, 40)


def paper_name(paper: str = "letter") -> str:
    """Typst's name of a paper of `PAPERS`."""
    return _PAPER_NAMES[paper]


def printable(text: str, longest: int = 200) -> str:
    """The text as our fonts can print it, on one line.

    Control signs and line ends become spaces, signs that turn or hide others go, a sign without a glyph is told by its
    code point as `<U+4E2D>` so that two names never print alike; a longer text keeps its two ends round an ellipsis.
    """
    told = "".join(_sign(sign) for sign in unicodedata.normalize("NFC", text))
    line = " ".join(told.split())
    if len(line) <= longest:
        return line
    tail = longest // 3
    return f"{line[: longest - tail - 3]} … {line[-tail:]}"


def _sign(sign: str) -> str:
    code = ord(sign)
    if any(first <= code <= last for first, last in _PRINTED):
        return sign
    category = unicodedata.category(sign)
    if category in {"Cf", "Mn", "Me"}:
        return "" if category == "Cf" else f"<U+{code:04X}>"
    return " " if category in {"Cc", "Zl", "Zp", "Zs"} else f"<U+{code:04X}>"
