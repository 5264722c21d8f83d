"""Numbers that name things: registration numbers, N-numbers, broadcast serials. Format only; never a guess at what was meant.

Each check returns the text in its normal form with what was changed, or the reasons it cannot be such a number.
"""

from __future__ import annotations

import re
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

NO_O_NO_I = "0123456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Digits and capitals without O and I: the alphabet of ANSI/CTA-2063-A serials and of N-number letters."""

_N_NUMBER = re.compile(r"N[1-9](\d{0,4}|\d{0,3}[A-HJ-NP-Z]|\d{0,2}[A-HJ-NP-Z]{2})")
_SCIENTIFIC = re.compile(r"[+-]?\d+([.,]\d+[eE]\+?|[eE]\+)\d+")
_LENGTHS = "123456789ABCDEF"


class NumberFault(NamedTuple):
    """One reason a text is no such number: a code, and the 1-based place of the sign at fault (0: the whole)."""

    code: str
    place: int
    hint: str


class NumberChecked(NamedTuple):
    """A text in normal form, what was tidied to get there (`case`, `spaces`), and the faults that remain."""

    text: str
    tidied: tuple[str, ...]
    faults: tuple[NumberFault, ...]

    @property
    def ok(self) -> bool:
        """True when no fault was found."""
        return not self.faults


def _tidy(text: str) -> tuple[str, tuple[str, ...]]:
    stripped = text.strip()
    upper = stripped.upper()
    tidied = []
    if stripped != text:
        tidied.append("spaces")
    if upper != stripped:
        tidied.append("case")
    return upper, tuple(tidied)


def _strange_signs(text: str, first_place: int) -> list[NumberFault]:
    """A fault for each sign outside digits and capitals without O and I, with a hint where it may be a digit."""
    faults = []
    for place, sign in enumerate(text, start=first_place):
        if sign in "OI":
            digit = "0" if sign == "O" else "1"
            faults.append(
                NumberFault("letter_o_or_i", place, f"{sign} isn't allowed. Check if it is {digit}")
            )
        elif sign not in NO_O_NO_I:
            faults.append(
                NumberFault(
                    "sign", place, f"these numbers never use {sign!r}. Use only digits and capital letters"
                )
            )
    return faults


def looks_scientific(text: str) -> bool:
    """True for `1.58E+18`: a long number a spreadsheet has rounded away; the digits are lost.

    Without a decimal mark or a plus it may be a true serial, like `12344E123`, and is left to the other checks.
    """
    return _SCIENTIFIC.fullmatch(text.strip()) is not None


@lru_cache(maxsize=1 << 15)
def broadcast_serial(text: str) -> NumberChecked:
    """A Remote ID serial: 4 signs of maker code, 1 of length (1-9, A-F for 10-15), then that many signs; no O, no I.

    Source: ANSI/CTA-2063-A section 4, through 14 CFR 89.505 (the standard itself was not read; layout from secondary texts).
    """
    serial, tidied = _tidy(text)
    faults: list[NumberFault] = []
    if looks_scientific(serial):
        faults.append(
            NumberFault("scientific", 0, "a spreadsheet rounded the digits away. Type it again as text")
        )
        return NumberChecked(serial, tidied, tuple(faults))
    faults += _strange_signs(serial, 1)
    if len(serial) < 6:
        faults.append(
            NumberFault(
                "short",
                0,
                "too short. It takes a 4-character maker code, a length character and at least one more",
            )
        )
    elif serial[4] not in _LENGTHS:
        faults.append(
            NumberFault("length_sign", 5, "the fifth character gives the length, so it has to be 1-9 or A-F")
        )
    else:
        told, given = _LENGTHS.index(serial[4]) + 1, len(serial) - 5
        if told != given:
            faults.append(
                NumberFault(
                    "length",
                    5,
                    f"the fifth character {serial[4]} calls for {told} more characters, and it has {given}",
                )
            )
    return NumberChecked(serial, tidied, tuple(faults))


def n_number(text: str) -> NumberChecked:
    """A Part 47 registration number: N, then 1-5 signs, digits first, at most two letters at the end, no O, no I, no leading 0.

    Source: 14 CFR 47.15 and the FAA's published form of N-numbers (reprint read 2018-01-19).
    """
    number, tidied = _tidy(text)
    number = number.replace("-", "")
    if _N_NUMBER.fullmatch(number):
        return NumberChecked(number, tidied, ())
    faults: list[NumberFault] = []
    if not number.startswith("N"):
        faults.append(NumberFault("prefix", 1, "it has to start with N"))
    body = number[1:]
    if body.startswith("0"):
        faults.append(NumberFault("leading_zero", 2, "the first character after N has to be 1-9"))
    faults += _strange_signs(body, 2)
    if not 1 <= len(body) <= 5:
        faults.append(NumberFault("length", 0, "N needs 1 to 5 characters after it"))
    if not faults:
        faults.append(NumberFault("order", 0, "digits come first, then up to two letters"))
    return NumberChecked(number, tidied, tuple(faults))


def one_serial(text: str) -> str:
    """A serial in the one form in which serials are compared: capitals, no spaces around."""
    return _tidy(text)[0]


def is_mixed_case(text: str) -> bool:
    """True for letters both small and capital: not a serial copied as it is, nor one typed in small letters throughout."""
    return text.upper() != text and text.lower() != text


class NumberForm(StrEnum):
    """Whose form a registration number has."""

    N_NUMBER = "Part 47"
    PART_48 = "Part 48"
    NEITHER = ""


@lru_cache(maxsize=1 << 15)
def number_form(text: str) -> NumberForm:
    """Whose form a registration number has: that of an N-number, or the beginning of a Part 48 number; else neither.

    Source: 14 CFR 47.15 for N-numbers; that Part 48 numbers begin with FA is common practice, no source.
    """
    number = _tidy(text)[0]
    if number.startswith("FA"):
        return NumberForm.PART_48
    return NumberForm.N_NUMBER if n_number(number).ok else NumberForm.NEITHER


def part_48_number(text: str) -> NumberChecked:
    """A Part 48 registration number: begins FA, digits and capitals; its length is not fixed by the sections read.

    Source: common practice, no source for the inner form; 14 CFR 48.200 speaks only of "registration number".
    """
    number, tidied = _tidy(text)
    faults: list[NumberFault] = []
    if looks_scientific(number):
        faults.append(
            NumberFault("scientific", 0, "a spreadsheet rounded the digits away. Type it again as text")
        )
    elif not number.startswith("FA"):
        faults.append(NumberFault("prefix", 1, "a Part 48 number starts with FA"))
    faults += [
        NumberFault("sign", place, f"{sign!r} isn't a digit or a capital letter")
        for place, sign in enumerate(number, start=1)
        if not (sign.isascii() and sign.isalnum())
    ]
    if len(number) < 4 or len(number) > 20:
        faults.append(NumberFault("length", 0, "it has to have 4 to 20 characters"))
    return NumberChecked(number, tidied, tuple(faults))
