"""`airwrit whose-name`: whose name to register an organization's aircraft in, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from pathlib import Path
from typing import NamedTuple

import click

from airwrit.answers.asking.ask import not_available_to
from airwrit.answers.registration.whose_name import WhoseName, how_often, obeying, whose_name, whose_name_json
from airwrit.answers.registration.whose_ways import (
    AIRCRAFT_IF_LEFT_OUT,
    TURNOVER_IF_LEFT_OUT,
    YEARS_IF_LEFT_OUT,
    InShort,
    whose_name_in_short,
)
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.cli.console import console
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.facts_asked import FactsAsked, answer_about, use_option
from airwrit.cli.shared.ledger import known_at_option
from airwrit.cli.shared.options import at_option, json_option, ledger_option, on_option
from airwrit.cli.shown.ask import show_whose_name
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT
from airwrit.intake.typed.reply import read_reply


@click.command()
@click.argument("facts", required=False, metavar="[FACTS | SUBJECT]")
@on_option
@at_option
@ledger_option
@known_at_option
@use_option
@click.option("--aircraft", type=int, help="How many aircraft (1 if you leave it out).")
@click.option("--turnover", help="How many times a year the lead changes (0.5 if you don't set it).")
@click.option("--years", type=int, help="Over how many years (6 if you leave it out).")
@click.option("--weight", help="Its takeoff weight, like 26 kg, if FACTS doesn't give it.")
@click.option(
    "--abroad", is_flag=True, help="It is also flown outside the US. Use this if FACTS doesn't say."
)
@click.option("--trust", is_flag=True, help="A trust owns it. Use this if FACTS doesn't say.")
@json_option
def command(
    facts: str | None,
    on: date | None,
    at: datetime | None,
    ledger: Path | None,
    known_at: datetime | None,
    use: str | None,
    aircraft: int | None,
    turnover: str | None,
    years: int | None,
    weight: str | None,
    abroad: bool,
    trust: bool,
    as_json: bool,
) -> int:
    """Compare whose name to register an organization's aircraft in: the work, the fees, and what happens when
    the lead leaves.

    Add FACTS (a TOML file) or a SUBJECT on record to leave out the options that aircraft doesn't have.

    \b
    Examples:
      airwrit whose-name --aircraft 10 --years 6
      airwrit whose-name aircraft/H-03
    """
    told = FactsAsked(facts, on, at, ledger, known_at, None if use is None else UsedFor(use))
    if facts is None:
        _nothing_in_vain("without FACTS", {"--use": use, "--ledger": ledger, "--known-at": known_at})
    else:
        in_short = {"--weight": weight, "--abroad": abroad or None, "--trust": trust or None}
        _nothing_in_vain("with FACTS", in_short)
    side = _side_by_side(_Whose(aircraft, turnover, years, weight, abroad, trust), told)
    show_json(whose_name_json(side)) if as_json else show_whose_name(side, console())
    return 0


def _nothing_in_vain(where: str, told: Mapping[str, object]) -> None:
    """UsageError for what is told with a question that it changes nothing in."""
    vain = [name for name, value in told.items() if value is not None]
    if vain:
        raise UsageError(f"that option changes nothing {where}", where=", ".join(vain), do="leave it out")


class _Whose(NamedTuple):
    """What the command was told for the table of whose name; None for what was left out."""

    aircraft: int | None
    turnover: str | None
    years: int | None
    weight: str | None
    abroad: bool
    trust: bool


def _side_by_side(whose: _Whose, told: FactsAsked) -> WhoseName:
    """The options compared, less those not available to the aircraft of the facts, or by what the options tell."""
    aircraft = AIRCRAFT_IF_LEFT_OUT if whose.aircraft is None else whose.aircraft
    turnover = TURNOVER_IF_LEFT_OUT if whose.turnover is None else how_often(whose.turnover)
    years = YEARS_IF_LEFT_OUT if whose.years is None else whose.years
    if told.facts is None:
        weight = None if whose.weight is None else read_reply(TAKEOFF_WEIGHT, whose.weight)
        in_short = InShort(weight, whose.abroad, whose.trust)
        return whose_name_in_short(aircraft, turnover, years, in_short, told.when)
    answer = answer_about(told)
    day = day_of(answer.report.on)
    return obeying(whose_name(aircraft, turnover, years, day), not_available_to(answer))
