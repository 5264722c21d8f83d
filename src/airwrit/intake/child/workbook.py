"""Workbooks (.xlsx, .ods, and .xls by `xls.py`) to rows of coded cells, in the reading process.

Every cell is a text with its kind as first letter: `s` text, `n` number, `b` yes/no, `d` day, `i` date and time without
zone, `t` time or span, `e` error; "" is empty.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from math import isfinite
from typing import Any

from python_calamine import CalamineError, CalamineWorkbook, PasswordError, SheetTypeEnum, SheetVisibleEnum

from airwrit.intake.markup.marks import Extent, Marks, Markup
from airwrit.intake.markup.zipped import markup_of
from airwrit.intake.reader.limits import Fault, Limits, too_many_cells
from airwrit.intake.reader.looks import Unseen

_LONGEST_EXACT = 10**15


def read(data: bytes, limits: Limits) -> dict[str, Any]:
    """The sheets of a zipped workbook. Fault when it is locked, damaged, too large or no workbook."""
    return sheets_of(data, markup_of(data, limits), limits)


def sheets_of(data: bytes, markup: Markup, limits: Limits) -> dict[str, Any]:
    """The sheets of a workbook with what its markup tells. Fault when it is locked, damaged or too large."""
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        sheets = [_sheet(book, index, markup, limits) for index in range(len(book.sheet_names))]
    except PasswordError as fault:
        raise Fault(
            "the file is locked with a password", "save a copy without a password, and use that"
        ) from fault
    except (CalamineError, OSError, ValueError) as fault:
        raise Fault(
            f"the file is damaged, or isn't a spreadsheet ({_short(fault)})",
            "open it in a spreadsheet program, and save it again as .xlsx, .ods or .csv",
        ) from fault
    told = [sheet for sheet in sheets if sheet is not None]
    if sum(len(row) for sheet in told for row in sheet["rows"]) > limits.cells:
        raise too_many_cells(limits)
    return {"kind": markup.kind, "from_1904": markup.from_1904, "notes": [], "sheets": told}


def _sheet(book: CalamineWorkbook, index: int, markup: Markup, limits: Limits) -> dict[str, Any] | None:
    meta = book.sheets_metadata[index]
    if meta.typ != SheetTypeEnum.WorkSheet:
        return None
    sheet = book.get_sheet_by_index(index)
    if sheet.height * sheet.width > limits.cells:
        raise too_many_cells(limits)
    top, left = sheet.start or (0, 0)
    rows = [[_CODES[type(value)](value) for value in row] for row in sheet.to_python()]
    marks = markup.sheets.get(meta.name) or Marks(unseen={Unseen.STYLES, Unseen.NOTES})
    marks.extent = Extent(top, left, top + sheet.height - 1, left + sheet.width - 1)
    for row, column, text in marks.errors:
        _put(rows, row - top, column - left, "e" + text)
    return {
        "name": meta.name,
        "hidden": meta.visible != SheetVisibleEnum.Visible,
        "top": top,
        "left": left,
        "rows": rows,
        "formulas": marks.formulas,
        "merged": [[*first, *last] for first, last in sheet.merged_cell_ranges or ()] or marks.merged,
        **marks.told(),
    }


def _put(rows: list[list[str]], row: int, column: int, code: str) -> None:
    """Write an error into a cell the reader left empty; one outside the filled area stands alone and says nothing."""
    if 0 <= row < len(rows) and 0 <= column < len(rows[row]) and not rows[row][column]:
        rows[row][column] = code


def _short(fault: Exception) -> str:
    return " ".join(str(fault).split())[:120]


def _number(value: float) -> str:
    if value.is_integer() and abs(value) < _LONGEST_EXACT:
        return f"n{int(value)}"
    return f"n{value!r}" if isfinite(value) else f"e{value}"


def _instant(value: datetime) -> str:
    if value.time() == time():
        return "d" + value.date().isoformat()
    return "i" + value.isoformat(" ")


_CODES: dict[type, Callable[[Any], str]] = {
    str: lambda value: "s" + value if value else "",
    float: _number,
    int: lambda value: f"n{value}",
    bool: lambda value: "byes" if value else "bno",
    date: lambda value: "d" + value.isoformat(),
    datetime: _instant,
    time: lambda value: "t" + value.isoformat(),
    timedelta: lambda value: f"t{value}",
}
