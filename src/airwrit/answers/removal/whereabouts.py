"""Where the values of private facts stand: in the lines of a ledger, in its kept files, in the names of subjects.

A value is looked for as it may be written: a day in the usual forms, any text whatever its case and spaces. Words of a closed
list, yes and no, and texts of less than four signs are no use for that; files with such a value are found by reading them.
"""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Collection, Iterable, Iterator
from datetime import date
from typing import NamedTuple

from airwrit.base.days import parse_day
from airwrit.base.errors import AirwritError
from airwrit.facts.statement import Statement, Unreadable
from airwrit.facts.vocabulary import KEYS, folded, id_of, kind_of
from airwrit.intake.cell.dates import DAY_FIRST, MONTH_FIRST, DateColumn, day_of_cell
from airwrit.intake.reader.cells import Book, Kind, book_of
from airwrit.intake.reader.document import sniffed
from airwrit.intake.reader.limits import LIMITS
from airwrit.intake.sheets import intake_of
from airwrit.ledger.entry import Entry

_SHORTEST = 4
_TELLING = 10_000
"""A number from which on a cell of that number is taken for the same, its zeros in front lost."""

_PEOPLE = ("person", "owner")
_ORDERS = (DateColumn(MONTH_FIRST), DateColumn(DAY_FIRST))


class Values(NamedTuple):
    """Private values to look for: the pattern of all forms they may be written in, days and whole numbers by themselves.

    `texts` are the forms in which a ledger itself keeps them. `pattern` is None where nothing can be looked for.
    """

    texts: frozenset[str]
    days: frozenset[str]
    numbers: frozenset[int]
    pattern: re.Pattern[str] | None

    def stand_in(self, text: str) -> bool:
        """Whether one of them stands in a text, in whatever form."""
        return self.pattern is not None and self.pattern.search(_plain(text)) is not None


def values_of(statements: Iterable[Statement]) -> Values:
    """The values of some private statements that can be looked for."""
    texts, days = set[str](), set[str]()
    for statement in statements:
        kind, value = KEYS[statement.key].kind if statement.key in KEYS else str, statement.value
        if isinstance(value, str) and len(value.strip()) >= _SHORTEST and kind in (str, date):
            texts.add(str(value).strip())
            if kind is date and not isinstance(value, Unreadable):
                days.add(value[:10])
    forms = {
        form for text in texts for form in ({_plain(text)} | set(_day_forms(text if text in days else "")))
    }
    pattern = "|".join(_bounded(form) for form in sorted(forms, key=len, reverse=True))
    numbers = {int(text) for text in texts if text.isascii() and text.isdigit() and int(text) >= _TELLING}
    return Values(
        frozenset(texts), frozenset(days), frozenset(numbers), re.compile(pattern) if pattern else None
    )


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _bounded(form: str) -> str:
    """A form as a pattern that is not a part of a longer number or word."""
    first, last = form[0], form[-1]
    before = r"(?<![0-9])" if first.isdigit() else r"(?<![^\W\d_])" if first.isalpha() else ""
    behind = r"(?![0-9])" if last.isdigit() else r"(?![^\W\d_])" if last.isalpha() else ""
    return before + re.escape(form) + behind


def _day_forms(text: str) -> Iterator[str]:
    """The forms in which people write a day, in small letters."""
    if not text:
        return
    try:
        day = parse_day(text)
    except ValueError:
        return
    year, month, of_month = f"{day.year:04}", day.month, day.day
    for one, other in ((month, of_month), (of_month, month)):
        for sign in "/-.":
            yield f"{one}{sign}{other}{sign}{year}"
            yield f"{one:02}{sign}{other:02}{sign}{year}"
    for sign in "/.-":
        yield f"{year}{sign}{month:02}{sign}{of_month:02}"
        yield f"{year}{sign}{month}{sign}{of_month}"
    yield f"{year}{month:02}{of_month:02}"
    for name in (f"{day:%B}".casefold(), f"{day:%b}".casefold(), f"{day:%b}.".casefold()):
        yield f"{name} {of_month}, {year}"
        yield f"{name} {of_month} {year}"
        yield f"{of_month} {name} {year}"


# ---- lines ----------------------------------------------------------------------------------------------------------


class ValuePlaces(NamedTuple):
    """Where values stand in an entry: in its own words (note, source, writer), at places of it, in names of subjects."""

    in_words: bool
    places: frozenset[int]
    in_names: tuple[str, ...]

    @property
    def is_anywhere(self) -> bool:
        """Whether they stand in it at all."""
        return self.in_words or bool(self.places) or bool(self.in_names)


def standing_in(entry: Entry, values: Values, subjects: Collection[str]) -> ValuePlaces:
    """Where values stand in an entry. A day that is a fact of others is theirs and is passed over."""
    places = frozenset(
        place
        for place, said in enumerate(entry.statements)
        if isinstance(said.value, str)
        and (said.subject in subjects or said.key not in KEYS or KEYS[said.key].kind in (str, tuple))
        and values.stand_in(str(said.value))
    )
    names = tuple(subject for subject in entry.subjects if values.stand_in(subject))
    return ValuePlaces(
        any(values.stand_in(text) for text in (entry.note, entry.source, entry.by)), places, names
    )


# ---- files ----------------------------------------------------------------------------------------------------------


def stands_in_file(data: bytes, name: str, values: Values, subjects: Collection[str]) -> bool | None:
    """Whether a kept file holds one of the values, or says a private fact of one of the subjects; None where nobody can tell.

    It is read again as a sheet, cell by cell, and as text. A photo or a PDF cannot be read for that.
    """
    if sniffed(data) is not None:
        return None
    if any(values.stand_in(text) for text in _texts_in(data)):
        return True
    try:
        book = book_of(data, name)
    except AirwritError:
        return None if not _is_text(data) else False
    return _stands_in_cells(book, values) or _says_of(book, subjects)


def _is_text(data: bytes) -> bool:
    return b"\0" not in data[:4096]


def _texts_in(data: bytes) -> Iterator[str]:
    """The texts in bytes: themselves in the encodings that sheets come in, and the parts of an archive."""
    if data.startswith(b"PK"):
        yield from _parts_of(data)
        return
    yield data.decode("utf-8", "replace")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        yield data.decode("utf-16", "replace")
    try:
        yield json.dumps(json.loads(data), ensure_ascii=False)
    except (ValueError, RecursionError):
        return


def _parts_of(data: bytes) -> Iterator[str]:
    left = LIMITS.unpacked_bytes
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            for part in archive.infolist():
                if part.file_size > left:
                    return
                left -= part.file_size
                yield re.sub(r"<[^>]*>", " ", archive.read(part).decode("utf-8", "replace"))
    except (zipfile.BadZipFile, OSError, ValueError, RuntimeError, NotImplementedError):
        return


def _stands_in_cells(book: Book, values: Values) -> bool:
    for cell in {cell for sheet in book.sheets for row in sheet.rows for cell in row}:
        if values.stand_in(cell.text):
            return True
        if (
            cell.kind is Kind.NUMBER
            and cell.text.isascii()
            and cell.text.isdigit()
            and int(cell.text) in values.numbers
        ):
            return True
        if values.days and any(day_of_cell(cell, order).raw in values.days for order in _ORDERS):
            return True
    return False


def _says_of(book: Book, subjects: Collection[str]) -> bool:
    """Whether a sheet says anything private of one of the subjects, be its name spelled another way."""
    forms = {
        (kind_of(one) if kind_of(one) not in _PEOPLE else "person", folded(id_of(one))) for one in subjects
    }
    for item in intake_of([book]).known:
        said = item.statement
        kind = kind_of(said.subject)
        form = "person" if kind in _PEOPLE else kind, folded(id_of(said.subject))
        if form in forms and said.value is not None and (said.key not in KEYS or KEYS[said.key].private):
            return True
    return False
