"""The terminal: its width, the signs of verdicts, users' text made harmless."""

from __future__ import annotations

import os

from rich.console import Console
from rich.text import Text

from airwrit.answers.document import CAUTION
from airwrit.base.sentences import with_days
from airwrit.base.verdict import Verdict

SIGNS = {
    Verdict.MET: "|--|",
    Verdict.NOT_MET: "|//|",
    Verdict.UNKNOWN: "|..|",
    Verdict.NOT_APPLICABLE: " -- ",
}


def console(width: int | None = None) -> Console:
    """A console that takes user text as plain text: no markup, no emoji names, no highlighting.

    It is as wide as the terminal, or as COLUMNS says; 110 signs where neither tells.
    """
    made = Console(markup=False, highlight=False, emoji=False, soft_wrap=False, width=width)
    if width is None and not made.is_terminal and not os.environ.get("COLUMNS", "").isdigit():
        made.width = 110
    elif made.width > 132:
        made.width = 132
    return made


def clean(text: str) -> str:
    """User text without control characters and terminal escapes."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)


def said(text: str) -> str:
    """A sentence without control characters, its days as people write them."""
    return with_days(clean(text))


def show_caution(out: Console) -> None:
    """Say last what no answer is."""
    out.print(Text(CAUTION, style="dim"))
