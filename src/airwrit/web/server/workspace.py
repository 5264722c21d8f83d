"""What all pages share: the ledger's place, the clock, the house rules, and answers kept while nothing has changed."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple, TypeVar, cast
from urllib.parse import urlencode

from airwrit.answers.acts.plan import all_known
from airwrit.answers.history.from_ledger import of_newer_version
from airwrit.answers.sheets.difference import NOTHING_HELD, OnRecord, before, unread_in
from airwrit.answers.site.territory import check_areas
from airwrit.answers.standing.neighbors import Circles
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.days import add_months, parse_day, parse_when
from airwrit.base.errors import UsageError
from airwrit.base.process import resting
from airwrit.facts.state import State
from airwrit.facts.statement import Source
from airwrit.house.rules import House, read_house
from airwrit.law.parameters import FIRST_DAY
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.long_runs import LongRuns
from airwrit.web.server.uploads import Uploads

CARRIED = ("on", "known")
"""The parts of an address that every link takes along."""


_LAST_DAY = date(2999, 12, 31)


@dataclass(frozen=True, slots=True)
class DayAsked:
    """The day shown and the moment whose knowledge counts; `known` is what the address said of it, empty for now.

    `knows_all` tells that the moment is not before now, so that every entry counts.
    """

    on: date
    known_at: datetime
    known: str
    today: date
    knows_all: bool = True

    @property
    def question(self) -> tuple[date, datetime | None]:
        """What is asked: the day, and the moment whose knowledge counts where that is not now."""
        return self.on, None if self.knows_all else self.known_at

    @property
    def is_today(self) -> bool:
        """Whether the site shows today as known now; only then may anything be written."""
        return self.on == self.today and not self.known

    def carried(self, on: date | None = None) -> dict[str, str]:
        """What links take along: the day where it is not today, the moment where one was told."""
        day = on or self.on
        told = {"on": "" if day == self.today else day.isoformat(), "known": self.known}
        return {name: value for name, value in told.items() if value}

    def link(self, path: str, on: date | None = None, **more: str) -> str:
        """An address of this site with the day and moment carried along; `on` turns it to another day."""
        head, mark, anchor = path.partition("#")
        query = urlencode({**self.carried(on), **more})
        return (f"{head}?{query}" if query else head) + mark + anchor

    def steps(self) -> tuple[tuple[str, tuple[tuple[str, date], ...]], ...]:
        """Days a reader may turn to from here: a day, a month and a year earlier, and later."""
        told = []
        for words, sign in (("Earlier", -1), ("Later", 1)):
            days = (
                ("a day", self.on + timedelta(days=sign)),
                ("a month", add_months(self.on, sign)),
                ("a year", add_months(self.on, 12 * sign)),
            )
            inside = tuple((word, day) for word, day in days if FIRST_DAY <= day <= _LAST_DAY)
            told += [(words, inside)] if inside else []
        return tuple(told)


def asked_of(query: Mapping[str, str], now: datetime) -> DayAsked:
    """The day and moment that an address asks for; today and now where it is silent. UsageError on what is neither.

    `now` stands in the zone of the program's place, so that its day is today there.
    """
    on, known = query.get("on", "").strip(), query.get("known", "").strip()
    moment = min(_moment(known), now) if known else now
    return DayAsked(_day(on) if on else now.date(), moment, known, now.date(), moment >= now)


def _day(text: str) -> date:
    try:
        day = parse_day(text)
    except ValueError as fault:
        raise UsageError(f"{text!r} isn't a date", where="on", do="write it like 2026-05-31") from fault
    if not FIRST_DAY <= day <= _LAST_DAY:
        raise UsageError(f"{day} is outside the dates we check", where="on", do=f"use {FIRST_DAY} or later")
    return day


def _moment(text: str) -> datetime:
    """The moment of a text: the end of a day here, or an instant with its zone."""
    try:
        # a plus in an address that was typed by hand arrives as a space
        when = parse_when(text.replace(" ", "+", 1) if "T" in text else text)
    except ValueError as fault:
        raise UsageError(
            f"{text!r} isn't a date, or a time with its zone",
            where="known",
            do="write it like 2026-05-31 or 2026-05-31T14:00-05:00",
        ) from fault
    try:
        if isinstance(when, datetime):
            return when.astimezone(UTC)
        end = datetime.combine(when + timedelta(days=1), time()).astimezone() - timedelta(microseconds=1)
        return end.astimezone(UTC)
    except (OverflowError, ValueError, OSError) as fault:
        raise UsageError(
            f"{text!r} is too far back or too far ahead for us to use", where="known", do="use another date"
        ) from fault


T = TypeVar("T")

_KEPT = 24
_MANY = 100_000
_DAYS = 2


class AnswerBasis(NamedTuple):
    """What an answer hangs on besides its question: the ledger, its entries that count and the root over them, the house rules.

    The law is no part of it: it cannot change while the program runs.
    """

    ledger: str
    name: str
    head: Head
    rules: tuple[str, ...] = ()

    @property
    def digest(self) -> str:
        """One text for all of it."""
        return sha256(repr(tuple(self)).encode()).hexdigest()


@dataclass(slots=True)
class AnswerCache:
    """The last answers by their questions, one of each: that of the basis it was last asked on.

    An answer on another basis takes the place of the one before. The least lately asked for goes first.
    """

    most: int = _KEPT
    _answers: OrderedDict[Hashable, tuple[str, Any]] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def get(self, question: Hashable) -> tuple[str, Any] | None:
        """The answer kept for a question, behind the digest of its basis; None when there is none."""
        with self._lock:
            if question not in self._answers:
                return None
            self._answers.move_to_end(question)
            return self._answers[question]

    def put(self, question: Hashable, basis: str, answer: Any) -> None:
        """Keep an answer in place of the one before."""
        with self._lock:
            self._answers[question] = basis, answer
            self._answers.move_to_end(question)
            self._let_go(self.most)

    def _let_go(self, most: int) -> None:
        while len(self._answers) > most:
            self._answers.popitem(last=False)


@dataclass(frozen=True, slots=True)
class DayStanding:
    """A day as it was judged: the entries that count, the state they make by themselves, and how everything stands by it.

    `made` is what was made of the standing, by name: it goes with the day.
    """

    head: Head
    state: State
    standing: Standing
    made: AnswerCache = field(default_factory=AnswerCache)


class JudgedDays(AnswerCache):
    """The last days judged, one version of each. Of a program so great that a day has very many findings only two are kept."""

    __slots__ = ()

    def put(self, question: Hashable, basis: str, answer: DayStanding) -> None:
        """Keep a day in place of its version before."""
        AnswerCache.put(self, question, basis, answer)
        if len(answer.standing.report.findings) > _MANY:
            with self._lock:
                self._let_go(_DAYS)


class FormWritten(NamedTuple):
    """A form that was written: where it led, and a name for all that it said."""

    to: str
    said: str


@dataclass(slots=True)
class Workspace:
    """The ledger that is served, who writes, the clock, and the house rules; one for the life of the server.

    An answer is kept by its question, with the digest of all else that it hangs on. So it is found again only while nothing
    behind it has changed, whoever wrote, and never has to be thrown away in time. Where entries were added since, a day
    goes on: the facts of the subjects they speak of are read anew, and every finding that hangs on one of them is made
    anew. The root over the earlier entries tells that it is the same log. The grown day takes the place of the one before.
    """

    ledger: Path
    clock: Callable[[], datetime]
    by: str = "page"
    house_files: tuple[Path, ...] = ()
    kept: AnswerCache = field(default_factory=AnswerCache)
    days: JudgedDays = field(default_factory=JudgedDays)
    judging: threading.RLock = field(default_factory=threading.RLock)
    writing: threading.Lock = field(default_factory=threading.Lock)
    tray: Uploads = field(init=False)
    """files sent and not yet kept"""
    runs: LongRuns = field(default_factory=LongRuns)
    """work that goes on in the background"""
    done: OrderedDict[str, FormWritten] = field(default_factory=OrderedDict)
    """the forms that were already written, by their nonces"""

    def __post_init__(self) -> None:
        """The tray goes by the same clock."""
        self.tray = Uploads(self.clock)

    @property
    def is_empty(self) -> bool:
        """Whether there is no ledger yet, or nothing in it."""
        if not self.ledger.exists():
            return True
        with self.opened() as book:
            return book.head().size == 0

    def opened(self) -> Ledger:
        """The ledger, opened for one use in this thread. LedgerFault when it cannot be."""
        return Ledger(self.ledger)

    def house(self) -> House:
        """The house rules as they stand in their files now. BadHouseFile or UnreadableFile."""
        house = read_house(self.house_files)
        check_areas(house)
        return house

    def head_of(self, book: Ledger, asked: DayAsked) -> Head:
        """The entries that count for a question: all of them for now, else those recorded up to its moment."""
        return book.head() if asked.knows_all else book.head_at(asked.known_at)

    def known_at(self, book: Ledger, asked: DayAsked) -> datetime:
        """The moment whose knowledge counts; where all counts, not before the last entry, whatever the clock says."""
        return max(asked.known_at, book.last_moment()) if asked.knows_all else asked.known_at

    def once(self, question: Hashable, basis: AnswerBasis, work: Callable[[], T]) -> T:
        """The answer kept for a question on a basis, else the one that `work` makes."""
        return self._once(self.kept, question, basis.digest, work)

    def _once(self, kept: AnswerCache, question: Hashable, basis: str, work: Callable[[], T]) -> T:
        """The same out of some answers: one is worked out at a time, since judging fills a processor."""
        found = kept.get(question)
        if found is None or found[0] != basis:
            with self.judging:
                found = kept.get(question)
                if found is None or found[0] != basis:
                    found = basis, work()
                    kept.put(question, *found)
        return cast(T, found[1])

    def basis_now(self, book: Ledger) -> AnswerBasis:
        """What an answer hangs on that all entries count for and no house rule."""
        return AnswerBasis(str(self.ledger), book.name, book.head())

    def basis_of(self, book: Ledger, asked: DayAsked, house: House) -> AnswerBasis:
        """What an answer about a day hangs on."""
        digests = tuple(source.sha256 for source in house.sources)
        return AnswerBasis(str(self.ledger), book.name, self.head_of(book, asked), digests)

    def standing(self, asked: DayAsked) -> Standing:
        """How everything stands on the day asked about, kept while nothing behind it changes."""
        return self.judged_on(asked).standing

    def judged_on(self, asked: DayAsked) -> DayStanding:
        """The state of the day asked about and how everything stands by it."""
        house = self.house()
        with self.opened() as book:
            basis = self.basis_of(book, asked, house).digest
            return self._once(
                self.days, asked.question, basis, lambda: judged(lambda: self._judged(book, asked, house))
            )

    def kept_standing(self, asked: DayAsked) -> Standing | None:
        """The standing of the day asked about, where it was judged already and nothing behind it has changed."""
        with self.opened() as book:
            basis, found = self.basis_of(book, asked, self.house()).digest, self.days.get(asked.question)
        return None if found is None or found[0] != basis else cast(DayStanding, found[1]).standing

    def made_of(self, name: str, asked: DayAsked, work: Callable[[Standing], T]) -> T:
        """What `work` makes of the standing, under a name of its own; kept as long as the standing itself."""
        day = self.judged_on(asked)
        return self._once(day.made, name, "", lambda: work(day.standing))

    def _judged(self, book: Ledger, asked: DayAsked, house: House) -> DayStanding:
        """Judge a day; where it was judged with fewer entries, only what hangs on the entries since is judged anew."""
        found = self.days.get(asked.question)
        last = None if found is None else cast(DayStanding, found[1])
        with book.reading():  # while this holds nobody can write, so that nothing is judged meanwhile
            known_at = self.known_at(book, asked)
            head = self.head_of(book, asked)
            problems = (*unread_in(book, known_at), *of_newer_version(book))
            if last is not None and last.head.size < head.size and book.goes_on_from(last.head):
                state, like = book.state_grown(last.state, last.head.size, known_at), last.standing
            else:
                state, like = book.state(asked.on, known_at), None
        source = Source(f"{self.ledger.name} ({head.size} entries)", head.root.hex())
        answer = standing(
            state, asked.on, known_at, problems, (source, *house.sources), house.rules, like=like
        )
        return DayStanding(head, state, answer)


def judged(work: Callable[[], T]) -> T:
    """What `work` makes, with the collector at rest meanwhile: judging makes many values and no circles."""
    with resting():
        return work()


def held_now(desk: Workspace) -> OnRecord:
    """Every statement of the ledger as it is now, ready for acts to be tried on and for lives to be told."""
    with desk.opened() as book:
        return held_in(desk, book)


def held_in(desk: Workspace, book: Ledger) -> OnRecord:
    """The same of a ledger that is open; what was read when it held less is not read again."""

    def work() -> tuple[Head, OnRecord]:
        found = cast("tuple[str, tuple[Head, OnRecord]] | None", desk.kept.get("held"))
        with book.reading():
            head = book.head()
            goes_on = found is not None and book.goes_on_from(found[1][0])
            return head, before(book, found[1][1] if found is not None and goes_on else NOTHING_HELD)

    return desk.once("held", desk.basis_now(book), lambda: judged(work))[1]


def circles_now(desk: Workspace) -> Circles:
    """How all that the ledger speaks of points at one another."""
    held = held_now(desk)
    with desk.opened() as book:
        basis = desk.basis_now(book)
    return desk.once("circles", basis, lambda: judged(lambda: Circles(all_known(held))))
