"""What commands over a fleet share: sheets or ledger, the day, what is told for all, and the standing that follows."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any, NamedTuple

import click

from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.history.from_ledger import of_newer_version
from airwrit.answers.sheets.answered import FormFilled, read_with
from airwrit.answers.sheets.difference import unread_in
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.days import When, day_of
from airwrit.base.errors import UsageError
from airwrit.base.process import resting
from airwrit.cli.console import waiting
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.ledger import (
    AsOf,
    fleet_of_ledger,
    known_at_option,
    note_given,
    opened,
    writer,
)
from airwrit.cli.shared.options import asked, at_option, ledger_option, now, on_option
from airwrit.cli.shared.own_rules import house_given
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Problem
from airwrit.house.rules import House
from airwrit.intake.cell.dates import DAY_FIRST, MONTH_FIRST, DateOrder
from airwrit.intake.mapping import load_mapping
from airwrit.intake.sheets import Answers, Intake, judged_at_once, read_sheets
from airwrit.intake.typed.answers_file import load_answers
from airwrit.law.rule import Rule

_SHARED = ("sheets", "on", "at", "ledger", "known_at", "use", "owner", "dates", "mapping", "house")


class ProgramStated(NamedTuple):
    """Statements of a program as known at a moment, its house rules, and what went unread."""

    known: tuple[Known, ...]
    known_at: datetime
    house: tuple[Rule, ...]
    problems: tuple[Problem, ...]


class FleetStanding(NamedTuple):
    """What was read, and how it stands."""

    intake: Intake
    standing: Standing


class _FleetRead(NamedTuple):
    """What was read: statements out of sheets or a state out of the ledger, and the moment whose knowledge counts."""

    intake: Intake
    known: Iterable[Known] | State
    known_at: datetime


@dataclass(frozen=True, slots=True)
class Fleet:
    """The sheets or the ledger, and what was told with them."""

    sheets: tuple[Path, ...]
    on: date | None = None
    at: datetime | None = None
    ledger: Path | None = None
    known_at: datetime | None = None
    use: str | None = None
    owner: str | None = None
    dates: str | None = None
    mapping: Path | None = None
    house: tuple[Path, ...] = ()
    answers: Path | None = None

    @property
    def when(self) -> When:
        """The day or instant asked about; today where none was given."""
        return asked(self.on, self.at)

    @property
    def day(self) -> date:
        """The day asked about."""
        return day_of(self.when)

    def judged(self, *, counsel: bool = False) -> FleetStanding:
        """What the sheets or the ledger say, and how it stands on the day or instant."""
        when, house, read = self.when, house_given(self.house), self._read()
        return FleetStanding(
            read.intake,
            _answered(read.known, FleetQuestion(when, read.known_at), read.intake, house, counsel=counsel),
        )

    def state(self, kinds: Sequence[str] = ()) -> State:
        """How things stood on the day or instant, with nothing judged; of a ledger some kinds of subjects, where told."""
        read = self._read(kinds)
        if isinstance(read.known, State):
            return read.known
        spoiled = [pair for problem in read.intake.problems for pair in problem.spoils]
        return state_of(read.known, self.when, read.known_at, spoiled)

    def state_of_day(self, before: State, on: date) -> State:
        """How things stood on a day, out of the whole state of another."""
        if self.sheets or self.use or self.owner:
            return replace(self, on=on, at=None).state()
        with opened(self.ledger) as book:
            return book.state_of_day(before, on)

    def _read(self, kinds: Sequence[str] = ()) -> _FleetRead:
        """What the sheets or the ledger say."""
        use = UsedFor(self.use) if self.use else None
        asof, answers = (
            AsOf(self.ledger, self.when, self.known_at, kinds),
            answers_told(self.mapping, self.dates, self.owner, self.day),
        )
        if self.sheets:
            form = form_of(self.answers, self.day)
            with waiting(f"reading {', '.join(path.name for path in self.sheets)}"):
                intake = read_with(lambda told: fleet_of_sheets(self.sheets, told, asof), answers, form)
            return _FleetRead(intake, told_for_all(intake.known, use, self.owner), now())
        read = fleet_of_ledger(asof, use, self.owner)
        return _FleetRead(Intake((), read.problems, read.sources, ()), read.state, read.state.known_at)

    def stated(self, when: When) -> ProgramStated:
        """All that the sheets or the ledger ever said, for questions about more than one instant; `when` is the first."""
        house = house_given(self.house).rules
        use = UsedFor(self.use) if self.use else None
        if self.sheets:
            answers = answers_told(self.mapping, self.dates, self.owner, day_of(when))
            intake = fleet_of_sheets(self.sheets, answers, AsOf(self.ledger, when, self.known_at))
            known = told_for_all(intake.known, use, self.owner)
            return ProgramStated(tuple(known), now(), house, intake.problems)
        with opened(self.ledger) as book, book.reading():
            known_at = self.known_at or max(now(), book.last_moment())
            problems = (*unread_in(book, known_at), *of_newer_version(book))
            return ProgramStated(
                tuple(told_for_all(book.known(known_at), use, self.owner)), known_at, house, problems
            )

    def standing(self) -> Standing:
        """How everything stands on the day or instant."""
        return self.judged().standing

    def note_given(self, what: str, *paths: Path, about: Sequence[str] = ()) -> None:
        """Note in the ledger, where one was asked, that these files were given out; where it cannot be, that is said once."""
        if not self.sheets:
            with opened(self.ledger) as book:
                all(note_given(book, what, path, about) for path in paths)


class FleetQuestion(NamedTuple):
    """The day or instant asked about, and the moment whose knowledge counts."""

    on: When
    known_at: datetime


def _answered(
    known: Iterable[Known] | State, question: FleetQuestion, intake: Intake, house: House, *, counsel: bool
) -> Standing:
    """The standing of what was read."""
    sources = (*intake.sources, *house.sources)
    with resting():
        return standing(known, *question, intake.problems, sources, house.rules, counsel=counsel)


def fleet_of_sheets(sheets: Sequence[Path], answers: Answers, asof: AsOf) -> Intake:
    """What sheets say. UsageError when a ledger was named too."""
    if asof.ledger is not None or asof.known_at is not None:
        raise UsageError(
            "you used both sheets and a ledger",
            where="--ledger, --known-at",
            do="leave one out",
        )
    return judged_at_once(read_sheets(sheets, answers))


def form_of(path: Path | None, day: date, by: str | None = None) -> FormFilled | None:
    """The form of answers in a file, by whoever gives it; None where none is given."""
    return None if path is None else FormFilled(load_answers(path), writer(by), day)


def answers_told(
    mapping: Path | None, dates: str | None, owner: str | None, on: date | None = None
) -> Answers:
    """What the options answer beforehand: how columns are read, how dates are meant, who owns all, the day of reading.

    A day asked about that is still to come is the day of reading; one that is past is not.
    """
    order: DateOrder | None = None
    if dates is not None:
        order = MONTH_FIRST if dates == MONTH_FIRST else DAY_FIRST
    today = now().date()
    return Answers(load_mapping(mapping) if mapping else None, order, owner, max(today, on or today))


def fleet_options(command: Callable[..., int]) -> Callable[..., int]:
    """Give a command the sheets and the options that say how to read them; it gets them as one `fleet`."""
    return _told_of(click.argument("sheets", nargs=-1, type=PATH), command)


def fleet_by_option(command: Callable[..., int]) -> Callable[..., int]:
    """The same for a command whose arguments are something else: sheets are named with --sheet."""
    sheet = click.option(
        "--sheet", "sheets", type=PATH, multiple=True, help="Read this sheet instead of the ledger."
    )
    return _told_of(sheet, command)


def _told_of(
    sheets: Callable[[Callable[..., int]], Callable[..., int]], command: Callable[..., int]
) -> Callable[..., int]:
    @functools.wraps(command)
    def called(**given: Any) -> int:
        shared = {name: given.pop(name) for name in _SHARED}
        return command(fleet=Fleet(**shared), **given)

    options = (
        sheets,
        on_option,
        at_option,
        ledger_option,
        known_at_option,
        click.option(
            "--use",
            type=click.Choice([use.value for use in UsedFor]),
            help="What the aircraft are used for, if a row doesn't say.",
        ),
        click.option("--owner", help="Who owns the aircraft, if a row doesn't say."),
        click.option(
            "--dates",
            type=click.Choice([MONTH_FIRST, DAY_FIRST]),
            help="How to read dates like 03/04/2026, if a column doesn't make it clear.",
        ),
        click.option("--mapping", type=PATH, help="Read the columns as saved in this file."),
        click.option(
            "--house",
            type=PATH,
            multiple=True,
            help="Also check your own rules in this file. You can use this option more than once.",
        ),
    )
    for option in reversed(options):
        called = option(called)
    return called
