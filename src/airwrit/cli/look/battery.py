"""`airwrit battery`: one battery in full."""

from __future__ import annotations

import click

from airwrit.answers.upkeep.batteries import batteries_of
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option
from airwrit.cli.shown.upkeep import show_upkeep


@click.command()
@click.argument("name")
@fleet_options
@json_option
def command(name: str, fleet: Fleet, as_json: bool) -> int:
    """Show one battery: whether it is fit to fly with, why not, its cycles, and what is left of its capacity.

    \b
    Example:
      airwrit battery TF-B1 --on 2026-11-25
    """
    return show_upkeep(batteries_of(fleet.standing(), name), as_json=as_json)
