"""`airwrit check-scenario`: what the rules say about an aircraft, a flight or an incident told in a file or on record."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from airwrit.answers.asking.json import ask_json
from airwrit.answers.lookup.facts import keys_json
from airwrit.base.errors import UsageError
from airwrit.cli.console import console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.facts_asked import FactsAsked, answer_about, every_option, use_option
from airwrit.cli.shared.ledger import known_at_option
from airwrit.cli.shared.options import at_option, json_option, ledger_option, on_option
from airwrit.cli.shown.ask import show_answer
from airwrit.facts.choices import UsedFor


@click.command()
@click.argument("facts", required=False, metavar="FACTS | SUBJECT")
@on_option
@at_option
@ledger_option
@known_at_option
@use_option
@every_option
@click.option("--keys", is_flag=True, help="List every fact you can enter, and exit.")
@json_option
def command(
    facts: str | None,
    on: date | None,
    at: datetime | None,
    ledger: Path | None,
    known_at: datetime | None,
    use: str | None,
    every: bool,
    keys: bool,
    as_json: bool,
) -> int:
    """Check an aircraft, a flight or an incident that you describe in a file. We ask no questions, and list
    what is missing.

    FACTS is a TOML file. The tables [flight], [site], [weather] and [crew] describe a flight, and [incident]
    describes an incident. A SUBJECT is something on record, like aircraft/H-03, flight/NAME or incident/NAME.

    \b
    Examples:
      airwrit check-scenario survey-drone.toml --on 2026-11-25
      airwrit check-scenario roof-flight.toml --at 2026-11-25T16:30:00-06:00
      airwrit check-scenario aircraft/H-03 --on 2022-05-10 --known-at 2022-05-10T12:00Z
    """
    if keys:
        rows = keys_json()
        show_json(rows) if as_json else show_keys(rows, console())
        return 0
    if facts is None:
        raise UsageError(
            "you didn't name a FACTS file",
            where="FACTS",
            do="name one, or answer questions with `airwrit which-registration`",
        )
    answer = answer_about(FactsAsked(facts, on, at, ledger, known_at, None if use is None else UsedFor(use)))
    if as_json:
        show_json(ask_json(answer))
    else:
        show_answer(answer, console(), every=every)
    return EXIT[answer.verdict]


_RULES = 6


def show_keys(rows: Iterable[dict[str, Any]], out: Console) -> None:
    """Print the keys under their tables: name, kind and unit, meaning, question, and rules that look at it."""
    table = ""
    for row in rows:
        if row["table"] != table:
            table = row["table"]
            out.print()
            out.print(Text(f"[{table}]", style="bold"))
        unit = f" in {row['unit']}" if row["unit"] else ""
        private = ", private" if row["private"] else ""
        out.print(f"{row['key']}: {row['kind']}{unit}{private}")
        lines = [f"{row['meaning']}. {row['question']}"]
        if row["one_of"]:
            lines.append("one of: " + "; ".join(row["one_of"]))
        rules = row["rules"]
        more = f" and {len(rules) - _RULES} more" if len(rules) > _RULES else ""
        lines.append(
            "rules: " + (", ".join(rules[:_RULES]) + more if rules else "none yet; kept for records")
        )
        out.print(Padding(Text("\n".join(lines), style="dim"), (0, 0, 0, 4)))
