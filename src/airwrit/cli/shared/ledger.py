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

from airwrit.answers.history.clock import ahead_of_last, ahead_text, far_ahead, stamped_text
from airwrit.answers.history.from_ledger import LedgerRead, read_ledger, told_over
from airwrit.answers.sheets.difference import NOTHING_HELD, Difference, OnRecord, before
from airwrit.base.days import When
from airwrit.base.errors import ClockInDoubt, UsageError
from airwrit.cli.console import clean
from airwrit.cli.shared.options import VARIABLE, InstantType, ledger_path, now
from airwrit.facts.choices import UsedFor
from airwrit.ledger.entry import Entry
from airwrit.ledger.given_out import noted
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.store import Clock, Ledger

_CLOCK_IS_RIGHT = "airwrit.clock_is_right"


def _is_right(ctx: click.Context, _param: click.Parameter, value: bool) -> None:
    ctx.meta[_CLOCK_IS_RIGHT] = value


writer_option = click.option("--by", help="Who enters it (your login name if you leave it out).")
clock_option = click.option(
    "--clock-is-right",
    is_flag=True,
    expose_value=False,
    callback=_is_right,
    help="Confirm that this computer's date is right, even though the last entry is more than a day old.",
)


def by_option(command: Callable[..., int]) -> Callable[..., int]:
    """The options of whoever writes: their name, and that the clock they write by is right."""
    return writer_option(clock_option(command))


yes_option = click.option("--yes", is_flag=True, help="Save it without asking.")
note_option = click.option("--note", default="", help="Why, in your own words. We keep it with the entry.")
known_at_option = click.option(
    "--known-at",
    type=InstantType(),
    help="Use only what was on record at this time (with its time zone).",
)


def opened(told: Path | None) -> Ledger:
    """The ledger, which has to be there."""
    return Ledger(ledger_path(told))


def held_in(path: Path) -> OnRecord:
    """What the ledger at `path` holds; nothing where there is none yet."""
    if not path.exists():
        return NOTHING_HELD
    with Ledger(path) as book:
        return before(book)


def kept_in(path: Path, taking: Difference, files: Sequence[KeptFile] = ()) -> tuple[Entry, ...]:
    """Keep what was worked out, in a new ledger where there is none yet. LedgerMoved when others wrote meanwhile."""
    with Ledger.at(path) as book:
        return book.append(taking.drafts, clock_for(book), after=taking.after, files=files)


def clock_for(book: Ledger) -> Clock:
    """The clock to write by. ClockInDoubt when it is more than a day ahead of the last entry and nobody says that it is right.

    That is asked on a terminal; without one it takes an option of its own, since `--yes` is about what is written. Where the
    last entry is stamped more than a day later than the clock, nothing is written before that is put right.
    """
    stamped = far_ahead(book, now())
    if stamped is not None:
        raise ClockInDoubt(
            f"{stamped_text(stamped)[:-1]}. Nothing was saved",
            where=book.path.name,
            do="if this computer's clock is right, run `airwrit fix-entry-dates --back` once. If not, set the clock",
        )
    ahead = ahead_of_last(book, now())
    if ahead is not None and not click.get_current_context().meta.get(_CLOCK_IS_RIGHT):
        on_terminal = sys.stdin.isatty() and sys.stdout.isatty()
        if not (on_terminal and click.confirm(f"{ahead_text(ahead)} Is the clock right?", default=False)):
            raise ClockInDoubt(
                f"{ahead_text(ahead)[:-1]}. Nothing was saved",
                where=book.path.name,
                do="check this computer's date. If it is right, run this again with --clock-is-right",
            )
    return now


class AsOf(NamedTuple):
    """Which ledger is asked, about which day or instant, as known at which moment; None for the usual one, and for now.

    `kinds` are the kinds of subjects that are read; all where it is empty.
    """

    ledger: Path | None
    on: When
    known_at: datetime | None
    kinds: Sequence[str] = ()


def fleet_of_ledger(asof: AsOf, use: UsedFor | None, owner: str | None) -> LedgerRead:
    """What the ledger says, with what is told for all. UsageError when none was named and none is here."""
    path = ledger_path(asof.ledger)
    if asof.ledger is None and not os.environ.get(VARIABLE) and not path.exists():
        raise UsageError(
            f"you didn't name a sheet, and there is no ledger {path.name} here",
            where="SHEETS",
            do="enter the name of a sheet, or try `airwrit demo`",
        )
    with Ledger(path) as book, book.reading():
        found = read_ledger(book, asof.on, asof.known_at or max(now(), book.last_moment()), asof.kinds)
        return found._replace(state=told_over(book, found.state, use, owner))


def note_given(ledger: Ledger, what: str, path: Path, about: Sequence[str] = ()) -> bool:
    """Note in the ledger that a copy was given out, so that a taking out on request can list it; whether it could be noted.

    Where it cannot be, as on a disk that is only to be read, that is said on stderr and nothing fails.
    """
    trouble = noted(ledger, what, path.name, now, about)
    if trouble:
        click.echo(
            f"airwrit: that {clean(path.name)} was made couldn't be noted ({clean(trouble)})", err=True
        )
    return not trouble


def writer(told: str | None) -> str:
    """Who puts things on record: the name told, else the login name."""
    if told:
        return told
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError) as fault:
        raise UsageError(
            "we can't tell your name from this login", where="--by", do="add --by NAME"
        ) from fault


def is_at_terminal() -> bool:
    """Whether somebody reads and can answer."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def may_keep(yes: bool, ask: Callable[[], str]) -> bool:
    """Whether to keep what was shown: by option, or by asking on a terminal; never without either."""
    if yes:
        return True
    if not is_at_terminal():
        return False
    return click.confirm(ask(), default=False)
