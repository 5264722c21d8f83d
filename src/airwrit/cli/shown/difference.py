"""What taking facts in would do, on the terminal."""

from __future__ import annotations

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_RECORDS
from airwrit.answers.sheets.difference import Difference
from airwrit.answers.sheets.view import ChangeSection, sections_of, tally_of
from airwrit.cli.console import clean, longest_word
from airwrit.facts.vocabulary import id_of, kind_of

_SHOWN = 40

private_option = click.option(
    "--private", is_flag=True, help="Also show private values: birthdays, citizenship, certificate numbers."
)


def show_taking(taking: Difference, out: Console, *, private: bool = False) -> None:
    """What would be added, changed, corrected and contradicted, what a file says no longer, and what needs a look."""
    out.print(Text(tally_of(taking), style="" if taking.is_empty else "bold"))
    out.print(SCOPE_OF_RECORDS)
    for section in sections_of(taking, private=private):
        _section(section, out)
    for name in taking.read_again:
        out.print(f"{clean(name)} was read again. We keep how many of its rows we could read.")


def _name(subject: str) -> str:
    return clean(f"{kind_of(subject)} {id_of(subject)}")


def _section(section: ChangeSection, out: Console) -> None:
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0), expand=True)
    first = longest_word(_name(row.subject) for row in section.rows[:_SHOWN])
    table.add_column(ratio=22, width=first, overflow="fold")
    for ratio in (52, 36):
        table.add_column(ratio=ratio, overflow="fold")
    for row in section.rows[:_SHOWN]:
        table.add_row(_name(row.subject), clean(row.what), clean(row.remark))
    title = section.name.upper() + (f": {section.means}" if section.means else "")
    out.print()
    out.print(Text(title, style="dim"))
    out.print(table)
    if len(section.rows) > _SHOWN:
        out.print(f"and {len(section.rows) - _SHOWN} more. Use --json to see all.")
    if section.do:
        out.print(Text(section.do))
