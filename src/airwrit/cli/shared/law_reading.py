"""How old the reading of the law is, on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from airwrit.base.days import When, day_of
from airwrit.cli.console import said
from airwrit.law.parameters import late_reading


def show_late(on: When, out: Console) -> None:
    """Say first where the day asked about lies long after the last reading of the law."""
    late = late_reading(day_of(on))
    if late:
        out.print(Text(said(late), style="bold"))
