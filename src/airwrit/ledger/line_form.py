"""The canonical form of a line as a pattern: tells in one pass what decoding and encoding again would tell, and cuts it up.

A line that the pattern takes is canonical JSON of an entry's members, in their one order. One that it does not take may still
be: ask `members_of`. Inside a text every quote is escaped, so no text can pass for the end of a member.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from functools import lru_cache
from json.encoder import encode_basestring
from typing import NamedTuple

from airwrit.base.days import parse_when
from airwrit.ledger.entry import UNREADABLE_MEMBER, VERSION
from airwrit.ledger.rectangles import BOOL, NOTHING, TEXT, UNREADABLE, WHOLE

_PLAIN = r'[^"\\\x00-\x1f]*+'
_ESCAPED = r'\\(?:["\\bfnrt]|u00(?:0[1-7be-f]|1[0-9a-f]))'
_TEXT = rf'"{_PLAIN}(?:"|(?:{_ESCAPED}{_PLAIN})++")'
_WHEN = r'(?:null|"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:T[0-9:.]++(?:Z|[+-][0-9:]++))?")'
_VALUE = rf'(?:{_TEXT}|null|true|false|0|-?[1-9][0-9]{{0,14}}|{{"{UNREADABLE_MEMBER}":{_TEXT}}})'
_SAID = rf'{{"from":{_WHEN},"key":{_TEXT},"subject":{_TEXT},"until":{_WHEN},"value":{_VALUE}}}'
_NUMBER = r'"[0-9]++\.[0-9]++"'


def _list_of(item: str) -> str:
    return rf"\[((?:{item}(?:,{item})*+)?)\]"


LINE = re.compile(
    rf'{{"act":{_TEXT},"answers":{_list_of(_NUMBER)},"by":{_TEXT},"ledger":({_TEXT}),"note":{_TEXT},'
    rf'"prev":"([0-9a-f]*+)","recorded_at":"({_PLAIN})","salt":{_TEXT},"seq":(0|[1-9][0-9]{{0,14}}),'
    rf'"source":({_TEXT}),"statements":{_list_of(_SAID)},"v":{VERSION}}}'
)
"""Groups: the answers, the ledger with its quotes, prev, recorded_at, seq, the source with its quotes, the statements."""


class SaidKept(NamedTuple):
    """A row of `said`."""

    seq: int
    place: int
    subject: int
    key: int
    kind: int
    value: str
    valid_from: str
    valid_until: str


quoted = encode_basestring
"""A text as canonical JSON."""

_NONE_SUCH = "\0"
"""Stands where a row holds what no statement can: no line holds a NUL."""


def statements_text(
    rows: Iterable[SaidKept | tuple[int, int, int, int, int, str, str, str]], words: Mapping[int, str]
) -> str:
    """The statements of a line as its rows of `said` have them; `words` are the quoted texts by their numbers."""
    parts = []
    for wanted, (_, place, subject, key, kind, value, start, until) in enumerate(rows):
        told = quoted(value) if kind == TEXT else _value_text(kind, value)
        if place != wanted:
            told = _NONE_SUCH
        parts.append(
            f'{{"from":{_when_text(start)},"key":{words.get(key, _NONE_SUCH)},'
            f'"subject":{words.get(subject, _NONE_SUCH)},"until":{_when_text(until)},"value":{told}}}'
        )
    return ",".join(parts)


def _value_text(kind: int, value: str) -> str:
    """A kept value that is no text, as canonical JSON."""
    if kind == NOTHING and not value:
        return "null"
    if kind == BOOL and value in ("true", "false"):
        return value
    if kind == UNREADABLE:
        return f'{{"{UNREADABLE_MEMBER}":{quoted(value)}}}'
    if kind == WHOLE and re.fullmatch("0|-?[1-9][0-9]*", value, re.ASCII):
        return value
    return _NONE_SUCH


@lru_cache(maxsize=1 << 16)
def _when_text(text: str) -> str:
    """A kept day or instant as canonical JSON; what is none fits no line."""
    if not text:
        return "null"
    try:
        parse_when(text)
    except ValueError:
        return _NONE_SUCH
    return quoted(text)


def moment_text(micros: int) -> str:
    """The text in a line of an instant in microseconds from 1970-01-01T00:00Z."""
    seconds, rest = divmod(micros, 1_000_000)
    return f"{_second_text(seconds)}.{rest:06d}Z"


@lru_cache(maxsize=1 << 12)
def _second_text(seconds: int) -> str:
    try:
        return datetime.fromtimestamp(seconds, UTC).strftime("%Y-%m-%dT%H:%M:%S").rjust(19, "0")
    except (ValueError, OverflowError, OSError):
        return _NONE_SUCH
