"""Words people type to values: yes and no, closed lists, and the words that say nothing; kept in `words.toml`."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from airwrit.intake.cell.value import NOTHING, Got

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
        normal(word): member.value for member in kind for word in (member.value, *table.get(member.value, ()))
    }
    return Choice(
        values, table.get("unclear", {}), table.get("note", {}), tuple(member.value for member in kind)
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
