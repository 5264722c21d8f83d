"""Days are read strictly; what can be read two ways is decided by the column or the user, or not at all."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.facts.keys.aircraft import SOLD_ON
from airwrit.intake.cell.column import Hints, read_column
from airwrit.intake.cell.dates import (
    CENTURY_NOTE,
    DAY_FIRST,
    DAY_NUMBER_NOTE,
    EIGHT_NOTE,
    MONTH_FIRST,
    TIME_NOTE,
    DateColumn,
    DateOrder,
    date_column,
    day_of_cell,
    day_of_text,
    shown_order,
)
from airwrit.intake.cell.value import NOTHING
from airwrit.intake.reader.cells import Cell, Kind

PLAIN = DateColumn()


def texts(*values: str) -> list[Cell]:
    return [Cell(Kind.TEXT, value) for value in values]


@pytest.mark.parametrize(
    "text",
    [
        "2024-03-05",
        "2024/3/5",
        "2024.03.05",
        "5 Mar 2024",
        "05-Mar-2024",
        "5. March 2024",
        "5th of March 2024",
        "Mar 5, 2024",
        "March 5th 2024",
        "Tue 5 March 2024",
        "Tuesday, March 5, 2024",
        "5MAR2024",
        "2024-03-05 00:00:00",
        "2024-03-05T00:00",
    ],
)
def test_a_day_that_can_be_read_one_way_only(text: str) -> None:
    assert day_of_text(text, PLAIN).raw == "2024-03-05"


@pytest.mark.parametrize(
    ("text", "raw", "note"),
    [
        ("5 Mar 24", "2024-03-05", CENTURY_NOTE),
        ("3/25/24", "2024-03-25", CENTURY_NOTE),
        ("2024-03-05 14:30", "2024-03-05", TIME_NOTE),
        ("March 5, 2024 2:30 PM", "2024-03-05", TIME_NOTE),
        ("20240305", "2024-03-05", EIGHT_NOTE),
        ("45356", "2024-03-05", DAY_NUMBER_NOTE),
        ("45356.75", "2024-03-05", DAY_NUMBER_NOTE),
    ],
)
def test_a_day_read_with_a_remark(text: str, raw: str, note: str) -> None:
    assert day_of_text(text, PLAIN)[:3] == (raw, note, "")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2023-02-29", "doesn't exist"),
        ("31/04/2024", "doesn't exist"),
        ("2024-13-01", "doesn't exist"),
        ("0 Mar 2024", "doesn't exist"),
        ("13/13/2024", "a date in any month"),
        ("1/1/0024", "the year"),
        ("Mar 2024", "is a month"),
        ("3/2024", "is a month"),
        ("next spring", "a date"),
        ("expired 3/25/2024", "a date"),
        ("3/4/2024", "may be day first or month first"),
        ("12", "a date"),
        ("٣/٤/٢٠٢٤", "a date"),
    ],
)
def test_what_is_no_day_is_a_fault(text: str, says: str) -> None:
    got = day_of_text(text, PLAIN)
    assert got.raw is None
    assert says in got.fault
    assert got.do


@pytest.mark.parametrize("text", ["", "-", "n/a", "?", "TBD", "unknown", "none", "never", "no"])
def test_a_word_for_nothing_is_nothing(text: str) -> None:
    assert day_of_text(text, PLAIN) == NOTHING


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("25/3/2024", DAY_FIRST),
        ("3/25/2024", MONTH_FIRST),
        ("3/4/2024", None),
        ("2024-03-25", None),
        ("25/25/24", None),
    ],
)
def test_a_part_above_12_shows_the_order(text: str, order: DateOrder | None) -> None:
    assert shown_order(text) == order


def test_a_column_s_own_proof_beats_the_answer_for_all() -> None:
    column = date_column(texts("3/4/2024", "25/12/2024"), MONTH_FIRST, None)
    assert column.order == DAY_FIRST
    assert day_of_text("3/4/2024", column).raw == "2024-04-03"


def test_the_first_cell_that_proves_the_order_is_named() -> None:
    read = read_column(SOLD_ON, texts("3/4/2024", "25/12/2024", "26/12/2024", "27/12/2024"), Hints())
    assert read.dates is not None
    assert read.dates.shown_by == "25/12/2024"


def test_the_answer_serves_where_nothing_is_proved() -> None:
    column = date_column(texts("3/4/2024"), MONTH_FIRST, None)
    assert day_of_text("3/4/2024", column).raw == "2024-03-04"


def test_both_proofs_in_a_column_leave_it_open_whatever_was_answered() -> None:
    column = date_column(texts("3/25/2024", "25/12/2024", "3/4/2024"), MONTH_FIRST, None)
    assert column.order is None
    assert "both" in day_of_text("3/4/2024", column).fault
    assert day_of_text("25/12/2024", column).raw == "2024-12-25"


def test_what_was_told_of_a_column_makes_the_other_order_a_fault() -> None:
    column = date_column(texts("25/12/2024"), None, MONTH_FIRST)
    assert "can't be month-first," in day_of_text("25/12/2024", column).fault


def test_equal_day_and_month_need_no_order() -> None:
    assert day_of_text("5/5/2024", PLAIN).raw == "2024-05-05"


@pytest.mark.parametrize("text", ["25/03/2024", "03/25/2024"])
def test_date_cells_among_texts_with_days_above_12_may_be_swapped(text: str) -> None:
    low, high = Cell(Kind.DAY, "2024-04-03"), Cell(Kind.DAY, "2024-04-23")
    same = Cell(Kind.DAY, "2024-04-04")
    assert not date_column([*texts(text), low, high, same], None, None).suspect
    column = date_column([*texts(text), low, same], None, None)
    assert "swapped" in day_of_cell(low, column).fault
    assert day_of_cell(high, column).raw == "2024-04-23"
    assert day_of_cell(same, column).raw == "2024-04-04"


def test_a_two_digit_year_of_birth_is_a_fault() -> None:
    assert "two-digit" in day_of_text("5 Mar 71", PLAIN, birth=True).fault


def test_an_instant_needs_its_zone_and_a_key_that_takes_it() -> None:
    text = "2024-03-05T14:30-05:00"
    assert day_of_text(text, PLAIN, instants=True).raw == "2024-03-05T14:30:00-05:00"
    assert day_of_text(text, PLAIN)[:2] == ("2024-03-05", "we left out a time and kept only the date")


def test_number_cells_count_days_from_1900_unless_the_book_counts_from_1904() -> None:
    cell = Cell(Kind.NUMBER, "45356")
    assert day_of_cell(cell, PLAIN).raw == "2024-03-05"
    assert "1904" in day_of_cell(cell, DateColumn(from_1904=True)).fault
    assert "a date" in day_of_cell(Cell(Kind.NUMBER, "7"), PLAIN).fault


@pytest.mark.parametrize(
    "cell", [Cell(Kind.TIME, "03:04:00"), Cell(Kind.BOOL, "yes"), Cell(Kind.DAY, "0999-01-01")]
)
def test_other_cells_are_faults(cell: Cell) -> None:
    assert day_of_cell(cell, PLAIN).fault


def test_a_date_cell_with_a_time_keeps_the_day() -> None:
    assert day_of_cell(Cell(Kind.INSTANT, "2024-03-05 14:30:00"), PLAIN)[:2] == ("2024-03-05", TIME_NOTE)


@given(st.text(max_size=40), st.booleans(), st.booleans())
def test_no_text_makes_the_reader_raise(text: str, instants: bool, birth: bool) -> None:
    for order in (None, MONTH_FIRST, DAY_FIRST):
        got = day_of_text(text, DateColumn(order), instants=instants, birth=birth)
        assert got.raw is None or not got.fault


@given(st.text("0123456789/-. :TZMar", max_size=22))
def test_no_text_like_a_date_makes_the_reader_raise(text: str) -> None:
    got = day_of_text(text, PLAIN)
    assert got.raw is None or date.fromisoformat(str(got.raw)).isoformat() == got.raw


@given(st.dates(date(1900, 1, 1), date(2099, 12, 31)))
def test_a_written_day_is_read_back(day: date) -> None:
    for pattern in ("%Y-%m-%d", "%d %b %Y", "%B %d, %Y", "%d-%b-%Y", "%Y/%m/%d"):
        assert day_of_text(day.strftime(pattern), PLAIN).raw == day.isoformat()
    assert day_of_text(day.strftime("%m/%d/%Y"), DateColumn(MONTH_FIRST)).raw == day.isoformat()
    assert day_of_text(day.strftime("%d.%m.%Y"), DateColumn(DAY_FIRST)).raw == day.isoformat()


@given(st.integers(30_000, 59_999))
def test_a_day_number_is_days_after_the_end_of_1899(number: int) -> None:
    day = date(1899, 12, 30) + timedelta(days=number)
    assert day_of_text(str(number), PLAIN).raw == day.isoformat()
