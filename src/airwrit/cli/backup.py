"""`airwrit backup`: a copy of the ledger while it is in use."""

from __future__ import annotations

import json
from pathlib import Path

import click

from airwrit.cli.check import head_text
from airwrit.cli.ledgers import json_option, ledger_option, opened
from airwrit.ledger.copies import copied


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@ledger_option
@json_option
def command(file: Path, ledger: Path | None, as_json: bool) -> int:
    """Copy the ledger to FILE, also while others write to it, and check the copy. Nothing is ever overwritten.

    \b
    Example:
      airwrit backup program-2026-11-25.airwrit
    """
    with opened(ledger) as book:
        head = copied(book, file)
    if as_json:
        click.echo(json.dumps({"question": "backup", "file": file.name, "head": head_text(head)}, indent=1))
    else:
        click.echo(f"wrote {file.name}: {head.size} entries, whole\nhead {head_text(head)}")
    return 0
