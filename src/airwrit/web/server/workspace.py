"""What all pages share: the ledger's place, the clock, the house rules, and answers kept while nothing has changed."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple, TypeVar, cast

from airwrit.answers.history.from_ledger import of_newer_version
from airwrit.answers.sheets.difference import unread_in
from airwrit.answers.site.territory import check_areas
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.process import resting
from airwrit.facts.state import State
from airwrit.facts.statement import Source
from airwrit.house.rules import House, read_house
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.day import DayAsked
from airwrit.web.server.long_runs import LongRuns
from airwrit.web.server.uploads import Uploads

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
