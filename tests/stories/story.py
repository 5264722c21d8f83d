"""Reads the stories: law told as cases. Each file holds facts in the tables of a facts file, and the answers expected.

A subject's facts may stand in several tables of one `id`; `from` and `until` of a table are the span of its facts. An
answer names the story's case: rule, day, and `case` where one rule is asked twice for one day.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.times import EARLIEST, When, day_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State, state_of
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import KEYS, TABLES, subject_named
from airwrit.facts.words import UsedFor
from airwrit.law.judging import Finding, judge
from airwrit.law.rulebook import BY_NAME

FOLDER = Path(__file__).parent
LISTS = ("waiting.toml", "all_answers.toml")
KNOWN_AT = datetime(2026, 11, 24, 15, 0, tzinfo=UTC)

_ABOUT = {"id", "title", "cites", "answers"}
_SPAN = {"id", "from", "until"}
_ANSWER = {"on", "subject", "rule", "use", "verdict", "why", "code", "value", "in", "case", "asked"}


class Answer(NamedTuple):
    """One expected answer. `value` is a day, a text, or a decimal in `unit` good to as many places as it shows."""

    story: str
    on: When
    subject: str
    rule: str
    use: UsedFor
    verdict: str
    why: str | None
    code: str | None
    value: date | str | None
    unit: str
    case: int
    asked: bool

    @property
    def name(self) -> str:
        """The name it goes by in the lists: story, rule, day, case."""
        return f"{self.story}:{self.rule}:{self.on.isoformat()}:{self.case}"


class Story(NamedTuple):
    """One story: its facts as statements, and the answers expected of them."""

    id: str
    title: str
    cites: str
    known: tuple[Known, ...]
    answers: tuple[Answer, ...]

    def state(self, on: When) -> State:
        """How things stood on `on`."""
        return state_of(self.known, on, KNOWN_AT)


def found(answer: Answer, known: tuple[Known, ...]) -> Finding:
    """The finding for an answer, from these statements."""
    state = state_of(known, answer.on, KNOWN_AT)
    return judge(BY_NAME[answer.rule], state, answer.subject, answer.use, day_of(answer.on))


@cache
def stories() -> tuple[Story, ...]:
    """Every story of the folder, by file name."""
    return tuple(_read(path) for path in sorted(FOLDER.glob("*.toml")) if path.name not in LISTS)


def answers() -> list[tuple[Story, Answer]]:
    """Every answer with its story."""
    return [(story, answer) for story in stories() for answer in story.answers]


def listed(name: str) -> list[str]:
    """The names in one of the lists."""
    names: list[str] = tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))["answers"]
    return names


def _read(path: Path) -> Story:
    told = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=str)
    known = tuple(_known(told, path.name))
    expected = tuple(_answer(told["id"], row, path.name) for row in told["answers"])
    return Story(told["id"], told["title"], told["cites"], known, expected)


def _known(told: dict[str, Any], where: str) -> Iterator[Known]:
    for table, rows in told.items():
        if table in _ABOUT:
            continue
        for row in rows:
            subject = subject_named(TABLES[table], row["id"])
            for name, value in row.items():
                if name in _SPAN:
                    continue
                if KEYS[name].table != table:
                    raise ValueError(f"{where}: {name} belongs in [{KEYS[name].table}]")
                start, end = row.get("from", EARLIEST), row.get("until")
                yield Known(Statement(subject, name, _raw(value), start, end), origin=f"{where} [{table}]")


def _raw(value: Any) -> Raw:
    return value.isoformat() if isinstance(value, date) else value


def _answer(story: str, row: dict[str, Any], where: str) -> Answer:
    unknown = set(row) - _ANSWER
    if unknown:
        raise ValueError(f"{where}: an answer has no {min(unknown)}")
    return Answer(
        story,
        row["on"],
        row["subject"],
        row["rule"],
        UsedFor(row.get("use", "work")),
        row["verdict"],
        row.get("why"),
        row.get("code"),
        row.get("value"),
        row.get("in", ""),
        row.get("case", 1),
        row.get("asked", True),
    )


def same_value(expected: date | str, found_value: object) -> bool:
    """Whether a finding's value is the one expected: days and texts exactly, decimals to the places shown."""
    if isinstance(expected, str) and isinstance(found_value, Decimal):
        wanted = Decimal(expected)
        return found_value.quantize(wanted) == wanted
    return expected == found_value
