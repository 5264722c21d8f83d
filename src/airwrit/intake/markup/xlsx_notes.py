"""Comments and check boxes of an .xlsx sheet: parts of the workbook beside the sheet itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from airwrit.intake.markup.notes import plain_note
from airwrit.intake.markup.rich import RichText
from airwrit.intake.markup.walk import Attributes, Walk

_CONTROL = re.compile(
    r"<(?:\w+:)?ClientData\s[^>]{0,200}?ObjectType=[\"']Checkbox[\"'][^>]{0,200}>(.{0,4000}?)</(?:\w+:)?ClientData>",
    re.DOTALL,
)
_ANCHOR = re.compile(r"Anchor>([\d\s,]+)")
_CHECKED = re.compile(r"Checked>\s*(\d)")
_WIDE, _HIGH, _BOX = 64, 20, 8
"""Pixels of a usual column and row, and from the left edge of a check box to its middle."""


def notes_of(xml: bytes) -> Iterator[tuple[str, str]]:
    """Cells with what is noted on each, of a part of comments. ExpatError when it is damaged."""
    notes = _Notes()
    walk = Walk(notes.starts(), notes.ends())
    walk.want_text(notes.add)
    walk.over(xml)
    for reference, number, text in notes.found:
        author = notes.authors[number] if 0 <= number < len(notes.authors) else ""
        note = plain_note(text, author)
        if note:
            yield reference, note


class _Notes:
    def __init__(self) -> None:
        self.found: list[tuple[str, int, str]] = []
        self.authors: list[str] = []
        self._rich = RichText()
        self._at: tuple[str, int] = ("", -1)
        self._in_author = False

    def starts(self) -> dict[str, Callable[[Attributes], None]]:
        return {**self._rich.starts(), "author": self._author, "comment": self._comment}

    def ends(self) -> dict[str, Callable[[], None]]:
        return {**self._rich.ends(), "author": self._no_author, "comment": self._done}

    def add(self, text: str) -> None:
        if self._in_author:
            self.authors[-1] += text
        else:
            self._rich.add(text)

    def _author(self, _: Attributes) -> None:
        self.authors.append("")
        self._in_author = True

    def _no_author(self) -> None:
        self._in_author = False

    def _comment(self, attributes: Attributes) -> None:
        number = attributes.get("authorId", "")
        self._at = attributes.get("ref", ""), int(number) if number.isdecimal() else -1
        self._rich.clear()

    def _done(self) -> None:
        self.found.append((*self._at, self._rich.text()))


def threads_of(xml: bytes) -> Iterator[tuple[str, str]]:
    """Cells with each comment and reply on it in turn, of a part of threaded comments. ExpatError when it is damaged."""
    found: list[tuple[str, list[str]]] = []
    walk = Walk(
        {
            "threadedComment": lambda attributes: found.append((attributes.get("ref", ""), [])),
            "text": lambda _: walk.want_text(found[-1][1].append if found else None),
        },
        {"text": lambda: walk.want_text(None)},
    )
    walk.over(xml)
    for reference, texts in found:
        note = plain_note("".join(texts))
        if note:
            yield reference, note


class Box(NamedTuple):
    """A check box drawn over a cell."""

    row: int
    column: int
    checked: bool


def boxes_of(drawing: bytes) -> Iterator[Box]:
    """The check boxes of a drawing of controls, which is rarely sound XML; one that is neither on nor off is left out."""
    for body in _CONTROL.finditer(drawing.decode("utf-8", "replace")):
        anchor = _ANCHOR.search(body[1])
        checked = _CHECKED.search(body[1])
        numbers = [int(part) for part in re.findall(r"\d{1,7}", anchor[1])] if anchor else []
        if len(numbers) == 8 and (checked is None or checked[1] in "01"):
            left, dx, top, dy, _, _, bottom, dy2 = numbers
            middle = (top + min(dy / _HIGH, 1) + bottom + min(dy2 / _HIGH, 1)) / 2
            yield Box(int(middle), left + (dx + _BOX >= _WIDE), checked is not None and checked[1] == "1")
