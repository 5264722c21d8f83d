"""The questions of the page Import: what the files leave open, at most ten, and the answers that a form sends back."""

from __future__ import annotations

from base64 import urlsafe_b64decode, urlsafe_b64encode
from binascii import Error as NotBase64
from collections.abc import Iterable, Iterator, Mapping, Set
from datetime import date
from typing import NamedTuple

from airwrit.answers.sheets.answered import FormFilled
from airwrit.answers.sheets.same_person import perhaps_one_in
from airwrit.answers.standing.missing import MissingFact, Scope, groups_of
from airwrit.answers.standing.standing import Standing
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.person import ALSO_CALLED
from airwrit.facts.state import State
from airwrit.facts.vocabulary import TOLD_KEYS, id_of, kind_of
from airwrit.intake.typed.answers_file import AnswersFile, FactAnswer, SameAnswer, WordAnswer, answer_value

ANSWER = "answer."
"""Begins the names of the fields of answers: for how many, which fact, and whom or what, which is written in base 64."""
MOST = 10
_ROOMS = 40
_BY_CHOICE = {"date": "date"}


class AnswerRoom(NamedTuple):
    """One field: its name, its label, what stands in it, and a list to choose from or the type of what is typed."""

    field: str
    label: str
    value: str
    choices: tuple[str, ...]
    type: str


class Waiting(NamedTuple):
    """How many aircraft and people depend on an answer."""

    aircraft: int = 0
    people: int = 0


class SheetQuestion(NamedTuple):
    """One question: the text it is about, the question, who waits for it, where the text stands, and its fields."""

    word: str
    text: str
    waiting: Waiting
    places: tuple[str, ...]
    rooms: tuple[AnswerRoom, ...]
    more: int


def questions_of(standing: Standing, people: Set[str] = frozenset()) -> tuple[SheetQuestion, ...]:
    """Whether some names are one person's, then the first ten questions of what a standing misses, their fields empty.

    `people` are the people whom the files name: another name of theirs may take its place, one of the record's keeps its own.
    """
    state = standing.report.state
    same = (_same(group, people) for group in perhaps_one_in(state) if not people.isdisjoint(group))
    return (*same, *(_question(gap, state) for gap in standing.gaps[:MOST]))


def _same(group: tuple[str, ...], people: Set[str]) -> SheetQuestion:
    """Whether some names are one person's, and which of them to keep."""
    names = tuple(map(id_of, group))
    kept = (id_of(one) for one in group if any(other in people for other in group if other != one))
    choices = (NOT_ONE, *kept)
    room = AnswerRoom(
        field_of("same", ALSO_CALLED.name, _AMONG.join(names)), "Name to keep", "", choices, "text"
    )
    return SheetQuestion("", "Are these one person?", Waiting(), names, (room,), 0)


NOT_ONE = "No, they are different people"
_AMONG = "\n"


def filled(questions: Iterable[SheetQuestion], told: Mapping[str, str]) -> tuple[SheetQuestion, ...]:
    """The questions with what was typed in their fields."""
    return tuple(
        one._replace(rooms=tuple(room._replace(value=told.get(room.field, "")) for room in one.rooms))
        for one in questions
    )


def _question(gap: MissingFact, state: State) -> SheetQuestion:
    rooms = tuple(_rooms(gap, state))
    shown = rooms[:_ROOMS]
    people = sum(kind_of(subject) == "person" for subject in gap.holds_up)
    return SheetQuestion(
        gap.word,
        gap.key.question,
        Waiting(len(gap.holds_up) - people, people),
        gap.places[:_ROOMS],
        shown,
        len(rooms) - len(shown),
    )


def _rooms(gap: MissingFact, state: State) -> Iterator[AnswerRoom]:
    def room(scope: str, whom: str, label: str, choices: tuple[str, ...] = gap.choices) -> AnswerRoom:
        field = field_of(scope, gap.key.name, whom)
        kind = _BY_CHOICE.get(gap.key.kind.__name__, "text") if scope != "except" else "text"
        return AnswerRoom(field, label, "", choices, kind)

    if gap.scope is Scope.WORD:
        yield room("word", gap.word, "What it means")
    elif gap.scope is Scope.ALL and len(gap.subjects) > 1:
        yield room("all", "", f"All {len(gap.subjects)}")
        yield room("except", "", "All except (names, with commas)", ())
    elif gap.scope is Scope.MODEL:
        groups = groups_of(gap, state)
        for model, subjects in groups.items():
            yield room("model", model, f"Every {model} ({', '.join(map(id_of, subjects[:8]))})")
        grouped = {subject for subjects in groups.values() for subject in subjects}
        for subject in gap.subjects:
            if subject not in grouped:
                yield room("one", id_of(subject), _name(subject, state))
    else:
        for subject in gap.subjects:
            yield room("one", id_of(subject), _name(subject, state))


def _name(subject: str, state: State) -> str:
    """What a person calls it: a registration with its aircraft."""
    of = state.holding(REGISTRATION, id_of(subject)) if kind_of(subject) == "registration" else []
    return id_of(subject) + (f" ({', '.join(map(id_of, of))})" if of else "")


def field_of(scope: str, fact: str, whom: str) -> str:
    """The name of the field of an answer."""
    return f"{ANSWER}{scope}.{fact}.{urlsafe_b64encode(whom.encode()).decode()}"


def form_told(values: Mapping[str, str], by: str, day: date) -> FormFilled | None:
    """The answers among what a form sent; None where it has none. BadFact on one that cannot be."""
    facts: list[FactAnswer] = []
    words: list[WordAnswer] = []
    same: list[SameAnswer] = []
    for field, value in values.items():
        scope, fact, whom = _parts(field)
        if not value or fact not in TOLD_KEYS or scope == "except":
            continue
        if scope == "same":
            names = tuple(whom.split(_AMONG))
            if value in (*names, NOT_ONE):
                same.append(SameAnswer("" if value == NOT_ONE else value, names, _WHERE))
            continue
        if scope == "word":
            words.append(WordAnswer(whom, value, None, _WHERE))
            continue
        key = TOLD_KEYS[fact]
        apart = values.get(field_of("except", fact, ""), "") if scope == "all" else ""
        facts.append(
            FactAnswer(
                key,
                answer_value(key, value, key.question),
                (whom,) if scope == "one" else None,
                tuple(name.strip() for name in apart.split(",") if name.strip()),
                whom if scope == "model" else "",
                "",
                _WHERE,
            )
        )
    if not facts and not words and not same:
        return None
    return FormFilled(AnswersFile(_WHERE, tuple(facts), tuple(words), same=tuple(same)), by, day)


_WHERE = "answered on the page"


def _parts(field: str) -> tuple[str, str, str]:
    """For how many, which fact, and whom a field is; empty for a field that is no answer."""
    scope, _, rest = field.removeprefix(ANSWER).partition(".")
    fact, _, whom = rest.partition(".")
    if not field.startswith(ANSWER) or scope not in ("all", "except", "model", "one", "word", "same"):
        return "", "", ""
    try:
        return scope, fact, urlsafe_b64decode(whom.encode("ascii")).decode()
    except (NotBase64, UnicodeError):
        return "", "", ""
