"""Dated law: parameters with half-open spans read from `params/us/*.toml`, and `Law`, which notes what a rule reads.

A file's form:

    [name]
    title = "..."                  # what it is, in plain words
    unit = "lb"                    # "" for switches, dates and lists
    [[name.values]]                # oldest first, half-open, never overlapping
    value = "0.55"                 # true/false, whole number, text, list of texts; decimals and fractions as text
    from = 2015-12-21
    until = 2021-04-21             # exclusive; left out = in force when last read
    cites = "14 CFR 48.15(b)"
    source = "..."                 # the text that was read
    url = "..."                    # a whole address of it; left out where there is none
    text_of = 2026-04-05           # the day the text is of; "2024", "2024-05", "after 2021", "not dated", "no text"
    had = "copy of the Code"       # how it was had: the closed list is `provenance.Had`
    also = ["..."]                 # optional: further texts that say the same, each independent of the first
    read_on = 2026-11-24           # the day it was read for this project; of memory, the day it was written down
    confidence = "high"            # high, medium, low: high needs the primary text or two independent copies
    facts = ["..."]                # ids of the readings it rests on
    open_edge = true               # optional: the literal text leaves a question

The day a text is of, how it was had and the day it was read are kept apart: a reprint of today's section that was made in
2024 is a text of 2024, read on the day it was read.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar

from airwrit.base.errors import BadLawFile
from airwrit.base.verdict import Undecided, Why

CONFIDENCES = ("high", "medium", "low")
LATE_AFTER_DAYS = 183
"""How long after the last reading of the law an answer says first how old its law is; common practice, no source."""
NO_TEXT = "no text"
"""What stands for the day of a text where nothing was read."""
NOT_DATED = "not dated"
_WORDS_OF_A_DAY = re.compile(rf"(after )?\d{{4}}(-\d\d){{0,2}}|{NOT_DATED}|{NO_TEXT}")


class Had(StrEnum):
    """How a text was had, the surest first."""

    PRIMARY = "primary text"
    """the document that made the law, or its official edition"""
    COPY = "copy of the Code"
    """the whole section in somebody's copy of the Code"""
    AGENCY = "agency page"
    """a page of the agency, in a stored copy"""
    SECONDARY = "secondary"
    """somebody who quotes, reprints or tells it"""
    MEMORY = "memory"
    """no text was read"""


class Provenance(NamedTuple):
    """Where a value was read: its text, the address of it ("" where none is whole), the three facts, further texts."""

    source: str
    url: str
    text_of: date | str
    had: Had
    also: tuple[str, ...]
    read_on: date
    confidence: str


def provenance_of(entry: Mapping[str, Any], name: str) -> Provenance:
    """The provenance written in a value's table. BadLawFile where a field is of another form or claims too much."""
    had, text_of = entry["had"], entry["text_of"]
    if had not in tuple(Had):
        raise BadLawFile(f"had is one of {', '.join(Had)}", where=name)
    if type(text_of) is not date and not _WORDS_OF_A_DAY.fullmatch(str(text_of)):
        raise BadLawFile(
            f"text_of is a day, a year, a month, 'after ...', {NOT_DATED!r} or {NO_TEXT!r}", where=name
        )
    if entry["confidence"] not in CONFIDENCES:
        raise BadLawFile(f"confidence is one of {', '.join(CONFIDENCES)}", where=name)
    found = Provenance(
        entry["source"],
        entry.get("url", ""),
        text_of,
        Had(had),
        tuple(entry.get("also", ())),
        entry["read_on"],
        entry["confidence"],
    )
    _not_too_sure(found, name)
    return found


def _not_too_sure(found: Provenance, name: str) -> None:
    """High confidence needs the primary text or two copies; memory has no text and is never more than low."""
    if (found.had is Had.MEMORY) != (found.text_of == NO_TEXT):
        raise BadLawFile(f"memory, and memory alone, has {NO_TEXT!r} for the day of its text", where=name)
    if found.had is Had.MEMORY and found.confidence != "low":
        raise BadLawFile("what is from memory has low confidence", where=name)
    if found.confidence == "high" and found.had is not Had.PRIMARY and not found.also:
        raise BadLawFile("high confidence needs the primary text or two independent copies", where=name)


def earliest(text_of: date | str) -> date:
    """The earliest day that a text may be of: the first of a year or month; of a text without a day, the first there is."""
    if isinstance(text_of, date):
        return text_of
    digits = text_of.removeprefix("after ")
    if not digits[0].isdigit():
        return date.min
    return date.fromisoformat(digits + "-01-01"[len(digits) - 4 :])


def oldest(texts: list[date | str]) -> date | str:
    """The oldest of several texts by the earliest day each may be of."""
    return min(texts, key=lambda one: (earliest(one), str(one)))


@cache
def _words() -> Mapping[str, Any]:
    return tomllib.loads(Path(__file__).with_name("reading.toml").read_text(encoding="utf-8"))


def read_words(text_of: date | str, had: Had, read_on: date) -> str:
    """A text in words: of which day, read when, and whether it is second hand or from memory."""
    if had is Had.MEMORY:
        memory: str = _words()["memory"].format(read=read_on)
        return memory
    kind = "not_dated" if text_of == NOT_DATED else "after" if str(text_of).startswith("after ") else "dated"
    told: str = _words()[kind].format(text=str(text_of).removeprefix("after "), read=read_on)
    return f"{told}, {hearsay(had)}" if hearsay(had) else told


def hearsay(had: str) -> str:
    """Second hand or from memory, in words; "" for a text that was read itself."""
    words: Mapping[str, str] = _words()["hearsay"]
    return words.get(had, "")


def late_words(day: date, last_read: date) -> str:
    """What an answer for `day` says first where the law was last read long before; "" where it was not."""
    days = (day - last_read).days
    late: str = _words()["late"].format(read=last_read, days=days)
    return late if days > LATE_AFTER_DAYS else ""


T = TypeVar("T")

FOLDER = Path(__file__).parent / "params" / "us"
FIRST_DAY = date(2016, 1, 1)
"""The first day questions are answered for; older law was not read."""

_PARAMETER_FIELDS = {"title", "unit", "values"}
_SPAN_FIELDS = {
    "value",
    "from",
    "until",
    "cites",
    "source",
    "url",
    "text_of",
    "had",
    "also",
    "read_on",
    "confidence",
    "facts",
    "open_edge",
}
_HEADS = re.compile(r"^(?=\[\w+\]$)", re.MULTILINE)
_READ_ON = re.compile(r"^read_on = (\S+)$", re.MULTILINE)


@dataclass(frozen=True, slots=True, eq=False)
class ValueSpan:
    """A value and the days it held, half-open, with where it was read."""

    value: Any
    start: date
    until: date | None
    cites: str
    source: str
    url: str
    text_of: date | str
    had: Had
    also: tuple[str, ...]
    read_on: date
    confidence: str
    facts: tuple[str, ...]
    open_edge: bool


class Content(NamedTuple):
    """What a file says of a parameter: its title, its unit, its values through time."""

    title: str
    unit: str
    spans: tuple[ValueSpan, ...]


class Param(Generic[T]):
    """A parameter of the law: a number, switch, day or list with its values through time, read when first looked at."""

    __slots__ = ("_content", "_read", "kind", "name")

    def __init__(self, name: str, kind: type[T], read: Callable[[], Content]) -> None:
        """`read` gives the content; it is called once, at the first look."""
        self.name, self.kind, self._read = name, kind, read
        self._content: Content | None = None

    @property
    def content(self) -> Content:
        """Title, unit and values. BadLawFile when its table breaks its form."""
        if self._content is None:
            self._content = self._read()
        return self._content

    @property
    def title(self) -> str:
        """What it is, in plain words."""
        return self.content.title

    @property
    def unit(self) -> str:
        """Its unit; "" for switches, dates and lists."""
        return self.content.unit

    @property
    def spans(self) -> tuple[ValueSpan, ...]:
        """Its values, oldest first."""
        return self.content.spans


class LawReading(NamedTuple):
    """One look at the law: which parameter and the span that held."""

    param: Param[Any]
    span: ValueSpan


def parameter(name: str, kind: type[T]) -> Param[T]:
    """The parameter of that name from the shipped files. BadLawFile when it is missing; its form is read when looked at."""
    text = _texts().get(name)
    if text is None:
        raise BadLawFile(f"no parameter is called {name}", where=FOLDER.name)
    return Param(name, kind, lambda: _content(name, kind, tomllib.loads(text)[name]))


def is_parameter(name: str) -> bool:
    """Whether the shipped files hold a parameter of that name."""
    return name in _texts()


def kind_held(name: str) -> type[Any]:
    """The kind in which the file holds a parameter's values: texts stay texts here, for who wants only its section."""
    value = tomllib.loads(_texts()[name])[name]["values"][0]["value"]
    return tuple if isinstance(value, list) else type(value)


@cache
def _texts() -> Mapping[str, str]:
    """The text of every parameter, by name: most commands look at few of them, and reading TOML takes its time.

    BadLawFile when two places hold one name.
    """
    found: dict[str, str] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        for text in _HEADS.split(path.read_text(encoding="utf-8"))[1:]:
            name = text[1 : text.index("]")]
            if name in found:
                raise BadLawFile(f"{name} stands in two places", where=path.name)
            found[name] = text
    return found


@cache
def last_read() -> date:
    """The last day on which any text of the law was read for this project."""
    return date.fromisoformat(max(day for text in _texts().values() for day in _READ_ON.findall(text)))


class Readings(NamedTuple):
    """How the values of the law were read: how many there are, how each text was had, and the span of days of reading."""

    values: int
    had: Mapping[Had, int]
    first_on: date
    last_on: date


@cache
def readings() -> Readings:
    """How all values in the shipped files were read."""
    values = [value for table in tables().values() for value in table["values"]]
    days = [value["read_on"] for value in values]
    had = {how: sum(value["had"] == how.value for value in values) for how in Had}
    return Readings(len(values), had, min(days), max(days))


def late_reading(day: date) -> str:
    """What an answer for `day` says first where the law was last read long before; "" where it was not."""
    return late_words(day, last_read())


def read_as(span: ValueSpan) -> str:
    """Where a value was read, in words: of which day the text is, when it was read, whether at second hand or from memory."""
    return read_words(span.text_of, span.had, span.read_on)


@cache
def tables() -> Mapping[str, Mapping[str, Any]]:
    """Every parameter's table in the shipped files, by name. BadLawFile when two files hold one name."""
    found: dict[str, Mapping[str, Any]] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        for name, table in tomllib.loads(path.read_text(encoding="utf-8")).items():
            if name in found:
                raise BadLawFile(f"{name} stands in two files", where=path.name)
            found[name] = table
    return found


def _content(name: str, kind: type[Any], table: Mapping[str, Any]) -> Content:
    _only(_PARAMETER_FIELDS, table, name)
    spans = tuple(_read_span(name, kind, entry) for entry in table["values"])
    if not spans:
        raise BadLawFile("no values", where=name)
    for earlier, later in pairwise(spans):
        if earlier.until is None or earlier.until > later.start:
            raise BadLawFile(f"spans overlap at {later.start}", where=name)
    return Content(table["title"], table["unit"], spans)


def _read_span(name: str, kind: type[Any], entry: Mapping[str, Any]) -> ValueSpan:
    _only(_SPAN_FIELDS, entry, name)
    start, until = entry["from"], entry.get("until")
    if until is not None and until <= start:
        raise BadLawFile(f"a span ends on {until}, not after it starts on {start}", where=name)
    return ValueSpan(
        _value(name, kind, entry["value"]),
        start,
        until,
        entry["cites"],
        *provenance_of(entry, name),
        tuple(entry["facts"]),
        entry.get("open_edge", False),
    )


def _value(name: str, kind: type[Any], raw: Any) -> Any:
    if kind in (Decimal, Fraction) and isinstance(raw, str):
        return kind(raw)
    if kind is tuple and isinstance(raw, list):
        return tuple(raw)
    if type(raw) is kind:
        return raw
    raise BadLawFile(f"{raw!r} is no {kind.__name__}", where=name)


def _only(allowed: set[str], table: Mapping[str, Any], name: str) -> None:
    unknown = set(table) - allowed
    if unknown:
        raise BadLawFile(f"unknown field {min(unknown)}", where=name)


@lru_cache(maxsize=1 << 16)
def _reading_of(param: Param[Any], day: date) -> LawReading | None:
    span = span_of(param, day)
    return None if span is None else LawReading(param, span)


def span_of(param: Param[Any], day: date) -> ValueSpan | None:
    """The span in force on `day`, None when we haven't read the law for that day."""
    for span in param.spans:
        if span.start <= day and (span.until is None or day < span.until):
            return span
    return None


class Law:
    """The law of a day; `law[PARAM]` gives the value and notes the span, so cites, age and confidence come by themselves."""

    __slots__ = ("day", "used")

    def __init__(self, day: date, used: list[LawReading] | None = None) -> None:
        """`used` collects the readings; shared with the law of other days."""
        self.day = day
        self.used: list[LawReading] = [] if used is None else used

    def __getitem__(self, param: Param[T]) -> T:
        """The value in force. Undecided when the law of the day was not read."""
        reading = _reading_of(param, self.day)
        if reading is None:
            raise Undecided(Why.LAW_NOT_READ, param.name)
        self.used.append(reading)
        value: T = reading.span.value
        return value

    def span(self, param: Param[Any]) -> ValueSpan:
        """The span in force, noted. Undecided when the law of the day was not read."""
        self[param]
        return self.used[-1].span

    def own_first(self, own: Sequence[Param[Any]], *, is_read: bool) -> tuple[LawReading, ...]:
        """What was read, the parameters of a rule itself before those it leaned on.

        Where the rule ended before it looked at any of its own, the first of them that holds on the day is named too, but
        not where it ended because the law of the day was not read.
        """
        if not own:
            return tuple(self.used)
        names = {param.name for param in own}
        read = [one for one in self.used if one.param.name in names]
        if not read and is_read:
            read = [one for param in own if (one := _reading_of(param, self.day)) is not None][:1]
        return (*read, *(one for one in self.used if one.param.name not in names))

    def written_for(self, param: Param[str], words: str) -> None:
        """Notes a text of the law that a rule was written for. Undecided where it does not hold these words on the day."""
        if words not in self[param]:
            raise Undecided(Why.LAW_NOT_READ, param.name)

    def then(self, day: date) -> Law:
        """The law of another day, its readings noted with this one's."""
        return Law(day, self.used)


def law_of_event(law: Law, day: date, param: Param[Any]) -> Law:
    """The law of an event's day, which holds for every report and record that follows it, whenever somebody asks.

    Undecided when the law of the day asked about was not read for `param`: no day before our first text is answered.
    """
    if span_of(param, law.day) is None:
        raise Undecided(Why.LAW_NOT_READ, param.name)
    return law.then(day)
