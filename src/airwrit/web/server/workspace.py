"""What all pages share: the ledger's place, the clock, the house rules, and answers kept while nothing has changed."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple, TypeVar, cast

from airwrit.answers.sheets.difference import unread_in
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.collector import resting
from airwrit.facts.state import State
from airwrit.facts.statement import Problem, Source
from airwrit.house.rules import House, read_house
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.day import DayAsked
from airwrit.web.server.uploads import Uploads

T = TypeVar("T")

_KEPT = 24
_MANY = 100_000
_DAYS = 2


class DayStanding(NamedTuple):
    """A day as it was judged: the entries that count, the state they make by themselves, and how everything stands by it."""

    head: Head
    state: State
    standing: Standing


class FormWritten(NamedTuple):
    """A form that was written: where it led, and a name for all that it said."""

    to: str
    said: str


@dataclass(slots=True)
class AnswerCache:
    """The last answers by what they hang on; the least lately asked for goes first.

    Of a program so great that a day has very many findings, all is let go before a third day is kept.
    """

    most: int = _KEPT
    _answers: OrderedDict[Hashable, Any] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def get(self, key: Hashable) -> Any:
        """The answer kept under a key; None when there is none."""
        with self._lock:
            if key not in self._answers:
                return None
            self._answers.move_to_end(key)
            return self._answers[key]

    def put(self, key: Hashable, answer: Any) -> None:
        """Keep an answer."""
        with self._lock:
            if isinstance(answer, DayStanding) and len(answer.standing.report.findings) > _MANY:
                self._make_room(answer)
            self._answers[key] = answer
            self._answers.move_to_end(key)
            while len(self._answers) > self.most:
                self._answers.popitem(last=False)

    def _make_room(self, new: DayStanding) -> None:
        days = {id(one.standing) for one in self._answers.values() if isinstance(one, DayStanding)}
        if len(days - {id(new.standing)}) >= _DAYS:
            self._answers.clear()


@dataclass(slots=True)
class Workspace:
    """The ledger that is served, who writes, the clock, and the house rules; one for the life of the server.

    An answer is kept under all that it hangs on: the ledger's file and the entries that count (their number and the root
    over them), the day, and the digests of the house rules. The law cannot change while the program runs. So an answer
    is found again only while nothing behind it has changed, whoever wrote, and never has to be thrown away in time. Where
    entries were added since, what was judged goes on: the facts of the subjects they speak of are read anew, and every
    finding that looked at one of them is made anew. The root over the earlier entries tells that it is the same log.
    """

    ledger: Path
    clock: Callable[[], datetime]
    by: str = "page"
    house_files: tuple[Path, ...] = ()
    kept: AnswerCache = field(default_factory=AnswerCache)
    judging: threading.RLock = field(default_factory=threading.RLock)
    writing: threading.Lock = field(default_factory=threading.Lock)
    tray: Uploads = field(init=False)
    """files sent and not yet kept"""
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
        return read_house(self.house_files)

    def head_of(self, book: Ledger, asked: DayAsked) -> Head:
        """The entries that count for a question: all of them for now, else those recorded up to its moment."""
        return book.head() if asked.knows_all else book.head_at(asked.known_at)

    def known_at(self, book: Ledger, asked: DayAsked) -> datetime:
        """The moment whose knowledge counts; where all counts, not before the last entry, whatever the clock says."""
        return max(asked.known_at, book.last_moment()) if asked.knows_all else asked.known_at

    def once(self, key: Hashable, work: Callable[[], T]) -> T:
        """The answer kept under a key, else the one that `work` makes: one at a time, since judging fills a processor."""
        found = self.kept.get(key)
        if found is None:
            with self.judging:
                found = self.kept.get(key)
                if found is None:
                    found = work()
                    self.kept.put(key, found)
        return cast(T, found)

    def key_of(self, book: Ledger, asked: DayAsked, house: House) -> Hashable:
        """All that an answer about a day hangs on."""
        head = self.head_of(book, asked)
        digests = tuple(source.sha256 for source in house.sources)
        return (str(self.ledger), book.name, head.size, head.root, asked.on, digests)

    def standing(self, asked: DayAsked) -> Standing:
        """How everything stands on the day asked about, kept while nothing behind it changes."""
        return self.judged_on(asked).standing

    def judged_on(self, asked: DayAsked) -> DayStanding:
        """The state of the day asked about and how everything stands by it."""
        house = self.house()
        with self.opened() as book:
            key = ("judged", self.key_of(book, asked, house))
            return self.once(key, lambda: judged(lambda: self._judged(book, asked, house)))

    def kept_standing(self, asked: DayAsked) -> Standing | None:
        """The standing of the day asked about, where it was judged already and nothing behind it has changed."""
        with self.opened() as book:
            found = self.kept.get(("judged", self.key_of(book, asked, self.house())))
        return None if found is None else cast(DayStanding, found).standing

    def made_of(self, name: str, asked: DayAsked, work: Callable[[Standing], T]) -> T:
        """What `work` makes of the standing, under a name of its own; kept as long as the standing itself."""
        answer = self.standing(asked)
        return self.once((name, id(answer)), lambda: (answer, work(answer)))[1]

    def _judged(self, book: Ledger, asked: DayAsked, house: House) -> DayStanding:
        """Judge a day; where it was judged with fewer entries, only what hangs on the entries since is judged anew."""
        with book.reading():  # while this holds nobody can write, so that nothing is judged meanwhile
            known_at = self.known_at(book, asked)
            head = self.head_of(book, asked)
            problems = (*unread_in(book, known_at), *self._strange(book))
            place = ("last judged", book.name, asked.on, tuple(one.sha256 for one in house.sources))
            last = cast("DayStanding | None", self.kept.get(place))
            if last is not None and last.head.size < head.size and book.goes_on_from(last.head):
                state, like = book.state_grown(last.state, last.head.size, known_at), last.standing
            else:
                state, like = book.state(asked.on, known_at), None
        source = Source(f"{self.ledger.name} ({head.size} entries)", head.root.hex())
        answer = standing(
            state, asked.on, known_at, problems, (source, *house.sources), house.rules, like=like
        )
        made = DayStanding(head, state, answer)
        self.kept.put(place, made)
        return made

    def _strange(self, book: Ledger) -> Sequence[Problem]:
        name = self.ledger.name
        return [
            Problem(name, f"this version does not know what {key!r} means", "use a newer version", (), True)
            for key in book.strange_keys()
        ]


def judged(work: Callable[[], T]) -> T:
    """What `work` makes, with the collector at rest meanwhile: judging makes many values and no circles."""
    with resting():
        return work()
