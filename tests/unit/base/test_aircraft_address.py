"""24-bit addresses: the whole block there and back, and what has no N-number."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.aircraft_address import FIRST, LAST, address_of, hex_address, n_number_of, octal_address
from airwrit.base.identifiers import n_number


@given(st.integers(FIRST, LAST))
def test_an_address_is_found_again_from_its_number(address: int) -> None:
    number = n_number_of(address)
    assert number is not None
    assert n_number(number).ok
    assert address_of(number) == address


@given(st.from_regex(r"N[1-9]([0-9]{0,4}|[0-9]{0,3}[A-HJ-NP-Z]|[0-9]{0,2}[A-HJ-NP-Z]{2})", fullmatch=True))
def test_a_number_is_found_again_from_its_address(number: str) -> None:
    assert FIRST <= address_of(number) <= LAST
    assert n_number_of(address_of(number)) == number


def test_numbers_follow_one_another_in_the_order_of_their_signs() -> None:
    """Digits sort after letters here, as in the published order; a thousand neighbors show it."""
    alphabet = {sign: place for place, sign in enumerate("ABCDEFGHJKLMNPQRSTUVWXYZ0123456789")}
    numbers = [n_number_of(address) or "" for address in range(FIRST, FIRST + 1000)]
    assert numbers == sorted(numbers, key=lambda number: [alphabet[sign] for sign in number[1:]])


@pytest.mark.parametrize("address", [0, FIRST - 1, LAST + 1, 0xAFFFFF, 0xFFFFFF])
def test_other_addresses_have_no_number(address: int) -> None:
    assert n_number_of(address) is None


def test_what_is_no_n_number_has_no_address() -> None:
    with pytest.raises(ValueError, match="no N-number"):
        address_of("N0123")


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("A00001", []),
        (" a00001", []),
        ("D001D", ["length"]),
        ("A0000G", ["sign"]),
        ("000000", ["reserved"]),
        ("ffffff", ["reserved"]),
        ("", ["length"]),
    ],
)
def test_hexadecimal_form(text: str, codes: list[str]) -> None:
    assert [fault.code for fault in hex_address(text).faults] == codes


@pytest.mark.parametrize("text", ["00000000", "77777777", "5233250", "52332508", "523325031", "A9B543", ""])
def test_what_is_no_octal_address(text: str) -> None:
    assert octal_address(text) is None
