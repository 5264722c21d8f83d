"""`airwrit backup`: a copy of the ledger while it is in use."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.cli.json_out import show_json
from airwrit.cli.keep.check_records import head_text, show_gaps
from airwrit.cli.shared.ledger import note_given, opened
from airwrit.cli.shared.options import json_option, ledger_option
from airwrit.ledger.copies import copied


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@ledger_option
@json_option
def command(file: Path, ledger: Path | None, as_json: bool) -> int:
    """Save a copy of the ledger to FILE, even while others are using it, and check the copy. An existing file
    is never overwritten.

    \b
    Example:
      airwrit backup program-2026-11-25.airwrit
    """
    with opened(ledger) as book:
        found = copied(book, file)
        note_given(book, "backup", file)
    head = head_text(found.head)
    if as_json:
        document = {"question": "backup", "file": file.name, "head": head, "not_here": found.gaps}
        show_json(document)
    else:
        click.echo(f"Saved {file.name}: {found.head.size} entries, all of them.")
        show_gaps(found)
        click.echo(f"head {head}")
    return 0
