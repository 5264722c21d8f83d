"""`airwrit incident`: whom to notify after an incident, by when, or why not; put on record with a hold and its evidence."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

import click

from airwrit.answers.incident.clocks import notice_called
from airwrit.answers.incident.decision import IncidentAnswer, decided
from airwrit.answers.incident.keeping import (
    MOST_EVIDENCE,
    close_together,
    evidence,
    incidents_json,
    incidents_on_file,
    keep_incident,
    saying,
    statements_of_state,
    subject_for,
)
from airwrit.answers.incident.questions import said_of
from airwrit.answers.incident.sending import SentTyped, marking
from airwrit.answers.incident.told import incident_json
from airwrit.answers.incident.typed import TELLS, typed_incident
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.console import console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.facts_asked import read_facts_text
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.ledger import (
    by_option,
    clock_for,
    held_in,
    may_keep,
    opened,
    writer,
    yes_option,
)
from airwrit.cli.shared.options import VARIABLE, InstantType, json_option, ledger_option, ledger_path, now
from airwrit.cli.shown.difference import show_taking
from airwrit.cli.write.incident_questions import ask_all
from airwrit.cli.write.incident_shown import show_incident, show_incidents
from airwrit.facts.fold import state_of
from airwrit.facts.keys.incident import HAPPENED_ON, INCIDENT_AIRCRAFT, INCIDENT_PILOT
from airwrit.facts.keys.notice import NOTICE_ABOUT
from airwrit.facts.keys.paper import NOTICE_WITHIN_BUSINESS_DAYS, NOTICE_WITHIN_HOURS, PAPER_KIND
from airwrit.facts.state import State, with_held
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.intake.typed.facts_file import read_facts
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.typeset import PAPERS

_BESIDE = (PAPER_KIND, NOTICE_WITHIN_HOURS, NOTICE_WITHIN_BUSINESS_DAYS, NOTICE_ABOUT)


_LONGEST = max(map(len, TELLS))


@click.command()
@click.argument("name", required=False)
@click.option(
    "--facts", type=PATH, help="A TOML file with the table [incident], and [aircraft] or [paper] if needed."
)
@click.option(
    "--set",
    "typed",
    multiple=True,
    metavar="FACT=ANSWER",
    help="One fact about the incident. You can use this option more than once.",
)
@click.option("--keys", is_flag=True, help="List every fact you can enter, and exit.")
@click.option("--list", "listed", is_flag=True, help="List every incident and near miss on record, and exit.")
@click.option("--save", is_flag=True, help="Save the incident, and put a hold on its record.")
@click.option("--keep-file", "kept", type=PATH, multiple=True, help="Keep this file as evidence for NAME.")
@click.option(
    "--worksheet", type=PATH, help="Save a PDF of what each report asks, filled in as far as we know."
)
@click.option(
    "--sent",
    metavar="NOTICE",
    help="Mark a notice of NAME as sent: faa, ntsb, osha, nasa, insurer, or a document's name.",
)
@click.option(
    "--sent-on", help="When you sent it: a date, or a date with the local time, like 2026-12-02 09:30."
)
@click.option("--sent-by", help="Who sent it or called (the person who enters it if you leave it out).")
@click.option("--reference", default="", help="The reference number or name you were given.")
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    default=PAPERS[0],
    help="The paper size (letter if you leave it out).",
)
@click.option(
    "--at", type=InstantType(), help="Answer as of this time, with its time zone (now if you leave it out)."
)
@ledger_option
@by_option
@yes_option
@json_option
def command(
    name: str | None,
    facts: Path | None,
    typed: tuple[str, ...],
    keys: bool,
    listed: bool,
    save: bool,
    kept: tuple[Path, ...],
    sent: str | None,
    sent_on: str | None,
    sent_by: str | None,
    reference: str,
    worksheet: Path | None,
    paper: str,
    at: datetime | None,
    ledger: Path | None,
    by: str | None,
    yes: bool,
    as_json: bool,
) -> int:
    """Find out whom to notify after an incident and by when, or why you don't have to report it.

    Without facts, we ask you one question at a time. Answer ? if you don't know. NAME is an incident on
    record. We send nothing to anyone. We save it only with --save. Then its record is on hold, and nothing in
    it can be erased until you release the hold.

    \b
    Examples:
      airwrit incident
      airwrit incident --set "happened_on=2026-12-01 14:40" --set incident_zone=America/Denver
        --set anyone_hurt=nobody --set "repair_cost_usd=1150"
      airwrit incident --facts crash.toml --save --worksheet reports.pdf
      airwrit incident "2026-12-01 Ivy 1" --keep-file flight.log
      airwrit incident "2026-12-01 Ivy 1" --sent faa --sent-on "2026-12-02 09:30" --reference F-118
    """
    if keys:
        for key in TELLS.values():
            click.echo(f"{key.name:{_LONGEST}}  {key.question}")
        return 0
    instant = at or now()
    if listed:
        return _list(ledger, instant, as_json=as_json)
    read = _facts_of(facts)
    incident = _named(name, read)
    state = _state(ledger, read, instant, incident if name else None, may_begin=save)
    state = _with_typed(state, incident, typed)
    if not state.held.get(incident) and facts is None and name is None:
        state = ask_all(state, incident, _line, lambda text: click.echo(text, err=as_json))
    if save:
        incident = _saved(ledger, state, incident, writer(by), yes=yes)
    if kept:
        _keep(ledger, incident, kept, writer(by), yes=yes)
    if sent is not None:
        told = SentTyped(sent_on or "", sent_by or writer(by), reference)
        _mark(ledger, (state, incident, sent, told), instant, writer(by), yes=yes)
    if save or kept or sent is not None:
        beside = tuple(one for one in read if kind_of(one.statement.subject) != "incident")
        state = _state(ledger, beside, instant, incident)
    answer = decided(_with_linked(ledger, state, incident, instant), incident, instant)
    if worksheet is not None:
        from airwrit.papers.incident_pdf import reports_pdf

        written("the worksheet", worksheet, reports_pdf(answer, paper=paper), private=True)
    _show(answer, as_json)
    return EXIT[answer.verdict]


def _list(ledger: Path | None, instant: datetime, *, as_json: bool) -> int:
    found = incidents_on_file(
        _on_record(ledger, instant, lambda book, at: book.speaking(HAPPENED_ON.name, at))
    )
    close = close_together(found)
    if as_json:
        show_json(incidents_json(found, close))
    else:
        show_incidents(found, close, console())
    return 0


def _saved(ledger: Path | None, state: State, incident: str, by: str, *, yes: bool) -> str:
    """Put an incident on record with a hold, where that is agreed to; its name there."""
    subject = subject_for(state, incident)
    path = ledger_path(ledger)
    taking = saying(held_in(path), subject, statements_of_state(state, incident), by)
    show_taking(taking, console())
    if not may_keep(yes, lambda: f"Save {subject} and hold its record?"):
        raise UsageError("nothing was saved", where="--save", do="add --yes to save it")
    with Ledger.at(path) as book:
        keep_incident(book, taking, subject, by, clock_for(book), by)
    return subject


def _keep(ledger: Path | None, incident: str, paths: tuple[Path, ...], by: str, *, yes: bool) -> None:
    """Keep files as evidence of an incident on record, each under its hash."""
    files = [KeptFile(path.name, _bytes_of(path)) for path in paths]
    if not may_keep(yes, lambda: f"Keep {len(files)} files as evidence of {incident}?"):
        raise UsageError("nothing was saved", where="--keep-file", do="add --yes to save it")
    found = evidence(incident, files, by)
    with opened(ledger) as book:
        book.append(found.drafts, clock_for(book), files=found.files)


def _mark(
    ledger: Path | None,
    asked: tuple[State, str, str, SentTyped],
    instant: datetime,
    by: str,
    *,
    yes: bool,
) -> None:
    """Mark a notice of an incident on record as sent, where that is agreed to."""
    state, incident, word, told = asked
    answer = decided(_with_linked(ledger, state, incident, instant), incident, instant)
    notice = notice_called(answer, word)
    if not told.on:
        raise UsageError(
            "we need to know when it was sent",
            where="--sent-on",
            do="add --sent-on with the date, or the date and time",
        )
    taking = marking(
        held_in(ledger_path(ledger)), answer.state, incident, (notice.name, notice.paper), told, by
    )
    show_taking(taking, console())
    if not may_keep(yes, lambda: f"Mark this notice of {incident} as sent?"):
        raise UsageError("nothing was saved", where="--sent", do="add --yes to save it")
    with opened(ledger) as book:
        book.append(taking.drafts, clock_for(book), after=taking.after)


def _bytes_of(path: Path) -> bytes:
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise UnreadableFile(
            fault.strerror or "we can't read it", where=str(path), do="check the path of the file"
        ) from fault
    if len(data) > MOST_EVIDENCE:
        raise UnreadableFile(
            f"the file is larger than {MOST_EVIDENCE >> 20} MB",
            where=path.name,
            do="keep it somewhere else, with its hash",
        )
    return data


def _show(answer: IncidentAnswer, as_json: bool) -> None:
    if as_json:
        show_json(incident_json(answer))
    else:
        show_incident(answer, console())


def _facts_of(path: Path | None) -> tuple[Known, ...]:
    if path is None:
        return ()
    return read_facts(read_facts_text(path)[0], path.name).known


def _named(name: str | None, read: tuple[Known, ...]) -> str:
    """The incident asked about: the one named, else the only one of the facts."""
    if name is not None:
        return name if kind_of(name) == "incident" else subject_named("incident", name)
    subjects = {one.statement.subject for one in read if kind_of(one.statement.subject) == "incident"}
    if len(subjects) > 1:
        raise UsageError("more than one incident has that name", where="--facts", do="name the one you mean")
    return subjects.pop() if subjects else subject_named("incident", "incident")


def _state(
    ledger: Path | None,
    read: tuple[Known, ...],
    instant: datetime,
    named: str | None,
    *,
    may_begin: bool = False,
) -> State:
    """What is on record where there is a ledger, and over it what the facts say. UsageError when nothing is of `named`."""
    told = state_of(read, instant, instant)
    is_meant = named is not None or ledger is not None or VARIABLE in os.environ
    if not ledger_path(ledger).exists() and (may_begin or not is_meant):
        return told
    state = _on_record(ledger, instant, lambda book, at: [*([named] if named else []), *_beside(book, at)])
    if named is not None and not state.held.get(named) and not told.held.get(named):
        raise UsageError(
            f"there is no record named {named!r}", where="NAME", do="see `airwrit incident --list`"
        )
    return with_held(state, told.held)


def _on_record(
    ledger: Path | None, instant: datetime, subjects: Callable[[Ledger, datetime], Sequence[str]]
) -> State:
    """How some subjects stand in the ledger: only what can bear on an incident is read, however great the program is."""
    with opened(ledger) as book, book.reading():
        at = max(now(), book.last_moment())
        return book.state(instant, at, subjects(book, at))


def _beside(book: Ledger, at: datetime) -> list[str]:
    """The papers on record, with or without a term of their own, and the notices that were sent."""
    return list(dict.fromkeys(one for key in _BESIDE for one in book.speaking(key.name, at)))


def _with_linked(ledger: Path | None, state: State, incident: str, instant: datetime) -> State:
    """The state with what is on record of the aircraft and the pilot of an incident; what the facts say goes before."""
    said = said_of(state, incident)
    links = (INCIDENT_AIRCRAFT, INCIDENT_PILOT)
    names = [subject_named(key.links_to, said(key)) for key in links if said(key) is not None]
    if not names or not ledger_path(ledger).exists():
        return state
    found = _on_record(ledger, instant, lambda _book, _at: names)
    return with_held(found, state.held)


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
