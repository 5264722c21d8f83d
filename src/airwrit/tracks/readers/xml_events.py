"""XML read piece by piece with expat: no document types, no entities, bounded depth and text. For GPX and KML."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol
from xml.parsers.expat import ExpatError, ParserCreate

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.readers.reading import EXPORT_IT

_PIECE = 1 << 20
_DEEPEST = 100
_LONGEST_TEXT = 64_000_000


class DocumentTypeFound(Exception):
    """The document brings a document type, in which entities can be declared."""


class _TooDeep(Exception):
    """Elements within elements, beyond what any log has, or a text of that kind."""


class PiecesOfFile(Protocol):
    """What bytes can be read from a piece at a time."""

    def read(self, size: int, /) -> bytes:
        """The next bytes, none at the end."""


class XmlEvents:
    """Calls `start(name, attributes)` and `end(name, text)` for each element; names come without their namespace.

    `text` is what stands in an element in front of its end, but for what stands before its last child.
    """

    def __init__(self, start: Callable[[str, dict[str, str]], None], end: Callable[[str, str], None]) -> None:
        """What to call."""
        self._start, self._end = start, end
        self._text: list[str] = []
        self._depth = self._length = 0
        parser = ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.buffer_size = 1 << 16
        parser.StartElementHandler = self._on_start
        parser.EndElementHandler = self._on_end
        parser.CharacterDataHandler = self._on_text
        parser.StartDoctypeDeclHandler = self._on_doctype
        parser.SetParamEntityParsing(0)
        self._parser = parser
        self._names: dict[str, str] = {}

    def read(self, file: PiecesOfFile, name: str) -> bool:
        """Whether the document was whole. UnreadableFile for one that could do harm; what is broken off just ends."""
        try:
            while piece := file.read(_PIECE):
                self._parser.Parse(piece, False)
            self._parser.Parse(b"", True)
        except DocumentTypeFound:
            raise UnreadableFile(
                "the XML has a document type, which can hide harmful content, so we don't read it",
                where=name,
                do="export it again without a DOCTYPE",
            ) from None
        except _TooDeep:
            raise UnreadableFile(
                "the XML is nested deeper, or has longer texts, than any flight log", where=name, do=EXPORT_IT
            ) from None
        except (ExpatError, LookupError, ValueError):
            return False
        return True

    def _on_start(self, name: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        if self._depth > _DEEPEST:
            raise _TooDeep
        self._text.clear()
        self._length = 0
        self._start(self._local(name), attributes)

    def _on_end(self, name: str) -> None:
        self._depth -= 1
        self._end(self._local(name), "".join(self._text))
        self._text.clear()
        self._length = 0

    def _on_text(self, text: str) -> None:
        self._text.append(text)
        self._length += len(text)
        if self._length > _LONGEST_TEXT:
            raise _TooDeep

    def _on_doctype(self, *_said: object) -> None:
        raise DocumentTypeFound

    def _local(self, name: str) -> str:
        local = self._names.get(name)
        if local is None:
            local = self._names[name] = name.rpartition(" ")[2]
            if len(self._names) > 10_000:
                self._names.clear()
        return local
