"""Statements: the one form in which facts arrive, from a cell, a facts file, a form, an instrument or a what-if."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from itertools import repeat
from typing import NamedTuple

from airwrit.base.days import EARLIEST, When
from airwrit.base.sentences import sentence
from airwrit.facts.key import Raw

ALWAYS_KNOWN = datetime(1, 1, 1, tzinfo=UTC)
"""Recorded moment of statements that come with the question itself: a sheet, a facts file, a what-if."""


class Unreadable(str):
    """What stood where a value belongs and could not be read: the fact is damaged, and a statement may put it right."""

    __slots__ = ()


class FilePlace(str):
    """Where in a file something stands: the words that name it, and file, sheet, row and column by themselves."""

    __slots__ = ("row", "within")
    within: tuple[str, str | None, str | None]
    row: int | None

    def __new__(
        cls,
        words: str,
        file: str,
        sheet: str | None = None,
        row: int | None = None,
        column: str | None = None,
    ) -> FilePlace:
        """A place by its words; None for what is not named."""
        made = str.__new__(cls, words)
        made.within, made.row = (file, sheet, column), row
        return made

    @property
    def file(self) -> str:
        """The file's name."""
        return self.within[0]

    @property
    def sheet(self) -> str | None:
        """The sheet's name."""
        return self.within[1]

    @property
    def column(self) -> str | None:
        """The letters of the column."""
        return self.within[2]

    def down(self, rows: Sequence[int]) -> list[FilePlace]:
        """The cells of a column in some rows, where this is the column: `C` makes `C7`.

        A sheet has a hundred thousand of them, so they share what they have in common.
        """
        cells = list(map(str.__new__, repeat(FilePlace), map(str(self).__add__, map(str, rows))))
        within = self.within
        for cell, row in zip(cells, rows, strict=True):
            cell.within, cell.row = within, row
        return cells


class EntryPlace(str):
    """The entry of a ledger that a statement stands in: the words that name it, and its number."""

    __slots__ = ("entry",)
    entry: int

    def __new__(cls, entry: int) -> EntryPlace:
        """The place by the entry's number."""
        made = super().__new__(cls, f"entry {entry}")
        made.entry = entry
        return made


class GoesWithoutSaying(str):
    """The origin of a link that nobody wrote: to the only subject of its kind that there is."""

    __slots__ = ()


class ForModel(str):
    """The origin of a fact that was confirmed for all aircraft of a model: of which, by whom and when, in words."""

    __slots__ = ()


class Statement(NamedTuple):
    """One atom. `value` None says it ended; `valid_until` None means until further notice; spans are half-open."""

    subject: str
    key: str
    value: Raw
    valid_from: When = EARLIEST
    valid_until: When | None = None


class Known(NamedTuple):
    """A statement with when it was recorded, where it came from, and the statement numbers it corrects or withdraws.

    `number` names the statement among those of one state; `answers` names the ones it takes the place of.
    """

    statement: Statement
    origin: str = ""
    recorded_at: datetime = ALWAYS_KNOWN
    number: str = ""
    answers: tuple[str, ...] = ()


def stated_always(
    subjects: Iterable[str], key: str, values: Iterable[Raw], origins: Iterable[str]
) -> Iterator[Known]:
    """What the cells of a column state for all time; made at once, since a sheet has a hundred thousand."""
    fields = zip(subjects, repeat(key), values, repeat(EARLIEST), repeat(None))
    statements = map(_made, repeat(Statement), fields)
    return map(_made, repeat(Known), zip(statements, origins, repeat(ALWAYS_KNOWN), repeat(""), repeat(())))


_made = tuple.__new__


class Problem(NamedTuple):
    """Something wrong in an input: where, what, what to do; the (subject, key) it spoils; whether rows went unread.

    `field` is the field of a form that it is about, where it is about one; `is_answer` that it is about an answer that does not
    fit the sheet and was not used.
    """

    where: str
    what: str
    do: str
    spoils: tuple[tuple[str, str], ...] = ()
    unread: bool = False
    field: str = ""
    is_answer: bool = False

    @property
    def says(self) -> str:
        """What is wrong and what to do, as sentences."""
        return f"{sentence(self.what)} {sentence(self.do)}".rstrip()


class Source(NamedTuple):
    """A file that was read: its name without folders, and the SHA-256 of its bytes."""

    name: str
    sha256: str
