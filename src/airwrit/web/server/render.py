"""Sheets into HTML: every text of the user's is escaped, and a name that a template lacks is a fault, not a blank."""

from __future__ import annotations

import hashlib
import os
import sys
import threading
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from jinja2.bccache import Bucket, BytecodeCache

from airwrit import __version__
from airwrit.answers.asking.steps import decision_text
from airwrit.answers.document import CAUTION
from airwrit.answers.registration.penalties import WARNING, amount
from airwrit.base.verdict import Verdict
from airwrit.law.parameters import late_reading, read_as
from airwrit.law.wording import section, worded
from airwrit.web.draw import number_plate, svg, weight_scale, words
from airwrit.web.draw import posts as draw_posts
from airwrit.web.parts import timeline
from airwrit.web.server.site import IN_HEAD, IN_THE_FIELD
from airwrit.web.server.visit import Name, PageSheet
from airwrit.web.server.workspace import DayAsked

_HERE = Path(__file__).parent.parent
_TYPES = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".ttf": "font/ttf",
}


class Static(NamedTuple):
    """A file of ours as it is sent."""

    media_type: str
    content: bytes


@cache
def _own_files() -> Mapping[str, Static]:
    found = [path for path in sorted((_HERE / "static").iterdir()) if path.suffix in _TYPES]
    return {path.name: Static(_TYPES[path.suffix], path.read_bytes()) for path in found}


def static_file(name: str) -> Static | None:
    """What is served under /static/: our own style, scripts, mark and cut fonts; None for no such file."""
    return _own_files().get(name)


@cache
def static(name: str) -> str:
    """The address of a file of ours; it changes with the file, so that a browser may keep it."""
    return f"/static/{name}?{hashlib.sha256(_own_files()[name].content).hexdigest()[:12]}"


class _Compiled(BytecodeCache):
    """Templates as they were compiled, beside their sources, as Python keeps its own; none where that cannot be written."""

    def _path(self, bucket: Bucket) -> Path:
        return _HERE / "templates" / "__pycache__" / f"{bucket.key}.{sys.implementation.cache_tag}.pyc"

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take what was kept, where it was compiled from this very source by this Jinja and Python."""
        with suppress(OSError), self._path(bucket).open("rb") as file:
            bucket.load_bytecode(file)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep it: whole, or not at all."""
        path = self._path(bucket)
        with suppress(OSError):
            path.parent.mkdir(exist_ok=True)
            beside = path.with_suffix(f".{os.getpid()}-{threading.get_ident()}")
            beside.write_bytes(bucket.bytecode_to_string())
            beside.replace(path)


@cache
def environment() -> Environment:
    """The templates, with what all of them may call."""
    made = Environment(
        loader=FileSystemLoader(_HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        bytecode_cache=_Compiled(),
    )
    made.globals.update(
        static=static,
        mark=svg.mark,
        strip=svg.strip,
        months=svg.months,
        axis=svg.axis,
        posts=draw_posts.posts,
        posts_stock=draw_posts.posts_stock,
        posts_key=draw_posts.posts_key,
        ahead_axis=draw_posts.ahead_axis,
        ahead_line=draw_posts.ahead_line,
        runway=draw_posts.runway,
        bands=timeline.bands,
        quarter_axis=timeline.quarter_axis,
        number_plate=number_plate.number_plate,
        weight_scale=weight_scale.weight_scale,
        amount=amount,
        late_reading=late_reading,
        read_as=read_as,
        decision=decision_text,
        met=Verdict.MET,
        warning=WARNING,
        section=section,
        worded=worded,
        caution=CAUTION,
        in_head=IN_HEAD,
        in_the_field=IN_THE_FIELD,
        version=__version__,
    )
    made.filters.update(words.FILTERS)
    return made


class PageFrame(NamedTuple):
    """What stands around every sheet: the program's name, the pages there are, the day, the address itself, its scope.

    `written` is the entry that was just saved; 0 for none.
    """

    program: str
    names: Sequence[Sequence[Name]]
    asked: DayAsked
    path: str
    scope: str = ""
    written: int = 0


def html_of(sheet: PageSheet, around: PageFrame) -> str:
    """The page of a sheet."""
    given: dict[str, Any] = {
        "sheet": sheet,
        "data": sheet.data,
        "around": around,
        "scope": around.scope if sheet.scope is None else sheet.scope,
        "asked": around.asked,
        "link": around.asked.link,
    }
    return environment().get_template(sheet.template).render(given)
