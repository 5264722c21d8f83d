"""`airwrit restore`: a ledger out of a backup or of exported lines."""

from __future__ import annotations

from pathlib import Path

import click

from airwrit.base.errors import UnreadableFile
from airwrit.cli.json_out import show_json
from airwrit.cli.keep.check_records import head_text
from airwrit.cli.shared.options import json_option
from airwrit.ledger.copies import copied, from_lines
from airwrit.ledger.sqlite.store import Ledger

_SQLITE = b"SQLite format 3\0"


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--to",
    required=True,
    type=click.Path(path_type=Path),
    help="The new ledger file. It must not exist yet.",
)
@json_option
def command(file: Path, to: Path, as_json: bool) -> int:
    """Make a new ledger from FILE, which is a backup or an export. It gets the same entries and hashes, and
    we check them before we keep it.

    An export has only the entries. Only a backup has the imported files.

    \b
    Example:
      airwrit restore program-2026-11-25.airwrit --to program.airwrit
    """
    try:
        with file.open("rb") as stream:
            is_backup = stream.read(len(_SQLITE)) == _SQLITE
        if is_backup:
            with Ledger(file) as backup:
                head = copied(backup, to).head
        else:
            with file.open(encoding="utf-8", newline="\n") as text:
                head = from_lines((line.removesuffix("\n") for line in text), to, file.name)
    except (OSError, UnicodeDecodeError) as fault:
        raise UnreadableFile(
            "this isn't a ledger or an export"
            if isinstance(fault, UnicodeDecodeError)
            else f"we can't open it ({fault.strerror})",
            where=file.name,
            do="use a backup, or lines from `airwrit export-records`",
        ) from fault
    if as_json:
        show_json({"question": "restore", "file": to.name, "head": head_text(head)})
    else:
        click.echo(f"wrote {to.name}: {head.size} entries, whole\nhead {head_text(head)}")
    return 0
