"""Facts in a file, or a subject of the ledger, as a question: what several commands ask the rules about."""

from __future__ import annotations

import difflib
import hashlib
from datetime import date, datetime
from pathlib import Path
from typing import NamedTuple

import click

from airwrit.answers.asking.ask import AskAnswer, ask, ask_event, concerned
from airwrit.answers.asking.events import KINDS as EVENT_KINDS
from airwrit.answers.asking.events import about_event
from airwrit.answers.asking.when import when_asked
from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.standing.standing import contradictions
from airwrit.base.days import When
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.shared.ledger import AsOf, fleet_of_ledger
from airwrit.cli.shared.options import asked, now
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.keys.flights.log import FLOWN_ON
from airwrit.facts.state import value_held
from airwrit.facts.statement import Source
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.intake.typed.facts_file import facts_text, read_facts

_OF_LEDGER = ("aircraft", *EVENT_KINDS)

use_option = click.option(
    "--use",
    type=click.Choice([UsedFor.WORK.value, UsedFor.RECREATION.value]),
    help="What it is flown for, if the facts don't say.",
)
every_option = click.option("--all", "every", is_flag=True, help="Show every finding.")


class FactsAsked(NamedTuple):
    """What a command was told: the facts or the subject asked about, the day, and the use."""

    facts: str | None
    on: date | None
    at: datetime | None
    ledger: Path | None
    known_at: datetime | None
    use: UsedFor | None

    @property
    def when(self) -> When:
        """The day or instant asked about."""
        return asked(self.on, self.at)

    @property
    def is_of_ledger(self) -> bool:
        """Whether something of the ledger is meant: a ledger or a moment was named, or a subject that is no file."""
        if self.ledger is not None or self.known_at is not None:
            return True
        return self.facts is not None and kind_of(self.facts) in _OF_LEDGER and not Path(self.facts).exists()


def answer_about(told: FactsAsked) -> AskAnswer:
    """The answer for a file of facts, or for a subject of the ledger."""
    if told.is_of_ledger:
        asof = AsOf(told.ledger, told.when, told.known_at)
        return _from_ledger(
            told.facts, asof if told.on or told.at else _of_its_day(told.facts, asof), told.use
        )
    return _from_file(Path(str(told.facts)), told.on, told.at, told.use)


def _of_its_day(name: str | None, asof: AsOf) -> AsOf:
    """The day or moment a flight of the ledger was flown, where it is on file and no other day was named."""
    if name is None or kind_of(name) != "flight":
        return asof
    flown: When | None = value_held(fleet_of_ledger(asof, None, None).state, name, FLOWN_ON)
    return asof if flown is None else asof._replace(on=flown)


def _from_ledger(name: str | None, asof: AsOf, use: UsedFor | None) -> AskAnswer:
    """The answer for an aircraft, a flight or an incident of the ledger, on the day, as known at the moment."""
    if not name:
        raise UsageError(
            "you didn't name an aircraft", where="AIRCRAFT", do="name an aircraft, like aircraft/NAME"
        )
    read = fleet_of_ledger(asof, use, None)
    subject = name if kind_of(name) in _OF_LEDGER else subject_named("aircraft", name)
    if not read.state.held.get(subject):
        near = difflib.get_close_matches(subject, read.state.subjects(kind_of(subject)), n=1)
        raise UsageError(
            f"nothing is on file about {subject!r} on {asof.on}",
            where=read.sources[0].name,
            do=f"did you mean {near[0]}?" if near else "check `airwrit history`",
        )
    state, found = contradictions(read.state, now().astimezone().date())
    is_event = kind_of(subject) in EVENT_KINDS
    about = {subject, *(about_event(subject, state) if is_event else concerned(state, subject))}
    mine = [one for one in found if any(named in about for named, _ in one.spoils)]
    if is_event:
        return ask_event(state, subject, (*read.problems, *mine), read.sources, use=use)
    return ask(state, (*read.problems, *mine), read.sources, aircraft=subject)


def _from_file(path: Path, on: date | None, at: datetime | None, use: UsedFor | None) -> AskAnswer:
    """The answer for a facts file; its own day, or that of its only flight, counts where none was given with the command."""
    text, source = read_facts_text(path)
    told = read_facts(text, path.name)
    when = asked(on, at)
    if on is None and at is None:
        when = when_asked(told, when)
    known = told_for_all(told.known, use, None)
    state = state_of(known, when, now())
    if not state.held:
        raise UsageError(
            "the file has no facts",
            where=path.name,
            do="add a table such as [aircraft] or [flight]. `airwrit check-scenario --keys` lists every fact",
        )
    state, problems = contradictions(state, now().astimezone().date())
    return ask(state, problems, (source,), use=use)


def read_facts_text(path: Path) -> tuple[str, Source]:
    """The text of a file of facts, and which file it was. UnreadableFile for what is no text, or too large."""
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise UnreadableFile(
            fault.strerror or "we can't read it", where=str(path), do="check the path of the FACTS file"
        ) from fault
    return facts_text(data, path.name), Source(path.name, hashlib.sha256(data).hexdigest())
