"""Remarks that spoil nothing: one per column and kind, with the cells it is about."""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.base.sentences import counted
from airwrit.facts.statement import FilePlace, Problem
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.cell.column import Read
from airwrit.intake.cell.dates import has_two_orders
from airwrit.intake.cell.value import FaultCode
from airwrit.intake.columns import EVENT
from airwrit.intake.reader.cells import Kind, letters_of
from airwrit.intake.rows.fields import Field
from airwrit.intake.rows.parting import PARTED
from airwrit.intake.rows.rows import Table

_SHOWN = 5
_MANY = frozenset({"service_status", "remarks", "person_status", "remote_id_way"})
"""Meanings that several columns may say together."""


def column_name(table: Table, item: Field) -> FilePlace:
    """How messages name a column: `fleet.xlsx sheet 'Aircraft' column C 'Expires'`; the row of a turned table."""
    words = f"{item.line} {item.heading!r}"
    if table.view.turned:
        return table.sheet.place(words, row=table.view.place(0, item.column)[0] + 1)
    return table.sheet.place(words, column=item.letter)


def cells_shown(table: Table, item: Field, rows: Sequence[int]) -> str:
    """The first few cells of a column at these rows, and how many more there are."""
    shown = ", ".join(table.view.cell_text(index, item.column) for index in rows[:_SHOWN])
    return shown if len(rows) <= _SHOWN else f"{shown} and {len(rows) - _SHOWN} more"


def column_remarks(table: Table, item: Field, read: Read) -> list[Problem]:
    """One remark for each way in which cells of a column were tidied or read, and one for its formulas."""
    by_note: dict[str, list[int]] = {}
    for got, index in zip(read.gots, table.rows, strict=True):
        if got.note:
            by_note.setdefault(got.note, []).append(index)
    where = column_name(table, item)
    remarks = [
        Problem(where, f"{note} ({cells_shown(table, item, rows)})", "check these cells")
        for note, rows in by_note.items()
    ]
    return remarks + _formulas(table, item)


def _formulas(table: Table, item: Field) -> list[Problem]:
    if not table.sheet.formulas:
        return []
    rows = [index for index in table.rows if table.view.place(index, item.column) in table.sheet.formulas]
    if not rows:
        return []
    return [
        Problem(
            column_name(table, item),
            f"{counted(len(rows), 'cell has a formula', 'cells have formulas')}. We used the last saved result "
            f"({cells_shown(table, item, rows)})",
            "make sure the sheet was up to date when it was saved",
        )
    ]


def shared_meanings(table: Table) -> list[Problem]:
    """A problem for each meaning that several columns of a table have: all are kept, and clash where they differ."""
    by_meaning: dict[str, list[Field]] = {}
    for item in table.fields:
        if (
            item.meaning
            and not item.meaning.startswith(EVENT)
            and item.meaning not in _MANY
            and item.match.how != PARTED
        ):
            by_meaning.setdefault(item.meaning, []).append(item)
    return [
        Problem(
            table.sheet.label,
            f"several columns are read as {KEYS[meaning].meaning if meaning in KEYS else meaning}: "
            + ", ".join(f"{item.letter} {item.heading!r}" for item in items),
            "rename all but one, or ignore them in a mapping",
        )
        for meaning, items in by_meaning.items()
        if len(items) > 1
    ]


def merged_problem(table: Table) -> list[Problem]:
    """The remark that cells among a table's rows are merged: only the first of them has the value."""
    sheet, view = table.sheet, table.view
    if view.turned or view.places is not None:
        return []
    first, end = view.top + table.block.first, view.top + table.block.end
    merged = [
        f"{letters_of(left)}{top + 1}:{letters_of(right)}{bottom + 1}"
        for top, left, bottom, right in sheet.merged
        if first <= top < end
    ]
    if not merged:
        return []
    shown = ", ".join(merged[:_SHOWN]) + (f" and {len(merged) - _SHOWN} more" if len(merged) > _SHOWN else "")
    return [
        Problem(
            sheet.label,
            f"cells are merged ({shown}), so we used the value only for the first cell",
            "unmerge them, and write the value in every row it belongs to",
        )
    ]


def date_order_problem(table: Table, item: Field, read: Read) -> list[Problem]:
    """The one summary of a column whose dates may be day first or month first; its cells are told one by one beside it."""
    if read.dates is None:
        return []
    rows = [
        index for got, index in zip(read.gots, table.rows, strict=True) if got.code is FaultCode.EITHER_ORDER
    ]
    if not rows:
        return []
    mixed = read.dates.mixed
    return [
        Problem(
            column_name(table, item),
            f"{counted(len(rows), 'date')} may be day first or month first: "
            + ("the column has both" if mixed else "nothing in the column tells us which"),
            "write dates as year-month-day"
            if mixed
            else "use --dates month-first or --dates day-first, or write dates as year-month-day",
        )
    ]


def date_order_remark(table: Table, item: Field, read: Read) -> list[Problem]:
    """The remark that dates of a column were read in the order that other columns of the file prove."""
    dates = read.dates
    if dates is None or dates.order is None or dates.shown_by or item.order is not None:
        return []
    rows = [
        index
        for cell, got, index in zip(table.cells(item.column), read.gots, table.rows, strict=True)
        if got.raw is not None and cell.kind is Kind.TEXT and has_two_orders(cell.text)
    ]
    if not rows:
        return []
    what = f"dates were read {dates.order.replace('-', ' ')}, as other dates in the file are ({cells_shown(table, item, rows)})"
    return [Problem(column_name(table, item), what, "if that's wrong, use --dates")]
