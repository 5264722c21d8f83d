"""`airwrit ask`: which way must this aircraft be registered, by facts given in a file or asked for one by one."""

from __future__ import annotations

import hashlib
import json
import sys
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path

import click

from airwrit.answers.as_json import EXIT
from airwrit.answers.ask import AskAnswer, ask
from airwrit.answers.ask_json import ask_json
from airwrit.answers.contradictions import contradictions
from airwrit.answers.dialogue import Dialogue
from airwrit.answers.exposure import exposure, exposure_json
from airwrit.answers.keys_shown import keys_json
from airwrit.answers.told import told_for_all
from airwrit.answers.whose_name import whose_name, whose_name_json
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.times import When, day_of, parse_when
from airwrit.cli.ask_dialogue import ask_all
from airwrit.cli.options import asked, at_option, now, on_option
from airwrit.cli.show import console
from airwrit.cli.show_ask import show_answer, show_exposure, show_whose_name
from airwrit.cli.show_keys import show_keys
from airwrit.facts.aircraft import USED_FOR
from airwrit.facts.state import state_of
from airwrit.facts.statement import Source, Statement
from airwrit.facts.words import UsedFor
from airwrit.intake.facts_file import read_facts
from airwrit.law.parameters import FIRST_DAY

_MOST_BYTES = 1 << 20


@click.command()
@click.argument("facts", required=False, type=click.Path(path_type=Path))
@on_option
@at_option
@click.option(
    "--use",
    type=click.Choice([UsedFor.WORK.value, UsedFor.RECREATION.value]),
    help="What it is flown for, where the facts do not say.",
)
@click.option("--keys", is_flag=True, help="List every fact that can be told, and stop.")
@click.option(
    "--exposure", "exposed", is_flag=True, help="What the law allows at most when rules are broken."
)
@click.option(
    "--whose-name", "whose", is_flag=True, help="Whose name an organization's aircraft should stand in."
)
@click.option("--aircraft", type=int, default=1, help="With --whose-name: how many aircraft; 1 if left out.")
@click.option(
    "--turnover",
    default="0.5",
    help="With --whose-name: how often a year the one in charge leaves; 0.5 if left out.",
)
@click.option("--years", type=int, default=6, help="With --whose-name: over how many years; 6 if left out.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document in place of text.")
def command(
    facts: Path | None,
    on: date | None,
    at: datetime | None,
    use: str | None,
    keys: bool,
    exposed: bool,
    whose: bool,
    aircraft: int,
    turnover: str,
    years: int,
    as_json: bool,
) -> int:
    """Which way must this aircraft be registered: none, Part 48 or Part 47, in whose name, and in which steps.

    Without FACTS the questions come one by one, from a terminal or from lines of standard input; with a TOML file of
    facts nothing is asked, and what is missing is listed.

    \b
    Example:
      airwrit ask survey-drone.toml --on 2026-11-25
    """
    if keys:
        return _keys(as_json)
    if exposed:
        found = exposure(day_of(asked(on, at)))
        _printed(json.dumps(exposure_json(found), indent=1)) if as_json else show_exposure(found, console())
        return 0
    if whose:
        side_by_side = whose_name(aircraft, _how_often(turnover), years, day_of(asked(on, at)))
        if as_json:
            _printed(json.dumps(whose_name_json(side_by_side), indent=1))
        else:
            show_whose_name(side_by_side, console())
        return 0
    kind = None if use is None else UsedFor(use)
    answer = _dialogue(asked(on, at), kind, as_json) if facts is None else _from_file(facts, on, at, kind)
    if as_json:
        _printed(json.dumps(ask_json(answer), indent=1))
    else:
        show_answer(answer, console())
    return EXIT[answer.verdict]


def _how_often(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation as fault:
        raise UsageError(
            f"{text!r} is no number", where="--turnover", do="give how many a year, like 0.5"
        ) from fault


def _printed(text: str) -> None:
    click.echo(text)


def _keys(as_json: bool) -> int:
    rows = keys_json()
    if as_json:
        _printed(json.dumps(rows, indent=1))
    else:
        show_keys(rows, console())
    return 0


def _from_file(path: Path, on: date | None, at: datetime | None, use: UsedFor | None) -> AskAnswer:
    """The answer for a facts file; its own day counts where none was given with the command."""
    text, source = _read(path)
    told = read_facts(text, path.name)
    when: When = parse_when(told.on) if told.on is not None and on is None and at is None else asked(on, at)
    known = told_for_all(told.known, use, None)
    state = state_of(known, when, now())
    if not state.subjects("aircraft"):
        raise UsageError(
            "no aircraft is told of", where=path.name, do="add an [aircraft] table; see airwrit ask --keys"
        )
    state, problems = contradictions(state, now().astimezone().date())
    return ask(state, problems, (source,))


def _read(path: Path) -> tuple[str, Source]:
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise UnreadableFile(
            fault.strerror or "it cannot be read", where=str(path), do="give the path of a file of facts"
        ) from fault
    if len(data) > _MOST_BYTES:
        raise UnreadableFile(
            "it is larger than a file of facts can be", where=path.name, do="give a TOML file of facts"
        )
    try:
        return data.decode("utf-8-sig"), Source(path.name, hashlib.sha256(data).hexdigest())
    except UnicodeDecodeError as fault:
        raise UnreadableFile("it is no text", where=path.name, do="save it as UTF-8") from fault


def _dialogue(when: When, use: UsedFor | None, as_json: bool) -> AskAnswer:
    """The answer to what was said, question by question; with --json the questions go to stderr."""
    if day_of(when) < FIRST_DAY:
        raise UsageError(f"{day_of(when)} is before {FIRST_DAY}", where="--on", do="ask about a later day")
    told = () if use is None else (Statement("aircraft/A", USED_FOR.name, use.value),)
    instant = now()
    dialogue = Dialogue(when, instant, told)
    dialogue = ask_all(
        dialogue,
        instant.astimezone().date(),
        _line,
        lambda text: click.echo(text, err=as_json),
        min(console().width, 100),
    )
    state, problems = contradictions(dialogue.state(), instant.astimezone().date())
    return ask(state, problems)


def _line(prompt: str) -> str | None:
    """The next line of standard input, None at its end; the prompt shows on a terminal only."""
    if sys.stdin.isatty():
        click.echo(prompt, nl=False, err=True)
    try:
        line = sys.stdin.readline()
    except KeyboardInterrupt:
        return None
    except UnicodeDecodeError:
        return "\N{REPLACEMENT CHARACTER}"
    return line or None
