"""`airwrit blank`: take a person's private line out of the ledger on lawful request."""

from __future__ import annotations

import json
from pathlib import Path

import click

from airwrit.answers.taking_words import fact_text
from airwrit.base.errors import UsageError
from airwrit.cli.ledgers import by_option, json_option, ledger_option, may_keep, opened, writer, yes_option
from airwrit.cli.options import now
from airwrit.cli.show import clean
from airwrit.ledger.blanking import blank


@click.command()
@click.argument("entries", nargs=-1, required=True, type=click.IntRange(1))
@click.option("--why", required=True, help="Which request it was; without what is to be taken out.")
@ledger_option
@by_option
@yes_option
@json_option
def command(
    entries: tuple[int, ...], why: str, ledger: Path | None, by: str | None, yes: bool, as_json: bool
) -> int:
    """Blank the lines of ENTRIES, by their numbers in `airwrit history`, for good. The log still verifies.

    The facts of a blanked line are unknown from then on, for every day and every moment asked about. The file it was imported
    from is blanked too. Backups and exports made before still hold it: deal with them yourself.

    \b
    Example:
      airwrit blank 17 --why "request of 2026-11-20"
    """
    with opened(ledger) as book:
        for seq in () if as_json else entries:
            entry = book.entry(seq)
            for statement in () if entry is None else entry.statements:
                click.echo(clean(f"entry {seq}: {statement.subject} {fact_text(statement)}"))
        if not may_keep(yes, lambda: "Blank this for good?"):
            raise UsageError("nothing was blanked", where="blank", do="give --yes to blank for good")
        kept = blank(book, entries, now, writer(by), why)
    numbers = [entry.seq for entry in kept]
    if as_json:
        click.echo(json.dumps({"question": "blank", "blanked": list(entries), "kept": numbers}, indent=1))
    else:
        click.echo(f"blanked; entry {', '.join(map(str, numbers))} says so")
    return 0
