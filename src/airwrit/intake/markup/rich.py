"""Text of which parts are struck out: how it is gathered, and what that makes of its cell."""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.intake.markup.walk import Attributes, End, Start
from airwrit.intake.reader.looks import CellLook

Part = tuple[str, bool | None]
"""A piece of text and whether it is struck out; None where that is as in the rest of its cell."""


def is_on(attributes: Attributes, name: str = "val") -> bool:
    """Whether a switch is on that need not say so."""
    return attributes.get(name, "1") not in ("0", "false", "off")


def struck_out(look: CellLook, parts: Sequence[Part]) -> CellLook:
    """The look of a cell with these parts of text, `look.struck` being what its own font says."""
    seen = [(text.strip(), look.struck if struck is None else struck) for text, struck in parts]
    seen = [(text, struck) for text, struck in seen if text]
    cut = [text for text, struck in seen if struck]
    part = " ".join(cut) if len(cut) < len(seen) else ""
    return look._replace(struck=bool(cut), struck_part=part) if seen else look


class RichText:
    """Gathers the parts of one text of a workbook, spelling aids left out."""

    def __init__(self) -> None:
        """Empty."""
        self.parts: list[Part] = []
        self.is_rich = False
        self._struck: bool | None = None
        self._in_text = self._in_aid = False

    def starts(self) -> dict[str, Start]:
        """What to do at tags."""
        return {
            "r": self._run,
            "rPr": self._properties,
            "strike": self._strike,
            "t": lambda _: self._text(starts=True),
            "rPh": lambda _: self._aid(starts=True),
        }

    def ends(self) -> dict[str, End]:
        """What to do at their ends."""
        return {
            "r": self._no_run,
            "t": lambda: self._text(starts=False),
            "rPh": lambda: self._aid(starts=False),
        }

    def clear(self) -> None:
        """Begin the next text."""
        self.parts, self.is_rich, self._struck = [], False, None
        self._in_text = self._in_aid = False

    def add(self, text: str) -> None:
        """Take text, where it is of the cell."""
        if self._in_text and not self._in_aid:
            self.parts.append((text, self._struck))

    def text(self) -> str:
        """All of it."""
        return "".join(text for text, _ in self.parts)

    def _run(self, _: Attributes) -> None:
        self.is_rich, self._struck = True, None

    def _no_run(self) -> None:
        self._struck = None

    def _properties(self, _: Attributes) -> None:
        self._struck = False

    def _strike(self, attributes: Attributes) -> None:
        self._struck = is_on(attributes)

    def _text(self, *, starts: bool) -> None:
        self._in_text = starts

    def _aid(self, *, starts: bool) -> None:
        self._in_aid = starts
