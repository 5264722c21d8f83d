"""One table of a file of house rules while it is read: its fields, each refused with its row and name if it is no good."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from airwrit.base.errors import BadHouseFile

_LONGEST = 300


class RowTable:
    """One table of the file while it is read: its content and how messages name it."""

    def __init__(self, where: str, content: Mapping[str, Any]) -> None:
        self.where, self.content = where, content

    def refusal(self, field: str, what: str, do: str) -> BadHouseFile:
        """The error that names the row and the field."""
        return BadHouseFile(what, where=f"{self.where}, {field}", do=do)

    def text(self, field: str, default: str = "") -> str:
        """A text of ordinary length."""
        value = self.content.get(field, default)
        if not isinstance(value, str) or not (value.strip() or field not in self.content):
            raise self.refusal(
                field, f"{quoted(value)} isn't text", f'write it in quotes, like {field} = "..."'
            )
        if len(value) > _LONGEST or not value.isprintable():
            raise self.refusal(
                field, "the text is too long, or has hidden characters", "shorten it to one line"
            )
        return value

    def one_of(self, field: str, words: tuple[str, ...], default: str = "") -> str:
        """One of a few words."""
        value = self.content.get(field, default)
        if value not in words:
            raise self.refusal(field, f"we don't know {quoted(value)}", nearest(value, words))
        return str(value)

    def day(self, field: str) -> date | None:
        """A day, None where none is given."""
        value = self.content.get(field)
        if value is None:
            return None
        if isinstance(value, datetime) or not isinstance(value, date):
            raise self.refusal(
                field, f"{quoted(value)} isn't a date", f"write {field} = 2026-05-31, without quotes"
            )
        return value

    def number(self, field: str, most: int) -> Decimal:
        """A number from 0 to `most`."""
        value = self.content.get(field)
        if isinstance(value, int | Decimal) and not isinstance(value, bool):
            number = Decimal(value)
            if number.is_finite() and 0 <= number <= most:
                return number
        raise self.refusal(field, f"{quoted(value)} isn't a number from 0 to {most}", f"write {field} = 12")


def nearest(word: object, words: tuple[str, ...]) -> str:
    """What to do about a word that is none of a few: the nearest of them, or all."""
    near = difflib.get_close_matches(str(word)[:60], words, n=1)
    return f"did you mean {near[0]!r}?" if near else "choose one of: " + ", ".join(words)


def quoted(value: object) -> str:
    """A value as a message shows it: shortened, and never asked for more digits than Python prints."""
    try:
        return repr(value)[:60]
    except ValueError:
        return "that"
