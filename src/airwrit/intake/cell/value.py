"""What one cell gave: a value, nothing, or a fault; words people type to values, and identifiers, never mended."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from enum import Enum, StrEnum, auto
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.identifiers import is_mixed_case, looks_scientific
from airwrit.facts.choices import words_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import LISTED_SERIAL, MARK_TEXT, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.intake.reader.cells import Cell, Kind

LONGEST = 1000
"""Letters a cell may hold; no fact of ours needs as many."""

_ESCAPES = re.compile(r"\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)?|\x1b\[[0-?]*[ -/]*[@-~]|\x1b[@-_]?")
_SPACES = re.compile(r"[\s\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]+")
_UNSEEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u00ad\u034f\u061c\u115f\u1160\u180b-\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    r"\ufe00-\ufe0f\ufeff\ufff0-\ufffb\ud800-\udfff\U000e0000-\U000e0fff]"
)

UNSEEN_NOTE = "hidden characters were left out (control or zero-width)"
HARD_SPACE_NOTE = "non-breaking spaces were read as spaces"


class FaultCode(Enum):
    """Faults that more than the reader of the cell has to know of."""

    EITHER_ORDER = auto()
    NO_UNIT = auto()


class Got(NamedTuple):
    """A cell's value as a statement keeps it, None when it says nothing; a remark; or why it cannot be used, and what to do.

    `unclear` is a text that was not understood and may matter. `code` names a fault that others look for.
    """

    raw: Raw = None
    note: str = ""
    fault: str = ""
    do: str = ""
    unclear: str = ""
    code: FaultCode | None = None


NOTHING = Got()


class Clean(NamedTuple):
    """A text with single spaces and without signs that cannot be seen, and the remark due for what was left out."""

    text: str
    note: str


_made = tuple.__new__
"""Makes the tuple of a cell without the detour over its fields' names: a sheet has a hundred thousand."""


def clean(text: str) -> Clean:
    """The text as a person sees it. Line ends and runs of spaces become one space without remark."""
    if text.isascii() and text.isprintable() and "  " not in text and text[:1] != " " != text[-1:]:
        return _made(Clean, (text, ""))
    unescaped = _ESCAPES.sub("", text)
    spaced = _SPACES.sub(" ", unescaped)
    seen = _SPACES.sub(" ", _UNSEEN.sub("", spaced)).strip()
    if len(seen) != len(spaced.strip()) or unescaped != text:
        return Clean(seen, UNSEEN_NOTE)
    hard = any(sign in text for sign in "\u00a0\u202f\u2007")
    return Clean(seen, HARD_SPACE_NOTE if hard else "")


def joined(*notes: str) -> str:
    """The remarks that are not empty, as one."""
    return "; ".join(note for note in notes if note)


_LONGEST = 20
"""Letters of the longest word that says there is nothing; a test holds `words.toml` to it."""
_NUMBER = re.compile(r"#? ?[0-9]{5,10}")
"""A number of a certificate, as far as its form goes."""


@dataclass(frozen=True, slots=True)
class Choice:
    """The words of one closed list: value by word, why a word is unclear, the remark a word calls for, and the list itself."""

    values: dict[str, str]
    unclear: dict[str, str]
    notes: dict[str, str]
    allowed: tuple[str, ...]


@cache
def tables() -> dict[str, Any]:
    """All of `words.toml`."""
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


@cache
def set_of(name: str) -> frozenset[str]:
    """One of the plain lists: missing, none, yes, no, not_registered."""
    return frozenset(tables()[name])


@cache
def choice_of(kind: type[StrEnum]) -> Choice:
    """The words of a closed list: its own values, and their synonyms."""
    table = tables().get(kind.__name__, {})
    values = {
        normal(word): member.value
        for member in kind
        for word in (member.value, words_of(member), *table.get(member.value, ()))
    }
    return Choice(
        values, table.get("unclear", {}), table.get("note", {}), tuple(words_of(member) for member in kind)
    )


def normal(text: str) -> str:
    """The text as words are compared: lower case, long dashes short, spaces for the lines of an export, no final point."""
    folded = text.casefold() if text.isascii() else text.casefold().replace("–", "-").replace("—", "-")
    folded = folded.replace("_", " ") if "_" in folded else folded
    return folded.removesuffix(".").rstrip()


def is_missing(text: str) -> bool:
    """True for a text that says that nothing is known: blank, `-`, `n/a`, `?`, `tbd`, `unknown`."""
    return len(text) <= _LONGEST and normal(text) in set_of("missing")


def is_none(text: str) -> bool:
    """True for a text that says there is no such thing: `none`, `no`, `never`."""
    return len(text) <= _LONGEST and normal(text) in set_of("none")


def yes_or_no(text: str) -> Got:
    """True or False for a word that says so; a fault for any other."""
    word = normal(text)
    if word in set_of("yes"):
        return Got(True)
    if word in set_of("no"):
        return Got(False)
    return NOTHING if is_missing(text) else Got(fault=f"{shown(text)} isn't yes or no", do="write yes or no")


def yes_or_number(text: str) -> Got:
    """As `yes_or_no`, but a number where yes or no is asked for says yes: what has a number is there."""
    got = yes_or_no(text)
    if got.fault and _NUMBER.fullmatch(text.strip()):
        return Got(True, "a number in a yes-or-no column was read as yes")
    return got


def one_of(kind: type[StrEnum], text: str) -> Got:
    """The value of a closed list that the word stands for; a fault that lists the words for any other."""
    choice, word = choice_of(kind), normal(text)
    value = choice.values.get(word)
    if value is not None and word not in choice.unclear:
        return Got(value, choice.notes.get(word, ""))
    if is_missing(text):
        return NOTHING
    reason = choice.unclear.get(word, "we don't know this word")
    return Got(fault=f"{shown(text)} is unclear: {reason}", do="write one of: " + "; ".join(choice.allowed))


def shown(text: str) -> str:
    """The text in quotes, cut where it is long."""
    return repr(text if len(text) <= 60 else text[:57] + "...")


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
