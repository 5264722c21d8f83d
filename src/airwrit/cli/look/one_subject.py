"""`airwrit aircraft` and `airwrit person`: one aircraft or one person in full."""

from __future__ import annotations

import click

from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.cli.shared.options import json_option
from airwrit.cli.shown.standing import show_one


@click.command("aircraft")
@click.argument("name")
@fleet_options
@click.option("--counsel", is_flag=True, help="Also show documents marked for counsel.")
@json_option
def aircraft(name: str, fleet: Fleet, counsel: bool, as_json: bool) -> int:
    """Show everything about one aircraft: whether it is OK, and if not, why and what to do first.

    NAME is its name or its registration number. Without SHEETS, we look in the records.

    \b
    Examples:
      airwrit aircraft UAS-1
      airwrit aircraft UAS-1 fleet.xlsx --on 2026-11-25
    """
    return show_one("aircraft", name, fleet, counsel=counsel, as_json=as_json)


@click.command("person")
@click.argument("name")
@fleet_options
@click.option("--counsel", is_flag=True, help="Also show documents marked for counsel.")
@json_option
def person(name: str, fleet: Fleet, counsel: bool, as_json: bool) -> int:
    """Show everything about one person: whether they are current, and if not, why and what to do first.

    Without SHEETS, we look in the records.

    \b
    Examples:
      airwrit person "Dana Reyes"
      airwrit person "Dana Reyes" fleet.xlsx --on 2026-11-25
    """
    return show_one("person", name, fleet, counsel=counsel, as_json=as_json)
