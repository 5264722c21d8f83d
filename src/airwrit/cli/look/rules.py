"""`airwrit rules`: which rules there are, and the numbers and switches behind one, through time."""

from __future__ import annotations

import difflib
from datetime import date
from typing import Any

import click
from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_LAW
from airwrit.answers.lookup.law import is_in_force, rule_json
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import day_words, with_days
from airwrit.cli.console import console, print_rows
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.options import asked, now, on_option
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rule import Rule
from airwrit.law.rulebook import BY_NAME


@click.command()
@click.argument("rule", required=False)
@on_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(rule: str | None, on: date | None, as_json: bool) -> int:
    """Show what a rule required over the years, with its section, its source and the date we read its text.

    Without RULE, we list all rules.

    \b
    Example:
      airwrit rules marked_outside --on 2019-02-24
    """
    day, today = day_of(asked(on, None)), now().astimezone().date()
    if day < FIRST_DAY:
        raise UsageError(
            f"{day} is too early. We check dates from {FIRST_DAY} on",
            where="--on",
            do="use a later date",
        )
    chosen = tuple(BY_NAME.values()) if rule is None else (_named(rule),)
    told = [rule_json(each, day, today) for each in chosen]
    if as_json:
        show_json(told if rule is None else told[0])
    elif rule is None:
        _list(told)
    else:
        _show(told[0], day, console())
    return 0


def _named(name: str) -> Rule:
    rule = BY_NAME.get(name.replace("-", "_").replace(" ", "_"))
    if rule is None:
        near = difflib.get_close_matches(name, BY_NAME, n=1, cutoff=0.4)
        do = f"did you mean {near[0]}?" if near else "`airwrit rules` lists them"
        raise UsageError(f"no rule is named {name!r}", where="rules", do=do)
    return rule


def _list(rules: list[dict[str, Any]]) -> None:
    out = console()
    out.print(SCOPE_OF_LAW)
    lines = [
        (
            rule["rule"],
            rule["about"],
            rule["asks"],
            ", ".join(dict.fromkeys(one["name"] for one in rule["asked_by"])),
        )
        for rule in rules
    ]
    name, about, by = (-max(len(line[column]) for line in lines) for column in (0, 1, 3))
    print_rows(lines, (name, about, 1, by), out, titles=("RULE", "ABOUT", "ASKS", "ASKED BY"))


def _show(rule: dict[str, Any], day: date, out: Console) -> None:
    show_late(day, out)
    out.print(SCOPE_OF_LAW)
    out.print(Text(f"{rule['rule']}  (about: {rule['about']})", style="bold"))
    out.print(rule["asks"])
    out.print("Asked by " + "; ".join(one["says"] for one in rule["asked_by"]) + ".")
    for param in rule["parameters"]:
        out.print()
        held = "we haven't read the law for that day" if param["in_force"] is None else param["in_force"]
        unit = f" {param['unit']}" if param["unit"] and param["in_force"] is not None else ""
        out.print(Text(param["title"], style="bold"))
        out.print(f"  on {day_words(day)}: {held}{unit}")
        for value in param["values"]:
            _show_span(value, day, out)
    out.print()
    out.print(Text("Not legal advice. Look up the section before you rely on it.", style="dim"))


def _show_span(value: dict[str, Any], day: date, out: Console) -> None:
    until = value["until"] or "still in force when we last read it"
    sign = ">" if is_in_force(value, day) else " "
    open_reading = "; the text isn't clear" if value["open_reading"] else ""
    out.print(with_days(f"  {sign} {value['from']} to {until}: {value['value']}"))
    read = f"{value['read']}, {value['read_days_ago']} days ago"
    also = f"; also {', '.join(value['also'])}" if value["also"] else ""
    sure = f"confidence {value['confidence']}{open_reading}"
    source = f"{value['cites']}; {value['source']} ({value['had']}), {read}{also}; {sure}"
    out.print(Padding(Text(with_days(source), style="dim"), (0, 0, 0, 6)))
