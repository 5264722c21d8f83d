"""What one cell gave: a value, nothing, or a fault; and its text made clean of what cannot be seen."""

from __future__ import annotations

import re
from enum import Enum, auto
from typing import NamedTuple

from airwrit.facts.key import Raw

LONGEST = 1000
"""Letters a cell may hold; no fact of ours needs as many."""

_ESCAPES = re.compile(r"\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)?|\x1b\[[0-?]*[ -/]*[@-~]|\x1b[@-_]?")
_SPACES = re.compile(r"[\s\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]+")
_UNSEEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u00ad\u034f\u061c\u115f\u1160\u180b-\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    r"\ufe00-\ufe0f\ufeff\ufff0-\ufffb\ud800-\udfff\U000e0000-\U000e0fff]"
)

UNSEEN_NOTE = "hidden characters were left out (control or zero-width)"
HARD_SPACE_NOTE = "non-breaking spaces were read as spaces"


class FaultCode(Enum):
    """Faults that more than the reader of the cell has to know of."""

    EITHER_ORDER = auto()
    NO_UNIT = auto()


class Got(NamedTuple):
    """A cell's value as a statement keeps it, None when it says nothing; a remark; or why it cannot be used, and what to do.

    `unclear` is a text that was not understood and may matter. `code` names a fault that others look for.
    """

    raw: Raw = None
    note: str = ""
    fault: str = ""
    do: str = ""
    unclear: str = ""
    code: FaultCode | None = None


NOTHING = Got()


class Clean(NamedTuple):
    """A text with single spaces and without signs that cannot be seen, and the remark due for what was left out."""

    text: str
    note: str


_made = tuple.__new__
"""Makes the tuple of a cell without the detour over its fields' names: a sheet has a hundred thousand."""


def clean(text: str) -> Clean:
    """The text as a person sees it. Line ends and runs of spaces become one space without remark."""
    if text.isascii() and text.isprintable() and "  " not in text and text[:1] != " " != text[-1:]:
        return _made(Clean, (text, ""))
    unescaped = _ESCAPES.sub("", text)
    spaced = _SPACES.sub(" ", unescaped)
    seen = _SPACES.sub(" ", _UNSEEN.sub("", spaced)).strip()
    if len(seen) != len(spaced.strip()) or unescaped != text:
        return Clean(seen, UNSEEN_NOTE)
    hard = any(sign in text for sign in "\u00a0\u202f\u2007")
    return Clean(seen, HARD_SPACE_NOTE if hard else "")


def joined(*notes: str) -> str:
    """The remarks that are not empty, as one."""
    return "; ".join(note for note in notes if note)
