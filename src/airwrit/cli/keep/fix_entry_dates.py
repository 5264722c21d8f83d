"""`airwrit fix-entry-dates`: entries that a clock ahead of time stamped, and the way back."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.history.clock import clock_json, clock_put_back, spoken, stamped_ahead, stamped_text
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import may_keep, note_option, opened, writer, writer_option, yes_option
from airwrit.cli.shared.options import json_option, ledger_option, now


@click.command()
@click.option("--back", is_flag=True, help="Use this computer's clock from now on, and record that.")
@note_option
@ledger_option
@writer_option
@yes_option
@json_option
def command(back: bool, note: str, ledger: Path | None, by: str | None, yes: bool, as_json: bool) -> int:
    """Check whether the last entry is dated later than this computer's clock. If so, a clock was ahead when
    it was saved.

    Entries are never dated before the last one, so new entries would get the wrong date too. With --back, we
    record which dates are wrong, and new entries use the clock again. Nothing is erased, and every checkpoint
    stays good. Check this computer's date first. The exit code is 3 while entries are dated ahead.

    \b
    Example:
      airwrit fix-entry-dates --back --note "the computer's battery was empty"
    """
    moment = now()
    with opened(ledger) as book:
        found, entry = stamped_ahead(book, moment), None
        if found is not None and not as_json:
            click.echo(stamped_text(found))
            click.echo(f"This computer's clock says {spoken(moment)}.")
        if (
            found is not None
            and back
            and may_keep(yes, lambda: "Is the clock right, and should we use it from now on?")
        ):
            entry = clock_put_back(book, moment, writer(by), note)
    if as_json:
        show_json(clock_json(found, moment) | {"kept": entry and entry.seq})
    elif found is None:
        click.echo("No entry is stamped later than this computer's clock.")
    elif entry is None:
        click.echo("Nothing was saved. If the clock is right, add --back and --yes.")
    else:
        click.echo(f"Entry {entry.seq} says so. Later entries use this computer's clock.")
    return 0 if found is None or entry is not None else 3
