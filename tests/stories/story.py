"""Reads the stories: law told as cases. Each file says what it is about, then the facts, then the answers expected.

The facts between are a facts file as `airwrit check-scenario` takes it. An answer names rule, subject, use and day, and its
`case` where one rule is asked twice for one day; `asked = false` marks one that we add to those asked for.
"""

from __future__ import annotations

import tomllib
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.days import When, day_of
from airwrit.base.measured import GRAMS_PER_POUND
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.statement import Known
from airwrit.intake.typed.facts_file import read_facts
from airwrit.law.rule import Finding, judge
from airwrit.law.rulebook import BY_NAME

FOLDER = Path(__file__).parent
LISTS = ("waiting.toml", "all_answers.toml")
KNOWN_AT = datetime(2026, 11, 24, 15, 0, tzinfo=UTC)

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
    """A story's file: what it is about, a facts file, and from the first answer on the answers."""
    head, facts, tail = _parts(path.read_text(encoding="utf-8"))
    about, expected = tomllib.loads(head), tomllib.loads(tail)["answers"]
    known = read_facts(facts, path.name).known
    answered = tuple(_answer(about["id"], row, path.name) for row in expected)
    return Story(about["id"], about["title"], about["cites"], known, answered)


def _parts(text: str) -> tuple[str, str, str]:
    facts, answers_at = text.index("\n["), text.index("\n[[answers]]")
    return text[:facts], text[facts:answers_at], text[answers_at:]


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


def same_value(answer: Answer, value: object) -> bool:
    """Whether a finding's value is the one expected: days and texts exactly, decimals to the places shown."""
    if isinstance(answer.value, str) and isinstance(value, Decimal):
        wanted = Decimal(answer.value)
        return (value * GRAMS_PER_POUND if answer.unit == "g" else value).quantize(wanted) == wanted
    return answer.value == value
