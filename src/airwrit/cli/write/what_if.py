"""`airwrit what-if`: acts tried without writing, two futures side by side."""

from __future__ import annotations

from datetime import date, datetime
from typing import NamedTuple

import click

from airwrit.answers.acts.json import whatif_json
from airwrit.answers.acts.plan import Basis, before_of
from airwrit.answers.acts.whatif import whatif
from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.sheets.difference import OnRecord
from airwrit.base.errors import UsageError
from airwrit.cli.console import console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.fleet import Fleet, answers_told, fleet_by_option, fleet_of_sheets
from airwrit.cli.shared.ledger import AsOf, fleet_of_ledger
from airwrit.cli.shared.options import DayType, ledger_path, now
from airwrit.cli.shared.own_rules import house_given
from airwrit.cli.shown.acts import said_in_one, show_whatif
from airwrit.facts.choices import UsedFor
from airwrit.ledger.sqlite.store import Ledger


class _Read(NamedTuple):
    """What is known, as of which moment, and what both futures have in common."""

    held: OnRecord
    known_at: datetime
    basis: Basis


@click.command()
@click.argument("acts", nargs=-1, metavar='"ACT SUBJECT FIELD=VALUE..."...')
@click.option("--then", type=DayType(), multiple=True, help="Also show this later day.")
@fleet_by_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(acts: tuple[str, ...], then: tuple[date, ...], fleet: Fleet, as_json: bool) -> int:
    """Show what would change if you did these acts: what breaks, what to do, by when and at what cost.
    Nothing is saved.

    Put each change in quotes, as for `airwrit record-change`. We try them in order, all on the day of --on. To
    give an act its own day, add on=DAY to it.

    \b
    Example:
      airwrit what-if "sell aircraft/H-03" "leave person/Ann on=2026-12-31" --on 2026-11-25 --then 2027-02-01
    """
    day = fleet.day
    if any(later < day for later in then):
        raise UsageError(f"the --then date is before {day}", where="--then", do="use a date after --on")
    thoughts = [said_in_one(text, day) for text in acts]
    read = _read(fleet)
    found = whatif(read.held, thoughts, (day, *sorted(then)), read.known_at, read.basis)
    if as_json:
        show_json(whatif_json(found))
    else:
        show_whatif(found, console())
    return EXIT[found.verdict]


def _read(fleet: Fleet) -> _Read:
    """What the sheets say, or the ledger, with what was told for all."""
    use = UsedFor(fleet.use) if fleet.use else None
    asof, house = AsOf(fleet.ledger, fleet.when, fleet.known_at), house_given(fleet.house)
    if fleet.sheets:
        intake = fleet_of_sheets(fleet.sheets, answers_told(fleet.mapping, fleet.dates, fleet.owner), asof)
        basis = Basis(intake.problems, (*intake.sources, *house.sources), house.rules)
        return _Read(before_of(told_for_all(intake.known, use, fleet.owner)), now(), basis)
    read = fleet_of_ledger(asof, use, fleet.owner)
    with Ledger(ledger_path(fleet.ledger)) as book:
        held = before_of(told_for_all(book.known(read.state.known_at), use, fleet.owner), book.acts())
    basis = Basis(read.problems, (*read.sources, *house.sources), house.rules)
    return _Read(held, read.state.known_at, basis)
