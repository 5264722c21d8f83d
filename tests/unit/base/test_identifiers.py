"""Numbers that name things: what is tidied, which fault is found, and where."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.identifiers import NO_O_NO_I, broadcast_serial, looks_scientific, n_number, part_48_number

LENGTHS = "123456789ABCDEF"
SIGNS = st.text(NO_O_NO_I, min_size=4, max_size=4)


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("ZZ9Z5AAAAO", "letter_o_or_i", 10),
        ("ZZ9Z5IAAAA", "letter_o_or_i", 6),
        ("ZZ9Z5AA-AA", "sign", 8),
        ("ZZ9Z", "short", 0),
        ("ZZ9Z5", "short", 0),
        ("", "short", 0),
        ("ZZ9Z0AAAA", "length_sign", 5),
        ("ZZ9ZGAAAA", "length_sign", 5),
        ("ZZ9Z5AAAA", "length", 5),
        ("ZZ9Z5AAAAAA", "length", 5),
        ("1.58E+18", "scientific", 0),
        ("1,58e18", "scientific", 0),
    ],
)
def test_a_serials_fault(text: str, code: str, place: int) -> None:
    checked = broadcast_serial(text)
    assert not checked.ok
    assert (code, place) in [(fault.code, fault.place) for fault in checked.faults]


@pytest.mark.parametrize(
    ("text", "normal", "tidied"),
    [
        ("ZZ9Z5AAAAA", "ZZ9Z5AAAAA", ()),
        ("zz9z5aaaaa", "ZZ9Z5AAAAA", ("case",)),
        (" ZZ9Z5AAAAA\n", "ZZ9Z5AAAAA", ("spaces",)),
        (" zz9z5aaaaa", "ZZ9Z5AAAAA", ("spaces", "case")),
    ],
)
def test_what_is_tidied_is_told(text: str, normal: str, tidied: tuple[str, ...]) -> None:
    checked = broadcast_serial(text)
    assert (checked.text, checked.tidied, checked.ok) == (normal, tidied, True)


@given(SIGNS, st.integers(1, 15), st.data())
def test_a_serial_of_the_form_is_accepted(maker: str, length: int, data: st.DataObject) -> None:
    rest = data.draw(st.text(NO_O_NO_I, min_size=length, max_size=length))
    assert broadcast_serial(maker + LENGTHS[length - 1] + rest).ok


@given(SIGNS, st.integers(1, 15), st.integers(0, 20), st.data())
def test_a_serial_of_another_length_is_refused(
    maker: str, told: int, given_: int, data: st.DataObject
) -> None:
    rest = data.draw(st.text(NO_O_NO_I, min_size=given_, max_size=given_))
    assert broadcast_serial(maker + LENGTHS[told - 1] + rest).ok == (told == given_)


@given(st.text())
def test_any_text_is_checked_without_an_error(text: str) -> None:
    for check in (broadcast_serial, n_number, part_48_number):
        checked = check(text)
        assert checked.ok == (not checked.faults)
        assert all(fault.hint for fault in checked.faults)
        assert check(checked.text).ok == checked.ok


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("12345", "prefix"),
        ("N0123", "leading_zero"),
        ("N12O45", "letter_o_or_i"),
        ("N123456", "length"),
        ("N", "length"),
        ("N123A1", "order"),
        ("N1ABC", "order"),
        ("NA1", "order"),
        ("N12?", "sign"),
    ],
)
def test_the_fault_of_an_n_number(text: str, code: str) -> None:
    assert code in [fault.code for fault in n_number(text).faults]


def test_an_n_number_may_be_written_with_a_hyphen() -> None:
    assert n_number("n-99").text == "N99"
    assert n_number("n-99").ok


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("XA00TEST01", "prefix"),
        ("FA0", "length"),
        ("FA" + "0" * 19, "length"),
        ("FA00-1", "sign"),
        ("1E+18", "scientific"),
    ],
)
def test_the_fault_of_a_part_48_number(text: str, code: str) -> None:
    assert code in [fault.code for fault in part_48_number(text).faults]


def test_a_part_48_number_is_tidied() -> None:
    checked = part_48_number(" fa00test01")
    assert (checked.text, checked.tidied, checked.ok) == ("FA00TEST01", ("spaces", "case"), True)


@pytest.mark.parametrize(
    ("text", "scientific"),
    [
        ("1.58E+18", True),
        ("1E+05", True),
        ("1.58e18", True),
        ("12344E123", False),
        ("ZZ9Z5E1", False),
        ("158", False),
        ("1.58E-3", False),
    ],
)
def test_looks_scientific(text: str, scientific: bool) -> None:
    assert looks_scientific(text) is scientific
