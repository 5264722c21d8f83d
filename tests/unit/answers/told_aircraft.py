"""States of one aircraft and its owner, told in a line; and dialogues told by their answers."""

from __future__ import annotations

from datetime import UTC, date, datetime

from airwrit.answers.asking.dialogue import Dialogue, next_question
from airwrit.answers.asking.questions import answered
from airwrit.base.days import When
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement

DAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
SMALL: dict[str, Raw] = {"takeoff_weight_g": "900", "scale_error_g": "0"}
PERSON: dict[str, Raw] = {"owner_kind": "person", "citizenship": "citizen", "filer_old_enough": True}
COMPANY: dict[str, Raw] = {"owner_kind": "corporation", "organized_in_us": True, "based_and_used_in_us": True}


def state(aircraft: dict[str, Raw], owner: dict[str, Raw], on: When = DAY, **others: dict[str, Raw]) -> State:
    """Aircraft A of owner O, and other subjects by kind."""
    subjects = {"aircraft/A": {**aircraft, "owner": "O"}, "owner/O": owner}
    subjects |= {f"{kind}/1": facts for kind, facts in others.items()}
    known = [
        Known(Statement(subject, name, value))
        for subject, facts in subjects.items()
        for name, value in facts.items()
    ]
    return state_of(known, on, NOW)


def dialogue(*replies: str, on: date = DAY) -> Dialogue:
    """The dialogue after these answers. AssertionError where one was not asked for."""
    so_far = Dialogue(on, NOW)
    for reply in replies:
        question = next_question(so_far)
        assert question is not None, f"{reply} was not asked for"
        so_far = so_far.with_answer(answered(question, reply, on))
    return so_far


def asked(*replies: str, on: date = DAY) -> list[str]:
    """The names of the questions that these answers answer, and of the one that comes next."""
    so_far = dialogue(*replies, on=on)
    following = next_question(so_far)
    return [one.question for one in so_far.given] + ([] if following is None else [following.name])
