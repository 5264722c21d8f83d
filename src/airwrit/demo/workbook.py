"""The invented program's workbook: messy on purpose, its days counted from the day asked about."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from datetime import date, datetime
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from airwrit.base.days import add_days, add_years

_DATA = Path(__file__).with_name("program.toml")
_HOUSE = Path(__file__).with_name("house_rules.toml")
_CREATED = datetime(2020, 1, 1)  # noqa: DTZ001 - a workbook's own stamp has no zone


@cache
def demo_data() -> Mapping[str, Any]:
    """The shipped description of the workbook."""
    return tomllib.loads(_DATA.read_text(encoding="utf-8"))


def write_demo_house(path: Path) -> None:
    """Write the program's house rules; the same bytes every time."""
    path.write_bytes(_HOUSE.read_bytes())


def write_demo(path: Path, on: date) -> None:
    """Write the workbook as it would lie on `on`. The same day gives the same bytes."""
    made = BytesIO()
    with xlsxwriter.Workbook(made) as book:
        book.set_properties({"created": _CREATED, "title": demo_data()["organization"]})
        day_format = book.add_format({"num_format": "yyyy-mm-dd"})
        for described in demo_data()["sheets"]:
            sheet = book.add_worksheet(described["name"])
            top = 0
            if described["title"]:
                sheet.write_string(0, 0, described["title"])
                top = 2
            for number, row in enumerate(described["rows"], start=top):
                for column, cell in enumerate(row):
                    _write(sheet, number, column, cell, on, day_format)
    path.write_bytes(made.getvalue())


def _write(sheet: Worksheet, row: int, column: int, cell: Any, on: date, day_format: Format) -> None:
    if isinstance(cell, dict) and "formula" in cell:
        sheet.write_formula(row, column, cell["formula"], None, cell["value"])
    elif isinstance(cell, dict):
        day = add_years(add_days(on, cell["day"]), cell.get("years", 0))
        style = cell.get("as")
        if style is None:
            sheet.write_datetime(row, column, datetime(day.year, day.month, day.day), day_format)  # noqa: DTZ001
        else:
            sheet.write_string(row, column, _STYLES[style](day))
    elif isinstance(cell, str):
        if cell:
            sheet.write_string(row, column, cell)
    else:
        sheet.write_number(row, column, cell)


_STYLES: dict[str, Callable[[date], str]] = {
    "us": lambda day: f"{day.month}/{day.day}/{day.year}",
    "iso": lambda day: day.isoformat(),
    "words": lambda day: f"{day:%d %b %Y}",
}
