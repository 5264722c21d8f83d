"""The questions about an incident one by one, on a terminal or from lines of text; the NTSB's list as one question."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from typing import Any

from airwrit.answers.incident.decision import words
from airwrit.answers.incident.questions import LISTED, open_questions
from airwrit.answers.incident.typed import typed_incident
from airwrit.base.errors import AirwritError
from airwrit.facts.choices import words_of
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key
from airwrit.facts.keys.incident import REST_OF_LIST
from airwrit.facts.state import Held, State, with_held
from airwrit.intake.typed.reply import is_dont_know, read_several

_Read = Callable[[str], str | None]
_Say = Callable[[str], None]


def ask_all(state: State, incident: str, read: _Read, say: _Say) -> State:
    """The state with every answer. `?` leaves a question open; the end of input ends the questions."""
    say("Answer what you know. Enter ? when you don't know.")
    for text in words()["first"][:5]:
        say(f"  {text}")
    passed: set[Key[Any]] = set()
    while True:
        key = next((one for one in open_questions(state, incident) if one not in passed), None)
        if key is None:
            return state
        found = _list(state, incident, read, say) if key in LISTED else _one(state, incident, key, read, say)
        if found is None:
            return state
        state = found
        passed.update(LISTED if key in LISTED else (key,))
        say("")


def _one(state: State, incident: str, key: Key[Any], read: _Read, say: _Say) -> State | None:
    """The state with the answer to one question, asked again until it can be read; None at the end of input."""
    say(key.question + (" (yes or no)" if key.kind is bool else ""))
    if issubclass(key.kind, StrEnum):
        for number, one in enumerate(key.kind, 1):
            say(f"  {number}  {words_of(one)}")
    hint = words()["hints"].get(key.name, "")
    if hint:
        say(f"  {hint}")
    while (reply := read("> ")) is not None:
        told = typed_incident(incident, {key.name: reply}, state)
        if not told.wrong:
            return with_held(state, state_of(told.known, state.on, state.known_at).held)
        say(f"  {told.wrong[key.name]}")
    return None


def _list(state: State, incident: str, read: _Read, say: _Say) -> State | None:
    """The NTSB's list as one question: what was named happened, the rest did not."""
    say("Did any of these happen? Enter the numbers, or none.")
    for number, key in enumerate(LISTED, 1):
        say(f"  {number}  {words()['items']['rest'] if key is REST_OF_LIST else key.meaning}")
    while (reply := read("> ")) is not None:
        if is_dont_know(reply):
            return state
        try:
            chosen = read_several(reply, len(LISTED))
        except AirwritError as fault:
            say(f"  {fault.what}; {fault.do}")
            continue
        facts = {key: Held(number in chosen) for number, key in enumerate(LISTED, 1)}
        return with_held(state, {incident: facts})
    return None
