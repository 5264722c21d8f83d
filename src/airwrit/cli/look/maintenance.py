"""`airwrit maintenance`: defects, work done, what is due next, and how aircraft are set up."""

from __future__ import annotations

import click

from airwrit.answers.upkeep.maintenance import maintenance_of
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option
from airwrit.cli.shown.upkeep import show_upkeep


@click.command()
@fleet_options
@click.option("--aircraft", default="", help="Only this aircraft.")
@json_option
def command(fleet: Fleet, aircraft: str, as_json: bool) -> int:
    """Show what keeps aircraft out of service, what maintenance is due next, defects, work done, and settings.

    What is due next comes from your house rules: by hours, flights, landings or days since a task.

    \b
    Example:
      airwrit maintenance --house rules.toml --aircraft "Alder 1"
    """
    return show_upkeep(maintenance_of(fleet.standing(), aircraft), as_json=as_json)
