"""`airwrit ask`: which way must this aircraft be registered, by facts given in a file or asked for one by one."""

from __future__ import annotations

import difflib
import hashlib
import sys
from collections.abc import Mapping
from datetime import date, datetime
from pathlib import Path
from typing import NamedTuple

import click

from airwrit.answers.asking.ask import AskAnswer, ask, ask_event, concerned, not_available_to
from airwrit.answers.asking.dialogue import Dialogue
from airwrit.answers.asking.events import KINDS as EVENT_KINDS
from airwrit.answers.asking.events import about_event
from airwrit.answers.asking.json import ask_json
from airwrit.answers.asking.steps import value
from airwrit.answers.asking.when import when_asked
from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.lookup.facts import keys_json
from airwrit.answers.registration.penalties import exposure, exposure_json
from airwrit.answers.registration.whose_name import WhoseName, how_often, obeying, whose_name, whose_name_json
from airwrit.answers.registration.whose_ways import (
    AIRCRAFT_IF_LEFT_OUT,
    TURNOVER_IF_LEFT_OUT,
    YEARS_IF_LEFT_OUT,
    InShort,
    whose_name_in_short,
)
from airwrit.answers.standing.contradictions import contradictions
from airwrit.base.days import When, day_of
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.console import console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.look.ask_dialogue import ask_all
from airwrit.cli.shared.ledger import AsOf, fleet_of_ledger, known_at_option, ledger_option
from airwrit.cli.shared.options import asked, at_option, now, on_option
from airwrit.cli.shown.ask import show_answer, show_exposure, show_whose_name
from airwrit.cli.shown.facts import show_keys
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT, USED_FOR
from airwrit.facts.keys.flight_log import FLOWN_ON
from airwrit.facts.state import state_of
from airwrit.facts.statement import Source, Statement
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.intake.typed.facts_file import read_facts
from airwrit.intake.typed.reply import read_reply
from airwrit.law.parameters import FIRST_DAY

_MOST_BYTES = 1 << 20
_OF_LEDGER = ("aircraft", *EVENT_KINDS)


@click.command()
@click.argument("facts", required=False, metavar="[FACTS | SUBJECT]")
@on_option
@at_option
@ledger_option
@known_at_option
@click.option(
    "--use",
    type=click.Choice([UsedFor.WORK.value, UsedFor.RECREATION.value]),
    help="What it is flown for, if the facts don't say.",
)
@click.option("--all", "every", is_flag=True, help="Every finding of every subject.")
@click.option("--keys", is_flag=True, help="List every fact you can give, and stop.")
@click.option("--exposure", "exposed", is_flag=True, help="The maximum penalties for breaking rules.")
@click.option(
    "--whose-name",
    "whose",
    is_flag=True,
    help="Compare whose name to register an organization's aircraft in. No FACTS needed.",
)
@click.option("--aircraft", type=int, help="With --whose-name: how many aircraft; 1 if left out.")
@click.option("--turnover", help="With --whose-name: how many times a year the lead leaves; 0.5 if left out.")
@click.option("--years", type=int, help="With --whose-name: over how many years; 6 if left out.")
@click.option("--weight", help="With --whose-name: its takeoff weight, like 26 kg, where no FACTS tell it.")
@click.option(
    "--abroad",
    is_flag=True,
    help="With --whose-name: it is also flown outside the US, where no FACTS tell it.",
)
@click.option("--trust", is_flag=True, help="With --whose-name: a trust owns it, where no FACTS tell it.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(
    facts: str | None,
    on: date | None,
    at: datetime | None,
    ledger: Path | None,
    known_at: datetime | None,
    use: str | None,
    every: bool,
    keys: bool,
    exposed: bool,
    whose: bool,
    aircraft: int | None,
    turnover: str | None,
    years: int | None,
    weight: str | None,
    abroad: bool,
    trust: bool,
    as_json: bool,
) -> int:
    """How to register an aircraft, whether a flight breaks a rule, and what to report after an incident.

    Without FACTS the questions about registering come one by one, from a terminal or from lines of standard input. With a
    TOML file of facts nothing is asked, and what is missing is listed: tables [flight], [site], [weather] and [crew] tell of a
    flight, [incident] of an incident. A SUBJECT of the ledger is named like aircraft/H-03, flight/NAME or incident/NAME.

    \b
    Examples:
      airwrit ask survey-drone.toml --on 2026-11-25
      airwrit ask roof-flight.toml --at 2026-11-25T16:30:00-06:00
      airwrit ask aircraft/H-03 --on 2022-05-10 --known-at 2022-05-10T12:00Z
      airwrit ask --whose-name --aircraft 10 --years 6
    """
    table = "--keys" if keys else "--exposure" if exposed else "--whose-name" if whose else ""
    told = _AskOptions(facts, on, at, ledger, known_at, None if use is None else UsedFor(use))
    _nothing_in_vain(
        table,
        {"FACTS": facts, "--use": use, "--all": every or None, "--ledger": ledger, "--known-at": known_at},
        {"--aircraft": aircraft, "--turnover": turnover, "--years": years},
        {"--weight": weight, "--abroad": abroad or None, "--trust": trust or None},
    )
    if table:
        whose_told = _Whose(aircraft, turnover, years, weight, abroad, trust)
        _print_table(table, whose_told, told, as_json)
        return 0
    answer = _dialogue(told, as_json) if told.is_nothing else _answer(told)
    if as_json:
        show_json(ask_json(answer))
    else:
        show_answer(answer, console(), every=every)
    return EXIT[answer.verdict]


class _AskOptions(NamedTuple):
    """What the command was told: the facts or the subject asked about, the day, and the use."""

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
    def is_nothing(self) -> bool:
        """Whether neither facts nor a ledger were named."""
        return self.facts is None and self.ledger is None and self.known_at is None

    @property
    def is_of_ledger(self) -> bool:
        """Whether something of the ledger is meant: a ledger or a moment was named, or a subject that is no file."""
        if self.ledger is not None or self.known_at is not None:
            return True
        return self.facts is not None and kind_of(self.facts) in _OF_LEDGER and not Path(self.facts).exists()


class _Whose(NamedTuple):
    """What the command was told for the table of whose name; None for what was left out."""

    aircraft: int | None
    turnover: str | None
    years: int | None
    weight: str | None
    abroad: bool
    trust: bool


def _answer(told: _AskOptions) -> AskAnswer:
    """The answer for a file of facts, or for a subject of the ledger."""
    if told.is_of_ledger:
        asof = AsOf(told.ledger, told.when, told.known_at)
        return _from_ledger(
            told.facts, asof if told.on or told.at else _of_its_day(told.facts, asof), told.use
        )
    return _from_file(Path(str(told.facts)), told.on, told.at, told.use)


def _nothing_in_vain(
    table: str, told: Mapping[str, object], numbers: Mapping[str, object], in_short: Mapping[str, object]
) -> None:
    """UsageError for what is told with a question that it changes nothing in."""
    by_facts = table == "--whose-name" and bool(told["FACTS"])
    obeyed = ("FACTS", "--use", "--ledger", "--known-at") if by_facts else ()
    vain = [name for name, value in told.items() if table and value is not None and name not in obeyed]
    loose = {**numbers, **in_short} if table != "--whose-name" else in_short if by_facts else {}
    vain += [name for name, value in loose.items() if value is not None]
    if vain:
        where = "with FACTS" if by_facts else f"with {table}" if table else "without --whose-name"
        raise UsageError(f"it changes nothing {where}", where=", ".join(vain), do="leave it out")


def _print_table(table: str, whose: _Whose, told: _AskOptions, as_json: bool) -> None:
    """Print one of the tables that take the place of an answer."""
    day = day_of(told.when)
    if table == "--keys":
        rows = keys_json()
        show_json(rows) if as_json else show_keys(rows, console())
    elif table == "--exposure":
        found = exposure(day)
        show_json(exposure_json(found)) if as_json else show_exposure(found, console())
    else:
        side = _side_by_side(whose, told)
        show_json(whose_name_json(side)) if as_json else show_whose_name(side, console())


def _side_by_side(whose: _Whose, told: _AskOptions) -> WhoseName:
    """The ways side by side, less those not available to the aircraft of the facts, or by what the options tell."""
    aircraft = AIRCRAFT_IF_LEFT_OUT if whose.aircraft is None else whose.aircraft
    turnover = TURNOVER_IF_LEFT_OUT if whose.turnover is None else how_often(whose.turnover)
    years = YEARS_IF_LEFT_OUT if whose.years is None else whose.years
    if told.facts is None:
        weight = None if whose.weight is None else read_reply(TAKEOFF_WEIGHT, whose.weight)
        in_short = InShort(weight, whose.abroad, whose.trust)
        return whose_name_in_short(aircraft, turnover, years, in_short, told.when)
    answer = _answer(told)
    day = day_of(answer.report.on)
    return obeying(whose_name(aircraft, turnover, years, day), not_available_to(answer))


def _of_its_day(name: str | None, asof: AsOf) -> AsOf:
    """The day or moment a flight of the ledger was flown, where it is on file and no other day was named."""
    if name is None or kind_of(name) != "flight":
        return asof
    flown: When | None = value(fleet_of_ledger(asof, None, None).state, name, FLOWN_ON)
    return asof if flown is None else asof._replace(on=flown)


def _from_ledger(name: str | None, asof: AsOf, use: UsedFor | None) -> AskAnswer:
    """The answer for an aircraft, a flight or an incident of the ledger, on the day, as known at the moment."""
    if not name:
        raise UsageError("no aircraft was named", where="AIRCRAFT", do="name one, like aircraft/NAME")
    read = fleet_of_ledger(asof, use, None)
    subject = name if kind_of(name) in _OF_LEDGER else subject_named("aircraft", name)
    if not read.state.held.get(subject):
        near = difflib.get_close_matches(subject, read.state.subjects(kind_of(subject)), n=1)
        raise UsageError(
            f"nothing was on file about {subject!r} on {asof.on}",
            where=read.sources[0].name,
            do=f"did you mean {near[0]}?" if near else "see `airwrit history`",
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
    text, source = _read(path)
    told = read_facts(text, path.name)
    when = asked(on, at)
    if on is None and at is None:
        when = when_asked(told, when)
    known = told_for_all(told.known, use, None)
    state = state_of(known, when, now())
    if not state.held:
        raise UsageError(
            "there are no facts in it",
            where=path.name,
            do="add a table like [aircraft] or [flight]; see airwrit ask --keys",
        )
    state, problems = contradictions(state, now().astimezone().date())
    return ask(state, problems, (source,), use=use)


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


def _dialogue(asked_about: _AskOptions, as_json: bool) -> AskAnswer:
    """The answer to what was said, question by question; with --json the questions go to stderr."""
    when, use = asked_about.when, asked_about.use
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
