"""Sheets into HTML: every text of the user's is escaped, and a name that a template lacks is a fault, not a blank."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from airwrit import __version__
from airwrit.answers.as_json import CAUTION
from airwrit.answers.ask_words import decision_text
from airwrit.answers.exposure import WARNING, amount
from airwrit.base.findings import Verdict
from airwrit.law.wording import worded
from airwrit.web import svg, words
from airwrit.web.asked import Asked
from airwrit.web.fonts import font_files
from airwrit.web.records import lanes, scale
from airwrit.web.sheets import Name, Sheet

_HERE = Path(__file__).parent
_TYPES = {".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}


class Static(NamedTuple):
    """A file of ours as it is sent."""

    media_type: str
    content: bytes
    digest: str


@cache
def static_files() -> Mapping[str, Static]:
    """All that is served under /static/, by name: our own style, script and mark, and the fonts out of their packages."""
    found = {
        path.name: (_TYPES[path.suffix], path.read_bytes())
        for path in sorted((_HERE / "static").iterdir())
        if path.suffix in _TYPES
    }
    found |= {name: ("font/ttf", data) for name, data in font_files().items()}
    return {
        name: Static(kind, data, hashlib.sha256(data).hexdigest()[:12])
        for name, (kind, data) in found.items()
    }


def static(name: str) -> str:
    """The address of a file of ours; it changes with the file, so that a browser may keep it."""
    return f"/static/{name}?{static_files()[name].digest}"


@cache
def environment() -> Environment:
    """The templates, with what all of them may call."""
    made = Environment(
        loader=FileSystemLoader(_HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(
        static=static,
        mark=svg.mark,
        strip=svg.strip,
        months=svg.months,
        axis=svg.axis,
        bands=lanes.bands,
        quarter_axis=lanes.quarter_axis,
        weight_scale=scale.weight_scale,
        amount=amount,
        decision=decision_text,
        met=Verdict.MET,
        warning=WARNING,
        worded=worded,
        caution=CAUTION,
        version=__version__,
    )
    made.filters.update(words.FILTERS)
    return made


class Around(NamedTuple):
    """What stands around every sheet: the program's name, the pages there are, the day, and the address itself."""

    program: str
    names: Sequence[Sequence[Name]]
    asked: Asked
    path: str


def html_of(sheet: Sheet, around: Around) -> str:
    """The page of a sheet."""
    given: dict[str, Any] = {
        "sheet": sheet,
        "data": sheet.data,
        "around": around,
        "asked": around.asked,
        "link": around.asked.link,
    }
    return environment().get_template(sheet.template).render(given)
