"""A file's cells, read in a process of their own: the sheets as typed cells, or an UnreadableFile that says what to do."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path, PurePath
from typing import Any, NamedTuple

from airwrit.base.errors import UnreadableFile
from airwrit.facts.statement import FilePlace, Source
from airwrit.intake.reader.apart import IfUnreadable, bytes_of, told_of_file
from airwrit.intake.reader.limits import LIMITS, OLE, ZIP, Limits
from airwrit.intake.reader.looks import PLAIN, CellLook, Looks, Place, Unseen, looks_of

_OTHER_FORM = "open it in a spreadsheet program, and save it again as .xlsx, .ods or .csv"
_SMALLER = "save only the table in a new file"


class Kind(StrEnum):
    """What a cell holds; the values are the letters the reading process writes before a cell's text."""

    EMPTY = ""
    TEXT = "s"
    NUMBER = "n"
    BOOL = "b"
    DAY = "d"
    INSTANT = "i"
    TIME = "t"
    ERROR = "e"


class Cell(NamedTuple):
    """What a cell holds and its text: a number in its shortest exact form, a day as year-month-day."""

    kind: Kind
    text: str


EMPTY = Cell(Kind.EMPTY, "")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: where it came from, and its rows of cells from row `top` and column `left` on, both 0-based.

    `formulas` are the 0-based places whose value is a formula's, as last computed; `merged` are first and last row and
    column of merged cells.
    `looks` are the cells that are not plain, `hidden_rows` and `hidden_columns` what nobody sees unless it is unhidden, all
    0-based in the whole sheet as `formulas` are; `unseen` tells why there may be more to see than that.
    """

    book: str
    name: str
    rows: tuple[tuple[Cell, ...], ...]
    top: int = 0
    left: int = 0
    hidden: bool = False
    formulas: frozenset[tuple[int, int]] = frozenset()
    merged: tuple[tuple[int, int, int, int], ...] = ()
    from_1904: bool = False
    is_csv: bool = False
    looks: Mapping[Place, CellLook] = field(default_factory=Looks)
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    unseen: frozenset[Unseen] = frozenset()

    @property
    def label(self) -> FilePlace:
        """How messages name the sheet: `fleet.xlsx sheet 'Aircraft'`, or a CSV file's own name."""
        if self.is_csv:
            return FilePlace(self.book, self.book)
        return FilePlace(f"{self.book} sheet {self.name!r}", self.book, self.name)

    def place(self, words: str, row: int | None = None, column: str | None = None) -> FilePlace:
        """A place in the sheet: what messages say behind the sheet's name, and the row and column as the file counts them."""
        label = self.label
        return FilePlace(f"{label} {words}", label.file, label.sheet, row, column)

    def cell_place(self, row: int, column: str) -> FilePlace:
        """A cell: `fleet.xlsx sheet 'Aircraft' cell C7`."""
        return self.place(f"cell {column}{row}", row, column)

    def letter(self, column: int) -> str:
        """The letters of the column at `column` in a row of this sheet."""
        return letters_of(self.left + column)

    def look(self, row: int, column: int) -> CellLook:
        """How the cell `rows[row][column]` looks; PLAIN when it is like any other."""
        return self.looks.get((self.top + row, self.left + column), PLAIN)

    def is_hidden(self, row: int, column: int) -> bool:
        """Whether nobody sees the cell `rows[row][column]`: its row, its column or the whole sheet is hidden."""
        return self.hidden or self.top + row in self.hidden_rows or self.left + column in self.hidden_columns


@dataclass(frozen=True, slots=True)
class Book:
    """One file as read: its source, its sheets, and, for delimited text, encoding and delimiter with how sure they are."""

    source: Source
    kind: str
    sheets: tuple[Sheet, ...]
    encoding: str = ""
    guessed: bool = False

    @property
    def rows(self) -> int:
        """How many rows its sheets have."""
        return sum(len(sheet.rows) for sheet in self.sheets)

    @property
    def filled(self) -> int:
        """How many of its cells hold something."""
        return sum(cell is not EMPTY for sheet in self.sheets for row in sheet.rows for cell in row)


def letters_of(column: int) -> str:
    """A, B, ... Z, AA for the 0-based number of a column."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def data_of(path: Path, limits: Limits = LIMITS) -> bytes:
    """The bytes of a sheet's file. UnreadableFile when it is missing, no file, too large or closed to us."""
    return bytes_of(path, limits, _SMALLER)


def read_book(path: Path, limits: Limits = LIMITS) -> Book:
    """The sheets of a file. UnreadableFile when it is missing, empty, locked, damaged, too large or no sheet."""
    return book_of(data_of(path, limits), path.name, limits)


def book_of(data: bytes, name: str, limits: Limits = LIMITS) -> Book:
    """The sheets in a file's bytes, which messages call `name`. UnreadableFile when they cannot be read."""
    if len(data) > limits.file_bytes:
        what = f"the file is {len(data):,} bytes. A sheet can be up to {limits.file_bytes:,}"
        raise UnreadableFile(what, where=name, do=_SMALLER)
    told = _told_by_child(data, name, limits)
    if "fault" in told:
        raise UnreadableFile(told["fault"][0], where=name, do=told["fault"][1])
    rows = sum(len(sheet["rows"]) for sheet in told["sheets"])
    if rows > limits.rows:
        what = f"the file has {rows:,} rows. We read up to {limits.rows:,} at once"
        raise UnreadableFile(what, where=name, do="split the file, and import the parts separately")
    source = Source(name, hashlib.sha256(data).hexdigest())
    sheets = tuple(_sheet(name, told, sheet) for sheet in told["sheets"])
    return Book(source, told["kind"], sheets, told.get("encoding", ""), told.get("guessed", False))


def _told_by_child(data: bytes, name: str, limits: Limits) -> dict[str, Any]:
    if not data.strip(b"\0 \t\r\n"):
        raise UnreadableFile("the file is empty", where=name, do="save the sheet again, and use that")
    said = IfUnreadable(_SMALLER, "the file is damaged, or has cells far from its table", _OTHER_FORM)
    return told_of_file(_reader_of(data), data, name, limits, said)


def _reader_of(data: bytes) -> str:
    """The module that reads files which start like this."""
    if data.startswith(ZIP):
        return "workbook"
    return "xls" if data.startswith(OLE) else "delimited"


def _sheet(name: str, told: dict[str, Any], sheet: dict[str, Any]) -> Sheet:
    is_csv = told["kind"] == "csv"
    return Sheet(
        book=name,
        name=PurePath(name).stem if is_csv else sheet["name"],
        rows=cells_of(sheet["rows"]),
        top=sheet["top"],
        left=sheet["left"],
        hidden=sheet["hidden"],
        formulas=frozenset((row, column) for row, column in sheet["formulas"]),
        merged=tuple((a, b, c, d) for a, b, c, d in sheet["merged"]),
        from_1904=told["from_1904"],
        is_csv=is_csv,
        looks=looks_of(sheet["looks"]),
        hidden_rows=frozenset(sheet["hidden_rows"]),
        hidden_columns=frozenset(sheet["hidden_columns"]),
        unseen=frozenset(map(Unseen, sheet["unseen"])),
    )


_KINDS = {kind.value: kind for kind in Kind}


class _Cells(dict[str, Cell]):
    """Cells by their code, each made once."""

    def __missing__(self, code: str) -> Cell:
        text = code[1:]
        cell = self[code] = Cell(_KINDS[code[0]], text) if text and not text.isspace() else EMPTY
        return cell


def cells_of(rows: Sequence[Sequence[str]]) -> tuple[tuple[Cell, ...], ...]:
    """Rows of cells from rows of codes, a kind's letter before each text."""
    cells = _Cells({"": EMPTY})
    return tuple(tuple(map(cells.__getitem__, row)) for row in rows)
