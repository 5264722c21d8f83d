"""The fold against a model written another way, and what may never matter to it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import EARLIEST, When, parse_when
from airwrit.base.verdict import Why
from airwrit.facts.fold import AsKnown, state_of
from airwrit.facts.keys.aircraft import HOLDER
from airwrit.facts.state import Held
from airwrit.facts.statement import Known, Statement

FIRST = date(2026, 1, 1)
KNOWN_AT = datetime(2026, 11, 24, tzinfo=UTC)
SUBJECT = "aircraft/A"


class Said(NamedTuple):
    """One statement of the model, in days from the first; `until` None is open, `withdrawn` says another took it back."""

    value: str | None
    start: int
    until: int | None
    withdrawn: bool


said = st.builds(
    Said,
    st.sampled_from(["ann", "bob", "cyd", None]),
    st.integers(0, 8),
    st.one_of(st.none(), st.none(), st.integers(0, 10)),
    st.sampled_from([False, False, False, True]),
)


def model(all_said: list[Said], on: int) -> str | None:
    """What holds on a day, painted day by day: open ends are cut by whatever starts later, the rest must agree."""
    canvas: dict[int, set[str | None]] = {}
    alive = [one for one in all_said if not one.withdrawn]
    for day in range(12):
        begun = [one for one in alive if one.start <= day]
        newest = max((one.start for one in begun), default=None)
        canvas[day] = {
            one.value
            for one in begun
            if (one.until is None and one.start == newest) or (one.until is not None and day < one.until)
        }
    values = canvas[on]
    if len(values) > 1:
        return Why.CONFLICT
    return values.pop() if values else None


def known(all_said: list[Said]) -> list[Known]:
    """The same as statements; a withdrawal is one more, of an empty span, that answers the withdrawn."""
    found = []
    for number, one in enumerate(all_said):
        until = None if one.until is None else FIRST + timedelta(days=one.until)
        span = Statement(SUBJECT, HOLDER.name, one.value, FIRST + timedelta(days=one.start), until)
        found.append(Known(span, number=str(number)))
        if one.withdrawn:
            empty = Statement(SUBJECT, HOLDER.name, None, FIRST, FIRST)
            found.append(Known(empty, number=f"w{number}", answers=(str(number),)))
    return found


def told(held: Held | None) -> str | None:
    """A held value in the model's words."""
    return None if held is None else held.why or held.value


def fold(statements: list[Known], on: When) -> str | None:
    """What the fold holds on a day, in the model's words."""
    return told(state_of(statements, on, KNOWN_AT).held.get(SUBJECT, {}).get(HOLDER))


@given(st.lists(said, max_size=5), st.integers(0, 11))
def test_the_fold_is_the_model(all_said: list[Said], on: int) -> None:
    assert fold(known(all_said), FIRST + timedelta(days=on)) == model(all_said, on)


@given(
    st.lists(said, max_size=5).flatmap(lambda s: st.tuples(st.just(s), st.permutations(known(s)))),
    st.integers(0, 11),
)
def test_the_order_of_statements_never_matters(both: tuple[list[Said], list[Known]], on: int) -> None:
    all_said, shuffled = both
    day = FIRST + timedelta(days=on)
    assert fold(shuffled, day) == fold(known(all_said), day)


moments = st.one_of(
    st.integers(0, 4).map(lambda n: FIRST + timedelta(days=n)),
    st.integers(0, 4 * 24).map(lambda n: datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=n)),
)
spans = st.tuples(st.sampled_from(["ann", "bob", None]), moments, st.one_of(st.none(), st.none(), moments))


@given(st.lists(spans, max_size=5).flatmap(lambda s: st.tuples(st.just(s), st.permutations(s))), moments)
def test_nor_where_days_and_instants_meet(
    both: tuple[list[tuple[str | None, When, When | None]], list[tuple[str | None, When, When | None]]],
    on: When,
) -> None:
    one, other = (
        fold([Known(Statement(SUBJECT, HOLDER.name, *span)) for span in spans_], on) for spans_ in both
    )
    assert one == other


@given(st.lists(spans, max_size=4), st.integers(0, 4))
def test_a_day_without_doubt_is_that_day_at_every_hour(
    all_spans: list[tuple[str | None, When, When | None]], on: int
) -> None:
    statements = [Known(Statement(SUBJECT, HOLDER.name, *span)) for span in all_spans]
    day = FIRST + timedelta(days=on)
    whole = fold(statements, day)
    if whole in (Why.WITHIN_DOUBT, Why.CONFLICT):
        return
    for hour in range(24):
        instant = datetime(day.year, day.month, day.day, hour, 30, tzinfo=UTC)
        assert fold(statements, instant) in (whole, Why.WITHIN_DOUBT)


@given(st.lists(said, max_size=5), st.integers(0, 11))
def test_damage_beats_every_value(all_said: list[Said], on: int) -> None:
    state = state_of(known(all_said), FIRST + timedelta(days=on), KNOWN_AT, [(SUBJECT, HOLDER.name)])
    assert state.held[SUBJECT][HOLDER].why is Why.DAMAGED


@given(st.lists(said, max_size=5), said, st.integers(0, 11))
def test_a_withdrawn_statement_is_as_if_never_made(all_said: list[Said], more: Said, on: int) -> None:
    withdrawn = [*all_said, more._replace(withdrawn=True)]
    day = FIRST + timedelta(days=on)
    assert fold(known(withdrawn), day) == fold(known(all_said), day)


@pytest.mark.parametrize(
    ("on", "value"),
    [
        ("2026-03-01", Why.WITHIN_DOUBT),
        ("2026-03-01T09:59Z", "ann"),
        ("2026-03-01T10:00Z", "bob"),
        ("2026-03-02", "bob"),
    ],
)
def test_a_day_that_holds_a_turn_is_in_doubt(on: str, value: str) -> None:
    statements = [
        Known(Statement(SUBJECT, HOLDER.name, "ann", EARLIEST)),
        Known(Statement(SUBJECT, HOLDER.name, "bob", parse_when("2026-03-01T10:00Z"))),
    ]
    assert fold(statements, parse_when(on)) == value


@given(st.lists(said, max_size=6), st.lists(st.integers(0, 11), min_size=1, max_size=6))
def test_what_is_laid_out_once_answers_every_day_as_if_asked_alone(
    all_said: list[Said], days: list[int]
) -> None:
    together = AsKnown(known(all_said), KNOWN_AT)
    for day in days:
        on = FIRST + timedelta(days=day)
        assert together.on(on).held == state_of(known(all_said), on, KNOWN_AT).held
