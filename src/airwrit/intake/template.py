"""An empty workbook to fill in: a sheet for each kind of table, headings the reader takes exactly, lists to pick words from."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from enum import StrEnum
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple

from xlsxwriter.format import Format
from xlsxwriter.utility import xl_col_to_name, xl_range_abs
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import AIRCRAFT_KEYS, PART_KEYS
from airwrit.facts.keys.equipment import BATTERY_KEYS
from airwrit.facts.keys.paper import PAPER_KEYS
from airwrit.facts.keys.person import PERSON_KEYS, TRAINING_KEYS
from airwrit.facts.keys.registration import OWNER_KEYS, REGISTRATION_KEYS
from airwrit.intake.columns import TABLES, heading_of, known_headings
from airwrit.intake.layout import TEMPLATE_NOTE

SHEETS: tuple[tuple[str, str, str, tuple[Key[Any], ...]], ...] = (
    ("Aircraft", "aircraft", "Aircraft", AIRCRAFT_KEYS),
    ("Parts", "part", "", PART_KEYS),
    ("Registrations", "registration", "Registration number", REGISTRATION_KEYS),
    ("People", "person", "Name", PERSON_KEYS),
    ("Training", "training", "", TRAINING_KEYS),
    ("Owners", "owner", "Owner", OWNER_KEYS),
    ("Papers", "paper", "Paper", PAPER_KEYS),
    ("Flights", "flight", "", TABLES["flight"]),
    ("Batteries", "battery", "Battery", BATTERY_KEYS),
)
"""Each sheet: its name, its kind of table, the heading that names a row (none where a link does), and its keys."""

_CREATED = datetime(2026, 1, 1, tzinfo=UTC).replace(tzinfo=None)
_LAST_ROW = 5000
_WIDTH = 18
_CAPITALS = {"id": "ID", "faa": "FAA", "fria": "FRIA", "us": "US", "rid": "RID"}
_YES_NO = ("yes", "no")


class Formats(NamedTuple):
    """The looks of the workbook's cells."""

    head: Format
    text: Format
    day: Format
    wrapped: Format


def heading_for(key: Key[Any], table: str) -> str:
    """The heading a template gives a key: its first one that this kind of table takes for it, with its unit."""
    known = known_headings(table)
    heading = next(text for text in (*key.headings, key.name) if known.get(heading_of(text).text) == key.name)
    words = [_CAPITALS.get(word, word) for word in heading.replace("_", " ").split()]
    words[0] = words[0][:1].upper() + words[0][1:]
    return " ".join(words) + (f" ({key.unit})" if key.unit else "")


def write_template(path: Path) -> None:
    """Write the empty workbook; the same bytes every time. OSError when the file cannot be written."""
    made = BytesIO()
    book = Workbook(
        made, {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    )
    book.set_properties({"title": "airwrit template", "created": _CREATED})
    formats = Formats(
        book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        book.add_format({"num_format": "@"}),
        book.add_format({"num_format": "yyyy-mm-dd"}),
        book.add_format({"text_wrap": True, "valign": "top"}),
    )
    guide = book.add_worksheet("Read me")
    lists = _write_lists(guide)
    _write_guide(guide, formats)
    for name, table, named_by, keys in SHEETS:
        _write_sheet(book.add_worksheet(name), table, named_by, keys, formats, lists)
    book.close()
    path.write_bytes(made.getvalue())


def _write_lists(guide: Worksheet) -> dict[type, str]:
    """Write the closed lists far right on the guide; where each is, as a formula names it."""
    kinds: dict[type, tuple[str, ...]] = {bool: _YES_NO}
    for key in (key for *_, keys in SHEETS for key in keys):
        if issubclass(key.kind, StrEnum):
            kinds[key.kind] = tuple(key.kind)
    places = {}
    for column, (kind, words) in enumerate(kinds.items(), start=6):
        guide.write_string(0, column, "words: " + ("yes or no" if kind is bool else kind.__name__))
        for row, word in enumerate(words, start=1):
            guide.write_string(row, column, str(word))
        places[kind] = "='Read me'!" + xl_range_abs(1, column, len(words), column)
    return places


def _write_guide(guide: Worksheet, formats: Formats) -> None:
    lines = [
        TEMPLATE_NOTE,
        "One row for each aircraft, part, registration, person, test or training, owner, paper and flight. Leave a cell",
        "empty if you don't know. Empty means unknown, never no. You may delete columns you don't need, and add others.",
        "Write dates as year-month-day, like 2026-05-31. Write a name the same way in every sheet.",
    ]
    for row, line in enumerate(lines):
        guide.write_string(row, 0, line)
    start = len(lines) + 1
    for column, title in enumerate(("Sheet", "Heading", "What it means", "What to write")):
        guide.write_string(start, column, title, formats.head)
    for row, cells in enumerate(_guide_rows(), start=start + 1):
        for column, text in enumerate(cells):
            guide.write_string(row, column, text, formats.wrapped)
    guide.set_column(0, 1, 24)
    guide.set_column(2, 3, 60)


def _guide_rows() -> Iterator[tuple[str, str, str, str]]:
    for name, table, named_by, keys in SHEETS:
        if named_by:
            yield name, named_by, "what the row is about", "a name or number that no other row has"
        for key in keys:
            yield name, heading_for(key, table), key.meaning, f"{key.question} {_form(key)}"


def _form(key: Key[Any]) -> str:
    if key.kind is bool:
        return "(yes or no)"
    if key.kind is date:
        return "(a day, like 2026-05-31)"
    if issubclass(key.kind, StrEnum):
        return "(" + "; ".join(key.kind) + ")"
    return (
        f"(a number in {key.unit}, or with its unit)"
        if key.unit
        else "(text)"
        if key.kind is str
        else "(a number)"
    )


def _write_sheet(
    sheet: Worksheet,
    table: str,
    named_by: str,
    keys: tuple[Key[Any], ...],
    formats: Formats,
    lists: dict[type, str],
) -> None:
    headings = [named_by] if named_by else []
    if named_by:
        sheet.set_column(0, 0, _WIDTH, formats.text)
    for column, key in enumerate(keys, start=len(headings)):
        headings.append(heading_for(key, table))
        look = formats.text if key.kind is str else formats.day if key.kind is date else None
        sheet.set_column(column, column, _WIDTH, look)
        if key.kind in lists:
            sheet.data_validation(1, column, _LAST_ROW, column, _choice(key, lists[key.kind]))
    for column, heading in enumerate(headings):
        sheet.write_string(0, column, heading, formats.head)
    sheet.freeze_panes(1, 1)
    sheet.autofilter(f"A1:{xl_col_to_name(len(headings) - 1)}1")


def _choice(key: Key[Any], place: str) -> dict[str, Any]:
    """A list to pick from; other words may be typed, the reader says when it cannot take them."""
    return {
        "validate": "list",
        "source": place,
        "error_type": "information",
        "error_title": "another word",
        "error_message": "we may not know this word",
        "input_title": key.name[:32],
        "input_message": key.question[:255],
    }
