"""Taking facts into the ledger: what would be added, corrected and contradicted, before anything is kept.

A file is compared with what it said itself the last time. Where it now says something else of the same fact from the same
day, that corrects what it said before. What others said stays: if the two cannot both hold, both are kept and the fact is
unknown until somebody answers one of them. Nothing is settled by who came last.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from enum import StrEnum
from typing import NamedTuple

from airwrit.base.findings import Why
from airwrit.base.times import EARLIEST, When
from airwrit.facts.key import Raw
from airwrit.facts.state import state_of
from airwrit.facts.statement import Known, Problem, Source, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.entry import parts_of
from airwrit.ledger.store import Draft, Ledger

IMPORT, RECORD = "import", "record"
"""Acts: facts that came from a file, facts that somebody said."""

EVER = datetime.max.replace(tzinfo=UTC)
"""Later than every entry, also where a clock was wrong."""

UNREAD = "rows not read: "
"""In the note of an import: how many rows of the files could not be read, so that the ledger does not say all they say."""

Pair = tuple[str, str]


class Kind(StrEnum):
    """What taking in a statement does."""

    ADDED = "added"
    CORRECTED = "corrected"
    TAKEN_BACK = "taken_back"


class Change(NamedTuple):
    """A statement to be kept, what it does, where it comes from, and the values whose place it takes."""

    kind: Kind
    statement: Statement
    origin: str
    was: tuple[Known, ...] = ()


class Contradiction(NamedTuple):
    """A fact that cannot be told from `on` on: what is said of it, by whom, and whether that is new."""

    subject: str
    key: str
    on: When
    said: tuple[tuple[Raw, str], ...]
    new: bool


@dataclass(frozen=True, slots=True)
class Taking:
    """What taking in would do. `after` is the size of the log it was worked out for; `silent` what a file says no longer."""

    after: int
    changes: tuple[Change, ...] = ()
    drafts: tuple[Draft, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    silent: tuple[Known, ...] = ()
    same: int = 0

    @property
    def is_empty(self) -> bool:
        """Whether nothing would be kept."""
        return not self.drafts


@dataclass(slots=True)
class Before:
    """What the ledger holds, by subject and key: every statement, which are answered, and which file each came from."""

    after: int
    groups: Mapping[Pair, Sequence[Known]]
    acts: Mapping[int, tuple[str, str]]
    answered: Mapping[str, Sequence[int]] = field(default_factory=dict)

    def alive(self, pair: Pair) -> list[Known]:
        """The unanswered statements of a fact."""
        return [item for item in self.groups.get(pair, ()) if item.number not in self.answered]

    def claims(self, pair: Pair, names: Iterable[str]) -> list[Known]:
        """What files of these names say of a fact, whoever answered it since, as long as none of them took it back."""
        files = set(names)
        return [
            item
            for item in self.groups.get(pair, ())
            if self._file(seq_of(item)) in files
            and not any(self._file(seq) in files for seq in self.answered.get(item.number, ()))
        ]

    def pairs_of(self, names: Iterable[str]) -> list[Pair]:
        """The facts of which files of these names said something."""
        files = set(names)
        return [
            pair for pair, items in self.groups.items() if any(self._file(seq_of(i)) in files for i in items)
        ]

    def _file(self, seq: int) -> str:
        act, source = self.acts.get(seq, ("", ""))
        return name_of_source(source) if act == IMPORT else ""


def seq_of(item: Known) -> int:
    """The entry of a statement out of the ledger."""
    return parts_of(item.number)[0]


def source_text(source: Source) -> str:
    """How an entry names the file it came from."""
    return f"{source.name} sha256:{source.sha256}"


def name_of_source(text: str) -> str:
    """The file's name in the source of an entry."""
    return text.rpartition(" sha256:")[0]


def before(ledger: Ledger) -> Before:
    """All that the ledger holds, ready to be compared with."""
    after = ledger.head().size
    known = ledger.known(EVER)
    groups: dict[Pair, list[Known]] = defaultdict(list)
    answered: dict[str, list[int]] = defaultdict(list)
    for item in known:
        groups[item.statement.subject, item.statement.key].append(item)
        for number in item.answers:
            answered[number].append(seq_of(item))
    return Before(after, groups, ledger.acts(), answered)


def with_damage(known: Iterable[Known], problems: Iterable[Problem], origin: str) -> list[Known]:
    """The statements, and for each fact whose cell could not be read one that says so from wherever others begin.

    The damaged cell may have meant any of their days, so that none of them can be told.
    """
    given = list(known)
    spoiled: dict[Pair, str] = {}
    for problem in problems:
        for pair in problem.spoils:
            spoiled.setdefault(pair, problem.where or origin)
    starts: dict[Pair, dict[When, None]] = {pair: {EARLIEST: None} for pair in spoiled}
    for item in given:
        pair = item.statement.subject, item.statement.key
        if pair in starts:
            starts[pair][item.statement.valid_from] = None
    for (subject, key), begins in starts.items():
        where = spoiled[subject, key]
        given += [Known(Statement(subject, key, Unreadable(""), start), where) for start in begins]
    return given


def since(known: Iterable[Known], day: date) -> list[Known]:
    """The statements, those without a beginning of their own holding from `day` on."""
    return [
        item._replace(statement=item.statement._replace(valid_from=day))
        if item.statement.valid_from == EARLIEST
        else item
        for item in known
    ]


def note_of_unread(note: str, problems: Iterable[Problem]) -> str:
    """The note, with how much of the files went unread."""
    count = sum(problem.unread for problem in problems)
    return "; ".join(part for part in (note, f"{UNREAD}{count}" if count else "") if part)


def unread_in(ledger: Ledger, known_at: datetime) -> list[Problem]:
    """A problem for each file whose last import up to a moment left rows out."""
    last = {name_of_source(source): note for source, note in ledger.notes(IMPORT, known_at)}
    return [
        Problem(name, f"{UNREAD}{note.rpartition(UNREAD)[2]}", "mend the file and import it again", (), True)
        for name, note in last.items()
        if UNREAD in note
    ]


def taking_in(
    held: Before,
    known: Sequence[Known],
    sources: Sequence[Source],
    by: str,
    *,
    note: str = "",
    replaces: Sequence[str] = (),
) -> Taking:
    """What importing files would do. `replaces` names earlier files whose place these take."""
    by_name = {source.name: source for source in sources}
    names = (*by_name, *replaces)
    groups: dict[Pair, dict[Statement, Known]] = defaultdict(dict)
    for item in known:
        groups[item.statement.subject, item.statement.key].setdefault(item.statement, item)
    changes: list[Change] = []
    same = 0
    for pair, fresh in groups.items():
        made = _changes_of(held, pair, fresh, held.claims(pair, names))
        changes += made
        same += len(fresh) - sum(change.kind is not Kind.TAKEN_BACK for change in made)
    drafts = _drafts(changes, sources, by, note)
    silent = [
        item
        for pair in held.pairs_of(names)
        if pair not in groups
        for item in held.claims(pair, names)
        if item.number not in held.answered
    ]
    return Taking(
        held.after, tuple(changes), tuple(drafts), contradictions(held, changes), tuple(silent), same
    )


def _changes_of(
    held: Before, pair: Pair, fresh: Mapping[Statement, Known], claims: Sequence[Known]
) -> list[Change]:
    """What a file's statements of one fact do: those it made before stay, others of the same start take their place."""
    alive = {item.number: item for item in held.alive(pair)}
    known_already = {item.statement for item in claims} | {item.statement for item in alive.values()}
    starts = {statement.valid_from for statement in fresh}
    outdated = [
        item
        for item in claims
        if item.number in alive and item.statement not in fresh and item.statement.valid_from in starts
    ]
    changes: list[Change] = []
    for statement, item in fresh.items():
        if statement in known_already:
            continue
        was = tuple(old for old in outdated if old.statement.valid_from == statement.valid_from)
        outdated = [old for old in outdated if old not in was]
        changes.append(Change(Kind.CORRECTED if was else Kind.ADDED, statement, item.origin, was))
    for old in outdated:
        changes.append(Change(Kind.TAKEN_BACK, taken_back(*pair), next(iter(fresh.values())).origin, (old,)))
    return changes


def taken_back(subject: str, key: str) -> Statement:
    """A statement that holds on no day: it carries the answer by which another is withdrawn."""
    return Statement(subject, key, None, EARLIEST, EARLIEST)


def _drafts(changes: Sequence[Change], sources: Sequence[Source], by: str, note: str) -> list[Draft]:
    """One entry for each file and subject, and one apart for what is private, so that it can be blanked alone."""
    parts: dict[tuple[str, str, bool], list[Change]] = defaultdict(list)
    for change in changes:
        private = KEYS[change.statement.key].private
        parts[_file_of(change.origin, sources), change.statement.subject, private].append(change)
    drafts = []
    for (source, _, _), mine in parts.items():
        answers = [old.number for change in mine for old in change.was]
        statements = tuple(change.statement for change in mine)
        drafts.append(Draft(by, IMPORT, statements, tuple(dict.fromkeys(answers)), source, note))
    return drafts


def _file_of(origin: str, sources: Sequence[Source]) -> str:
    """The source of the file that a place such as `fleet.xlsx sheet 'Fleet' cell C7` lies in; the first for told facts."""
    inside = [source for source in sources if origin == source.name or origin.startswith(source.name + " ")]
    return source_text(max(inside or sources[:1], key=lambda source: len(source.name)))


class Saying(NamedTuple):
    """What somebody says by hand: statements, whether they take the place of all that was said of the same facts."""

    statements: tuple[Statement, ...]
    corrects: bool = False
    note: str = ""


def saying_by_hand(held: Before, saying: Saying, by: str) -> Taking:
    """What recording would do. What is already known in the same words is not said again."""
    changes: list[Change] = []
    for statement in saying.statements:
        alive = held.alive((statement.subject, statement.key))
        was = tuple(item for item in alive if item.statement != statement) if saying.corrects else ()
        if any(item.statement == statement for item in alive):
            if was:
                gone = taken_back(statement.subject, statement.key)
                changes.append(Change(Kind.TAKEN_BACK, gone, RECORD, was))
            continue
        changes.append(Change(Kind.CORRECTED if was else Kind.ADDED, statement, RECORD, was))
    drafts = []
    for private in (False, True):
        mine = [change for change in changes if KEYS[change.statement.key].private is private]
        if mine:
            answers = tuple(dict.fromkeys(old.number for change in mine for old in change.was))
            statements = tuple(change.statement for change in mine)
            drafts.append(Draft(by, RECORD, statements, answers, "", saying.note))
    same = len(saying.statements) - sum(change.kind is not Kind.TAKEN_BACK for change in changes)
    return Taking(held.after, tuple(changes), tuple(drafts), contradictions(held, changes), same=same)


def contradictions(held: Before, changes: Sequence[Change]) -> tuple[Contradiction, ...]:
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
