"""Where in a file something stands, out of the words in which messages and origins name it."""

from __future__ import annotations

import re
from typing import NamedTuple

_SHEET = re.compile(
    r"^(?P<file>.*?) sheet (?P<sign>['\"])(?P<sheet>.*?)(?P=sign)(?= (?:cell|row|rows|column) |$)(?P<rest>.*)$",
    re.DOTALL,
)
_FILE = re.compile(r"^(?P<file>.*?)(?P<rest> (?:cell|rows?|column) .*)?$", re.DOTALL)
_CELL = re.compile(r"^ cell (?P<column>[A-Z]{1,3})(?P<row>[0-9]+)")
_ROW = re.compile(r"^ rows? (?P<row>[0-9]+)")
_COLUMN = re.compile(r"^ column (?P<column>[A-Z]{1,3})\b")


class FilePlace(NamedTuple):
    """A place in a file; None for what is not named."""

    file: str
    sheet: str | None = None
    row: int | None = None
    column: str | None = None


def place_of(where: str) -> FilePlace | None:
    """The place that a text such as `fleet.xlsx sheet 'Fleet' cell C7` names; None where it names no file of a sheet."""
    found = _SHEET.match(where) or _FILE.match(where)
    if found is None or not re.search(r"\.[A-Za-z0-9]{2,5}$", found["file"]):
        return None
    rest = found["rest"] or ""
    cell, row, column = _CELL.match(rest), _ROW.match(rest), _COLUMN.match(rest)
    return FilePlace(
        found["file"],
        found.groupdict().get("sheet"),
        int(cell["row"]) if cell else int(row["row"]) if row else None,
        cell["column"] if cell else column["column"] if column else None,
    )


def place_json(where: str) -> dict[str, str | int | None] | None:
    """The same as a document carries it."""
    place = place_of(where)
    return None if place is None else place._asdict()
