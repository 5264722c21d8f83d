"""Titles and rows of a printed answer."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.table import Table
from rich.text import Text


def print_title(text: str, out: Console) -> None:
    """Print a heading after an empty line."""
    out.print()
    out.print(Text(text, style="dim"))


def print_rows(lines: Iterable[tuple[str, ...]], ratios: tuple[int, ...], out: Console) -> None:
    """Print rows in columns: a width in letters where the number is negative, else a share of the room."""
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0), expand=True)
    for ratio in ratios:
        if ratio < 0:
            table.add_column(width=-ratio, overflow="fold")
        else:
            table.add_column(ratio=ratio, overflow="fold")
    for line in lines:
        table.add_row(*line)
    out.print(table)
