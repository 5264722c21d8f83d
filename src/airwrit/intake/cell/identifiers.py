"""Identifiers from cells, as text: what a spreadsheet may have done to them is told, and damage is never mended."""

from __future__ import annotations

import re
from typing import Any

from airwrit.base.identifiers import is_mixed_case, looks_scientific
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import LISTED_SERIAL, MARK_TEXT, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.intake.cell.value import NOTHING, Got, clean, joined
from airwrit.intake.cell.words import is_missing, normal, set_of, shown
from airwrit.intake.reader.cells import Cell, Kind

SERIALS = (REMOTE_ID_SERIAL, LISTED_SERIAL)
NUMBERS = (REGISTRATION, MARK_TEXT)
"""Keys whose values are capitals and digits."""

_SEPARATED = re.compile(r"\d+[.,]0+")
_BEYOND_DOUBT = re.compile(r"(?=[A-Z]*[0-9])[A-HJ-NP-Z][A-HJ-NP-Z0-9]{5,}")
"""Capitals and digits, a capital first, of which none can be taken for another sign."""
_MOST_DIGITS = 15
AGAIN = "read the number off the thing itself, and type it in a cell formatted as text"

CASE_NOTE = "lowercase letters were read as capitals"
MIXED_NOTE = "a Remote ID serial number has capitals only, but this has lowercase letters too. Check them"
SPACES_NOTE = "spaces around it were left out"
ZEROS_NOTE = "plain numbers in this column may have lost zeros at the front"


def is_identifier(key: Key[Any]) -> bool:
    """True for a key whose text names one thing, so that every sign counts."""
    return key.digits or key in SERIALS or key in NUMBERS


def identifier_of_cell(cell: Cell, key: Key[Any]) -> Got:
    """The identifier a cell holds, as typed save for case and spaces around; a fault when a spreadsheet has damaged it."""
    if cell.kind is Kind.TEXT:
        return identifier_of_text(cell.text, key)
    if cell.kind is Kind.EMPTY:
        return NOTHING
    if cell.kind is Kind.BOOL and cell.text == "no":
        return Got(False)
    if cell.kind is Kind.BOOL:
        return Got(True)
    if cell.kind is not Kind.NUMBER:
        return Got(fault=f"{shown(cell.text)} isn't an ID. The spreadsheet changed it", do=AGAIN)
    return _number(cell.text, key)


def identifier_of_text(text: str, key: Key[Any]) -> Got:
    """The identifier in a text. True and False stand for 'there is one' and 'there is none'. Never raises."""
    if _BEYOND_DOUBT.fullmatch(text):
        return Got(text)
    seen, note = clean(text)
    word = normal(seen)
    if word in set_of("missing"):
        return NOTHING
    if word in set_of("none") or (key is REGISTRATION and word in set_of("not_registered")):
        return Got(False)
    if word in ("yes", "y", "x", "true"):
        return Got(True)
    if "e" in word and looks_scientific(seen):
        return Got(fault=f"{shown(seen)} is in scientific notation, so digits are lost", do=AGAIN)
    if ("." in seen or "," in seen) and _SEPARATED.fullmatch(seen):
        return Got(
            fault=f"{shown(seen)} was turned into a number and back, so characters may be lost", do=AGAIN
        )
    notes = [note or (SPACES_NOTE if text != seen and text.strip() == seen else "")]
    if key in SERIALS and is_mixed_case(seen):
        notes += [MIXED_NOTE, _hint(seen.upper(), key)]
    elif key in SERIALS or key in NUMBERS:
        upper = seen.upper() if seen.isascii() else seen
        notes += [CASE_NOTE if upper != seen else "", _hint(upper, key)]
        seen = upper
    if key in NUMBERS and not any(sign.isdigit() for sign in seen):
        return Got(
            fault=f"{shown(seen)} isn't a registration number",
            do="write the number, or 'none' if there is none",
        )
    return Got(seen, joined(*notes))


def _hint(text: str, key: Key[Any]) -> str:
    """A remark on a letter O or I, which is easily typed for 0 or 1; the text is kept as typed."""
    if "O" not in text and "I" not in text:
        return ""
    if key in SERIALS:
        return "a Remote ID serial number never has the letter O or I. Check if it is 0 or 1"
    return "a registration number has the letter O or I. Check if it is 0 or 1"


def _number(text: str, key: Key[Any]) -> Got:
    if not text.isdigit() or len(text) >= _MOST_DIGITS:
        return Got(fault=f"{shown(text)} was stored as a number, so digits are lost", do=AGAIN)
    if not key.digits:
        return Got(fault=f"{shown(text)} was stored as a number, so characters may be lost", do=AGAIN)
    return Got(text, ZEROS_NOTE)


def name_of_cell(cell: Cell) -> Got:
    """The text of a cell that names something or says something in words; a number keeps its digits."""
    if cell.kind is Kind.EMPTY:
        return NOTHING
    text, note = clean(cell.text)
    if cell.kind is Kind.TEXT and is_missing(text):
        return NOTHING
    return Got(text, note) if text else NOTHING
