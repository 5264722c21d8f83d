"""`airwrit export-records`: the lines of the ledger, as they were hashed."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.cli.json_out import show_json
from airwrit.cli.keep.check_records import head_text
from airwrit.cli.shared.files import written
from airwrit.cli.shared.ledger import note_given, opened
from airwrit.cli.shared.options import json_option, ledger_option
from airwrit.ledger.copies import exported
from airwrit.ledger.sqlite.store import Ledger


@click.command()
@click.option(
    "--lines",
    type=click.Path(path_type=Path),
    help="Save to this new file, which only you can read. If you leave it out, we print the lines.",
)
@ledger_option
@json_option
def command(lines: Path | None, ledger: Path | None, as_json: bool) -> int:
    """Save every entry as a line of text, exactly as stored.

    The last line sums up the log (SIZE:ROOT), so that another program can check it.
    `airwrit restore` reads them back.

    \b
    Example:
      airwrit export-records --lines program.jsonl
    """
    with opened(ledger) as book, book.reading():
        head = book.head()
        if lines is None:
            found = exported(book)
            if as_json:
                show_json({"question": "export", "head": head_text(head), "lines": found})
            else:
                for line in found:
                    click.echo(line)
            return 0
        written("the export", lines, lambda beside: _write(beside, book), private=True, new=True)
    with opened(ledger) as book:
        note_given(book, "exported lines", lines)
    if as_json:
        show_json({"question": "export", "file": lines.name, "head": head_text(head)})
    else:
        click.echo(f"wrote {lines.name}: {head.size} entries\nhead {head_text(head)}")
    return 0


def _write(path: Path, book: Ledger) -> None:
    with path.open("w", encoding="utf-8", newline="\n") as stream:
        stream.writelines(line + "\n" for line in exported(book))
