"""Weights are exact, have a unit that somebody wrote, and are never guessed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.cell.quantities import (
    COMMA_NOTES,
    Comma,
    WeightColumn,
    comma_of,
    comma_shown,
    number_of,
    plain_number_of_cell,
    weight_of_cell,
    weight_of_text,
)
from airwrit.intake.cell.value import NOTHING, Got
from airwrit.intake.reader.cells import Cell, Kind

PLAIN = WeightColumn()


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("249 g", "249"),
        ("249g", "249"),
        ("249 Grams", "249"),
        ("1.2 kg", "1200"),
        ("1,2 kg", "1200"),
        ("0,249 kg", "249"),
        ("0.55 lbs", "249.4758035"),
        ("0.55 lb.", "249.4758035"),
        ("2 lb 3 oz", "992.233309375"),
        ("2lb, 3oz", "992.233309375"),
        ("1 388 g", "1388"),
        ("1'388 g", "1388"),
        ("1,388.5 g", "1388.5"),
        ("1.388,5 g", "1388.5"),
        ("1,388,000 g", "1388000"),
        ("1 388,5 g", "1388.5"),
        ("1 388.000 g", "1388"),
        ("12,5 g", "12.5"),
        ("+5 g", "5"),
    ],
)
def test_a_weight_with_its_unit(text: str, grams: str) -> None:
    assert weight_of_text(text, PLAIN) == Got(grams)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("249", "no unit"),
        ("249 gr", "a unit we"),
        ("3 stone", "a unit we"),
        ("1,388 g", "two numbers"),
        ("~250 g", "isn't a measured weight"),
        ("250 g class", "isn't a measured weight"),
        ("approx 250 g", "isn't a measured weight"),
        ("ca. 250 g", "isn't a measured weight"),
        ("<250 g", "isn't a measured weight"),
        ("under 250 g", "isn't a measured weight"),
        ("240-250 g", "isn't a measured weight"),
        ("-5 g", "above zero"),
        ("0 g", "above zero"),
        ("heavy", "isn't a weight"),
        ("1 38 g", "two numbers"),
        ("1.2.3 g", "two numbers"),
        ("1e3 g", "a unit we"),
        ("9" * 50 + " g", "isn't a weight"),
    ],
)
def test_what_is_no_weighing_is_a_fault(text: str, says: str) -> None:
    got = weight_of_text(text, PLAIN)
    assert got.raw is None
    assert says in got.fault
    assert got.do


@pytest.mark.parametrize("text", ["", "-", "n/a", "?", "tbd", "Unknown", "none"])
def test_a_word_for_nothing_is_nothing(text: str) -> None:
    assert weight_of_text(text, PLAIN) == NOTHING


def test_the_heading_gives_the_unit_and_a_cell_s_own_beats_it() -> None:
    column = WeightColumn("oz")
    assert weight_of_cell(Cell(Kind.NUMBER, "16"), column).raw == "453.59237"
    assert weight_of_text("453.59237 g", column).raw == "453.59237"


def test_the_scale_s_error_may_be_zero_and_carry_its_sign() -> None:
    column = WeightColumn("g", is_error=True)
    assert weight_of_text("± 5", column).raw == "5"
    assert weight_of_text("+/- 0.5 g", column).raw == "0.5"
    assert weight_of_text("0", column).raw == "0"
    assert weight_of_text("-1", column).fault


@pytest.mark.parametrize(
    ("text", "comma"),
    [
        ("0,249", "decimal"),
        ("1,2", "decimal"),
        ("1234,567", "decimal"),
        ("1.388,5", "decimal"),
        ("1.388.000", "decimal"),
        ("1,388.5", "thousands"),
        ("1,388,000", "thousands"),
        ("1,388", None),
        ("1.388", None),
        ("249", None),
    ],
)
def test_what_a_number_shows_its_comma_to_be(text: str, comma: Comma | None) -> None:
    assert comma_shown(text) == comma


@pytest.mark.parametrize(
    ("other", "grams", "comma"), [("0,249 kg", "1.388", "decimal"), ("12,345.5 g", "1388", "thousands")]
)
def test_other_cells_of_the_column_decide_a_comma_with_a_remark(other: str, grams: str, comma: Comma) -> None:
    column = WeightColumn(comma=comma_of([Cell(Kind.TEXT, other), Cell(Kind.TEXT, "1,388 g")]))
    assert weight_of_text("1,388 g", column) == Got(grams, COMMA_NOTES[comma])


def test_cells_that_disagree_decide_nothing() -> None:
    cells = [Cell(Kind.TEXT, "0,249 kg"), Cell(Kind.TEXT, "1,388.5 g")]
    assert comma_of(cells) is None


def test_a_point_is_in_doubt_where_commas_are_decimal() -> None:
    assert weight_of_text("1.388 g", PLAIN).raw == "1.388"
    assert "two numbers" in weight_of_text("1.388 g", WeightColumn(comma="decimal")).fault


@pytest.mark.parametrize(
    "cell", [Cell(Kind.DAY, "2024-01-02"), Cell(Kind.BOOL, "yes"), Cell(Kind.TIME, "01:00:00")]
)
def test_other_cells_are_faults(cell: Cell) -> None:
    assert weight_of_cell(cell, PLAIN).fault


@pytest.mark.parametrize(
    ("cell", "raw"),
    [
        (Cell(Kind.NUMBER, "0.75"), "0.75"),
        (Cell(Kind.TEXT, "75%"), "0.75"),
        (Cell(Kind.TEXT, "75 %"), "0.75"),
        (Cell(Kind.TEXT, "0,75"), "0.75"),
        (Cell(Kind.TEXT, "n/a"), None),
        (Cell(Kind.EMPTY, ""), None),
    ],
)
def test_plain_numbers(cell: Cell, raw: str | None) -> None:
    got = plain_number_of_cell(cell, None)
    assert (got.raw, got.fault) == (raw, "")


@pytest.mark.parametrize(
    "cell", [Cell(Kind.TEXT, "most"), Cell(Kind.DAY, "2024-01-01"), Cell(Kind.TEXT, "%")]
)
def test_what_is_no_plain_number_is_a_fault(cell: Cell) -> None:
    assert plain_number_of_cell(cell, None).fault


@given(st.text(max_size=60))
def test_no_text_makes_the_reader_raise(text: str) -> None:
    for column in (PLAIN, WeightColumn("lb", "decimal"), WeightColumn("g", "thousands", is_error=True)):
        got = weight_of_text(text, column)
        assert got.raw is None or Decimal(str(got.raw)) >= 0


@given(st.text("0123456789,.' +-kglboz", max_size=20))
def test_no_text_like_a_weight_makes_the_reader_raise(text: str) -> None:
    got = weight_of_text(text, PLAIN)
    assert got.raw is None or Decimal(str(got.raw)) > 0


@given(st.decimals("0.001", "999999", places=3))
def test_a_written_number_is_read_back(number: Decimal) -> None:
    assert number_of(f"{number:f}", None) == number
    assert number_of(f"{number:,f}", "thousands") == number
    swapped = f"{number:,f}".translate(str.maketrans(",.", ".,"))
    assert number_of(swapped, "decimal") == number
    assert number_of(f"{number:,f}".replace(",", " "), None) == number
