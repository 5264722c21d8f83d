"""A table in text: its encoding, its delimiter, where its headings are, and its rows a piece at a time."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from collections.abc import Iterator
from typing import BinaryIO, NamedTuple

DELIMITERS = ",;\t|"
_SAMPLE = 1 << 18
_LINES = 200
_LONGEST_CELL = 1 << 17
_VALUE = re.compile(r"\s*[NSEW]?\s*[+-]?\.?\d")
PIECE_ROWS = 50_000


class TableForm(NamedTuple):
    """How a table is written: encoding, delimiter, the line its headings are on, the headings, the line before its rows.

    `sample` holds the first rows below the headings.
    """

    encoding: str
    delimiter: str
    headings: tuple[str, ...]
    heading_rows: tuple[tuple[str, ...], ...]
    skip: int
    sample: tuple[tuple[str, ...], ...]


class TablePiece(NamedTuple):
    """Rows of a table with the lines they end on, how many repeated the headings, and whether the table broke off."""

    rows: list[list[str]]
    lines: list[int]
    restarts: list[int]
    is_broken: bool


def form_of_table(file: BinaryIO) -> TableForm | None:
    """How the table of a file is written, None where it is none."""
    head = file.read(_SAMPLE)
    encoding = _encoding(head)
    try:
        text = codecs.getincrementaldecoder(encoding)().decode(head)
    except UnicodeDecodeError:
        return None
    if "\x00" in text:
        return None
    lines = text.splitlines(keepends=True)[:_LINES]
    if len(head) == _SAMPLE and len(lines) < _LINES:
        lines = lines[:-1]
    best: TableForm | None = None
    for delimiter in DELIMITERS:
        form = _form(lines, encoding, delimiter)
        if form is not None and (best is None or len(form.headings) > len(best.headings)):
            best = form
    return best


def pieces_of_table(file: BinaryIO, form: TableForm) -> Iterator[TablePiece]:
    """The rows below the headings, a piece at a time."""
    file.seek(0)
    text = io.TextIOWrapper(file, encoding=form.encoding, errors="replace", newline="")
    reader = csv.reader(text, delimiter=form.delimiter)
    csv.field_size_limit(_LONGEST_CELL)
    rows: list[list[str]] = []
    lines: list[int] = []
    restarts: list[int] = []
    try:
        for at, row in enumerate(reader):
            if at < form.skip or not any(row):
                continue
            if tuple(cell.strip() for cell in row) in form.heading_rows:
                restarts.append(len(rows))
                continue
            rows.append(row)
            lines.append(reader.line_num)
            if len(rows) >= PIECE_ROWS:
                yield TablePiece(rows, lines, restarts, is_broken=False)
                rows, lines, restarts = [], [], []
    except (csv.Error, UnicodeError):
        yield TablePiece(rows, lines, restarts, is_broken=True)
    else:
        yield TablePiece(rows, lines, restarts, is_broken=False)
    finally:
        text.detach()


def _encoding(head: bytes) -> str:
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if head.startswith(mark):
            return encoding
    pairs = head[:200]
    if len(pairs) >= 4 and pairs[1::2].count(0) > len(pairs) // 3:
        return "utf-16-le"
    if len(pairs) >= 4 and pairs[::2].count(0) > len(pairs) // 3:
        return "utf-16-be"
    try:
        codecs.getincrementaldecoder("utf-8")().decode(head)
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def _form(lines: list[str], encoding: str, delimiter: str) -> TableForm | None:
    """The form with this delimiter: headings are the first row without numbers above rows with numbers, as wide as they."""
    try:
        rows = [tuple(cell.strip() for cell in row) for row in csv.reader(lines, delimiter=delimiter)]
    except csv.Error:
        return None
    widths = Counter(len(row) for row in rows if sum(map(_is_value, row)) >= 2)
    if not widths:
        return None
    width = widths.most_common(1)[0][0]
    first = next(
        (at for at, row in enumerate(rows) if len(row) == width and sum(map(_is_value, row)) >= 2), 0
    )
    heads: list[tuple[str, ...]] = []
    at = first - 1
    while at >= 0 and len(heads) < 2 and _is_heading(rows[at], width):
        heads.insert(0, rows[at])
        at -= 1
    if not heads:
        return None
    sample = tuple(row for row in rows[first : first + _LINES] if row not in heads)
    return TableForm(encoding, delimiter, _joined(heads), tuple(heads), first, sample)


def _is_heading(row: tuple[str, ...], width: int) -> bool:
    """Whether a row is one of headings or units: without numbers, filled in for most of its width."""
    filled = sum(bool(cell) for cell in row)
    return width - 1 <= len(row) <= width + 1 and filled * 2 > width and not any(map(_is_value, row))


def _is_value(cell: str) -> bool:
    """Whether a cell is a number, a time or a place: it begins with a digit, maybe behind a sign or a side."""
    return _VALUE.match(cell) is not None


def _joined(heads: list[tuple[str, ...]]) -> tuple[str, ...]:
    """One heading a column, a second row in brackets; headings that are there twice are numbered."""
    names = []
    for at, name in enumerate(heads[0]):
        unit = heads[1][at] if len(heads) > 1 and at < len(heads[1]) else ""
        names.append(f"{name} ({unit})" if unit else name)
    seen: Counter[str] = Counter()
    for at, name in enumerate(names):
        seen[name] += 1
        if seen[name] > 1:
            names[at] = f"{name} #{seen[name]}"
    return tuple(names)
