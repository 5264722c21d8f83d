"""`airwrit legal-hold`: records that have to stay, set and released by a named person for a reason."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.removal.holds import ALL, Hold, hold_json, hold_text, holds_of, release, set_hold
from airwrit.base.errors import UsageError
from airwrit.cli.console import clean
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import clock_for, clock_option, may_keep, opened, writer, yes_option
from airwrit.cli.shared.options import json_option, ledger_option
from airwrit.facts.keys.program import HoldKind
from airwrit.ledger.sqlite.store import Ledger

KINDS = {
    "incident": HoldKind.INCIDENT,
    "ntsb": HoldKind.ACCIDENT_RECORDS,
    "litigation": HoldKind.LITIGATION,
    "public-records": HoldKind.PUBLIC_RECORDS,
}
"""The kinds of holds, as they are typed."""


@click.command()
@click.argument("subject", required=False)
@click.option(
    "--kind", type=click.Choice(list(KINDS)), help="Why the record has to stay. ntsb is for 49 CFR 830.10."
)
@click.option("--why", help="The reason, in your words.")
@click.option("--by", help="The person who sets or releases the hold.")
@click.option(
    "--release",
    "released",
    type=click.IntRange(1),
    metavar="NUMBER",
    help="Release the hold with this number.",
)
@click.option("--list", "listed", is_flag=True, help="List every hold, including released ones, and exit.")
@ledger_option
@clock_option
@yes_option
@json_option
def command(
    subject: str | None,
    kind: str | None,
    why: str | None,
    by: str | None,
    released: int | None,
    listed: bool,
    ledger: Path | None,
    yes: bool,
    as_json: bool,
) -> int:
    """Put a hold on the record of SUBJECT, such as aircraft/H-03 or incident/2026-1.

    Nothing in it can be removed until you release it.

    The hold covers the record, the people and things it names, and their documents. `all` covers the whole
    ledger. The ledger records who set it, why and when, and who released it and why.

    \b
    Example:
      airwrit legal-hold aircraft/H-03 --kind ntsb --why "reported May 4, 2026" --by "Dana Reyes"
    """
    with opened(ledger) as book:
        if listed:
            return _show(holds_of(book), as_json)
        if (subject is None) == (released is None):
            raise UsageError(
                "you didn't say what to hold", where="legal-hold", do="name a record, or use --release NUMBER"
            )
        if not by or not why:
            raise UsageError(
                "a hold needs a person and a reason", where="legal-hold", do="add --by NAME and --why REASON"
            )
        if subject is not None and subject != ALL:
            subject = the_one_called(subject, book.subjects())
        number = _written(book, subject, kind, why, by, released, yes)
        found = [hold for hold in holds_of(book) if hold.number == number]
    return _show(found, as_json)


def _written(
    book: Ledger, subject: str | None, kind: str | None, why: str, by: str, released: int | None, yes: bool
) -> int:
    """Set or release a hold, if that is agreed to; the number of the hold."""
    what = f"Release hold {released}?" if released else f"Hold the record of {subject}?"
    if subject is not None and kind is None:
        raise UsageError(
            "you didn't say what kind of hold", where="--kind", do=f"choose one of {', '.join(KINDS)}"
        )
    if not may_keep(yes, lambda: what):
        raise UsageError("nothing was saved", where="legal-hold", do="add --yes to save it")
    if released is not None:
        release(book, released, by, why, clock_for(book), writer(None))
        return released
    return set_hold(book, subject or "", KINDS[kind or ""], by, why, clock_for(book), writer(None)).seq


def _show(holds: list[Hold], as_json: bool) -> int:
    if as_json:
        show_json({"question": "hold", "holds": [hold_json(one) for one in holds]})
        return 0
    for one in holds:
        click.echo(clean(hold_text(one)))
    if not holds:
        click.echo("No hold is on record.")
    return 0
