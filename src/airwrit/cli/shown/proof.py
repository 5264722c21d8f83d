"""What follows from a proof or a checkpoint and what does not, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from rich.table import Table
from rich.text import Text

from airwrit.cli.console import clean, console, said
from airwrit.ledger.excerpt.check import Conclusion, Follows

EXIT_OF = {Follows.FOLLOWS: 0, Follows.VOUCHED: 0, Follows.CONTRADICTS: 1, Follows.OPEN: 3}
"""Exit codes of what a proof comes to."""

SIGN_OF = {
    Follows.FOLLOWS: "|--|",
    Follows.VOUCHED: "|--|",
    Follows.CONTRADICTS: "|//|",
    Follows.OPEN: "|..|",
}
"""How each outcome is marked, always beside its word."""

_TITLES = {
    Follows.CONTRADICTS: "CONTRADICTED: this was changed after it was written",
    Follows.FOLLOWS: "THE LINES SHOW THIS",
    Follows.VOUCHED: "THE SIGNER VOUCHES FOR THIS: the lines alone can't show it",
    Follows.OPEN: "THE LINES DON'T SHOW THIS",
}


def show_conclusions(found: Sequence[Conclusion]) -> None:
    """All conclusions: contradictions first, then what follows, what the signer vouches for, and what stays open."""
    out = console()
    for how, title in _TITLES.items():
        mine = [one for one in found if one.how is how]
        if not mine:
            continue
        out.print(Text(title, style="bold" if how is Follows.CONTRADICTS else "dim"))
        table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0), expand=True)
        table.add_column(width=4, no_wrap=True)
        for ratio in (24, 70):
            table.add_column(ratio=ratio, overflow="fold")
        for one in mine:
            table.add_row(Text(SIGN_OF[how]), Text(clean(one.where)), Text(said(one.says)))
        out.print(table)
        out.print()
