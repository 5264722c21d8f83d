"""Lists of codes beside a table: a column of headings, the codes used under each, and what each code means."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from airwrit.intake.meaning.lexicon import split_brackets, words_of
from airwrit.intake.meaning.status import codes_in
from airwrit.intake.reader.cells import Cell, Kind, Sheet
from airwrit.intake.tables.finding import TableFound
from airwrit.intake.tables.view import filled, is_filled, text_of

Codes = Mapping[tuple[str, ...], Mapping[str, str]]
"""Heading by its words -> code in small letters -> what it means."""
_SHARE, _FEWEST, _MOST = 0.5, 2, 300
_LONGEST_CODE = 12


def codes_of(sheet: Sheet, headings: Iterable[str]) -> Codes:
    """What a sheet that lists codes says of them; nothing for any other sheet."""
    rows = [row for row in sheet.rows if filled(row) >= _FEWEST]
    if not _FEWEST <= len(rows) <= _MOST or max(map(filled, rows), default=0) > 3:
        return {}
    known = {words_of(heading) for heading in headings if heading}
    found: dict[tuple[str, ...], dict[str, str]] = {}
    hits = 0
    for row in rows:
        cells = [cell for cell in row if is_filled(cell)]
        if len(cells) != 3:
            continue
        heading, code, means = cells
        words = words_of(text_of(heading))
        if words in known and len(code.text) <= _LONGEST_CODE:
            hits += 1
            found.setdefault(words, {})[code.text.strip().casefold()] = means.text.strip()
    return found if hits >= _SHARE * len(rows) and hits >= _FEWEST else {}


def explained(found: TableFound) -> TableFound:
    """The table with the codes written out that a heading explains in brackets: `Remote ID (B = built in, M = module)`."""
    columns = {
        column: codes
        for column, heading in enumerate(found.headings)
        if (codes := codes_in([split_brackets(heading)[1]]))
    }
    if not columns:
        return found
    rows = (
        row if index < found.first else _decoded_row(row, columns)
        for index, row in enumerate(found.view.rows)
    )
    return replace(found, view=found.view.remade(tuple(rows)))


def codes_below(sheet: Sheet, first: int) -> dict[str, str]:
    """Codes and what they mean, as a list of two columns under a table writes them, from a row on; none where none is."""
    pairs: dict[str, str] = {}
    for row in sheet.rows[first:]:
        cells = [cell for cell in row if is_filled(cell)]
        if len(cells) == 2 and row.index(cells[0]) == 0 and len(cells[0].text) <= _LONGEST_CODE:
            pairs[cells[0].text.strip().casefold()] = cells[1].text.strip()
        elif len(cells) > 2:
            pairs.clear()
    return pairs


def decoded_below(sheet: Sheet, heading_row: int, end: int, pairs: Mapping[str, str]) -> Sheet:
    """The sheet with columns of a table whose every value is one of the codes written out."""
    width = max(map(len, sheet.rows), default=0)
    columns: dict[int, Mapping[str, str]] = {}
    for column in range(1, width):
        values = {
            row[column].text.strip().casefold()
            for row in sheet.rows[heading_row + 1 : end]
            if column < len(row) and is_filled(row[column])
        }
        if values and values <= set(pairs):
            columns[column] = pairs
    if not columns:
        return sheet
    rows = tuple(
        _decoded_row(row, columns)
        if heading_row < index < end
        else ()
        if index >= end and _is_pair(row, pairs)
        else row
        for index, row in enumerate(sheet.rows)
    )
    return replace(sheet, rows=rows)


def _is_pair(row: Sequence[Cell], pairs: Mapping[str, str]) -> bool:
    """Whether a row is a code with what it means."""
    cells = [cell for cell in row if is_filled(cell)]
    return len(cells) == 2 and pairs.get(cells[0].text.strip().casefold()) == cells[1].text.strip()


def decoded(sheet: Sheet, codes: Codes, heading_row: int) -> Sheet:
    """The sheet with the codes under those headings written out."""
    columns = {
        column: codes[words]
        for column, cell in enumerate(sheet.rows[heading_row])
        if (words := words_of(cell.text)) in codes
    }
    if not columns:
        return sheet
    rows = tuple(
        row if index <= heading_row else _decoded_row(row, columns) for index, row in enumerate(sheet.rows)
    )
    return replace(sheet, rows=rows)


def _decoded_row(row: Sequence[Cell], columns: Mapping[int, Mapping[str, str]]) -> tuple[Cell, ...]:
    return tuple(
        Cell(Kind.TEXT, columns[column].get(cell.text.strip().casefold(), cell.text))
        if column in columns and is_filled(cell)
        else cell
        for column, cell in enumerate(row)
    )
