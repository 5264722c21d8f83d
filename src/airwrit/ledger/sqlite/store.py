"""The ledger in one SQLite file. All that others need is here, so that another database can stand behind the same names."""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from hashlib import sha256
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from airwrit.base.days import When
from airwrit.base.errors import BadFact, LedgerFault, LedgerMoved
from airwrit.facts.state import State
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.checking.evidence import CLEANING, note_gaps
from airwrit.ledger.clock import may_step_back, steps_back
from airwrit.ledger.entry import CLOCK_BACK, FIRST_PREV, Entry, entry_of, files_in, instant_text, line_of
from airwrit.ledger.log.heads import HeadsGrowing
from airwrit.ledger.log.tree import Frontier, leaf_hash
from airwrit.ledger.ports import Draft, Emptied, Head, KeptFile, StoredLine, look_at
from airwrit.ledger.sqlite.as_of import (
    StateQuery,
    known_of,
    micros_of,
    moment_of,
    said_at,
    state_grown,
    state_held,
    state_of_day,
)
from airwrit.ledger.sqlite.both_trees import grow_trees
from airwrit.ledger.sqlite.derived import (
    Node,
    Words,
    blanked_by,
    empty_sayings,
    keep_nodes,
    keep_rectangles,
    keep_sayings,
    left_of,
    nodes_made,
    rebuild_rectangles,
    subtree,
)
from airwrit.ledger.sqlite.opening import (
    WITH_TREES,
    NoZone,
    add_tables,
    begin_ledger,
    connected,
    form_of,
    is_there,
    look_at_form,
    made_out,
    make_file,
    told,
)
from airwrit.ledger.sqlite.sums import keep_sums

Clock = Callable[[], datetime]

_ACTS = "SELECT seq, line ->> '$.act', line ->> '$.source' FROM entry WHERE seq > ? AND line IS NOT NULL"


class Ledger:
    """An open ledger. Use it in a `with`, or close it."""

    __slots__ = ("_db", "_words", "name", "path")

    def __init__(self, path: Path) -> None:
        """Open the ledger at `path`. LedgerFault when there is none, it is newer than this program, busy or damaged."""
        self.path, self._words = path, Words()
        self._db = connected(path)
        try:
            is_of_this_form = look_at_form(self._db, path)
            with made_out(path):
                self.name: str = self._about("ledger")
            if not is_of_this_form:
                self._take_up()
        except BaseException:
            self._db.close()
            raise

    @classmethod
    def begin(cls, path: Path, name: str = "") -> Self:
        """A new ledger in a new file, under a random name or one taken over. LedgerFault when there is a file already."""
        make_file(path)
        return cls.begun(path, name)

    @classmethod
    def at(cls, path: Path) -> Self:
        """The ledger at `path`, begun where there is no file or an empty one; of two that begin it one opens the other's."""
        if not is_there(path):
            try:
                make_file(path)
            except LedgerFault:
                if not is_there(path):
                    raise
        return cls.begun(path)

    @classmethod
    def begun(cls, path: Path, name: str = "") -> Self:
        """The ledger in an empty file that is there, begun under that name; one that was begun already as it is."""
        db = connected(path)
        try:
            with told(path):
                begin_ledger(db, name or secrets.token_hex(16))
        finally:
            db.close()
        return cls(path)

    def __enter__(self) -> Self:
        """The ledger itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close it."""
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    @property
    def database(self) -> sqlite3.Connection:
        """The connection, for the modules of this folder alone."""
        return self._db

    # ---- writing -------------------------------------------------------------------------------------------------

    def append(
        self,
        drafts: Sequence[Draft],
        clock: Clock,
        *,
        after: int | None = None,
        files: Iterable[KeptFile] = (),
        emptied: Emptied | None = None,
    ) -> tuple[Entry, ...]:
        """Add entries, all or none, on disk when this returns. The clock is read once the file is locked.

        `emptied` is what these entries take out. `after` is the size of the log that the drafts were made
        for: LedgerMoved when others wrote since. BadFact on statements that cannot be, or on answers to none.
        """
        for draft in drafts:
            look_at(draft)
        with self.writing():
            head = self.head()
            if after is not None and head.size != after:
                raise LedgerMoved(
                    f"{head.size - after} more entries were saved in the meantime",
                    where=self.path.name,
                    do="look at the record again, then repeat this",
                )
            self._keep_files(files, drafts)
            now = clock()
            instant_text(now)  # refuses one without a zone
            with made_out(self.path):
                entries = tuple(self._add(drafts, now))
                if emptied is not None:
                    self._empty(emptied)
            return entries

    @contextmanager
    def writing(self) -> Iterator[None]:
        """A transaction that holds the write lock from its start; all of it is kept, or nothing."""
        with told(self.path):
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._db.execute("COMMIT")
            except BaseException:
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")
                self._words.forget()
                raise

    def _add(self, drafts: Sequence[Draft], now: datetime) -> Iterator[Entry]:
        last = self._db.execute(
            "SELECT seq, recorded_at, leaf FROM entry ORDER BY seq DESC LIMIT 1"
        ).fetchone()
        seq, moment, prev = (0, None, FIRST_PREV) if last is None else (last[0], last[1], last[2].hex())
        frontier, heads, nodes = self._frontier(), HeadsGrowing(self._db, self.name), list[Node]()
        for draft in drafts:
            self._look_for(draft)
            seq += 1
            recorded_at = now
            if moment is not None and draft.act != CLOCK_BACK:
                recorded_at = max(now, moment_of(moment + 1))
            entry = Entry(
                self.name,
                seq,
                recorded_at.astimezone(UTC),
                draft.by,
                draft.act,
                draft.statements,
                draft.answers,
                draft.source,
                draft.note,
                secrets.token_hex(16),
                prev,
            )
            leaf = self._put(entry, line_of(entry))
            nodes += nodes_made(frontier, leaf)
            heads.add(entry.subjects, leaf)
            keep_rectangles(self._db, seq, keep_sayings(self._db, self._words, entry))
            moment, prev = micros_of(recorded_at), leaf.hex()
            yield entry
        keep_nodes(self._db, nodes)
        heads.keep()
        self._keep_frontier(frontier)

    def add_line(self, entry: Entry, line: str, frontier: Frontier) -> bytes:
        """Put a line at the end of the log, and nothing else; its leaf hash. Only inside `writing`."""
        leaf = self._put(entry, line)
        frontier.add(leaf)
        return leaf

    def _put(self, entry: Entry, line: str) -> bytes:
        leaf = leaf_hash(line.encode())
        row = (entry.seq, micros_of(entry.recorded_at), line, leaf)
        with may_step_back(self._db, entry.act):
            self._db.execute("INSERT INTO entry VALUES (?, ?, ?, ?)", row)
        return leaf

    def add_blanked(self, seq: int, recorded_at: datetime, leaf: bytes, frontier: Frontier) -> bytes:
        """Put what is left of a blanked line at the end of the log; its leaf hash. Only inside `writing`."""
        self._db.execute("INSERT INTO entry VALUES (?, ?, NULL, ?)", (seq, micros_of(recorded_at), leaf))
        frontier.add(leaf)
        return leaf

    def _empty(self, emptied: Emptied) -> None:
        """Take lines out, their values wherever they were copied, and the bytes of kept files."""
        for digest, is_unnamed in emptied.files.items():
            name = ", name = ''" if is_unnamed else ""
            self._db.execute(f"UPDATE file SET bytes = NULL{name} WHERE sha256 = ?", (digest,))
        lines = [(seq,) for seq in emptied.lines]
        self._db.executemany("UPDATE entry SET line = NULL WHERE seq = ?", lines)
        empty_sayings(self._db, emptied.lines)
        self._db.execute("INSERT OR REPLACE INTO about VALUES (?, '')", (CLEANING,))

    def _look_for(self, draft: Draft) -> None:
        """BadFact on an answer to what was never said, or that does not itself speak of the same subject and key."""
        spoken = {(statement.subject, statement.key) for statement in draft.statements}
        for number in draft.answers:
            if said_at(self._db, self._words, number) not in spoken:
                raise BadFact(
                    f"no statement {number!r} is on file for these facts", do="check `airwrit history`"
                )

    def _keep_files(self, files: Iterable[KeptFile], drafts: Iterable[Draft]) -> None:
        """Keep the files that the drafts name; one of which nothing is put on record is no evidence of anything."""
        named = {one.digest for draft in drafts for one in files_in(draft.source) if one.is_kept}
        given = {sha256(file.data).hexdigest(): file for file in files if file.data is not None}
        rows = [(digest, file.name, file.data) for digest, file in given.items() if digest in named]
        self._db.executemany("INSERT INTO file VALUES (?, ?, ?) ON CONFLICT DO NOTHING", rows)

    def _frontier(self) -> Frontier:
        """The tree as it was kept; both parts in one query, so that no write can come between."""
        query = "SELECT name, value FROM about WHERE name IN ('size', 'peaks')"
        kept = dict(self._db.execute(query).fetchall())
        try:
            peaks = bytes.fromhex(kept["peaks"])
            return Frontier(int(kept["size"]), [peaks[at : at + 32] for at in range(0, len(peaks), 32)])
        except (KeyError, ValueError) as fault:
            raise LedgerFault(
                "the ledger is damaged. Its size and root are missing",
                where=self.path.name,
                do="run `airwrit check-records`",
            ) from fault

    def _keep_frontier(self, frontier: Frontier) -> None:
        made = {"size": str(frontier.size), "peaks": b"".join(frontier.peaks).hex()}
        self._db.executemany("UPDATE about SET value = ?2 WHERE name = ?1", made.items())

    def rebuild(self) -> None:
        """Make all that is derived anew from the entries. Only inside `writing`."""
        for table in ("said", "answered", "held", "word"):
            self._db.execute(f"DELETE FROM {table}")
        self._words.forget()
        reasons = blanked_by(self._db)
        for line in self.lines():
            if line.text is not None:
                keep_sayings(self._db, self._words, entry_of(line.text))
            elif left := left_of(line.seq, line.recorded_at, reasons.get(line.seq)):
                keep_sayings(self._db, self._words, left)
        rebuild_rectangles(self._db)
        self._keep_frontier(grow_trees(self._db, self.name))

    def _take_up(self) -> None:
        """Give a ledger of an earlier form the tables of this one, and note what it lacks as it is."""
        with self.writing():
            if not look_at_form(self._db, self.path):
                form = form_of(self._db)
                add_tables(self._db, form)
                if form < WITH_TREES:
                    self._keep_frontier(grow_trees(self._db, self.name))
                keep_sums(self._db)
                note_gaps(self._db, f"form {form}")

    # ---- reading -------------------------------------------------------------------------------------------------

    @contextmanager
    def reading(self) -> Iterator[None]:
        """A transaction that sees one state of the file, whoever writes meanwhile; inside another it is that one."""
        with told(self.path):
            is_mine = not self._db.in_transaction
            if is_mine:
                self._db.execute("BEGIN")
            try:
                yield
            finally:
                if is_mine:
                    self._db.execute("ROLLBACK")

    def _about(self, name: str) -> str:
        rows = self._rows("SELECT value FROM about WHERE name = ?", name)
        if not rows:
            raise LedgerFault(
                "the ledger is damaged", where=self.path.name, do="restore a backup to a new file"
            )
        return str(rows[0][0])

    def head(self) -> Head:
        """How many entries, and the root over them."""
        with made_out(self.path):
            frontier = self._frontier()
        return Head(frontier.size, frontier.root)

    def _rows(self, query: str, *values: str | int) -> list[Any]:
        with made_out(self.path):
            return self._db.execute(query, values).fetchall()

    def head_at(self, known_at: datetime) -> Head:
        """The head as it was at a moment."""
        size = self.seq_at(known_at)
        return Head(size, self.root_at(size))

    def root_at(self, size: int) -> bytes:
        """The root over the first `size` entries, of which there have to be so many."""
        with made_out(self.path):
            return subtree(self._db, 0, size)

    def goes_on_from(self, head: Head) -> bool:
        """Whether the entries under a head are the first ones of this log."""
        return head.size <= self.head().size and self.root_at(head.size) == head.root

    def lines(self, since: int = 0) -> Iterator[StoredLine]:
        """The entries after entry `since`, in order, as they are kept."""
        with made_out(self.path):
            rows = self._db.execute(
                "SELECT seq, recorded_at, line, leaf FROM entry WHERE seq > ? ORDER BY seq", (since,)
            )
            for seq, moment, text, leaf in rows:
                yield StoredLine(seq, moment_of(moment), text, leaf)

    def entries(self, subject: str) -> list[Entry]:
        """The entries that speak of a subject, in order; blanked ones are left out."""
        with made_out(self.path):
            rows = self._db.execute(
                "SELECT line FROM entry WHERE line IS NOT NULL AND seq IN (SELECT seq FROM said WHERE subject = ?) "
                "ORDER BY seq",
                (self._words.id_of(self._db, subject),),
            ).fetchall()
            return [entry_of(line) for (line,) in rows]

    def answered_by(self, seq: int, place: int) -> tuple[int, ...]:
        """The entries that took the place of a statement, in order."""
        asks = "SELECT by_seq FROM answered WHERE seq = ? AND place = ? ORDER BY by_seq"
        return tuple(by_seq for (by_seq,) in self._rows(asks, seq, place))

    def entry(self, seq: int) -> Entry | None:
        """An entry by its number; None when there is none or it was blanked."""
        with made_out(self.path):
            row = self._db.execute("SELECT line FROM entry WHERE seq = ?", (seq,)).fetchone()
            return None if row is None or row[0] is None else entry_of(row[0])

    def acts(self, since: int = 0) -> dict[int, tuple[str, str]]:
        """Act and source of every entry after entry `since`, by its number; blanked ones are left out."""
        return {seq: (act, source) for seq, act, source in self._rows(_ACTS, since)}

    def subjects(self) -> list[str]:
        """Every subject spoken of, in the order they came up."""
        asks = "SELECT text FROM word WHERE id IN (SELECT DISTINCT subject FROM said) ORDER BY id"
        return [text for (text,) in self._rows(asks)]

    def file(self, digest: str) -> KeptFile | None:
        """A file by the SHA-256 of its bytes, in hex."""
        with made_out(self.path):
            row = self._db.execute("SELECT name, bytes FROM file WHERE sha256 = ?", (digest,)).fetchone()
        return None if row is None else KeptFile(*row)

    def last_moment(self) -> datetime:
        """When the last entry was recorded; the earliest moment of all for an empty ledger."""
        with made_out(self.path):
            row = self._db.execute("SELECT recorded_at FROM entry ORDER BY seq DESC LIMIT 1").fetchone()
            return datetime.min.replace(tzinfo=UTC) if row is None else moment_of(row[0])

    def seq_at(self, known_at: datetime) -> int:
        """The last entry recorded at or before a moment; 0 for none. ValueError when it has no zone."""
        if known_at.tzinfo is None:
            raise NoZone(f"the time '{known_at}' has no time zone")
        wanted, asks = micros_of(known_at), "SELECT recorded_at FROM entry WHERE seq = ?"
        with made_out(self.path):
            if steps_back(self._db):
                last = "SELECT coalesce(max(seq), 0) FROM entry WHERE recorded_at <= ?"
                return int(self._db.execute(last, (wanted,)).fetchone()[0])
            low, high = 0, self._db.execute("SELECT coalesce(max(seq), 0) FROM entry").fetchone()[0]
            while low < high:
                middle = (low + high + 1) // 2
                row = self._db.execute(asks, (middle,)).fetchone()
                low, high = (middle, high) if row is not None and row[0] <= wanted else (low, middle - 1)
            return int(low)

    def known(self, known_at: datetime, subjects: Sequence[str] | None = None, since: int = 0) -> list[Known]:
        """All statements recorded up to a moment, answered ones too, for the fold; of all subjects those after `since`."""
        with made_out(self.path):
            seq = self.seq_at(known_at)
            if subjects is None:
                return known_of(self._db, self._words, "s.seq > ? AND s.seq <= ?", (since, seq))
            found: list[Known] = []
            for subject in subjects:
                number = self._words.id_of(self._db, subject)
                found += known_of(self._db, self._words, "s.seq <= ? AND s.subject = ?", (seq, number))
            return found

    def state(
        self, on: When, known_at: datetime, subjects: Sequence[str] | None = None, kinds: Sequence[str] = ()
    ) -> State:
        """How things stood on `on` as known at `known_at`: what the fold says of `known`, found by lookup.

        Of the subjects named, or of those of some kinds; of all where neither is told.
        """
        with made_out(self.path):
            return state_held(
                self._db, self._words, self.seq_at(known_at), StateQuery(on, known_at, subjects, kinds)
            )

    def state_of_day(self, before: State, on: date) -> State:
        """How things stood on a day, out of the whole state of another day, as known then; most of it is taken over."""
        with self.reading(), made_out(self.path):
            return state_of_day(self._db, self._words, before, self.seq_at(before.known_at), on)

    def state_grown(self, before: State, since: int, known_at: datetime) -> State:
        """How things stand on the day of `before`, which is the whole state after entry `since`; most of it is taken over."""
        with self.reading(), made_out(self.path):
            return state_grown(self._db, self._words, before, since, self.seq_at(known_at), known_at)

    def speaking(self, key: str, known_at: datetime) -> list[str]:
        """The subjects of which anything was said under a key up to a moment, whether it still counts or not."""
        with made_out(self.path):
            numbers = (self._words.id_of(self._db, key), self.seq_at(known_at))
            rows = self._db.execute(
                "SELECT text FROM word WHERE id IN (SELECT subject FROM said WHERE key = ? AND seq <= ?) ORDER BY id",
                numbers,
            ).fetchall()
            return [text for (text,) in rows]

    def strange_keys(self) -> list[str]:
        """Names of facts in the ledger that this program does not know; nothing is made of them."""
        rows = self._rows("SELECT text FROM word WHERE id IN (SELECT DISTINCT key FROM said)")
        return sorted(text for (text,) in rows if text not in KEYS)
