"""Options that several commands share: the day or instant of the question, and which file the ledger is."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime
from pathlib import Path

import click

from airwrit.base.days import When, parse_day, parse_when
from airwrit.base.errors import UsageError

DEFAULT = "program.airwrit"
VARIABLE = "AIRWRIT_LEDGER"

ledger_option = click.option(
    "--ledger",
    type=click.Path(path_type=Path),
    help=f"The ledger file ({VARIABLE} or {DEFAULT} in this folder if you leave it out).",
)


def ledger_path(told: Path | None) -> Path:
    """The file of the ledger: the one told, else the one of the environment, else the one of this folder."""
    return told or Path(os.environ.get(VARIABLE) or DEFAULT)


class DayType(click.ParamType[date]):
    """A civil day written year-month-day."""

    name = "day"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """The day, or a usage error that names the form."""
        if isinstance(value, date):
            return value
        try:
            return parse_day(str(value))
        except ValueError:
            return self.fail(f"{value!r} isn't a date. Write it like 2026-05-31", param, ctx)


class InstantType(click.ParamType[datetime]):
    """An instant with its zone."""

    name = "instant"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        """The instant, or a usage error that names the form; a time without zone is refused."""
        if isinstance(value, datetime):
            return value
        try:
            when = parse_when(str(value))
        except ValueError:
            when = None
        if isinstance(when, datetime):
            return when
        return self.fail(
            f"{value!r} isn't a time with its zone. Write it like 2026-05-31T14:00-05:00", param, ctx
        )


on_option = click.option("--on", type=DayType(), help="The day to check (today if you leave it out).")
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
at_option = click.option("--at", type=InstantType(), help="A time with its time zone, instead of a day.")


def asked(on: date | None, at: datetime | None) -> When:
    """The day or instant of the question; today where neither is given. UsageError when both are."""
    if on is not None and at is not None:
        raise UsageError("you used both a date and a time", where="--on, --at", do="use only one of the two")
    return at or on or now().astimezone().date()


def now() -> datetime:
    """The present instant."""
    return datetime.now(UTC)
