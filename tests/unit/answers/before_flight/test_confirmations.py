"""Facts that a pilot confirms, and those of them that a crew may confirm at once."""

from __future__ import annotations

import pytest

from airwrit.answers.before_flight.confirmations import AT_ONCE, confirmations, plain_answers
from airwrit.answers.before_flight.typed import groups_confirmed
from airwrit.base.errors import UsageError
from tests.unit.answers.before_flight.planning import plan, program


@pytest.mark.parametrize("group", ["desk", "place"])
def test_what_is_looked_up_or_seen_is_never_confirmed_at_once(group: str) -> None:
    assert plain_answers(group, confirmations()) == {}
    with pytest.raises(UsageError, match="at once"):
        groups_confirmed(plan(), program(), [group])


@pytest.mark.parametrize("group", AT_ONCE)
def test_only_what_the_flight_asks_and_nobody_answered_is_confirmed(group: str) -> None:
    mine = [name for name, one in confirmations().items() if one.group == group]
    found = groups_confirmed(plan(), program(dict.fromkeys(mine)), [group])
    told = {one.statement.key for one in found}
    assert told <= set(plain_answers(group, mine))
    assert "lights_lit" not in told, "the flight is in daylight"
    assert "hours_since_drink" not in told, "a number has no plain answer"
    assert groups_confirmed(plan(), program(), [group]) == []
