"""Small sheets made in memory or on disk, and what was read from them in a form that is easy to compare."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from datetime import date, datetime, time
from pathlib import Path

import openpyxl

from airwrit.facts.key import Raw
from airwrit.facts.statement import Problem, Source
from airwrit.intake.cell.dates import DateOrder
from airwrit.intake.mapping import Plans
from airwrit.intake.reader.cells import Book, Sheet, cells_of
from airwrit.intake.sheets import Answers, Intake, intake_of

Value = str | int | float | bool | date | datetime | time | None
Rows = Sequence[Sequence[Value]]


def code_of(value: Value) -> str:
    """A value as the reading process hands it over."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "byes" if value else "bno"
    if isinstance(value, int | float):
        whole = float(value).is_integer() and abs(value) < 1e15
        return f"n{int(value)}" if whole else f"n{value!r}"
    if isinstance(value, datetime):
        return "i" + value.isoformat(" ")
    if isinstance(value, date):
        return "d" + value.isoformat()
    return f"t{value.isoformat()}" if isinstance(value, time) else "s" + value


def sheet_of(
    name: str, rows: Rows, *, book: str = "t.xlsx", formulas: Sequence[tuple[int, int]] = ()
) -> Sheet:
    """A sheet of these values, its first cell in A1."""
    return Sheet(
        book,
        name,
        cells_of([[code_of(value) for value in row] for row in rows]),
        formulas=frozenset(formulas),
    )


def taken(*sheets: Sheet, mapping: Plans | None = None, dates: DateOrder | None = None) -> Intake:
    """What is read from these sheets."""
    return intake_of([Book(Source("t.xlsx", "0" * 64), "xlsx", tuple(sheets))], Answers(mapping, dates))


def told(intake: Intake) -> dict[tuple[str, str], Raw]:
    """The value of every subject and key; the last one where several were stated."""
    return {(item.statement.subject, item.statement.key): item.statement.value for item in intake.known}


def spoiled(intake: Intake) -> set[tuple[str, str]]:
    """Every subject and key some problem spoils."""
    return {pair for problem in intake.problems for pair in problem.spoils}


def problem_with(intake: Intake, text: str) -> Problem:
    """The one problem that says `text`."""
    found = [problem for problem in intake.problems if text in problem.what]
    assert len(found) == 1, [problem.what for problem in intake.problems]
    return found[0]


def zip_of(files: dict[str, str]) -> bytes:
    """A zip archive of these files."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return data.getvalue()


def write_xlsx(path: Path, sheets: dict[str, Rows]) -> Path:
    """A workbook by another program's hand."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    book.save(path)
    return path


def write_ods(path: Path, rows: str, *, manifest: str = "") -> Path:
    """An OpenDocument sheet called Fleet, its rows given as markup."""
    spaces = " ".join(
        f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
        for name in ("office", "table", "text")
    )
    spaces += ' xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
    content = (
        f'<?xml version="1.0"?><office:document-content {spaces}><office:body><office:spreadsheet>'
        f'<table:table table:name="Fleet">{rows}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    entry = f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/>'
    entry += f'<manifest:file-entry manifest:full-path="content.xml">{manifest}</manifest:file-entry>'
    space = "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", kind)
        archive.writestr(
            "META-INF/manifest.xml",
            f'<manifest:manifest xmlns:manifest="{space}">{entry}</manifest:manifest>',
        )
        archive.writestr("content.xml", content)
    return path
