"""What a workbook's markup tells and its values do not: which cells are formulas or errors, where its day count starts.

Read with a streaming parser that refuses document types, so that no entity can grow; sizes are summed before unpacking.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
import zlib
from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from airwrit.intake.limits import Fault, Limits

_FORMULA_OR_ERROR = (b"<f>", b"<f ", b"<f/", b":f>", b":f ", b":f/", b't="e"', b"t='e'")
_FROM_1904 = re.compile(rb"date1904=[\"'](1|true)[\"']")
_ODS_MARKS = re.compile(rb"formula=|value-type=[\"']error[\"']")
_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_MOST_REPEATS = 20_000


@dataclass(slots=True)
class Marks:
    """Of one sheet, all 0-based: cells that hold formulas, and cells that hold an error with its text."""

    formulas: list[tuple[int, int]] = field(default_factory=list)
    errors: list[tuple[int, int, str]] = field(default_factory=list)


@dataclass(slots=True)
class Markup:
    """What kind of workbook it is, whether its days count from 1904, and the marks of its sheets by name."""

    kind: str
    from_1904: bool = False
    sheets: dict[str, Marks] = field(default_factory=dict)


def markup_of(data: bytes, limits: Limits) -> Markup:
    """The markup of a zipped workbook. Fault when it is damaged, too large unpacked, locked, or no workbook."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(item.file_size for item in archive.infolist()) > limits.unpacked_bytes:
                raise Fault(
                    "the file unpacks to far more than a sheet holds", "save the table alone in a new file"
                )
            names = set(archive.namelist())
            if "content.xml" in names:
                return _ods(archive, names)
            if any(name.endswith("workbook.xml") for name in names):
                return _xlsx(archive, names)
            if any(name.endswith("workbook.bin") for name in names):
                raise Fault(
                    "the file is a binary workbook (.xlsb)", "save it again as .xlsx and give that file"
                )
    except (zipfile.BadZipFile, zlib.error, expat.ExpatError, EOFError, NotImplementedError) as fault:
        raise Fault("the file is cut short or damaged", "get the file again, or save it again") from fault
    except (RuntimeError, KeyError, ValueError, OSError) as fault:
        raise Fault("the file is damaged inside or locked", "save it again without a password") from fault
    raise Fault("the file is a zip archive, not a spreadsheet", "unpack it and give the sheet inside")


def _xlsx(archive: zipfile.ZipFile, names: set[str]) -> Markup:
    main = next(name for name in sorted(names) if name.endswith("workbook.xml"))
    folder = posixpath.dirname(main)
    book = archive.read(main)
    targets = _targets(archive, f"{folder}/_rels/workbook.xml.rels".lstrip("/"), names)
    markup = Markup("xlsx", _FROM_1904.search(book) is not None)
    for name, link in _sheet_links(book):
        target = targets.get(link, "")
        path = target.lstrip("/") if target.startswith("/") else posixpath.join(folder, target)
        if path in names and path.endswith(".xml"):
            markup.sheets[name] = _sheet_marks(archive.read(path))
    return markup


def _targets(archive: zipfile.ZipFile, path: str, names: set[str]) -> dict[str, str]:
    found: dict[str, str] = {}

    def start(tag: str, attributes: dict[str, str]) -> None:
        if _local(tag) == "Relationship":
            found[attributes.get("Id", "")] = attributes.get("Target", "")

    if path in names:
        _parse(archive.read(path), start)
    return found


def _sheet_links(book: bytes) -> list[tuple[str, str]]:
    """Names of the sheets with the relationship each is kept under."""
    found: list[tuple[str, str]] = []

    def start(tag: str, attributes: dict[str, str]) -> None:
        if _local(tag) == "sheet":
            link = next((value for key, value in attributes.items() if _local(key) == "id"), "")
            found.append((attributes.get("name", ""), link))

    _parse(book, start)
    return found


def _sheet_marks(xml: bytes) -> Marks:
    marks = Marks()
    if not any(mark in xml for mark in _FORMULA_OR_ERROR):
        return marks
    cell: list[Any] = [0, -1, False]
    text: list[str] = []

    def start(tag: str, attributes: dict[str, str]) -> None:
        local = _local(tag)
        if local == "row":
            cell[0], cell[1] = int(attributes.get("r", cell[0] + 1)), -1
        elif local == "c":
            row, column = _place(attributes.get("r", "")) or (cell[0] - 1, cell[1] + 1)
            cell[0], cell[1], cell[2] = row + 1, column, attributes.get("t") == "e"
            text.clear()
        elif local == "f":
            marks.formulas.append((cell[0] - 1, cell[1]))
        elif local == "v":
            text.clear()

    def end(tag: str) -> None:
        if cell[2] and _local(tag) == "c":
            marks.errors.append((cell[0] - 1, cell[1], "".join(text)[:20]))
            cell[2] = False

    _parse(xml, start, end, lambda data: text.append(data) if cell[2] else None)
    return marks


def _place(reference: str) -> tuple[int, int] | None:
    match = _REFERENCE.fullmatch(reference)
    if match is None:
        return None
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - 64
    return int(match[2]) - 1, column - 1


def _ods(archive: zipfile.ZipFile, names: set[str]) -> Markup:
    if "META-INF/manifest.xml" in names and b"encryption-data" in archive.read("META-INF/manifest.xml"):
        raise Fault("the file is locked with a password", "save a copy without a password and give that")
    content = archive.read("content.xml")
    markup = Markup("ods")
    if _ODS_MARKS.search(content):
        _parse(content, _OdsMarks(markup).start)
    return markup


class _OdsMarks:
    """Walks an .ods sheet by its repeats, noting formulas and errors."""

    def __init__(self, markup: Markup) -> None:
        self.markup, self.marks, self.row, self.next_row, self.column = markup, Marks(), 0, 0, 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        local = _local(tag)
        if local == "table":
            self.marks = self.markup.sheets[attributes.get("table:name", "")] = Marks()
            self.next_row = 0
        elif local == "table-row":
            self.row, self.column = self.next_row, 0
            self.next_row += int(attributes.get("table:number-rows-repeated", 1))
        elif local in ("table-cell", "covered-table-cell"):
            repeats = int(attributes.get("table:number-columns-repeated", 1))
            self._note(attributes, min(repeats, _MOST_REPEATS))
            self.column += repeats

    def _note(self, attributes: dict[str, str], repeats: int) -> None:
        rows = range(self.row, min(self.next_row, self.row + _MOST_REPEATS))
        if "table:formula" in attributes:
            self.marks.formulas += [(row, self.column + step) for row in rows for step in range(repeats)]
        if attributes.get("calcext:value-type") == "error":
            self.marks.errors.append((self.row, self.column, "error"))


def _local(name: str) -> str:
    return name.rpartition(":")[2]


def _parse(xml: bytes, start: Any, end: Any = None, characters: Any = None) -> None:
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler = characters
    parser.StartDoctypeDeclHandler = _refuse
    parser.Parse(xml, True)


def _refuse(*_: object) -> None:
    raise Fault(
        "the file declares a document type, which no spreadsheet does", "do not trust it; save the table anew"
    )
