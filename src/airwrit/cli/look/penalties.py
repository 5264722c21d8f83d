"""`airwrit penalties`: the most that the law provides when rules are broken."""

from __future__ import annotations

from datetime import date

import click

from airwrit.answers.registration.penalties import exposure, exposure_json
from airwrit.base.days import day_of
from airwrit.cli.console import console
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.options import asked, json_option, on_option
from airwrit.cli.shown.ask import show_exposure


@click.command()
@on_option
@json_option
def command(on: date | None, as_json: bool) -> int:
    """Show the maximum penalties for breaking rules. This isn't a forecast.

    \b
    Example:
      airwrit penalties --on 2026-11-25
    """
    found = exposure(day_of(asked(on, None)))
    show_json(exposure_json(found)) if as_json else show_exposure(found, console())
    return 0
