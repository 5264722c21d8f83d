"""Purchases, the register and a physical count, held against each other: what stands in one list and not in another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.answers.document import SCOPE_OF_RECORDS
from airwrit.answers.reports.flown import aircraft_between
from airwrit.answers.reports.report import ProgramReport, ReportColumn, ReportTable
from airwrit.base.errors import UnreadableFile
from airwrit.base.sentences import counted, day_words
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import AIRFRAME_SERIAL, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import folded, id_of, subject_named
from airwrit.intake.reader.cells import Book, Cell, Kind

_SERIAL = ("serial", "serialnumber", "serialno", "serialno.", "s/n", "sn", "serial#", "airframeserial")
_NAME = ("name", "aircraft", "asset", "assettag", "tag", "unit", "call", "callsign", "id")
_NUMBER = (
    "registration",
    "registrationnumber",
    "reg",
    "regno",
    "fanumber",
    "faanumber",
    "n-number",
    "faaregistration",
)
_HEADS = (*_SERIAL, *_NAME, *_NUMBER)
_LONGEST_SHOWN = 120


class ListedItem(NamedTuple):
    """A row of a list: where it stands, its texts as they stand there, and what it can be known by, folded."""

    place: str
    text: str
    keys: tuple[str, ...]
    damaged: bool


class _Found(NamedTuple):
    """The aircraft of the register that a list names, the rows that name none, those that can't be read, and repeats."""

    known: frozenset[str]
    strange: tuple[ListedItem, ...]
    damaged: tuple[ListedItem, ...]
    twice: tuple[str, ...]


def items_of(book: Book) -> tuple[ListedItem, ...]:
    """The rows of a list of things. UnreadableFile where no column is headed like a serial, a name or a registration."""
    found = []
    for sheet in book.sheets:
        columns: dict[int, str] = {}
        for number, row in enumerate(sheet.rows):
            heads = {at: folded(cell.text) for at, cell in enumerate(row) if folded(cell.text) in _HEADS}
            if heads:
                columns = heads
            elif columns and any(cell.kind is not Kind.EMPTY for cell in row):
                found.append(_item(str(sheet.place(f"row {sheet.top + number + 1}")), row, columns))
    if not found:
        raise UnreadableFile(
            "no column is headed Serial number, Name or Registration",
            where=book.source.name,
            do="put one of these headings over the column that tells the aircraft apart",
        )
    return tuple(one for one in found if one.keys or one.damaged)


def _item(place: str, row: Sequence[Cell], columns: dict[int, str]) -> ListedItem:
    keys, damaged = [], False
    for at in sorted(columns, key=lambda at: _rank(columns[at])):
        cell = row[at] if at < len(row) else None
        if cell is None or cell.kind is Kind.EMPTY:
            continue
        if (
            columns[at] in _SERIAL
            and cell.kind is Kind.NUMBER
            and len(cell.text.lstrip("-")) > len("123456789012345")
        ):
            damaged = (
                True  # a spreadsheet keeps fifteen digits of a number: the rest of a longer serial is gone
            )
        else:
            keys.append(folded(cell.text))
    text = " ".join(cell.text for cell in row if cell.text)[:_LONGEST_SHOWN]
    return ListedItem(place, text, tuple(keys), damaged)


def _rank(head: str) -> int:
    return 0 if head in _SERIAL else 1 if head in _NUMBER else 2


def inventory_report(
    state: State, on: date, purchases: Sequence[ListedItem], count: Sequence[ListedItem]
) -> ProgramReport:
    """The three lists held against each other as of a day. An empty list says that nothing was bought, or counted."""
    here = aircraft_between(state, on, on)
    every = tuple(id_of(one) for one in state.subjects("aircraft") if state.held[one])
    names = _names(state, every)
    bought, seen = _against(purchases, names), _against(count, names)
    gone = [name for name in every if name not in here and name in seen.known]
    rows = tuple(
        (
            name,
            value_held(state, subject_named("aircraft", name), AIRFRAME_SERIAL)
            or value_held(state, subject_named("aircraft", name), REMOTE_ID_SERIAL),
            "yes" if name in bought.known else "no",
            "yes",
            "yes" if name in seen.known else "no",
        )
        for name in sorted(here)
    )
    whole = sum(row[2:] == ("yes", "yes", "yes") for row in rows)
    tables = (*_mismatches(rows, bought, seen, gone), _all_table(rows))
    bad, were = sum(len(table.rows) for table in tables[:-1]), "was" if whole == 1 else "were"
    says = (
        f"{whole} of {len(rows)} aircraft on the register on {day_words(on)} {were} bought and counted.",
        f"{counted(bad, 'line')} to look into." if bad else "The three lists agree.",
    )
    return ProgramReport(
        "inventory",
        "Inventory: purchases, register, count",
        day_words(on),
        on,
        SCOPE_OF_RECORDS,
        says,
        tables,
        ("Aircraft are matched by serial number, then registration, then name.",),
        Verdict.NOT_MET if bad else Verdict.MET,
    )


def _mismatches(
    rows: Sequence[Sequence[str | None]], bought: _Found, seen: _Found, gone: Sequence[str]
) -> Iterator[ReportTable]:
    """What stands in one list and not in another, by kind."""
    uncounted, unbought = ([str(row[0]) for row in rows if row[at] == "no"] for at in (4, 2))
    yield _names_table("not_counted", "On the register, not counted", uncounted)
    yield _names_table("not_bought", "On the register, not among the purchases", unbought)
    yield _items_table("bought_not_registered", "Bought, not on the register", bought.strange)
    yield _items_table("counted_not_registered", "Counted, not on the register", seen.strange)
    yield _names_table("counted_but_gone", "Counted, though sold, lost or scrapped on record", gone)
    damaged = (*bought.damaged, *seen.damaged)
    yield _items_table("damaged", "Serial numbers that the file has damaged", damaged)
    yield _names_table("twice", "Listed more than once", [*bought.twice, *seen.twice])


def _names(state: State, every: Iterable[str]) -> dict[str, str]:
    """What each aircraft of the register can be known by; what two of them share tells none."""
    told: dict[str, set[str]] = {}
    for name in every:
        subject = subject_named("aircraft", name)
        for text in (
            name,
            *(value_held(state, subject, key) for key in (AIRFRAME_SERIAL, REMOTE_ID_SERIAL, REGISTRATION)),
        ):
            if text:
                told.setdefault(folded(text), set()).add(name)
    return {text: next(iter(mine)) for text, mine in told.items() if len(mine) == 1}


def _against(items: Iterable[ListedItem], names: dict[str, str]) -> _Found:
    known: Counter[str] = Counter()
    strange, damaged = [], []
    for one in items:
        name = next((names[key] for key in one.keys if key in names), None)
        if name is not None:
            known[name] += 1
        elif one.damaged:
            damaged.append(one)
        else:
            strange.append(one)
    twice = tuple(name for name, many in known.items() if many > 1)
    return _Found(frozenset(known), tuple(strange), tuple(damaged), twice)


def _names_table(name: str, title: str, names: Sequence[str]) -> ReportTable:
    return ReportTable(
        name, title, (ReportColumn("aircraft", "Aircraft"),), tuple((one,) for one in sorted(names))
    )


def _items_table(name: str, title: str, items: Iterable[ListedItem]) -> ReportTable:
    columns = (ReportColumn("place", "Where"), ReportColumn("text", "The row"))
    return ReportTable(name, title, columns, tuple((one.place, one.text) for one in items))


def _all_table(rows: Iterable[tuple[str | None, ...]]) -> ReportTable:
    columns = (
        ReportColumn("aircraft", "Aircraft"),
        ReportColumn("serial", "Serial number"),
        ReportColumn("bought", "Bought"),
        ReportColumn("registered", "On the register"),
        ReportColumn("counted", "Counted"),
    )
    return ReportTable(
        "aircraft", "Every aircraft on the register", columns, tuple(rows), empty="No aircraft."
    )
