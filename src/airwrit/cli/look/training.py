"""`airwrit training`: the training plan by person with its gaps, and practice by model."""

from __future__ import annotations

import click

from airwrit.answers.upkeep.training import training_of
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option
from airwrit.cli.shown.upkeep import show_upkeep


@click.command()
@fleet_options
@click.option("--person", default="", help="Only this person.")
@json_option
def command(fleet: Fleet, person: str, as_json: bool) -> int:
    """Show the gaps in everybody's training, how lately they flew each model, and the courses on record.

    The plan is made of your house rules: courses by role, and landings or hours on a model.

    \b
    Example:
      airwrit training --house rules.toml --person "Nela Quist"
    """
    return show_upkeep(training_of(fleet.standing(), person), as_json=as_json)
