"""`airwrit incident`: whom to notify after an incident, by when, or why not."""

from __future__ import annotations

import os
import sys
from datetime import datetime
from pathlib import Path

import click

from airwrit.answers.incident.decision import IncidentAnswer, decided
from airwrit.answers.incident.told import incident_json
from airwrit.answers.incident.typed import TELLS, typed_incident
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.console import console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.place.incident_questions import ask_all
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.ledger import AsOf, fleet_of_ledger
from airwrit.cli.shared.ledger_file import VARIABLE, ledger_option, ledger_path
from airwrit.cli.shared.options import InstantType, json_option, now
from airwrit.cli.shown.incident import show_incident
from airwrit.facts.state import State, state_of, with_held
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.intake.typed.facts_file import read_facts


@click.command()
@click.argument("name", required=False)
@click.option("--facts", type=PATH, help="A facts file with [incident], and [aircraft] or [paper] if needed.")
@click.option(
    "--set", "typed", multiple=True, metavar="FACT=ANSWER", help="One fact of the incident; may be repeated."
)
@click.option("--keys", is_flag=True, help="List every fact you can give, and stop.")
@click.option("--at", type=InstantType(), help="As of this instant, with its zone; now if left out.")
@ledger_option
@json_option
def command(
    name: str | None,
    facts: Path | None,
    typed: tuple[str, ...],
    keys: bool,
    at: datetime | None,
    ledger: Path | None,
    as_json: bool,
) -> int:
    """Whom to notify after an incident, by when, or why it isn't reportable.

    With no facts the questions come one by one. Answer ? when you don't know. NAME is an incident on record. Nothing is
    sent, and nothing is saved.

    \b
    Examples:
      airwrit incident
      airwrit incident --set "happened_on=2026-12-01 14:40" --set incident_zone=America/Denver
        --set anyone_hurt=nobody --set "repair_cost_usd=1150"
      airwrit incident --facts crash.toml --json
    """
    if keys:
        for key in TELLS.values():
            click.echo(f"{key.name:24}{key.question}")
        return 0
    instant = at or now()
    read = _facts_of(facts)
    incident = _named(name, read)
    state = _state(ledger, read, instant, incident, is_named=name is not None)
    state = _with_typed(state, incident, typed)
    if not state.held.get(incident) and facts is None and name is None:
        state = ask_all(state, incident, _line, lambda text: click.echo(text, err=as_json))
    answer = decided(state, incident, instant)
    _show(answer, as_json)
    return EXIT[answer.verdict]


def _show(answer: IncidentAnswer, as_json: bool) -> None:
    if as_json:
        show_json(incident_json(answer))
    else:
        show_incident(answer, console())


def _facts_of(path: Path | None) -> tuple[Known, ...]:
    if path is None:
        return ()
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        raise UnreadableFile("it cannot be read as text", where=str(path), do="give a facts file") from fault
    return read_facts(text, path.name).known


def _named(name: str | None, read: tuple[Known, ...]) -> str:
    """The incident asked about: the one named, else the only one of the facts."""
    if name is not None:
        return name if kind_of(name) == "incident" else subject_named("incident", name)
    subjects = {one.statement.subject for one in read if kind_of(one.statement.subject) == "incident"}
    if len(subjects) > 1:
        raise UsageError("there is more than one incident", where="--facts", do="name the one you mean")
    return subjects.pop() if subjects else subject_named("incident", "incident")


def _state(
    ledger: Path | None, read: tuple[Known, ...], instant: datetime, incident: str, *, is_named: bool
) -> State:
    """What is on record where there is a ledger, and over it what the facts say."""
    told = state_of(read, instant, instant)
    is_there = ledger is not None or VARIABLE in os.environ or ledger_path(None).exists()
    if not is_there and not is_named:
        return told
    state = fleet_of_ledger(AsOf(ledger, instant, None), None, None).state
    if is_named and not state.held.get(incident) and not told.held.get(incident):
        raise UsageError(
            f"no record named {incident!r}", where="NAME", do="see `airwrit incident` without one"
        )
    return with_held(state, told.held)


def _with_typed(state: State, incident: str, typed: tuple[str, ...]) -> State:
    texts = {}
    for text in typed:
        key, is_told, said = text.partition("=")
        if not is_told:
            raise UsageError(f"{text!r} has no answer", where="--set", do="write it like anyone_hurt=nobody")
        texts[key.strip()] = said
    found = typed_incident(incident, texts, state)
    for name, wrong in found.wrong.items():
        what, _, do = wrong.partition("; ")
        raise UsageError(what, where=f"--set {name}", do=do)
    return with_held(state, state_of(found.known, state.on, state.known_at).held)


def _line(prompt: str) -> str | None:
    """The next line of standard input, None at its end; the prompt shows on a terminal only."""
    if sys.stdin.isatty():
        click.echo(prompt, nl=False, err=True)
    try:
        return sys.stdin.readline() or None
    except KeyboardInterrupt:
        return None
