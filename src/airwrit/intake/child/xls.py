"""Workbooks of the older form (.xls), in the reading process: their values, and what their records tell of cells beside.

Apart from the other forms, so that those do not wait for a library they do not need.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Callable
from typing import Any

import xlrd
from xlrd.compdoc import CompDocError
from xlrd.formula import FormulaError

from airwrit.intake.child.workbook import sheets_of
from airwrit.intake.child.xls_records import add_objects, needs_library, records_of
from airwrit.intake.markup.colors import BLACK, WHITE, blended, ink_of, patterns
from airwrit.intake.markup.marks import Marks, Markup
from airwrit.intake.markup.notes import plain_note
from airwrit.intake.markup.rich import Part, struck_out
from airwrit.intake.reader.limits import Fault, Limits
from airwrit.intake.reader.looks import PLAIN, CellLook

_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
_DAMAGED = (
    xlrd.XLRDError,
    CompDocError,
    FormulaError,
    struct.error,
    ArithmeticError,
    AssertionError,
    AttributeError,
    EOFError,
    LookupError,
    MemoryError,
    NameError,
    OSError,
    RuntimeError,
    TypeError,
    ValueError,
)
"""What the library raises on damaged bytes; the values are another library's to read."""


def read(data: bytes, limits: Limits) -> dict[str, Any]:
    """The sheets of an .xls workbook. Fault when it is locked, damaged, too large or no workbook."""
    if _ENCRYPTED in data:
        raise Fault("the file is locked with a password", "save a copy without a password, and use that")
    return sheets_of(data, markup_of_xls(data), limits)


def markup_of_xls(data: bytes) -> Markup:
    """The markup of an .xls workbook; without any sheet where its records cannot be followed."""
    markup = Markup("xls")
    try:
        book = xlrd.open_workbook(
            file_contents=data, formatting_info=True, ragged_rows=True, on_demand=True, logfile=io.StringIO()
        )
        looks = _looks(book)
        is_plain = not looks and not any(font.struck_out for font in book.font_list)
        records = records_of(data)
        for place, name in enumerate(book.sheet_names()):
            told = records[place] if place < len(records) else None
            if is_plain and told is not None and not needs_library(told):
                markup.sheets[name] = Marks()
            else:
                markup.sheets[name] = _marks(book, book.sheet_by_name(name), looks)
            add_objects(told or (), markup.sheets[name])
    except _DAMAGED:
        return Markup("xls")
    return markup


def _looks(book: Any) -> dict[int, CellLook]:
    """The look of every format of cells that is not plain, by its number."""
    shares = list(patterns().values())
    looks = {}
    for number, one in enumerate(book.xf_list):
        back = one.background
        share = shares[back.fill_pattern] if back.fill_pattern < len(shares) else 1.0
        front = _hex(book, back.pattern_colour_index) or BLACK
        fill = blended(front, _hex(book, back.background_colour_index) or WHITE, share) if share else ""
        look = CellLook(_is_struck(book, one.font_index), fill, ink=_ink(book, one.font_index))
        if look != PLAIN:
            looks[number] = look
    return looks


def _hex(book: Any, number: int) -> str:
    color = book.colour_map.get(number)
    return "".join(f"{part:02x}" for part in color) if color else ""


def _ink(book: Any, font: int) -> str:
    return ink_of(_hex(book, book.font_list[font].colour_index)) if 0 <= font < len(book.font_list) else ""


def _is_struck(book: Any, font: int) -> bool:
    return 0 <= font < len(book.font_list) and bool(book.font_list[font].struck_out)


def _marks(book: Any, sheet: Any, looks: dict[int, CellLook]) -> Marks:
    marks = Marks()
    marks.hidden_rows = _hidden(sheet.rowinfo_map, lambda row: row.hidden or row.height == 0)
    marks.hidden_columns = _hidden(sheet.colinfo_map, lambda column: column.hidden or column.width == 0)
    if looks:
        for row in range(sheet.nrows):
            for column in range(sheet.row_len(row)):
                look = looks.get(sheet.cell_xf_index(row, column))
                if look is not None:
                    marks.canvas.paint(row, column, column, look)
    if any(font.struck_out for font in book.font_list):
        for (row, column), runs in sheet.rich_text_runlist_map.items():
            look = marks.canvas.at(row, column)
            seen = struck_out(look, _parts(book, str(sheet.cell_value(row, column)), runs))
            if seen != look:
                marks.canvas.put(row, column, seen)
    for (row, column), note in sheet.cell_note_map.items():
        marks.canvas.add_note(row, column, plain_note(note.text, note.author))
    return marks


def _hidden(infos: dict[int, Any], is_hidden: Callable[[Any], bool]) -> list[tuple[int, int]]:
    return [(number, number) for number, info in infos.items() if is_hidden(info)]


def _parts(book: Any, text: str, runs: list[tuple[int, int]]) -> list[Part]:
    """The pieces of a text, each run telling where it starts and in what font; the start is in the cell's own."""
    starts = [at for at, _ in runs]
    pieces: list[Part] = [(text[: starts[0]] if starts else text, None)]
    for (start, font), end in zip(runs, [*starts[1:], len(text)], strict=True):
        pieces.append((text[start:end], _is_struck(book, font)))
    return pieces
