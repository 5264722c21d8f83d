"""24-bit aircraft addresses, and the N-number that the United States allocation gives to each of its own.

The block of the United States starts at A00000. From A00001 on it counts through all N-numbers in a fixed order: N1, N1A,
N1AA ... N1AZ, N1B ... N1ZZ, N10, N10A ... N99999, which ends at ADF7C7. What is left of the block, to AFFFFF, has no N-number.
Source: the order is common practice; 19 published pairs are in tests/checks.
"""

from __future__ import annotations

import re

from airwrit.base.identifiers import NumberChecked, NumberFault, n_number

FIRST, LAST = 0xA00001, 0xADF7C7
"""The addresses of N1 and of N99999."""
BLOCK = range(0xA00000, 0xB00000)
"""All addresses of the United States."""

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_BLOCKS = (101_711, 10_111, 951, 35, 1)
"""How many N-numbers begin with the same 1, 2, 3, 4 or 5 digits."""
_ENDINGS = (601, 601, 601, 25, 1)
"""Of those, how many have no further digit: none or one letter and, after at most three digits, two letters."""
_PAIRS = len(_LETTERS) + 1
_HEX = re.compile(r"[0-9A-F]+")
_OCTAL = re.compile(r"[0-7]{8}")
_MOST_HEX = 6


def address_of(number: str) -> int:
    """The address of an N-number in normal form. ValueError when it has not the form of one."""
    checked = n_number(number)
    if not checked.ok:
        raise ValueError(f"{number!r} is no N-number")
    body = checked.text[1:]
    digits = body.rstrip(_LETTERS)
    place = (int(digits[0]) - 1) * _BLOCKS[0]
    for level, digit in enumerate(digits[1:], start=1):
        place += _ENDINGS[level - 1] + int(digit) * _BLOCKS[level]
    return FIRST + place + _place_of_letters(body[len(digits) :], len(digits))


def _place_of_letters(letters: str, digits: int) -> int:
    if not letters:
        return 0
    step = 1 if digits == len(_BLOCKS) - 1 else _PAIRS
    first = 1 + _LETTERS.index(letters[0]) * step
    return first if len(letters) == 1 else first + 1 + _LETTERS.index(letters[1])


def n_number_of(address: int) -> str | None:
    """The N-number of an address, None when the allocation gives it none."""
    if not FIRST <= address <= LAST:
        return None
    first, place = divmod(address - FIRST, _BLOCKS[0])
    digits = str(first + 1)
    while place >= _ENDINGS[len(digits) - 1]:
        digit, place = divmod(place - _ENDINGS[len(digits) - 1], _BLOCKS[len(digits)])
        digits += str(digit)
    return f"N{digits}{_letters_at(place, len(digits))}"


def _letters_at(place: int, digits: int) -> str:
    if place == 0:
        return ""
    if digits == len(_BLOCKS) - 1:
        return _LETTERS[place - 1]
    first, second = divmod(place - 1, _PAIRS)
    return _LETTERS[first] + (_LETTERS[second - 1] if second else "")


def hex_address(text: str) -> NumberChecked:
    """A 24-bit address in hexadecimal: six signs 0-9 and A-F; neither all zeros nor all ones, which name no aircraft.

    Source: common practice; the reserved two are from memory of ICAO Annex 10.
    """
    stripped = text.strip()
    address = stripped.upper()
    tidied = (("spaces",) if stripped != text else ()) + (("case",) if address != stripped else ())
    faults: list[NumberFault] = []
    if not _HEX.fullmatch(address):
        faults += [
            NumberFault("sign", place, f"{sign!r} isn't 0-9 or A-F")
            for place, sign in enumerate(address, start=1)
            if not _HEX.fullmatch(sign)
        ]
    if len(address) != _MOST_HEX:
        faults.append(NumberFault("length", 0, f"it takes six characters, and this has {len(address)}"))
    elif address in ("000000", "FFFFFF"):
        faults.append(NumberFault("reserved", 0, "no aircraft gets all zeros or all ones"))
    return NumberChecked(address, tidied, tuple(faults))


def octal_address(text: str) -> int | None:
    """The address written as eight octal digits; None when the text is something else, or names no aircraft."""
    found = _OCTAL.fullmatch(text.strip())
    address = int(found[0], 8) if found else 0
    return address if 0 < address < 0xFFFFFF else None
