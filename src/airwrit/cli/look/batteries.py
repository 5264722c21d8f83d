"""`airwrit batteries`: every battery, whether it is fit, its cycles and what is left of its capacity."""

from __future__ import annotations

import click

from airwrit.answers.upkeep.batteries import batteries_of
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option
from airwrit.cli.shown.upkeep import show_upkeep


@click.command()
@fleet_options
@json_option
def command(fleet: Fleet, as_json: bool) -> int:
    """Show every battery: whether it is fit to fly with, its cycles, and what is left of its capacity.

    Cycles are counted from the flights on record, after the count last read off the battery.

    \b
    Example:
      airwrit batteries --on 2026-11-25
    """
    return show_upkeep(batteries_of(fleet.standing()), as_json=as_json)
