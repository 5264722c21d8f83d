"""Taking facts into the ledger: what would be added, changed, corrected and contradicted, before anything is kept.

`imports` does it for files, `saying_by_hand` for what somebody says. What others said stays: if the two cannot both hold,
both are kept and the fact is unknown until somebody answers one of them. Nothing is settled by who came last.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import NamedTuple

from airwrit.answers.site.pasted_area import check_site
from airwrit.base.days import EARLIEST, When
from airwrit.base.measured import GRAMS_PER_POUND, places
from airwrit.base.sentences import day_words
from airwrit.base.verdict import Why
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Problem, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS, choice_words
from airwrit.ledger.entry import BLANK, name_of_source, parts_of
from airwrit.ledger.ports import Draft
from airwrit.ledger.rows_read import IMPORT, UNREAD, unread_counts
from airwrit.ledger.sqlite.store import Ledger

RECORD, TAKE_BACK = "record", "take_back"
"""Acts: facts that somebody said, an entry that takes another one back."""

EVER = datetime.max.replace(tzinfo=UTC)
"""Later than every entry, also where a clock was wrong."""

Pair = tuple[str, str]


class ChangeKind(StrEnum):
    """What taking in a statement does."""

    ADDED = "added"
    CHANGED = "changed"
    CORRECTED = "corrected"
    TAKEN_BACK = "taken_back"


class FactChange(NamedTuple):
    """A statement to be kept, what it does, where it comes from, the values whose place it takes, those that held till then."""

    kind: ChangeKind
    statement: Statement
    origin: str
    was: tuple[Known, ...] = ()
    until_then: tuple[Known, ...] = ()


class Contradiction(NamedTuple):
    """A fact that cannot be told from `on` on: what is said of it, by whom, and whether that is new."""

    subject: str
    key: str
    on: When
    said: tuple[tuple[Raw, str], ...]
    new: bool


@dataclass(frozen=True, slots=True)
class Difference:
    """What taking in would do. `after` is the size of the log it was worked out for.

    `silent` is what a file says no longer, `behind` what it still says though the record has moved on, `alike` new names
    beside names on record that differ in case and spaces alone, `left_out` facts that were blanked and are not taken again,
    `read_again` the files of which it is kept only that they were read again.
    """

    after: int
    changes: tuple[FactChange, ...] = ()
    drafts: tuple[Draft, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    silent: tuple[Known, ...] = ()
    same: int = 0
    behind: tuple[Known, ...] = ()
    alike: tuple[Pair, ...] = ()
    left_out: tuple[Known, ...] = ()
    read_again: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing would be kept."""
        return not self.drafts


@dataclass(slots=True)
class OnRecord:
    """What the ledger holds, by subject and key: every statement, which are answered, which file each came from.

    `unread` is the number of rows that the last import of a file left out, by the file's name; 0 where it read all.
    """

    after: int
    groups: Mapping[Pair, Sequence[Known]]
    acts: Mapping[int, tuple[str, str]]
    answered: Mapping[str, Sequence[int]] = field(default_factory=dict)
    unread: Mapping[str, int] = field(default_factory=dict)

    def alive(self, pair: Pair) -> list[Known]:
        """The unanswered statements of a fact."""
        return [item for item in self.groups.get(pair, ()) if item.number not in self.answered]

    def claims(self, pair: Pair, names: Iterable[str]) -> list[Known]:
        """What files of these names say of a fact, whoever answered it since, as long as none of them took it back.

        An entry that was taken back is as if it had never been: by it the file says nothing, and took nothing back.
        """
        files = set(names)
        return [
            item
            for item in self.groups.get(pair, ())
            if self._file(seq_of(item)) in files
            and not is_withdrawal(item.statement)
            and not any(
                self._is_taken_back(pair, seq_of(item))
                if self._act(seq) == TAKE_BACK
                else self._file(seq) in files and not self._is_taken_back(pair, seq)
                for seq in self.answered.get(item.number, ())
            )
        ]

    def _is_taken_back(self, pair: Pair, entry: int) -> bool:
        """Whether what an entry says of a fact was taken back, and that was not itself taken back."""
        mine = [item.number for item in self.groups.get(pair, ()) if seq_of(item) == entry]
        return any(
            self._act(seq) == TAKE_BACK and not self._is_taken_back(pair, seq)
            for number in mine
            for seq in self.answered.get(number, ())
        )

    def pairs_of(self, names: Iterable[str]) -> list[Pair]:
        """The facts of which files of these names said something."""
        files = set(names)
        return [
            pair for pair, items in self.groups.items() if any(self._file(seq_of(i)) in files for i in items)
        ]

    def is_blanked(self, pair: Pair) -> bool:
        """Whether what was said of a fact was blanked, and nobody said it anew since."""
        return any(
            self.acts.get(seq_of(item), ("", ""))[0] == BLANK
            for item in self.alive(pair)
            if isinstance(item.statement.value, Unreadable)
        )

    def _act(self, seq: int) -> str:
        return self.acts.get(seq, ("", ""))[0]

    def _file(self, seq: int) -> str:
        act, source = self.acts.get(seq, ("", ""))
        return name_of_source(source) if act == IMPORT else ""


NOTHING_HELD = OnRecord(0, {}, {})
"""What an empty ledger holds."""


def seq_of(item: Known) -> int:
    """The entry of a statement out of the ledger."""
    return parts_of(item.number)[0]


def before(ledger: Ledger, earlier: OnRecord = NOTHING_HELD) -> OnRecord:
    """All that the ledger holds, ready to be compared with; `earlier` is what it held before, and need not be read again."""
    after = ledger.head().size
    acts = ledger.acts(earlier.after)
    if earlier.after and any(act == BLANK for act, _ in acts.values()):
        return before(ledger)
    groups, answered = dict(earlier.groups), dict(earlier.answered)
    fresh: dict[Pair, list[Known]] = defaultdict(list)
    by: dict[str, list[int]] = defaultdict(list)
    for item in ledger.known(EVER, since=earlier.after):
        fresh[item.statement.subject, item.statement.key].append(item)
        for number in item.answers:
            by[number].append(seq_of(item))
    groups |= {pair: [*groups.get(pair, ()), *items] for pair, items in fresh.items()}
    answered |= {number: [*answered.get(number, ()), *seqs] for number, seqs in by.items()}
    return OnRecord(after, groups, {**earlier.acts, **acts}, answered, unread_counts(ledger, EVER))


def unread_in(ledger: Ledger, known_at: datetime) -> list[Problem]:
    """A problem for each file whose last import up to a moment left rows out."""
    return [
        Problem(name, f"{UNREAD}{count}", "fix the file and import it again", (), True)
        for name, count in unread_counts(ledger, known_at).items()
        if count
    ]


def taken_back(subject: str, key: str) -> Statement:
    """A statement that holds on no day: it carries the answer by which another is withdrawn."""
    return Statement(subject, key, None, EARLIEST, EARLIEST)


def is_withdrawal(statement: Statement) -> bool:
    """Whether a statement only carries the answer by which another is withdrawn."""
    return statement.value is None and statement.valid_from == statement.valid_until == EARLIEST


class HandEntry(NamedTuple):
    """What somebody says by hand: statements, whether they take the place of all that was said of the same facts.

    `takes` are statements whose place they take in any case; `act` is what the entry is called.
    """

    statements: tuple[Statement, ...]
    corrects: bool = False
    note: str = ""
    act: str = RECORD
    takes: tuple[Known, ...] = ()


def saying_by_hand(held: OnRecord, saying: HandEntry, by: str) -> Difference:
    """What recording would do. What is already known in the same words is not said again.

    BadFact for an area of a saved site that can't be read.
    """
    for statement in saying.statements:
        check_site(statement)
    taken: dict[Pair, list[Known]] = defaultdict(list)
    for item in saying.takes:
        taken[item.statement.subject, item.statement.key].append(item)
    changes: list[FactChange] = []
    for pair, said in _by_pair(saying.statements).items():
        alive = held.alive(pair)
        old = [
            item for item in (alive if saying.corrects else taken.pop(pair, ())) if item.statement not in said
        ]
        known_already = {item.statement for item in alive}
        for statement in said:
            if statement not in known_already:
                changes.append(
                    FactChange(
                        ChangeKind.CORRECTED if old else ChangeKind.ADDED, statement, saying.act, tuple(old)
                    )
                )
                old = []
        if old:
            changes.append(FactChange(ChangeKind.TAKEN_BACK, taken_back(*pair), saying.act, tuple(old)))
    changes += [
        FactChange(ChangeKind.TAKEN_BACK, taken_back(*pair), saying.act, tuple(old))
        for pair, old in taken.items()
    ]
    drafts = []
    for private in (False, True):
        mine = [change for change in changes if KEYS[change.statement.key].private is private]
        if mine:
            answers = tuple(dict.fromkeys(old.number for change in mine for old in change.was))
            statements = tuple(change.statement for change in mine)
            drafts.append(Draft(by, saying.act, statements, answers, "", saying.note))
    same = len(saying.statements) - sum(change.kind is not ChangeKind.TAKEN_BACK for change in changes)
    return Difference(held.after, tuple(changes), tuple(drafts), contradictions(held, changes), same=same)


def _by_pair(statements: Iterable[Statement]) -> dict[Pair, list[Statement]]:
    found: dict[Pair, list[Statement]] = defaultdict(list)
    for statement in statements:
        found[statement.subject, statement.key].append(statement)
    return found


def contradictions(held: OnRecord, changes: Sequence[FactChange]) -> tuple[Contradiction, ...]:
    """The facts touched that cannot be told from some day on, once the changes are kept."""
    gone = {old.number for change in changes for old in change.was}
    fresh: dict[Pair, list[Known]] = defaultdict(list)
    for change in changes:
        statement = change.statement
        fresh[statement.subject, statement.key].append(Known(statement, change.origin))
    found: list[Contradiction] = []
    for pair, items in fresh.items():
        alive = held.alive(pair)
        after = [item for item in alive if item.number not in gone] + items
        were = {one.on for one in clashes(alive)}
        found += [one._replace(new=one.on not in were) for one in clashes(after)]
    return tuple(found)


def clashes(items: Sequence[Known]) -> list[Contradiction]:
    """Where unanswered statements of one fact cannot both hold, or end before they begin."""
    found = []
    if len(items) > 1:
        bare = [item._replace(number="", answers=()) for item in items]
        for on in dict.fromkeys(item.statement.valid_from for item in items):
            held = [one for facts in state_of(bare, on, _late(items)).held.values() for one in facts.values()]
            if held and held[0].why is Why.CONFLICT:
                said = tuple((i.statement.value, i.origin) for i in items if i.origin in held[0].origins)
                found.append(_contradiction(items[0].statement, on, said))
    for item in items:
        if ends_before_it_starts(item.statement):
            found.append(
                _contradiction(
                    item.statement, item.statement.valid_from, ((item.statement.value, item.origin),)
                )
            )
    return found


def _late(items: Sequence[Known]) -> datetime:
    return max(item.recorded_at for item in items)


def _contradiction(statement: Statement, on: When, said: tuple[tuple[Raw, str], ...]) -> Contradiction:
    return Contradiction(statement.subject, statement.key, on, said, new=True)


def ends_before_it_starts(statement: Statement) -> bool:
    """Whether a span runs backwards, or is empty without being a withdrawal."""
    start, until = statement.valid_from, statement.valid_until
    if until is None or start == until == EARLIEST:
        return False
    if isinstance(start, datetime) and isinstance(until, datetime):
        return until <= start
    return (
        _day(until) <= _day(start)
        if not (isinstance(start, datetime) or isinstance(until, datetime))
        else _day(until) < _day(start)
    )


def _day(when: When) -> date:
    return when.date() if isinstance(when, datetime) else when


HIDDEN = "private, hidden"
"""Stands in place of a private value."""

KEPT_AS_IT_IS = (
    "If it ended, record that with the date. If it moved to another name, correct it. If it was never true, import again "
    "with --take-back."
)
"""What to do about what a file says no longer."""


def is_hidden(key: str, *, private: bool) -> bool:
    """Whether the values of a fact are not to be shown; a fact this program does not know is taken for private."""
    return not private and (key not in KEYS or KEYS[key].private)


def value_text(value: Raw) -> str:
    """A value in words."""
    if isinstance(value, Unreadable):
        return f"unreadable {str(value)!r}" if value else "unreadable"
    if value is None:
        return "ended"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def shown_value(key: str, value: Raw, *, private: bool = False) -> str:
    """A fact's value in words; what is private only where that was asked for."""
    if value is None or value == Unreadable("") or not is_hidden(key, private=private):
        return value_text(value)
    return HIDDEN


def told_value(key: str, value: Raw, *, private: bool = False) -> str:
    """A fact's value in words: a day as it is written, a number with its unit, a weight in pounds too."""
    text = shown_value(key, value, private=private)
    is_plain = isinstance(value, str) and not isinstance(value, Unreadable) and text == value
    if not is_plain or key not in KEYS:
        return text
    if KEYS[key].kind is date:
        return _day_told(text)
    unit = KEYS[key].unit
    if unit == "g":
        return _weight_told(text)
    text = choice_words(key, text)
    return f"{text} {_UNITS.get(unit, unit)}" if unit else text


_UNITS = {"usd": "USD", "degC": "°C"}


def _day_told(text: str) -> str:
    """A day in words; what holds a time too, or is no day, stays as written."""
    try:
        return day_words(date.fromisoformat(text))
    except ValueError:
        return text


def _weight_told(text: str) -> str:
    """Grams as pounds, with the grams behind them."""
    try:
        grams = Decimal(text)
        return f"{places(grams / GRAMS_PER_POUND, 3)} lb ({places(grams, 1)} g)"
    except InvalidOperation:
        return f"{text} g"


def fact_name(key: str) -> str:
    """What a fact is called in words; a fact this program does not know goes by its key."""
    return KEYS[key].meaning if key in KEYS else key


def span_text(statement: Statement) -> str:
    """From when until when a statement says to hold, in words."""
    parts = []
    if statement.valid_from != EARLIEST:
        parts.append(f"from {day_words(statement.valid_from)}")
    if statement.valid_until is not None:
        parts.append(f"until {day_words(statement.valid_until)}")
    return " ".join(parts)


def fact_text(statement: Statement, *, private: bool = False) -> str:
    """Name and value of a fact with the span."""
    if is_withdrawal(statement):
        return f"{fact_name(statement.key)}: taken back"
    return f"{fact_name(statement.key)}: {value_and_span(statement, private=private)}"


def value_and_span(statement: Statement, *, private: bool = False) -> str:
    """What is said and for which days."""
    value = told_value(statement.key, statement.value, private=private)
    return " ".join(filter(None, (value, span_text(statement))))


def does_text(change: FactChange) -> str:
    """What a change does to what was said before, in words."""
    if change.kind is ChangeKind.CHANGED:
        return f"from {day_words(change.statement.valid_from)} on. Before that, the old value stays"
    if change.kind is ChangeKind.CORRECTED:
        return "corrects an earlier entry"
    if change.kind is ChangeKind.TAKEN_BACK:
        return "takes back an earlier entry without replacing it"
    return "new on record"


def contradiction_text(one: Contradiction, *, private: bool = False) -> str:
    """What is said of a contradicted fact, and where."""
    said = (f"{told_value(one.key, value, private=private)} ({origin})" for value, origin in one.said)
    return f"{fact_name(one.key)}: {'; '.join(said)}"
