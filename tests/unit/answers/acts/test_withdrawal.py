"""An entry taken back is as if it had never been written, also for the next import of the file it came from."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from airwrit.answers.acts.withdrawal import entry_named, taking_back
from airwrit.answers.sheets.difference import ChangeKind, Difference, before
from airwrit.answers.sheets.importing import ImportOptions, preview_of, read_files
from airwrit.base.errors import UsageError
from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import START, Clock, draft, said

DAY = date(2026, 1, 1)
SHEET = "Aircraft,Use,Owner,Weight (g)\nH-01,work,Tarn,{}\n"


def brought_in(book: Ledger, grams: int, *, corrects: bool = False) -> Difference:
    """The sheet with a weight brought in; what that did."""
    read = read_files([("f.csv", SHEET.format(grams).encode())])
    taking = preview_of(read, before(book), ImportOptions("ada", DAY, corrects=corrects)).taking
    if taking.drafts:
        book.append(taking.drafts, Clock())
    return taking


def undone(book: Ledger, entry: int) -> int:
    """Take an entry back; the number of the new one."""
    return book.append(taking_back(before(book), entry, "ada", DAY).taking.drafts, Clock())[-1].seq


def weight(book: Ledger) -> object:
    """The weight on record."""
    held = book.state(DAY, START.replace(year=2027)).held.get("aircraft/H-01", {}).get(TAKEOFF_WEIGHT)
    return None if held is None else (held.value, held.why)


@pytest.fixture
def book(tmp_path: Path) -> Ledger:
    """A ledger with the sheet in it."""
    made = Ledger.begin(tmp_path / "l.airwrit")
    brought_in(made, 900)
    return made


def test_a_sheet_taken_back_is_new_again(book: Ledger) -> None:
    was = weight(book)
    undone(book, 1)
    assert weight(book) is None
    again = brought_in(book, 900)
    assert {change.kind for change in again.changes} == {ChangeKind.ADDED}
    assert weight(book) == was
    assert brought_in(book, 900).is_empty


def test_a_correction_of_a_file_taken_back_leaves_what_the_file_said_before(book: Ledger) -> None:
    was = weight(book)
    brought_in(book, 950, corrects=True)
    entry = book.head().size - 1  # the last one keeps how many rows went unread
    back = undone(book, entry)
    assert weight(book) == was
    assert brought_in(book, 900).is_empty
    (change,) = brought_in(book, 950, corrects=True).changes
    assert change.statement.value == "950"
    assert undone(book, book.head().size - 1)
    undone(book, back)
    assert weight(book) != was


def test_taken_back_twice_the_file_says_it_again(book: Ledger) -> None:
    undone(book, undone(book, 1))
    assert brought_in(book, 900).is_empty


def test_a_single_fact_ended_by_hand_is_told_behind(book: Ledger) -> None:
    number = next(item.number for item in before(book).groups["aircraft/H-01", "owner"])
    book.append([draft(said("aircraft/H-01", "owner", None), answers=[number])], Clock())
    taking = brought_in(book, 900)
    assert [item.statement.key for item in taking.behind] == ["owner"]
    assert taking.same == 2


def test_what_was_replaced_since_stays(book: Ledger) -> None:
    number = next(item.number for item in before(book).groups["aircraft/H-01", "takeoff_weight_g"])
    book.append([draft(said("aircraft/H-01", "takeoff_weight_g", "800"), answers=[number])], Clock())
    found = taking_back(before(book), 1, "ada", DAY)
    assert found.replaced == 1
    assert found.act == "import"
    undone(book, 1)
    assert weight(book) == (800, None)


@pytest.mark.parametrize(("entry", "says"), [(9, "No entry"), (0, "No entry"), (-1, "No entry")])
def test_what_is_not_there_is_refused(book: Ledger, entry: int, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        taking_back(before(book), entry, "ada", DAY)


def test_nothing_left_and_a_blanking_are_refused(book: Ledger) -> None:
    undone(book, 1)
    with pytest.raises(UsageError, match=r"counts. Later"):
        taking_back(before(book), 1, "ada", DAY)
    brought_in(book, 900)
    entry, _ = blank(book, [book.head().size], Clock(), "ada", "a request")
    with pytest.raises(UsageError, match="has to stay"):
        taking_back(before(book), entry.seq, "ada", DAY)


@pytest.mark.parametrize(("text", "number"), [("17", 17), ("1,017", 1017), (" entry 17 ", 17), ("17.2", 17)])
def test_an_entry_is_named_by_its_number(text: str, number: int) -> None:
    assert entry_named(text) == number


@pytest.mark.parametrize("text", ["", "two", "-1", "1.x", "\u0661", "1.2.3"])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="isn't an entry number"):
        entry_named(text)
