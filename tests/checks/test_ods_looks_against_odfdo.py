"""What the eye sees of the cells of an OpenDocument sheet, as odfdo reads it from the same file (odfdo/SOURCE.toml)."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

from odfdo import Annotation, Cell, Document, Row, Style, Table

from airwrit.intake.reader.cells import read_book
from airwrit.intake.reader.looks import CellLook

ROWS, COLUMNS = 40, 7


def write(path: Path, dice: random.Random) -> None:
    """A sheet of cells struck, filled, noted and hidden at random."""
    document = Document("spreadsheet")
    document.body.clear()
    table = Table("Fleet")
    struck = Style("table-cell")
    struck.set_properties({"style:text-line-through-style": "solid"}, area="text")
    filled = Style("table-cell", area="table-cell", background_color="#c6efce")
    styles = [document.insert_style(style, automatic=True) for style in (filled, struck)]
    for number in range(ROWS):
        row = Row()
        if dice.random() < 0.2:
            row.set_attribute("table:visibility", "collapse")
        for column in range(COLUMNS):
            cell = Cell(f"r{number}c{column}", style=dice.choice([*styles, None]))
            if dice.random() < 0.1:
                cell.append(Annotation(f"seen in row {number}", creator="A Keeper"))
            row.append(cell)
        table.append(row)
    document.body.append(table)
    document.save(path)


def as_look(document: Any, cell: Any) -> CellLook:
    """How the other reader sees a cell."""
    style = document.get_style("table-cell", cell.style) if cell.style else None
    fill = (style.get_properties("table-cell") or {}).get("fo:background-color", "") if style else ""
    line = (
        (style.get_properties("text") or {}).get("style:text-line-through-style", "none") if style else "none"
    )
    notes = cell.get_annotations()
    return CellLook(line != "none", fill.lstrip("#"), notes[0].note_body if notes else "")


def test_looks_are_read_as_odfdo_reads_them(tmp_path: Path) -> None:
    path = tmp_path / "t.ods"
    write(path, random.Random(31))
    (ours,) = read_book(path).sheets
    document = Document(path)
    table = document.body.tables[0]
    compared, hidden = set(), set()
    for number, row in enumerate(table.traverse()):
        if row.get_attribute("table:visibility") == "collapse":
            hidden.add(number)
        for column, cell in enumerate(row.traverse()):
            look = as_look(document, cell)
            assert ours.look(number, column) == look, (number, column)
            compared.add(look)
    assert len(compared) > 12
    assert ours.hidden_rows == hidden
    assert len(hidden) > 3
