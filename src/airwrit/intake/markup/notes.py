"""What is noted on a cell, without what programs add to it."""

from __future__ import annotations

import re

_THREADED = re.compile(r"\A\[[^\]]*\].*?\n\s*Comment:\s*\n", re.DOTALL)
_REPLY = re.compile(r"^\s*Reply:\s*$", re.MULTILINE)
_SIGNATURE = re.compile(r"^\t-.*$", re.MULTILINE)


def plain_note(text: str, author: str = "") -> str:
    """A comment without its author's name as first line or as signature, and without the words that explain threads.

    The forms of both are from memory of what common programs write.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n").lstrip("\ufeff")
    if _THREADED.match(text):
        text = _REPLY.sub("", _THREADED.sub("", text, count=1))
    head, colon, rest = text.partition(":")
    if author and colon and head.strip() == author.strip():
        text = rest
    lines = (line.strip() for line in _SIGNATURE.sub("", text).split("\n"))
    return "\n".join(line for line in lines if line)
