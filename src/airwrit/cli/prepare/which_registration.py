"""`airwrit which-registration`: how an aircraft has to be registered, question by question or by what is on record."""

from __future__ import annotations

import sys
from datetime import date, datetime
from pathlib import Path

import click

from airwrit.answers.asking.ask import AskAnswer, ask
from airwrit.answers.asking.dialogue import Dialogue
from airwrit.answers.asking.json import ask_json
from airwrit.answers.standing.standing import contradictions
from airwrit.base.days import When, day_of
from airwrit.base.errors import UsageError
from airwrit.cli.console import console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.prepare.questions import ask_all
from airwrit.cli.shared.facts_asked import FactsAsked, answer_about, every_option, use_option
from airwrit.cli.shared.ledger import known_at_option
from airwrit.cli.shared.options import asked, at_option, json_option, ledger_option, now, on_option
from airwrit.cli.shown.ask import show_answer
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import USED_FOR
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import subject_named
from airwrit.law.parameters import FIRST_DAY


@click.command()
@click.argument("aircraft", required=False)
@on_option
@at_option
@ledger_option
@known_at_option
@use_option
@every_option
@json_option
def command(
    aircraft: str | None,
    on: date | None,
    at: datetime | None,
    ledger: Path | None,
    known_at: datetime | None,
    use: str | None,
    every: bool,
    as_json: bool,
) -> int:
    """Find out how to register an aircraft. Without AIRCRAFT, we ask you one question at a time.

    AIRCRAFT is the name of an aircraft on record. You type your answers, or send them as lines of standard
    input.

    \b
    Examples:
      airwrit which-registration
      airwrit which-registration H-03
    """
    flown_for = None if use is None else UsedFor(use)
    if aircraft is None and ledger is None and known_at is None:
        answer = _dialogue(asked(on, at), flown_for, as_json)
    else:
        subject = aircraft and subject_named("aircraft", aircraft.removeprefix("aircraft/"))
        answer = answer_about(FactsAsked(subject, on, at, ledger, known_at, flown_for))
    if as_json:
        show_json(ask_json(answer))
    else:
        show_answer(answer, console(), every=every)
    return EXIT[answer.verdict]


def _dialogue(when: When, use: UsedFor | None, as_json: bool) -> AskAnswer:
    """The answer to what was said, question by question; with --json the questions go to stderr."""
    if day_of(when) < FIRST_DAY:
        raise UsageError(
            f"{day_of(when)} is too early. We check dates from {FIRST_DAY} on",
            where="--on",
            do="use a later date",
        )
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
