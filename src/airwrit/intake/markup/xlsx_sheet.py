"""One pass over the markup of an .xlsx sheet: formulas, errors, where values are, what is hidden, how cells look."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from airwrit.intake.markup.marks import Marks
from airwrit.intake.markup.rich import Part, RichText, is_on, struck_out
from airwrit.intake.markup.walk import Attributes, End, Start, Walk
from airwrit.intake.reader.looks import PLAIN, CellLook, Unseen

_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_DIGITS = "0123456789"
_MOST_LETTERS = 7
_LONGEST_ERROR = 20


class _Columns(dict[str, int]):
    """0-based numbers of columns by their letters, each worked out once; -1 for what is no letters.

    One beyond the last that a sheet can have keeps its number, since the reader of values would make room for it.
    """

    def __missing__(self, letters: str) -> int:
        column = 0
        if letters.isascii() and letters.isalpha():
            for letter in letters[:_MOST_LETTERS].upper():
                column = column * 26 + ord(letter) - 64
        self[letters] = column - 1
        return column - 1


_COLUMNS = _Columns()


def place_of(reference: str) -> tuple[int, int] | None:
    """0-based row and column of a cell such as B2; None when it is no cell."""
    match = _REFERENCE.fullmatch(reference)
    return (int(match[2]) - 1, _COLUMNS[match[1]]) if match else None


def marks_of_sheet(xml: bytes, looks: Mapping[str, CellLook], texts: Mapping[str, Sequence[Part]]) -> Marks:
    """The marks of a sheet, given how the workbook's styles look and its texts with fonts of their own.

    ExpatError or ValueError when it is damaged.
    """
    plain = _plain_marks(xml, looks) if not texts else None
    if plain is not None:
        return plain
    sheet = _SheetPass(looks, texts)
    sheet.walk.over(xml)
    return sheet.marks


_FILLED_CELL = re.compile(rb'<c r="([A-Z]{1,3})([0-9]{1,7})"(?:[^>]*[^/>])?>(?!</c>)')
_TELLING = (
    b"hidden",
    b"<f",
    b't="e"',
    b' ht="0',
    b' width="0',
    b"strike",
    b"<conditionalFormatting",
    b"<c>",
    b":row",
    b"<!",
    b"&#",
    b"'",
    b"\t",
    b" =",
    b"= ",
)
"""What stands in the markup of a sheet that has more to tell than where its values are, or is written in an unusual way."""


def _plain_marks(xml: bytes, looks: Mapping[str, CellLook]) -> Marks | None:
    """The marks of a sheet that tells nothing but where its values are, without walking it; None for any other.

    Some four times as fast as the walk, which most cells of most sheets do not need.
    """
    head, _, body = (b"UTF-8", b"", xml) if xml.startswith(b"<worksheet") else xml.partition(b"?>")
    if b"UTF-8" not in head.upper() or not body.rstrip().endswith(b"</worksheet>"):
        return None
    if any(sign in body for sign in _TELLING) or b"\n" in body.strip():
        return None
    if body.count(b"<c ") != body.count(b'<c r="'):
        return None
    numbers = "|".join(map(re.escape, looks))
    if looks and re.search(rf' s="(?:{numbers})"'.encode(), body):
        return None
    cells = _FILLED_CELL.findall(body)
    rows, columns = (
        {int(row) - 1 for row in {row for _, row in cells}},
        {_COLUMNS[name.decode()] for name in {name for name, _ in cells}},
    )
    marks = Marks()
    if cells:
        marks.extent.grow(min(rows), min(columns), max(rows), max(columns))
    return marks


class _SheetPass:
    """Where the walk is: the row and the cell; ends of tags and text are wanted in few cells only."""

    def __init__(self, looks: Mapping[str, CellLook], texts: Mapping[str, Sequence[Part]]) -> None:
        self.marks = Marks()
        self._looks, self._texts = looks, texts
        self._row, self._column, self._row_text = 0, -1, ""
        self._style, self._kind = "0", ""
        self._text: list[str] = []
        self._rich = RichText()
        self._in_rich = False
        self.walk = Walk(self._starts(), self._ends())
        self.walk.want_ends(wanted=False)

    def _starts(self) -> dict[str, Start]:
        rich = {name: self._if_rich(step) for name, step in self._rich.starts().items()}
        return rich | {
            "row": self._start_row,
            "c": self._start_cell,
            "f": self._formula,
            "v": self._value,
            "is": self._inline,
            "col": self._start_column,
            "conditionalFormatting": self._condition,
        }

    def _ends(self) -> dict[str, End]:
        return {**self._rich.ends(), "c": self._end_cell}

    def _if_rich(self, step: Start) -> Start:
        return lambda attributes: step(attributes) if self._in_rich else None

    def _start_row(self, attributes: Attributes) -> None:
        row = attributes.get("r")
        self._row = self._row + 1 if row is None else int(row)
        self._row_text, self._column = str(self._row), -1
        if ("hidden" in attributes and is_on(attributes, "hidden")) or _is_nothing(attributes.get("ht")):
            self.marks.hidden_rows.append((self._row - 1, self._row - 1))

    def _start_column(self, attributes: Attributes) -> None:
        if ("hidden" in attributes and is_on(attributes, "hidden")) or _is_nothing(attributes.get("width")):
            first, last = attributes.get("min", ""), attributes.get("max", "")
            if first.isdecimal() and last.isdecimal():
                self.marks.hidden_columns.append((int(first) - 1, int(last) - 1))

    def _start_cell(self, attributes: Attributes) -> None:
        reference = attributes.get("r", "")
        letters = reference.rstrip(_DIGITS)
        column = _COLUMNS[letters]
        row = reference[len(letters) :]
        if column >= 0 and row:
            self._column = column
            if row != self._row_text:
                self._row, self._row_text = int(row), row
        else:
            self._column += 1
        self._style, self._kind = attributes.get("s", "0"), attributes.get("t", "")
        look = self._looks.get(self._style)
        if look is not None:
            self.marks.canvas.paint(self._row - 1, self._column, self._column, look)
        if self._kind == "e" or (self._kind == "s" and self._texts):
            self._text.clear()
            self.walk.want_ends(wanted=True)

    def _formula(self, _: Attributes) -> None:
        self.marks.formulas.append((self._row - 1, self._column))

    def _value(self, _: Attributes) -> None:
        row, column = self._row - 1, self._column
        self.marks.extent.grow(row, column, row, column)
        if self._kind == "e" or (self._kind == "s" and self._texts):
            self._text.clear()
            self.walk.want_text(self._text.append)

    def _inline(self, attributes: Attributes) -> None:
        self._kind = ""
        self._value(attributes)
        self._kind, self._in_rich = "is", True
        self._rich.clear()
        self.walk.want_ends(wanted=True)
        self.walk.want_text(self._rich.add)

    def _end_cell(self) -> None:
        text = "".join(self._text)
        if self._kind == "e":
            self.marks.errors.append((self._row - 1, self._column, text[:_LONGEST_ERROR]))
        elif self._in_rich:
            self._strike(self._rich.parts if self._rich.is_rich else ())
        elif self._kind == "s":
            self._strike(self._texts.get(text.strip(), ()))
        self._in_rich = False
        self.walk.want_ends(wanted=False)
        self.walk.want_text(None)

    def _strike(self, parts: Sequence[Part]) -> None:
        """Strike out what parts of the cell's text ask for."""
        look = self._looks.get(self._style, PLAIN)
        seen = struck_out(look, parts)
        if seen != look:
            self.marks.canvas.put(self._row - 1, self._column, seen)

    def _condition(self, _: Attributes) -> None:
        self.marks.unseen.add(Unseen.CONDITIONAL)


def _is_nothing(size: str | None) -> bool:
    """Whether a height or width is said and is nothing."""
    return bool(size) and not (size or "").strip("0.")
