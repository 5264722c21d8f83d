"""The rows of one table and what each is called; totals, titles and repeated headings are set aside and told."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import zip_longest
from typing import Any, NamedTuple

from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.registration import ISSUED_ON
from airwrit.facts.statement import FilePlace, Problem
from airwrit.facts.vocabulary import folded
from airwrit.intake.cell.column import Hints, Read, read_column
from airwrit.intake.cell.dates import DateOrder
from airwrit.intake.cell.value import NOTHING, Got, clean
from airwrit.intake.layout import Block
from airwrit.intake.meaning.lexicon import whole_lexicon, words_listed, words_of
from airwrit.intake.meaning.status import status_of
from airwrit.intake.meaning.values import names_nobody
from airwrit.intake.reader.cells import EMPTY, Cell, Kind, Sheet, letters_of
from airwrit.intake.rows.fields import STANDINS, Field, fields_of, named_by
from airwrit.intake.rows.parting import names_several
from airwrit.intake.tables.view import SheetView


class Resolved(NamedTuple):
    """The name a link points at, and the remark due when it was typed otherwise."""

    name: str
    note: str = ""


class Names:
    """The names seen, by kind of subject; those of a subject's own table are told first, then links ask."""

    def __init__(self) -> None:
        self._exact: dict[str, set[str]] = {}
        self._alike: dict[tuple[str, str], list[str]] = {}
        self._linked: set[tuple[str, str]] = set()

    def add(self, kind: str, name: str) -> str:
        """Keep a name; the name it differs from only in case or spaces, if there is one, else an empty text."""
        exact = self._exact.setdefault(kind, set())
        if name in exact:
            return ""
        exact.add(name)
        alike = self._alike.setdefault((kind, folded(name)), [])
        alike.append(name)
        return alike[0] if len(alike) > 1 else ""

    def knows(self, kind: str, name: str) -> bool:
        """True when a name of that kind was told, in exactly this form."""
        return name in self._exact.get(kind, ())

    def lacks(self, kind: str, name: str) -> bool:
        """True when sheets told names of that kind, and this one stands only in a link."""
        told = len(self._exact.get(kind, ())) > sum(other == kind for other, _ in self._linked)
        return told and (kind, name) in self._linked

    def resolved(self, kind: str, name: str) -> Resolved:
        """The name a link means: itself, or the only one that differs in case or spaces alone. A new name is kept."""
        if self.knows(kind, name):
            return Resolved(name)
        alike = self._alike.get((kind, folded(name)), [])
        if len(alike) == 1:
            return Resolved(alike[0], f"read as {alike[0]!r}, which other cells say")
        if not alike:
            self.add(kind, name)
            self._linked.add((kind, name))
        return Resolved(name)


KIND_OF_TABLE = {
    "aircraft": "aircraft",
    "remote_id": "aircraft",
    "part": "part",
    "registration": "registration",
    "person": "person",
    "training": "training",
    "owner": "owner",
    "paper": "paper",
    "flight": "flight",
    "battery": "battery",
}
"""Kind of table -> kind of subject a row of it speaks of."""
MADE_IDS = ("part", "training", "flight")
"""Kinds of table whose rows need no name of their own: they are told by what they belong to."""

_COUNTED = (
    "aircraft|people|drones?|weight|units?|members?|pilots?|birds?|uas|suas|planes?|airframes?|persons?|records?|rows?|"
    "operators?|items?|assets?|staff|crew|ships?|quads?|copters?|tails?|vehicles?"
)
_TOTAL = re.compile(
    rf"(?:grand |sub-?)?(?:totals?|sum|count|average|mean)\b[^a-z]*(?:{_COUNTED})?:?[^a-z]*"
    rf"|sub-?total\b.*|\d+ (?:total )?(?:{_COUNTED})(?: total| in all)?",
    re.IGNORECASE,
)
_SUM = re.compile(r"(?:grand |sub-?)?totals?\b", re.IGNORECASE)
_SUM_OF = re.compile(r".+ (?:sub-?)?totals?:?|all [a-z]+(?: [a-z]+)?:?", re.IGNORECASE)
_COUNT_BELOW = re.compile(r"[^:]*[^\W\d][^:]*: *\d[\d.,]*")
_LABEL = re.compile(r"(?:\b(?:no|num|number)\b\.?|[#:])\s*$", re.IGNORECASE)
_WIDE, _FEW_TOLD, _FEW_OF = 3, 2, 3
_CROSS, _TICKS = "x", frozenset("✓✔☑√")
_CODED = frozenset(
    {
        "service_status",
        "mark_place",
        "listed_serial",
        "declaration_accepted",
        "remote_id_way",
        "registration_kind",
        "is_registered",
        "has_certificate",
        "safety_test_proof",
        "flies_at_night",
        "used_for",
    }
)
"""Meanings of columns whose cells may be codes or signs that the sheet explains."""


@dataclass(slots=True)
class Table:
    """A table ready to be read: its columns, its rows by place in the sheet, and what each row is called ("" for nothing)."""

    block: Block
    fields: tuple[Field, ...]
    named_by: Field | None
    rows: list[int]
    ids: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    _reads: dict[tuple[int, DateOrder | None], Read] = field(default_factory=dict)
    _columns: list[tuple[Cell, ...]] = field(default_factory=list)

    @property
    def sheet(self) -> Sheet:
        """The sheet it stands in."""
        return self.block.view.sheet

    @property
    def view(self) -> SheetView:
        """Its cells as rows under headings."""
        return self.block.view

    @property
    def kind(self) -> str:
        """The kind of subject its rows speak of."""
        return KIND_OF_TABLE[self.block.table]

    def cells(self, column: int) -> list[Cell]:
        """The cells of one column, in its rows; a formula that has no stored result is an error."""
        if not self._columns and self.rows:
            rows = self.view.rows
            self._columns = list(zip_longest(*(rows[index] for index in self.rows), fillvalue=EMPTY))
        is_there = column < len(self._columns)
        cells = list(self._columns[column]) if is_there else [EMPTY] * len(self.rows)
        if self.sheet.formulas:
            for at, index in enumerate(self.rows):
                if cells[at] is EMPTY and self.view.place(index, column) in self.sheet.formulas:
                    cells[at] = _NO_RESULT
        return cells

    def read(self, item: Field, asked_order: DateOrder | None = None) -> Read:
        """What a column's cells gave, each column read once."""
        known = self._reads.get((item.column, asked_order)) or self._read_unasked(item)
        if known is None:
            hints = Hints(item.unit, item.order, asked_order, self.sheet.from_1904, item.variant)
            known = read_column(_key_of(self, item), self._plain_cells(item), hints)
            self._reads[item.column, asked_order] = known
        return known

    def _read_unasked(self, item: Field) -> Read | None:
        """What a column gave before an order of days was asked for, where its own cells tell the order or need none."""
        known = self._reads.get((item.column, None))
        if known is None or known.dates is None or known.dates.order is not None or known.dates.mixed:
            return known
        return None

    def _plain_cells(self, item: Field) -> list[Cell]:
        """The cells of a column with its codes and signs written out, as the sheet explains them.

        A cross among ticks may be a no as well as a yes: it is neither until the sheet or the user says which.
        """
        cells = self.cells(item.column)
        if item.meaning not in _CODED:
            return cells
        codes = dict(self.block.codes)
        texts = {cell.text.casefold() for cell in set(cells)}
        if _CROSS not in codes and _CROSS in texts and not _TICKS.isdisjoint(texts):
            codes[_CROSS] = "x (yes or no?)"
        if not codes:
            return cells
        return [
            Cell(Kind.TEXT, codes[word]) if (word := cell.text.strip().casefold()) in codes else cell
            for cell in cells
        ]

    def forget(self) -> None:
        """Forget what columns hold and gave: the rows have changed."""
        self._reads.clear()
        self._columns.clear()

    def where(self, *rows: int) -> FilePlace:
        """How messages name a row: `fleet.xlsx sheet 'Aircraft' row 7`, two: `rows 2 and 3`; columns of a turned table."""
        numbers = [self._line(index) for index in rows]
        word = ("column" if self.view.turned else "row") + ("s" if len(rows) > 1 else "")
        words = f"{word} {' and '.join(map(str, numbers))}"
        first = numbers[0]
        if isinstance(first, int):
            return self.sheet.place(words, row=first)
        return self.sheet.place(words, column=first)

    def _line(self, index: int) -> int | str:
        """A row as the spreadsheet counts it, or the letters of a turned table's column."""
        row, across = self.view.place(index, 0)
        return letters_of(across) if self.view.turned else row + 1

    def cell_name(self, column: int, index: int) -> FilePlace:
        """How messages name a cell: `fleet.xlsx sheet 'Aircraft' cell C7`."""
        row, across = self.view.place(index, column)
        return self.sheet.cell_place(row + 1, letters_of(across))


def _key_of(table: Table, item: Field) -> Key[Any] | None:
    """The key a column is read by: an id of registrations as their number, from and until as days."""
    if item is table.named_by and table.kind == "registration":
        return REGISTRATION
    return ISSUED_ON if item.meaning in ("valid_from", "valid_until") else item.key


_NO_RESULT = Cell(Kind.ERROR, "a formula without a stored result")


def opened(block: Block) -> Table:
    """The table with its rows sorted out and named, and the problems met on the way."""
    fields = fields_of(block)
    table = Table(block, fields, named_by(fields, block.table), [])
    _sort_rows(table)
    _name_rows(table)
    return table


def _sort_rows(table: Table) -> None:
    block, rows = table.block, table.view.rows
    wide = sum(1 for field in table.fields if field.meaning) >= _WIDE
    telling = _telling_columns(table)
    for index in range(block.first, block.end):
        row = rows[index]
        filled = len(row) - row.count(EMPTY)
        if not filled:
            continue
        reason = _other_thing(telling, row) or _set_aside(table, row, filled, wide=wide)
        if reason is None:
            table.rows.append(index)
            continue
        what, do, unread = reason
        table.problems.append(Problem(table.where(index), what, do, unread=unread))


def _set_aside(table: Table, row: Sequence[Cell], filled: int, *, wide: bool) -> tuple[str, str, bool] | None:
    """Why a row is no row of data, what to do, and whether that leaves something unread; None for a row of data."""
    first, column = next((cell, column) for column, cell in enumerate(row) if cell is not EMPTY)
    if _is_total(first, row, filled, wide and len(table.fields)):
        return (
            f"the row {_quoted(first)} looks like a total, so we didn't read it",
            "if that's right, do nothing",
            False,
        )
    if filled <= _FEW_TOLD and wide and first.kind is Kind.TEXT and _LABEL.search(first.text):
        return (
            f"{_quoted(first)} looks like a label below the table, so we didn't read it",
            "if that's right, do nothing",
            False,
        )
    if filled == 1 and (wide or " = " in first.text):
        named = table.named_by
        own = (
            named is not None
            and named.column == column
            and _COUNT_BELOW.fullmatch(first.text.strip()) is None
            and (table.kind == "person" or _has_digit(first.text))
        )
        if own:
            return (
                f"the row of {_quoted(first)} has nothing else in it",
                "fill in the row, or delete it",
                True,
            )
        return (
            f"the row of {_quoted(first)} has nothing else in it, so it looks like a title",
            "if that's right, do nothing",
            False,
        )
    if filled >= _WIDE and _is_numbering(row):
        return "the row only numbers the columns", "nothing", False
    headings = table.block.headings
    repeated = filled > 1 and column < len(headings) and first.text == headings[column]
    if repeated and _repeats_headings(headings, row):
        return "the headings are repeated here", "nothing", False
    return None


def _is_total(first: Cell, row: Sequence[Cell], filled: int, columns: int) -> bool:
    """Whether a row sums up others: a total by name, a state with how many are in it, few cells that end in a total.

    `columns` are those of a table in which several are read, 0 for any other.
    """
    if first.kind is not Kind.TEXT:
        return False
    if _TOTAL.fullmatch(first.text.strip()):
        return True
    if not columns or (filled > _FEW_TOLD and filled * _FEW_OF > columns):
        return False
    said = [cell for cell in row if cell is not EMPTY]
    if filled <= _FEW_TOLD:
        counts = filled == _FEW_TOLD and said[1].text.strip().isdigit() and status_of(first.text) is not None
        is_sum = said[-1].text.strip().isdigit() and _SUM_OF.fullmatch(first.text.strip()) is not None
        return counts or is_sum or _SUM.match(first.text) is not None
    return _SUM.fullmatch(said[-2].text.strip(" :")) is not None and _has_digit(said[-1].text)


_Telling = tuple[int, Callable[[str], str]]
"""A column that may tell that a row is about no aircraft, and how its texts tell it."""


def _other_thing(telling: Sequence[_Telling], row: Sequence[Cell]) -> tuple[str, str, bool] | None:
    """Why a row is about no aircraft: a battery, a simulator, a record made to try the sheet; None where it may be."""
    for column, tells in telling:
        text = row[column].text if column < len(row) else ""
        if text and (found := tells(text)):
            first = next(cell for cell in row if cell is not EMPTY)
            return (
                f"{_quoted(first)} is {found}, no aircraft; it was not read",
                "if that's right, do nothing",
                False,
            )
    return None


def _telling_columns(table: Table) -> list[_Telling]:
    """The columns of a table of aircraft in which some cell may tell that its row is about something else."""
    if table.block.table != "aircraft":
        return []
    found: list[_Telling] = []
    for item in table.fields:
        if item.meaning in ("remarks", "id", "service_status"):
            texts = [row[item.column].text for row in table.view.rows if item.column < len(row)]
            together = "\n".join(texts).casefold()
            if any(word in together for word in _TRIAL_WORDS):
                found.append((item.column, _trial_in))
        elif item.meaning == "model" or (not item.meaning and _CLASS.search(item.heading.casefold())):
            found.append((item.column, _thing_in))
            found += [] if item.meaning else [(item.column, _other_kind_in)]
    return found


def _trial_in(text: str) -> str:
    return "a test record or an example" if _TRIAL.search(text.casefold()) else ""


@lru_cache(maxsize=1 << 12)
def _thing_in(text: str) -> str:
    heard = whole_lexicon().heard(text)
    if heard.concepts and heard.concepts <= _PARTS_OF_IT and not heard.unknown:
        return "a part or gear"
    return "a simulator" if _SIMULATOR.search(text.casefold()) else ""


@lru_cache(maxsize=1 << 12)
def _other_kind_in(text: str) -> str:
    is_other = not words_listed("other_things").isdisjoint(words_of(text))
    return "something else" if is_other and "AC" not in whole_lexicon().heard(text).concepts else ""


_TRIAL = re.compile(
    r"\b(?:test record|example row|sample row|template row|dummy record|example only)\b|^(?:example|sample|template)\b"
)
_TRIAL_WORDS = ("test record", "dummy record", "example", "sample", "template")
"""What stands in every text that tells of a trial: looked for first, since few columns have any."""
_CLASS = re.compile(r"\b(?:class|cls|type|typ|category|kind|sort)\b|_(?:cls|typ|class)")
_SIMULATOR = re.compile(r"\b(?:simulator|sim|flight sim)\b")
_PARTS_OF_IT = frozenset({"BATT", "GEAR", "NUM", "CODE", "KIND"})


def _is_numbering(row: Sequence[Cell]) -> bool:
    """Whether a row counts its columns: (1) (2) (3), or A B C."""
    first = next(cell for cell in row if cell is not EMPTY)
    if first.text.strip("() .") not in ("1", "A"):
        return False
    texts = [cell.text.strip("() .") for cell in row if cell is not EMPTY]
    return texts == [str(number) for number in range(1, len(texts) + 1)] or texts == [
        chr(65 + place) for place in range(len(texts))
    ]


def _has_digit(text: str) -> bool:
    """Names of aircraft mostly hold a digit, titles between rows do not."""
    return any(sign.isdigit() for sign in text)


def _repeats_headings(headings: Sequence[str], row: Sequence[Cell]) -> bool:
    return all(cell is EMPTY or cell.text == heading for cell, heading in zip(row, headings, strict=False))


def _quoted(cell: Cell) -> str:
    return repr(clean(cell.text).text[:60])


def _name_rows(table: Table) -> None:
    """What each row is called; a row that should have a name and has none is set aside as unread."""
    if table.block.table == "person" and table.named_by is None:
        gots = _joined_names(table)
    elif table.named_by is None:
        gots = [NOTHING] * len(table.rows)
    else:
        gots = list(table.read(table.named_by).gots)
    if table.named_by is not None and table.named_by.meaning in STANDINS.get(table.block.table, ()):
        gots = _stood_in_for(table, gots)
    if table.block.table == "person":
        gots = [_of_one(got) for got in gots]
        gots = [NOTHING if table.block.is_part and names_nobody(str(got.raw)) else got for got in gots]
    table.ids = [got.raw if isinstance(got.raw, str) else "" for got in gots]
    if table.block.table in MADE_IDS or all(table.ids):
        return
    kept = []
    for place, (got, index) in enumerate(zip(gots, table.rows, strict=True)):
        if table.ids[place]:
            kept.append(place)
            continue
        if table.block.is_part and not got.fault:
            continue
        what = got.fault or "the row has values, but nothing says whose they are"
        do = got.do or "add the name, or delete the row"
        table.problems.append(
            Problem(_row_name(table, index), f"{what}, so we didn't read the row", do, unread=True)
        )
    table.rows = [table.rows[place] for place in kept]
    table.ids = [table.ids[place] for place in kept]
    table.forget()


def _stood_in_for(table: Table, gots: Sequence[Got]) -> list[Got]:
    """The names of rows, of which one that lacks its number goes by the next number that may name it."""
    found = list(gots)
    for meaning in STANDINS[table.block.table]:
        for item in table.fields:
            if item.meaning == meaning and not all(isinstance(got.raw, str) for got in found):
                others = table.read(item).gots
                found = [
                    got if isinstance(got.raw, str) or got.fault else other
                    for got, other in zip(found, others, strict=True)
                ]
    return found


def _of_one(got: Got) -> Got:
    """The name, unless it is the name of several people."""
    if not isinstance(got.raw, str) or not names_several(got.raw):
        return got
    return Got(fault=f"{got.raw!r} names several people", do="give each person a row")


def _row_name(table: Table, index: int) -> str:
    if table.named_by is None:
        return table.where(index)
    return table.cell_name(table.named_by.column, index)


def _joined_names(table: Table) -> list[Got]:
    """Names from first and last name columns."""
    parts = [
        table.read(item).gots
        for meaning in ("first_name", "last_name")
        for item in table.fields
        if item.meaning == meaning
    ]
    rows = zip(*parts, strict=True) if parts else ([NOTHING] for _ in table.rows)
    return [Got(" ".join(str(got.raw) for got in gots if got.raw)) for gots in rows]
