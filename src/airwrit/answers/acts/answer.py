"""An answer to a question that is open: how it is asked, for whom it holds, and the one entry that puts it on record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from hashlib import sha256
from typing import Any, NamedTuple

from airwrit.answers.sheets.difference import HandEntry, OnRecord
from airwrit.answers.standing.missing import (
    MEANS,
    NO_MATTER,
    MissingFact,
    Scope,
    choices_of,
    groups_of,
    meanings_of,
)
from airwrit.base.days import EARLIEST, When, day_of
from airwrit.base.errors import BadFact
from airwrit.facts.choices import EventKind
from airwrit.facts.key import Key, Raw, value_of
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.person import COMPLETED_ON, EVENT_KIND, EVENT_OF
from airwrit.facts.keys.service import HOLDS
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS, id_of, kind_of
from airwrit.intake.cell.column import PRESENCE
from airwrit.intake.rows.made_names import made_subjects
from airwrit.intake.typed.reply import is_dont_know, read_reply

ALL, MODEL = "all", "model:"
_OFFERED, _PEOPLE = 5, 12
"""The most names that are offered to choose from; of more a name is typed."""


class FieldAsked(NamedTuple):
    """A question with its field: the fact, for whom it is open, what may be chosen, and whether something else may be typed.

    `word` is a text that was not understood. `alike` are those for whom one answer may hold, by a word for all of them.
    """

    key: Key[Any]
    subjects: tuple[str, ...]
    holds_up: tuple[str, ...]
    choices: tuple[str, ...]
    may_type: bool
    alike: Mapping[str, tuple[str, ...]]
    word: str = ""


def field_of(gap: MissingFact, state: State, held: OnRecord) -> FieldAsked:
    """The field of a missing fact."""
    first = gap.subjects[0]
    choices = gap.choices or _offered(gap.key, first, state, held)
    return FieldAsked(
        gap.key, gap.subjects, gap.holds_up, choices, not gap.choices, _alike(gap, state), gap.word
    )


def field_about(key: Key[Any], subject: str, state: State, held: OnRecord) -> FieldAsked:
    """The field of any fact of one subject, whether or not it is missing."""
    closed = choices_of(key)
    return FieldAsked(key, (subject,), (), closed or _offered(key, subject, state, held), not closed, {})


def _offered(key: Key[Any], subject: str, state: State, held: OnRecord) -> tuple[str, ...]:
    """Values that contradict each other, or the few names on file; each is only offered."""
    alive = [item.statement.value for item in held.alive((subject, key.name))]
    said = tuple(
        dict.fromkeys(str(one) for one in alive if one is not None and not isinstance(one, Unreadable))
    )
    if len(said) > 1 and not key.private:
        return said
    if key.links_to == "person":
        people = sorted(id_of(one) for one in state.subjects("person"))
        return tuple(people) if len(people) <= _PEOPLE else ()
    named = {value.value for facts in state.held.values() if (value := facts.get(key)) and value.why is None}
    return tuple(sorted(named)) if key.links_to == "owner" and len(named) <= _OFFERED else ()


def _alike(gap: MissingFact, state: State) -> dict[str, tuple[str, ...]]:
    """Those for whom one answer may hold: all of them, or those of a model."""
    if len(gap.subjects) < 2:
        return {}
    models = {MODEL + name: some for name, some in groups_of(gap, state).items() if len(some) > 1}
    return models if gap.scope in (Scope.MODEL, Scope.ONE) else {ALL: gap.subjects, **models}


def whom(asked: FieldAsked, chosen: str) -> tuple[str, ...]:
    """The subjects that an answer is for. BadFact for a word that names none of them."""
    if chosen in asked.alike:
        return asked.alike[chosen]
    if chosen in asked.subjects:
        return (chosen,)
    raise BadFact(f"we have no open question for {chosen!r}", do="choose who the answer is for")


def names_of_all(subjects: Iterable[str]) -> str:
    """A short name for a list of subjects, so that a form holds for those it was shown for and no others."""
    return sha256("\n".join(subjects).encode("utf-8", "surrogatepass")).hexdigest()[:16]


def called(subject: str, state: State) -> str:
    """What a person calls a subject: a registration goes by the name of its only aircraft."""
    of = state.holding(REGISTRATION, id_of(subject)) if kind_of(subject) == "registration" else []
    return id_of(of[0]) if len(of) == 1 else id_of(subject)


def answer_entry(
    asked: FieldAsked, subjects: Iterable[str], text: str, held: OnRecord, on: date, since: When | None = None
) -> HandEntry | None:
    """What an answer puts on record, for all its subjects in one entry; None where nobody knows. BadFact on what cannot be.

    It takes the place of what is said of that day, and leaves what was said of earlier and later days.
    """
    if is_dont_know(text):
        return None
    raw = _means(asked, text) if asked.word else _read(asked.key, text)
    said = [one for subject in subjects for one in _statements(asked, subject, raw)]
    statements, takes = [], []
    for one in said:
        start, old = _place(held, one, on, since)
        statements.append(one._replace(valid_from=start))
        takes += [item for item in old if item.statement.value != one.value]
    note = "" if not asked.word else f"what the text means: {asked.word}"
    return HandEntry(tuple(dict.fromkeys(statements)), note=note, takes=tuple(takes))


def _read(key: Key[Any], text: str) -> Raw:
    raw = read_reply(key, text)
    value_of(key, raw)
    return raw


def _means(asked: FieldAsked, text: str) -> str:
    choices = meanings_of(kind_of(asked.subjects[0]))
    if text not in choices:
        raise BadFact(f"{text!r} isn't one of the choices", do="choose one of: " + "; ".join(choices))
    return text


def _statements(asked: FieldAsked, subject: str, raw: Raw) -> Iterator[Statement]:
    """What an answer says of one subject."""
    kind, key = kind_of(subject), asked.key
    if asked.word:
        yield Statement(subject, HOLDS[kind].released.name, asked.word)
        if raw != NO_MATTER:
            yield Statement(subject, MEANS[kind].name, raw)
    elif key is COMPLETED_ON and kind == "person":
        word = EventKind.RECURRENT.value
        (event,) = made_subjects("training", [(id_of(subject), word, str(raw))], [()])
        yield Statement(event, EVENT_OF.name, id_of(subject))
        yield Statement(event, EVENT_KIND.name, word)
        yield Statement(event, key.name, raw)
    else:
        yield Statement(subject, key.name, raw)
        if key in PRESENCE:
            yield Statement(subject, PRESENCE[key].name, value=True)


def _place(held: OnRecord, one: Statement, on: date, since: When | None) -> tuple[When, list[Known]]:
    """From when a statement holds, and what it takes the place of: what was last said to begin or end up to the day."""
    if KEYS[one.key].has_many:
        return EARLIEST, []
    alive = held.alive((one.subject, one.key))
    starts = [item.statement.valid_from for item in alive]
    ends = [item.statement.valid_until for item in alive if item.statement.valid_until is not None]
    turns = [turn for turn in (*starts, *ends) if day_of(turn) <= on]
    start = since or max(turns, key=day_of, default=EARLIEST)
    return start, [item for item in alive if item.statement.valid_from == start]
