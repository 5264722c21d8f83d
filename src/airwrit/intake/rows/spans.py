"""From and until when the facts of a row hold, where a sheet has columns for it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from airwrit.base.days import EARLIEST
from airwrit.facts.statement import Problem
from airwrit.intake.cell.column import Read
from airwrit.intake.rows.rows import Table

SPANS = ("valid_from", "valid_until")
SPAN = tuple[date, date | None] | None
"""First day and the day it no longer holds; None where they cannot be read."""


def spans_of(table: Table, reads: Mapping[int, Read], problems: list[Problem]) -> list[SPAN] | None:
    """For every row its span; None when the table has no such columns. What is wrong with a span is added to `problems`."""
    columns = {item.meaning: item for item in table.fields if item.meaning in SPANS}
    if not columns:
        return None
    spans: list[SPAN] = []
    for place, index in enumerate(table.rows):
        gots = {name: reads[item.column].gots[place] for name, item in columns.items()}
        start, end = (
            date.fromisoformat(str(gots[n].raw)) if n in gots and gots[n].raw else None for n in SPANS
        )
        fault = next((got.fault for got in gots.values() if got.fault), "")
        if not fault and start is not None and end is not None and end <= start:
            fault = f"it ends {end}, which isn't after it starts {start}"
        if fault:
            problems.append(
                Problem(
                    table.where(index),
                    f"{fault}, so we can't tell when it applies",
                    "write both dates as year-month-day",
                )
            )
        spans.append(None if fault else (start or EARLIEST, end))
    return spans
