"""What commands over sheets share: the sheets, the day, what is told for all, and the standing that follows."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import click

from airwrit.answers.standing import Standing
from airwrit.base.times import day_of
from airwrit.cli.options import asked, on_option
from airwrit.cli.standing import answered, answers_told
from airwrit.facts.words import UsedFor
from airwrit.house.rules import read_house
from airwrit.intake.dates import DAY_FIRST, MONTH_FIRST
from airwrit.intake.sheets import read_sheets

PATH = click.Path(path_type=Path)
_SHARED = ("sheets", "on", "use", "owner", "dates", "mapping", "house")


@dataclass(frozen=True, slots=True)
class Fleet:
    """The sheets and what was told with them."""

    sheets: tuple[Path, ...]
    on: date | None
    use: str | None
    owner: str | None
    dates: str | None
    mapping: Path | None
    house: tuple[Path, ...] = ()

    @property
    def day(self) -> date:
        """The day asked about; today where none was given."""
        return day_of(asked(self.on, None))

    def standing(self) -> Standing:
        """How everything in the sheets stands on the day."""
        intake = read_sheets(self.sheets, answers_told(self.mapping, self.dates))
        use = UsedFor(self.use) if self.use else None
        return answered(intake, self.day, use, self.owner, house=read_house(self.house))


def fleet_options(command: Callable[..., int]) -> Callable[..., int]:
    """Give a command the sheets and the options that say how to read them; it gets them as one `fleet`."""

    @functools.wraps(command)
    def called(**given: Any) -> int:
        shared = {name: given.pop(name) for name in _SHARED}
        return command(fleet=Fleet(**shared), **given)

    options = (
        click.argument("sheets", nargs=-1, type=PATH),
        on_option,
        click.option(
            "--use",
            type=click.Choice([use.value for use in UsedFor]),
            help="What all are used for, where no row says.",
        ),
        click.option("--owner", help="Who owns the aircraft, where no row says."),
        click.option(
            "--dates",
            type=click.Choice([MONTH_FIRST, DAY_FIRST]),
            help="How dates like 03/04/2026 are meant, where a column leaves it open.",
        ),
        click.option("--mapping", type=PATH, help="Read columns as this saved file says."),
        click.option("--house", type=PATH, multiple=True, help="Judge by this file of house rules too."),
    )
    for option in reversed(options):
        called = option(called)
    return called
