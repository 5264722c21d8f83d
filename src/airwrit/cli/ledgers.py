"""What the commands over a ledger share: which file it is, who writes, the question before anything is kept."""

from __future__ import annotations

import getpass
import os
import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

import click

from airwrit.answers.taking_in import Before, Taking, before, unread_in
from airwrit.base.errors import UsageError
from airwrit.base.times import When
from airwrit.cli.options import InstantType, now
from airwrit.facts.state import State
from airwrit.facts.statement import Problem, Source
from airwrit.intake.sheets import Answers, Intake, read_sheets
from airwrit.ledger.entry import Entry
from airwrit.ledger.store import KeptFile, Ledger

DEFAULT = "program.airwrit"
VARIABLE = "AIRWRIT_LEDGER"

ledger_option = click.option(
    "--ledger",
    type=click.Path(path_type=Path),
    help=f"The ledger's file; else {VARIABLE}, else {DEFAULT} in this folder.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="One JSON document in place of text.")
by_option = click.option("--by", help="Who puts it on record; the login name if left out.")
yes_option = click.option("--yes", is_flag=True, help="Keep it without asking.")
known_at_option = click.option(
    "--known-at",
    type=InstantType(),
    help="Of a ledger: only what was on record at this moment, with its zone.",
)


def ledger_path(told: Path | None) -> Path:
    """The file of the ledger: the one told, else the one of the environment, else the one of this folder."""
    return told or Path(os.environ.get(VARIABLE) or DEFAULT)


def opened(told: Path | None) -> Ledger:
    """The ledger, which has to be there."""
    return Ledger(ledger_path(told))


def held_in(path: Path) -> Before:
    """What the ledger at `path` holds; nothing where there is none yet."""
    if not path.exists():
        return Before(0, {}, {})
    with Ledger(path) as book:
        return before(book)


def kept_in(path: Path, taking: Taking, files: Sequence[KeptFile] = ()) -> tuple[Entry, ...]:
    """Keep what was worked out, in a new ledger where there is none yet. LedgerMoved when others wrote meanwhile."""
    with Ledger(path) if path.exists() else Ledger.begin(path) as book:
        return book.append(taking.drafts, now, after=taking.after, files=files)


class AsOf(NamedTuple):
    """Which ledger is asked, about which day or instant, as known at which moment; None for the usual one, and for now."""

    ledger: Path | None
    on: When
    known_at: datetime | None


def read_fleet(sheets: Sequence[Path], answers: Answers, asof: AsOf) -> tuple[Intake, State | None]:
    """What sheets say; without sheets what the ledger says, with the state that it makes. UsageError without either."""
    if sheets:
        if asof.ledger is not None or asof.known_at is not None:
            raise UsageError(
                "sheets and a ledger were both named",
                where="--ledger, --known-at",
                do="leave one of them out",
            )
        return read_sheets(sheets, answers), None
    path = ledger_path(asof.ledger)
    if asof.ledger is None and not os.environ.get(VARIABLE) and not path.exists():
        raise UsageError(
            f"no sheet was named, and there is no ledger {path.name} here",
            where="SHEETS",
            do="name a file, or try `airwrit demo`",
        )
    with Ledger(path) as book:
        known_at = asof.known_at or max(now(), book.last_moment())
        head = book.head_at(known_at)
        problems = unread_in(book, known_at) + [
            Problem(
                path.name, f"this version does not know what {name!r} means", "use a newer version", (), True
            )
            for name in book.strange_keys()
        ]
        state = book.state(asof.on, known_at)
        source = Source(f"{path.name} ({head.size} entries)", head.root.hex())
        return Intake(tuple(book.known(known_at)), tuple(problems), (source,), ()), state


def writer(told: str | None) -> str:
    """Who puts things on record: the name told, else the login name."""
    if told:
        return told
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError) as fault:
        raise UsageError("this login has no name", where="--by", do="say who you are") from fault


def may_keep(yes: bool, ask: Callable[[], str]) -> bool:
    """Whether to keep what was shown: by option, or by asking on a terminal; never without either."""
    if yes:
        return True
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    return click.confirm(ask(), default=False)
