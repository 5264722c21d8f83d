"""`airwrit blank`: take a person's private lines out of the ledger on lawful request."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from airwrit.answers.private_lines import lines_about
from airwrit.answers.taking_json import said_json
from airwrit.answers.taking_words import fact_text
from airwrit.base.errors import UsageError
from airwrit.cli.ledgers import (
    by_option,
    clock_for,
    json_option,
    ledger_option,
    may_keep,
    opened,
    writer,
    yes_option,
)
from airwrit.cli.show import clean
from airwrit.cli.show_ledger import private_option
from airwrit.ledger.blanking import blank
from airwrit.ledger.entry import Entry
from airwrit.ledger.store import Ledger


@click.command()
@click.argument("entries", nargs=-1, type=click.IntRange(1))
@click.option("--person", help="Blank every line with something private of this person, as owner too.")
@click.option("--why", help="Which request it was; without what is to be taken out.")
@private_option
@ledger_option
@by_option
@yes_option
@json_option
def command(
    entries: tuple[int, ...],
    person: str | None,
    why: str | None,
    private: bool,
    ledger: Path | None,
    by: str | None,
    yes: bool,
    as_json: bool,
) -> int:
    """Blank the lines of ENTRIES, by their numbers in `airwrit history`, or a person's private lines, for good.

    They are listed first. The log still verifies. The facts of a blanked line are unknown from then on, for every day and
    every moment asked about. The file it was imported from is blanked too, as a whole. Backups and exports made before still
    hold it: deal with them yourself.

    \b
    Example:
      airwrit blank --person "Ivo Brask" --why "request of 2026-11-20"
    """
    if bool(entries) == (person is not None):
        raise UsageError(
            "it was not said what to blank", where="blank", do="give numbers of entries, or --person NAME"
        )
    with opened(ledger) as book:
        wanted, others = _wanted(book, entries, person)
        if not as_json:
            _list(wanted, others, private=private)
        if not wanted and person is not None:
            raise UsageError("no line holds anything private of that person", where="--person", do="nothing")
        is_agreed = why and may_keep(yes, lambda: "Blank this for good?")
        kept = (
            blank(book, [e.seq for e in wanted] or entries, clock_for(book), writer(by), why or "")
            if is_agreed
            else ()
        )
    if as_json:
        click.echo(json.dumps(_json(wanted, others, kept, private=private), indent=1))
    if not kept:
        do = "give --yes to blank it for good" if why else "say --why, and give --yes to blank it for good"
        raise UsageError("nothing was blanked", where="blank", do=do)
    if not as_json:
        click.echo(f"blanked; entry {', '.join(str(entry.seq) for entry in kept)} says so")
    return 0


def _wanted(
    book: Ledger, numbers: Sequence[int], person: str | None
) -> tuple[Sequence[Entry], Sequence[Entry]]:
    """The entries to blank, and others about the same person. UsageError when one is not there."""
    if person is not None:
        found = lines_about(book, person)
        return found.private, found.others
    entries = []
    for seq in numbers:
        entry = book.entry(seq)
        if entry is None:
            raise UsageError(
                f"there is no line of entry {seq} to blank", where="blank", do="see `airwrit history`"
            )
        entries.append(entry)
    return entries, ()


def _list(wanted: Sequence[Entry], others: Sequence[Entry], *, private: bool) -> None:
    """Every line that would go, and the numbers of those that would stay."""
    for entry in wanted:
        for statement in entry.statements:
            told = fact_text(statement, private=private)
            click.echo(clean(f"entry {entry.seq}: {statement.subject} {told}"))
    files = list(dict.fromkeys(e.source.rpartition(" sha256:")[0] for e in wanted if " sha256:" in e.source))
    if files:
        click.echo(clean(f"and the kept bytes of {', '.join(files)}, as a whole"))
    if others:
        numbers = ", ".join(str(entry.seq) for entry in others)
        click.echo(
            f"Nothing private stands in the other lines about that person, which stay: {numbers}. "
            "Give their numbers to blank them too."
        )


def _json(
    wanted: Sequence[Entry], others: Sequence[Entry], kept: Sequence[Entry], *, private: bool
) -> dict[str, Any]:
    return {
        "question": "blank",
        "lines": [
            {"entry": e.seq, "statements": [said_json(s, private=private) for s in e.statements]}
            for e in wanted
        ],
        "other_lines": [entry.seq for entry in others],
        "blanked": [entry.seq for entry in wanted] if kept else [],
        "kept": [entry.seq for entry in kept],
    }
