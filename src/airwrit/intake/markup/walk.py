"""Walks a stranger's XML with a streaming parser that refuses document types, so that no entity can grow."""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Callable, Mapping
from xml.parsers import expat

from airwrit.intake.reader.limits import Fault

_NO_MEMORY = expat.errors.codes[expat.errors.XML_ERROR_NO_MEMORY]

DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    expat.ExpatError,
    EOFError,
    NotImplementedError,
    LookupError,  # a part that is not there, an encoding that nobody knows
    ValueError,
)
"""What getting or walking a part of a zipped workbook raises when it is damaged."""

Attributes = dict[str, str]
Start = Callable[[Attributes], None]
End = Callable[[], None]


def local(name: str) -> str:
    """A tag's or attribute's name without the prefix of its namespace."""
    return name.rpartition(":")[2]


class _Steps(dict[str, "Start | None"]):
    """What to do at each tag as the file writes it, prefix and all, from what to do at each plain name."""

    def __init__(self, by_name: Mapping[str, Start]) -> None:
        super().__init__()
        self._by_name = by_name

    def __missing__(self, tag: str) -> Start | None:
        step = self[tag] = self._by_name.get(local(tag))
        return step


class _Ends(dict[str, "End | None"]):
    def __init__(self, by_name: Mapping[str, End]) -> None:
        super().__init__()
        self._by_name = by_name

    def __missing__(self, tag: str) -> End | None:
        step = self[tag] = self._by_name.get(local(tag))
        return step


class Walk:
    """One pass over an XML text. What is wanted of ends of tags and of text may change on the way; they cost most."""

    def __init__(self, starts: Mapping[str, Start], ends: Mapping[str, End] | None = None) -> None:
        """`starts` and `ends` are what to do at tags by their names without prefix."""
        self._steps, self._ends = _Steps(starts), _Ends(ends or {})
        self._parser = parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartElementHandler = self._start
        parser.StartDoctypeDeclHandler = refuse
        self.want_ends(wanted=bool(ends))

    def want_ends(self, *, wanted: bool) -> None:
        """Whether ends of tags are told from here on."""
        self._parser.EndElementHandler = self._end if wanted else None

    def want_text(self, text: Callable[[str], object] | None) -> None:
        """Who is told the text from here on."""
        self._parser.CharacterDataHandler = text

    def over(self, xml: bytes) -> None:
        """Walk. One of DAMAGED when the text is, Fault when it declares a document type, MemoryError."""
        try:
            self._parser.Parse(xml, True)
        except expat.ExpatError as fault:
            if fault.code == _NO_MEMORY:
                raise MemoryError from fault
            raise

    def _start(self, tag: str, attributes: Attributes) -> None:
        step = self._steps[tag]
        if step is not None:
            step(attributes)

    def _end(self, tag: str) -> None:
        step = self._ends[tag]
        if step is not None:
            step()


def refuse(*_: object) -> None:
    """Fault, since no spreadsheet declares a document type."""
    raise Fault(
        "the file declares a document type, which spreadsheets never do",
        "don't trust it. Save the table again",
    )
