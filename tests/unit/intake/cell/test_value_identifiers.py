"""Identifiers are kept as typed; what a spreadsheet did to them is told and never mended."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import AIRFRAME_SERIAL, MARK_TEXT, MODEL, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.keys.person import CERTIFICATE_NUMBER
from airwrit.intake.cell.value import (
    CASE_NOTE,
    MIXED_NOTE,
    SPACES_NOTE,
    ZEROS_NOTE,
    Got,
    identifier_of_cell,
    identifier_of_text,
    is_identifier,
    name_of_cell,
)
from airwrit.intake.reader.cells import Cell, Kind


@pytest.mark.parametrize(
    ("text", "key", "raw", "note"),
    [
        ("FA00TEST01", REGISTRATION, "FA00TEST01", ""),
        ("fa00test01", REGISTRATION, "FA00TEST01", CASE_NOTE),
        (" FA00TEST01 ", REGISTRATION, "FA00TEST01", SPACES_NOTE),
        ("ZZ9Z3A1B", REMOTE_ID_SERIAL, "ZZ9Z3A1B", ""),
        ("zz9z3a1b", REMOTE_ID_SERIAL, "ZZ9Z3A1B", CASE_NOTE),
        ("ZZ9Z3a1b", REMOTE_ID_SERIAL, "ZZ9Z3a1b", MIXED_NOTE),
        ("Fa00Test01", REGISTRATION, "FA00TEST01", CASE_NOTE),
        ("007", CERTIFICATE_NUMBER, "007", ""),
        ("ab-12", AIRFRAME_SERIAL, "ab-12", ""),
        ("-", REGISTRATION, None, ""),
        ("n/a", REMOTE_ID_SERIAL, None, ""),
    ],
)
def test_a_text_is_kept_as_typed(text: str, key: Key[str], raw: str | None, note: str) -> None:
    assert identifier_of_text(text, key) == Got(raw, note)


@pytest.mark.parametrize("text", ["none", "No", "not registered", "unregistered"])
def test_words_say_that_there_is_no_registration(text: str) -> None:
    assert identifier_of_text(text, REGISTRATION).raw is False


def test_a_bare_yes_says_that_there_is_one() -> None:
    assert identifier_of_text("yes", REGISTRATION).raw is True


@pytest.mark.parametrize(
    ("text", "key", "says"),
    [
        ("1.58E+18", REMOTE_ID_SERIAL, "scientific notation"),
        ("1,58E+18", REMOTE_ID_SERIAL, "scientific notation"),
        ("2.19e26", AIRFRAME_SERIAL, "scientific notation"),
        ("17.0", CERTIFICATE_NUMBER, "turned into a number and back"),
        ("pending", REGISTRATION, "isn't a registration number"),
        ("applied for", REGISTRATION, "isn't a registration number"),
    ],
)
def test_damage_is_a_fault(text: str, key: Key[str], says: str) -> None:
    got = identifier_of_text(text, key)
    assert got.raw is None
    assert says in got.fault


@pytest.mark.parametrize(("text", "key"), [("ZZ9Z3AO1", REMOTE_ID_SERIAL), ("FAO0TEST01", REGISTRATION)])
def test_the_letter_o_is_kept_with_a_hint(text: str, key: Key[str]) -> None:
    got = identifier_of_text(text, key)
    assert got.raw == text
    assert "0 or 1" in got.note


@pytest.mark.parametrize(
    ("number", "key", "raw", "says"),
    [
        ("17", CERTIFICATE_NUMBER, "17", ""),
        ("17", REMOTE_ID_SERIAL, None, "characters may be lost"),
        ("100", REGISTRATION, None, "characters may be lost"),
        ("1.58e+18", AIRFRAME_SERIAL, None, "digits are lost"),
        ("123456789012345", AIRFRAME_SERIAL, None, "digits are lost"),
        ("1.5", CERTIFICATE_NUMBER, None, "digits are lost"),
    ],
)
def test_a_number_cell_may_have_lost_signs(number: str, key: Key[str], raw: str | None, says: str) -> None:
    got = identifier_of_cell(Cell(Kind.NUMBER, number), key)
    assert got.raw == raw
    assert says in got.fault
    assert got.note == (ZEROS_NOTE if raw else "")


@pytest.mark.parametrize("kind", [Kind.DAY, Kind.INSTANT, Kind.TIME])
def test_a_serial_the_spreadsheet_took_for_a_date_is_a_fault(kind: Kind) -> None:
    assert "spreadsheet changed" in identifier_of_cell(Cell(kind, "2024-03-01"), REMOTE_ID_SERIAL).fault


def test_which_keys_are_identifiers() -> None:
    assert all(
        map(is_identifier, (REGISTRATION, MARK_TEXT, REMOTE_ID_SERIAL, AIRFRAME_SERIAL, CERTIFICATE_NUMBER))
    )
    assert not is_identifier(MODEL)


def test_a_name_that_is_a_number_keeps_its_digits() -> None:
    assert name_of_cell(Cell(Kind.NUMBER, "7")).raw == "7"


@given(st.text(max_size=40))
def test_no_text_makes_the_reader_raise(text: str) -> None:
    for key in (REGISTRATION, REMOTE_ID_SERIAL, CERTIFICATE_NUMBER):
        got = identifier_of_text(text, key)
        assert got.raw is None or not got.fault


@given(
    st.text("0123456789ABCDEFGHJKLMNPQRSTUVWXYZ", min_size=6, max_size=20).filter(
        lambda text: "E" not in text
    )
)
def test_a_serial_is_read_back(text: str) -> None:
    assert identifier_of_text(text, REMOTE_ID_SERIAL).raw == text
