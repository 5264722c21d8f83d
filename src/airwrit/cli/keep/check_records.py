"""`airwrit check-records`: is the ledger whole and unforged."""

from __future__ import annotations

import os
import re
import sqlite3
import stat
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from airwrit.base.errors import UsageError
from airwrit.base.part_files import LeftOver, left_over
from airwrit.cli.console import clean
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import opened
from airwrit.cli.shared.options import json_option, ledger_option
from airwrit.ledger.checking.check import CheckReport, Progress, check, fault_text
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.opening import wal_is_safe

_HEAD = re.compile(r"(\d{1,15}):([0-9a-f]{64})")


@click.command()
@ledger_option
@click.option(
    "--head",
    metavar="SIZE:ROOT",
    help="What this command printed earlier. We check that today's log still contains that one.",
)
@click.option(
    "--quick", is_flag=True, help="Check only the log, not what is worked out from it or the file's pages."
)
@json_option
def command(ledger: Path | None, head: str | None, quick: bool, as_json: bool) -> int:
    """Check that the ledger is complete and unchanged. We compute every hash again, and compare everything
    worked out from it.

    We compare kept files and documents with the lines that name them, and checkpoints with the log. The exit
    code is 0 if the ledger is complete. It is 3 if it has contradictions or missing files, and 1 if it is
    damaged or forged. It prints one line that sums up the log (SIZE:ROOT). Keep a copy of it somewhere else.
    You need it to show later that nobody rewrote the whole log.

    \b
    Example:
      airwrit check-records --ledger program.airwrit
    """
    noted = _head(head) if head else None
    with opened(ledger) as book:
        with _progress(as_json) as progress:
            found = check(book, noted, log_only=quick, progress=progress)
        name, path = book.name, book.path
    remarks = _remarks(path)
    if as_json:
        show_json({**_json(found, name, remarks), "log_only": quick})
    else:
        _show(found, path, noted, remarks, quick=quick)
    return 1 if found.faults else 3 if found.clashes or found.lacks_files else 0


@contextmanager
def _progress(as_json: bool) -> Iterator[Progress | None]:
    """A bar that grows with the parts that are done, on a terminal only."""
    if as_json or not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=1, label="checking", file=sys.stderr, show_eta=False) as bar:

        def progress(done: int, of: int) -> None:
            bar.length = of
            bar.update(done - bar.pos)

        yield progress


def _head(text: str) -> Head:
    match = _HEAD.fullmatch("".join(text.split()))
    if match is None:
        raise UsageError(
            f"{text!r} isn't a line that sums up a log",
            where="--head",
            do="copy SIZE:ROOT from `airwrit check-records`",
        )
    return Head(int(match[1]), bytes.fromhex(match[2]))


def _remarks(path: Path) -> list[str]:
    """What is worth knowing of the file and the machine."""
    found = []
    if path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
        found.append(f"Other people can read {path.name}. Set its file mode to 600.")
    if not wal_is_safe(sqlite3.sqlite_version_info):
        found.append(
            f"SQLite {sqlite3.sqlite_version} can lose data in write-ahead mode, so we use a rollback journal."
        )
    return found + [_left_text(one) for one in left_over(Path(os.path.realpath(path)).parent)]


def _left_text(left: LeftOver) -> str:
    """What a file left half written is, and what becomes of it."""
    if left.is_elsewhere:
        return f"{left.path.name} was started on another computer. Delete it there if nothing writes to it."
    return f"{left.path.name} is incomplete. The next file saved to this folder replaces it."


def head_text(head: Head) -> str:
    """A head as it is noted: size and root."""
    return f"{head.size}:{head.root.hex()}"


def _json(found: CheckReport, name: str, remarks: list[str]) -> dict[str, object]:
    return {
        "question": "check",
        "ledger": name,
        "whole": found.is_whole,
        "head": head_text(found.head),
        "entries": found.head.size,
        "faults": [fault._asdict() for fault in found.faults],
        "contradictions": [{"subject": subject, "key": key} for subject, key in found.clashes],
        "blanked": found.blanked,
        "not_here": found.gaps,
        "remarks": remarks,
    }


def _show(found: CheckReport, path: Path, noted: Head | None, remarks: list[str], *, quick: bool) -> None:
    whole = (
        "the log is complete. We didn't check what is worked out from it"
        if quick
        else "complete and unchanged"
    )
    state = whole if found.is_whole else "DAMAGED OR FORGED"
    click.echo(f"{path.name}: {state}, {found.head.size} entries")
    for fault in found.faults:
        click.echo(clean(f"  {fault_text(fault)}"))
    if found.blanked:
        click.echo(f"Removed on request: entry {', '.join(map(str, found.blanked))}")
    show_gaps(found)
    if found.clashes:
        click.echo(f"{len(found.clashes)} contradictions. They count as unknown until you correct one side:")
        for subject, key in found.clashes:
            click.echo(clean(f"  {subject} {key}"))
    for remark in remarks:
        click.echo(clean(f"note: {remark}"))
    click.echo(f"head {head_text(found.head)}")
    if found.is_whole and noted is None:
        click.echo(
            "It is consistent, but nothing outside confirms it. Use --head with a head you kept elsewhere."
        )


def show_gaps(found: CheckReport) -> None:
    """What is not here without a fault that could be told."""
    for gap in found.gaps:
        click.echo(clean(f"missing: {gap}"))
