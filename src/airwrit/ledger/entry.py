"""One entry of the ledger and its line: canonical JSON, a subset of RFC 8785, whose bytes are what the log hashes.

Source: RFC 8785 (JSON Canonicalization Scheme), sections 3.2.2 and 3.2.3; `docs/ledger-format.md` tells the members.
"""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any, NamedTuple

from airwrit.base.days import EARLIEST, When, parse_when
from airwrit.base.errors import BadFact
from airwrit.facts.statement import Source, Statement, Unreadable

VERSION = 1
"""The `v` of the lines this program writes; a line with another is refused."""

FIRST_PREV = ""
"""The `prev` of the first entry, which has none before it."""

BLANK = "blank"
"""The act of an entry that says which line was blanked, and why."""

TAKE_OUT = "take_out"
"""The act of an entry that says who asked for something to be taken out, who approved it, why, and which files went."""

HOLD, RELEASE_HOLD = "hold", "release_hold"
"""Acts of entries that say which record has to stay, and that it no longer has to."""

STAYING = frozenset((BLANK, TAKE_OUT, HOLD, RELEASE_HOLD))
"""Acts of entries that nothing takes out and nothing takes back."""

CLOCK_BACK = "clock_back"
"""The act of an entry that says from which entry on a clock ahead of time stamped; it may be stamped before the last one."""

_MOST = 2**53
_MEMBERS = frozenset(
    (
        "act",
        "answers",
        "by",
        "ledger",
        "note",
        "prev",
        "recorded_at",
        "salt",
        "seq",
        "source",
        "statements",
        "v",
    )
)
_SAID = frozenset(("from", "key", "subject", "until", "value"))
UNREADABLE_MEMBER = "unreadable"
"""The one member of a value that could not be read."""


class Entry(NamedTuple):
    """One act put on record: who, when, what it states, and the statements (`seq.place`) whose place it takes.

    `salt` is 128 random bits in hex, so that a hash alone tells nothing; `prev` the leaf hash of the entry before, in hex.
    """

    ledger: str
    seq: int
    recorded_at: datetime
    by: str
    act: str
    statements: tuple[Statement, ...]
    answers: tuple[str, ...]
    source: str
    note: str
    salt: str
    prev: str

    @property
    def subjects(self) -> list[str]:
        """The subjects that it speaks of, each once."""
        return list(dict.fromkeys(statement.subject for statement in self.statements))


class BadLine(Exception):
    """A line that is not an entry in its one canonical form; says why."""


def number_of(seq: int, place: int) -> str:
    """The number of a statement: `17.0` is the first of entry 17. ValueError when there can be no such statement."""
    if seq < 0 or place < 0:
        raise ValueError(f"no statement stands at {seq}, {place}")
    return f"{seq}.{place}"


def parts_of(number: str) -> tuple[int, int]:
    """Entry and place of a statement's number. ValueError when it is none."""
    seq, dot, place = number.partition(".")
    if not (dot and seq.isascii() and seq.isdigit() and place.isascii() and place.isdigit()):
        raise ValueError(f"{number!r} is no number of a statement")
    return int(seq), int(place)


_FILE = re.compile(r"(.*?) sha256:([0-9a-f]{64})( not kept)?(?:; |$)", re.DOTALL)
"""How the source of an entry names a file; this is the one place that reads it."""


class FileNamed(NamedTuple):
    """A file as the source of an entry names it, and whether its bytes were kept."""

    name: str
    digest: str
    is_kept: bool = True


def source_text(source: Source) -> str:
    """How an entry names the file it came from."""
    return f"{source.name} sha256:{source.sha256}"


def files_in(source: str) -> list[FileNamed]:
    """The files that the source of an entry names; none when it names none."""
    found, at = [], 0
    while at < len(source):
        match = _FILE.match(source, at)
        if match is None:
            return []
        found.append(FileNamed(match[1], match[2], match[3] is None))
        at = match.end()
    return found


def name_of_source(source: str) -> str:
    """The names of the files in the source of an entry, whatever their digests look like; nothing where it names none."""
    return "; ".join(file.name for file in files_in(source)) or source.rpartition(" sha256:")[0]


def line_of(entry: Entry) -> str:
    """The entry's line, without an end of line. BadFact on what a line cannot hold: naive times, NUL, lone surrogates."""
    return _canonical(
        {
            "act": entry.act,
            "answers": list(entry.answers),
            "by": entry.by,
            "ledger": entry.ledger,
            "note": entry.note,
            "prev": entry.prev,
            "recorded_at": instant_text(entry.recorded_at),
            "salt": entry.salt,
            "seq": entry.seq,
            "source": entry.source,
            "statements": [_said(statement) for statement in entry.statements],
            "v": VERSION,
        }
    )


def opening_of(act: str) -> str:
    """How the line of every entry of an act begins, and no other: members stand in order, and `act` is the first."""
    return canonical({"act": act})[:-1] + ","


def _canonical(members: dict[str, Any]) -> str:
    """Canonical JSON of members whose kinds are right: looked through only where the text itself gives cause."""
    line = _encoded(members)
    if "\\u0000" in line or not _is_utf8(line):
        _look_through(members)
    return line


def canonical(value: Any) -> str:
    """Canonical JSON of texts, whole numbers, true, false, null, lists and objects. BadFact on anything else."""
    _look_through(value)
    return _encoded(value)


_encoded = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False).encode


def _look_through(value: Any) -> None:
    """Refuse what has no canonical form here."""
    if isinstance(value, str):
        if "\0" in value or not _is_utf8(value):
            raise BadFact(f"the text {value!r} has a damaged character", do="type it again")
    elif isinstance(value, dict):
        for name, item in value.items():
            if not (isinstance(name, str) and name.isascii()):
                raise BadFact(
                    f"we can't use the name {name!r}", do="use plain letters, digits and underscores"
                )
            _look_through(item)
    elif isinstance(value, list):
        for item in value:
            _look_through(item)
    elif isinstance(value, int):
        if not -_MOST < value < _MOST:
            raise BadFact(f"we can't store the number '{value}' exactly", do="write it as text")
    elif value is not None:
        raise BadFact(f"we can't store {value!r}", do="write decimals and dates as text")


def _is_utf8(text: str) -> bool:
    if text.isascii():
        return True
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def _said(statement: Statement) -> dict[str, Any]:
    value: Any = statement.value
    if isinstance(value, Unreadable):
        value = {UNREADABLE_MEMBER: str(value)}
    elif not isinstance(value, str):
        _look_through(value)
    return {
        "from": None if statement.valid_from == EARLIEST else when_text(statement.valid_from),
        "key": statement.key,
        "subject": statement.subject,
        "until": None if statement.valid_until is None else when_text(statement.valid_until),
        "value": value,
    }


def instant_text(moment: datetime) -> str:
    """An instant in UTC with microseconds: `2026-11-25T14:00:00.000000Z`. BadFact when it has no zone."""
    if moment.tzinfo is None:
        raise BadFact(f"the time '{moment}' has no time zone", do="add the time zone")
    utc = moment.astimezone(UTC)
    return utc.replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def when_text(when: When) -> str:
    """A day, or an instant in its own zone. BadFact when an instant has no zone, or one that is not in whole minutes."""
    if not isinstance(when, datetime):
        return when.isoformat()
    text = when.isoformat()
    try:
        parse_when(text)
    except ValueError as fault:
        raise BadFact(f"the time {text!r} has no time zone", do="add the time zone, like -05:00") from fault
    return text


def entry_of(line: str) -> Entry:
    """The entry a line holds. BadLine unless it is exactly the line that `line_of` writes for it."""
    try:
        told = _decoded(line)
        entry = _entry(told)
        again = line_of(entry)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, BadFact) as fault:
        raise BadLine(f"this isn't an entry ({fault})") from fault
    if again != line:
        raise BadLine("this isn't in canonical form")
    return entry


def members_of(line: str) -> dict[str, Any]:
    """The members of a line in canonical form, not looked into: quicker than `entry_of`. BadLine when it is in no such form."""
    try:
        told = _decoded(line)
        if isinstance(told, dict) and told.keys() == _MEMBERS and _encoded(told) == line:
            return told
    except (ValueError, RecursionError) as fault:
        raise BadLine(f"this isn't an entry ({fault})") from fault
    raise BadLine("this isn't an entry in canonical form")


def _refused(text: str) -> Any:
    raise ValueError(f"{text} is no whole number")


_decoded = json.JSONDecoder(parse_float=_refused, parse_constant=_refused).decode


def _entry(told: Any) -> Entry:
    if not isinstance(told, dict) or told.keys() != _MEMBERS:
        raise ValueError("its members are not those of an entry")
    if told["v"] != VERSION or isinstance(told["v"], bool):
        raise ValueError(f"it has format {told['v']!r}, and this version reads form {VERSION}")
    texts = [told[name] for name in ("act", "by", "ledger", "note", "prev", "recorded_at", "salt", "source")]
    if not all(isinstance(text, str) for text in texts) or not _is_whole(told["seq"]):
        raise ValueError("a member is of the wrong kind")
    answers = tuple(told["answers"])
    for number in answers:
        parts_of(number)
    return Entry(
        told["ledger"],
        told["seq"],
        datetime.fromisoformat(told["recorded_at"]),
        told["by"],
        told["act"],
        tuple([_statement(said) for said in told["statements"]]),
        answers,
        told["source"],
        told["note"],
        told["salt"],
        told["prev"],
    )


def _is_whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


_when = lru_cache(maxsize=1 << 16)(parse_when)


def _statement(said: Any) -> Statement:
    if said.keys() != _SAID:
        raise ValueError("a statement's members are not those of a statement")
    subject, key, value = said["subject"], said["key"], said["value"]
    if isinstance(value, dict):
        if value.keys() != {UNREADABLE_MEMBER}:
            raise ValueError("a value is of the wrong kind")
        value = Unreadable(value[UNREADABLE_MEMBER])
    if not (isinstance(subject, str) and isinstance(key, str)) or isinstance(value, float | list):
        raise ValueError("a statement's member is of the wrong kind")
    start, until = said["from"], said["until"]
    return Statement(
        subject,
        key,
        value,
        EARLIEST if start is None else _when(start),
        None if until is None else _when(until),
    )
