"""Text with reports in it: pasted lines, files, bulletins; each report by itself, as signs between blanks."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from typing import NamedTuple

LONGEST = 200_000
"""More signs than a day of reports of every airport of a State takes; what is longer is refused by the face."""
_KINDS = ("METAR", "SPECI", "TAF")
_BEFORE = ("COR", "AMD", "AUTO", "RTD", *_KINDS)
_STATION = re.compile(r"[A-Z][A-Z0-9]{3}")
_TIME = re.compile(r"\d{6}Z")
_SPAN = re.compile(r"\d{4}/\d{4}")
_UNIT_APART = re.compile(r"(?<![A-Z0-9/])([MP]?\d{1,2}(?: \d{1,2}/\d{1,2}|/\d{1,2})?) SM(?![A-Z0-9])")


class TextPiece(NamedTuple):
    """One report: its text in one line, and its signs."""

    text: str
    signs: tuple[str, ...]

    @property
    def is_forecast(self) -> bool:
        """Whether it is a TAF: by its word, or by a span of days and hours behind its time."""
        return "TAF" in self.signs[:3] or any(_SPAN.fullmatch(sign) for sign in self.signs[1:5])


def pieces(text: str) -> tuple[TextPiece, ...]:
    """The reports of a text, in order, signs outside ASCII as "?". What stands before the first one is a piece of its own."""
    plain = unicodedata.normalize("NFKC", text).upper().encode("ascii", "replace").decode("ascii")
    found = []
    for part in plain.split("="):
        signs = _UNIT_APART.sub(r"\1SM", " ".join(part.split())).split()
        starts = sorted({0, *_starts(signs)})
        for start, end in zip(starts, [*starts[1:], len(signs)], strict=True):
            if signs[start:end]:
                found.append(TextPiece(" ".join(signs[start:end]), tuple(signs[start:end])))
    return tuple(found)


def _starts(signs: Sequence[str]) -> Iterator[int]:
    """Where a report starts: at its word, or at a station with a time behind it and no word before."""
    for at, sign in enumerate(signs):
        before = signs[at - 1] if at else ""
        if (sign in _KINDS and before not in _KINDS) or (
            _STATION.fullmatch(sign)
            and before not in _BEFORE
            and at + 1 < len(signs)
            and _TIME.fullmatch(signs[at + 1])
        ):
            yield at
