"""Who does what is due: an own person first, then who the kind of duty is assigned to, then the login, then the lead."""

from __future__ import annotations

import pytest

from airwrit.answers.standing.who import DutyKind, who_does
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from tests.unit.answers.program import ONE, program
from tests.unit.answers.told import DAY, KNOWN_AT, known_of

ASSIGNED: dict[str, dict[str, Raw]] = {
    "duty/registration": {"duty_done_by": "Cora"},
    "duty/maintenance": {"duty_done_by": "Dev"},
    "duty/papers": {"duty_done_by": "Eve"},
    "duty/lead": {"duty_done_by": "Lea"},
}


def state(**gone: dict[str, Raw]) -> State:
    """The program with its duties assigned, and what is said otherwise."""
    return state_of(known_of({**program(), **ASSIGNED, **gone}), DAY, KNOWN_AT)


@pytest.mark.parametrize(
    ("subject", "duty", "who"),
    [
        ("aircraft/H-01", DutyKind.REGISTRATION, "Cora"),
        (f"registration/{ONE}", DutyKind.REGISTRATION, "Cora"),
        ("aircraft/H-01", DutyKind.MAINTENANCE, "Dev"),
        ("paper/W-1", DutyKind.PAPERS, "Bob"),
        ("paper/unheard of", DutyKind.PAPERS, "Eve"),
        ("person/Ann", DutyKind.LEAD, "Ann"),
    ],
)
def test_each_kind_of_duty_has_its_person(subject: str, duty: DutyKind, who: str) -> None:
    assert who_does([subject], duty, state()) == (who,)


def test_who_has_left_does_nothing_and_the_lead_does_the_rest() -> None:
    gone: dict[str, dict[str, Raw]] = {"person/Dev": {"has_left": True}, "person/Bob": {"has_left": True}}
    left = state(**gone)
    assert who_does(["aircraft/H-01"], DutyKind.MAINTENANCE, left) == ("Lea",)
    assert who_does(["paper/W-1"], DutyKind.PAPERS, left) == ("Eve",)


def test_nobody_named_is_nobody() -> None:
    bare = state_of(known_of({"aircraft/H-09": {"used_for": "work"}}), DAY, KNOWN_AT)
    assert who_does(["aircraft/H-09"], DutyKind.MAINTENANCE, bare) == ()


def test_the_login_does_registration_where_nobody_is_assigned() -> None:
    told = state_of(known_of(program()), DAY, KNOWN_AT)
    assert who_does(["aircraft/H-01"], DutyKind.REGISTRATION, told) == ("Bob",)
