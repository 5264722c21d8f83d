"""`airwrit history`: all that was ever said of a subject."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.document import ON_RECORDS, SCOPE_OF_RECORDS
from airwrit.answers.history.history import PastStatement, history_of, near
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.sheets.difference import HIDDEN, fact_text, is_hidden
from airwrit.answers.sheets.json import said_json
from airwrit.base.errors import UsageError
from airwrit.cli.console import clean, console, show_caution
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import opened
from airwrit.cli.shared.options import json_option, ledger_option
from airwrit.cli.shown.difference import private_option
from airwrit.ledger.entry import instant_text, name_of_source


@click.command()
@click.argument("subject")
@click.option(
    "--key", "keys", multiple=True, help="Show only this fact. You can use this option more than once."
)
@private_option
@ledger_option
@json_option
def command(subject: str, keys: tuple[str, ...], private: bool, ledger: Path | None, as_json: bool) -> int:
    """Show everything recorded about SUBJECT, in order, with who entered it and what replaced it.

    \b
    Example:
      airwrit history H-03 --key owner
    """
    with opened(ledger) as book:
        subject = the_one_called(subject, book.subjects())
        told = history_of(book, subject)
        if not told:
            like = near(book, subject)
            raise UsageError(
                f"there is no record named {subject!r}",
                where=book.path.name,
                do=f"did you mean {like}?" if like else "`airwrit today` lists the names on record",
            )
    told = [one for one in told if not keys or one.statement.key in keys]
    if as_json:
        show_json(
            {
                "question": "history",
                "subject": subject,
                "said": [_json(o, private=private) for o in told],
                **ON_RECORDS,
            }
        )
    else:
        _show(subject, told, console(), private=private)
    return 0


def _json(one: PastStatement, *, private: bool) -> dict[str, Any]:
    return {
        "number": one.number,
        "recorded_at": instant_text(one.recorded_at),
        "by": one.by,
        "act": one.act,
        "source": one.source,
        "note": one.note,
        **said_json(one.statement, private=private),
        "takes_the_place_of": list(one.answers),
        "answered_by": list(one.answered_by),
    }


def _show(subject: str, told: list[PastStatement], out: Console, *, private: bool) -> None:
    out.print(Text(clean(subject), style="bold"))
    out.print(SCOPE_OF_RECORDS)
    table = Table(
        box=None, pad_edge=False, padding=(0, 2, 0, 0), show_edge=False, header_style="dim", expand=True
    )
    table.add_column("RECORDED (UTC)", no_wrap=True, width=16)
    table.add_column("NUMBER", no_wrap=True)
    table.add_column("SAID", ratio=40, overflow="fold")
    table.add_column("BY", ratio=30, overflow="fold")
    table.add_column("", ratio=20)
    for one in told:
        source = name_of_source(one.source) or one.source
        who = " ".join(
            part for part in (one.by, one.act, source, f"({one.note})" if one.note else "") if part
        )
        gone = f"until entry {one.answered_by[0]}" if one.answered_by else ""
        table.add_row(
            f"{one.recorded_at:%Y-%m-%d %H:%M}",
            one.number,
            Text(clean(fact_text(one.statement, private=private)), style="dim" if gone else ""),
            clean(who),
            gone,
        )
    out.print(table)
    if any(one.statement.value is not None and is_hidden(one.statement.key, private=private) for one in told):
        out.print(f"{HIDDEN} (use --private to see it)")
    show_caution(out)
