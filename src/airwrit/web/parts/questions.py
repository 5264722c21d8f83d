"""Questions with their fields: each a form of its own, wherever a question is shown."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.answer import ALL, MODEL, FieldAsked, called, field_of, names_of_all
from airwrit.answers.standing.missing import MissingFact
from airwrit.base.verdict import Why
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of
from airwrit.web.server.forms import Ticket, ticket
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import held_now

_APART = 40
"""The most subjects that are listed one by one; the others have their question on their own page."""
_NAMED = 3
_UNITS = {"g": "Include the unit, such as 3.1 lb or 1.4 kg", "ft": "In feet", "lb": "In pounds"}


class ForWhom(NamedTuple):
    """Somebody an answer may hold for: the value of the field, its words, and a short name for all of them."""

    value: str
    words: str
    seen: str = ""


class QuestionForm(NamedTuple):
    """A question as a form: what is asked and why, its widget and choices, for whom, and what the form carries."""

    number: int
    fact: str
    word: str
    asks: str
    why: str
    hint: str
    widget: str
    choices: tuple[str, ...]
    may_type: bool
    may_not_know: bool
    whom: tuple[ForWhom, ...]
    ticket: Ticket
    back: str
    chosen: str = ""
    typed: str = ""
    wrong: str = ""


def questions_for(
    visit: Visit, gaps: Iterable[MissingFact], state: State, back: str, first: str = ""
) -> tuple[QuestionForm, ...]:
    """The forms of some gaps; `first` is the subject whose page it is. None on a day on which nothing can be saved."""
    gaps = tuple(gaps)
    if not visit.asked.is_today or not gaps:
        return ()
    held, one = held_now(visit.desk), ticket(visit.desk)
    return tuple(
        question_form(field_of(gap, state, held), state, number, fresh(one), back, first, _why(gap))
        for number, gap in enumerate(gaps, 1)
    )


def fresh(made: Ticket) -> Ticket:
    """A ticket for one more form of the same page."""
    return made._replace(nonce=secrets.token_urlsafe(18))


def question_form(
    asked: FieldAsked, state: State, number: int, made: Ticket, back: str, first: str = "", why: str = ""
) -> QuestionForm:
    """The form of one field."""
    key = asked.key
    widget = "radios" if asked.choices else "date" if key.kind is date and not key.instants else "text"
    return QuestionForm(
        number,
        key.name,
        asked.word,
        f"What does “{asked.word}” mean?" if asked.word else key.question,
        why or _named([called(one, state) for one in asked.subjects]),
        "" if asked.choices else _UNITS.get(key.unit, f"In {key.unit}" if key.unit else ""),
        widget,
        asked.choices,
        asked.may_type,
        bool(asked.choices),
        tuple(_whom(asked, state, first)),
        made,
        back,
    )


def _why(gap: MissingFact) -> str:
    """Why it is asked, in a few words."""
    named = _named([id_of(one) for one in gap.holds_up])
    many = f"Settles {named}." if named else ""
    odd = {
        Why.CONFLICT: "The record has two different answers.  ",
        Why.DAMAGED: "We can't read some of what is on file. ",
    }
    return odd.get(gap.why, "") + many


def _named(names: Sequence[str]) -> str:
    some = list(dict.fromkeys(names))
    more = len(some) - _NAMED
    return ", ".join(some[:_NAMED]) + (f" and {more} more" if more > 0 else "")


def _whom(asked: FieldAsked, state: State, first: str) -> Iterable[ForWhom]:
    """For whom an answer may hold: on its own page that one first, else all who are alike."""
    own = (
        [one for one in asked.subjects if one == first or id_of(first) == called(one, state)] if first else []
    )
    singles = [ForWhom(one, called(one, state)) for one in own]
    alike = [ForWhom(word, _words(word, some), names_of_all(some)) for word, some in asked.alike.items()]
    others = [one for one in asked.subjects if one not in own][:_APART]
    return (*singles, *alike, *(ForWhom(one, called(one, state)) for one in ([] if first else others)))


def _words(word: str, some: Sequence[str]) -> str:
    return f"all {len(some)}" if word == ALL else f"all {len(some)} {word.removeprefix(MODEL)}"


def resent(form: QuestionForm, said: Mapping[str, str], wrong: str = "") -> QuestionForm:
    """The form as it was filled in, with what is wrong with it."""
    value = said.get("value", "")
    typed = value if value and value not in form.choices else said.get("other", "")
    return form._replace(chosen=said.get("for", ""), typed=typed or value, wrong=wrong)
