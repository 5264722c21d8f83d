"""The fold, told as cases: which of several statements holds on a day, and when it cannot be said."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from airwrit.base.days import EARLIEST, When, parse_when
from airwrit.base.errors import BadFact
from airwrit.base.verdict import Undecided, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import HOLDER, IS_REGISTERED, PART_OF, PART_WEIGHT, REGISTRATION, SOLD_UNDER
from airwrit.facts.keys.paper import COVERS_AIRCRAFT, COVERS_ALL
from airwrit.facts.keys.registration import EXPIRES_ON
from airwrit.facts.keys.service import NOT_UNDERSTOOD
from airwrit.facts.looks import Noted, watched_by
from airwrit.facts.state import Clash, Facts, Held, State, changed_keys
from airwrit.facts.statement import Known, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS

KNOWN_AT = datetime(2026, 11, 24, tzinfo=UTC)
EMPTY = date(2020, 1, 1)


def at(text: str) -> When:
    """A day or instant; "" is the earliest day."""
    return parse_when(text) if text else EARLIEST


def says(
    value: Raw,
    start: str = "",
    until: str = "",
    number: str = "",
    answers: tuple[str, ...] = (),
    known: datetime = KNOWN_AT,
) -> Known:
    """A statement of who holds the aircraft."""
    span = Statement("aircraft/A", HOLDER.name, value, at(start), at(until) if until else None)
    return Known(span, f"says {value}", known, number, answers)


def held(on: str, *known: Known, spoiled: tuple[tuple[str, str], ...] = ()) -> Any:
    """What holds on a day: the value, None when nothing, or why it cannot be said."""
    found = state_of(known, at(on), KNOWN_AT, spoiled).held.get("aircraft/A", {}).get(HOLDER)
    return None if found is None else found.why or found.value


OPEN = (says("ann", "2026-01-01"), says("bob", "2026-03-01"))
CLOSED = (says("ann", "2026-01-01", "2026-03-01"), says("bob", "2026-05-01", "2026-06-01"))
OVERLAP = (says("ann", "2026-01-01", "2026-04-01"), says("bob", "2026-03-01"))
INSTANT = (says("ann", "2026-01-01"), says("bob", "2026-03-01T12:00Z"))
ENDED = (says("ann", "2026-01-01"), says(None, "2026-03-01"))


@pytest.mark.parametrize(
    ("known", "on", "value"),
    [
        (OPEN, "2025-12-31", None),
        (OPEN, "2026-01-01", "ann"),
        (OPEN, "2026-02-28", "ann"),
        (OPEN, "2026-03-01", "bob"),
        (CLOSED, "2026-02-28", "ann"),
        (CLOSED, "2026-03-01", None),
        (CLOSED, "2026-05-31", "bob"),
        (CLOSED, "2026-06-01", None),
        (OVERLAP, "2026-02-28", "ann"),
        (OVERLAP, "2026-03-01", Why.CONFLICT),
        (OVERLAP, "2026-03-31", Why.CONFLICT),
        (OVERLAP, "2026-04-01", "bob"),
        (ENDED, "2026-02-28", "ann"),
        (ENDED, "2026-03-01", None),
        (INSTANT, "2026-02-28", "ann"),
        (INSTANT, "2026-03-01", Why.WITHIN_DOUBT),
        (INSTANT, "2026-03-01T11:59Z", "ann"),
        (INSTANT, "2026-03-01T12:00Z", "bob"),
        (INSTANT, "2026-03-02", "bob"),
        ((says("ann", "2026-01-01"), says("bob", "2026-01-01")), "2026-01-01", Why.CONFLICT),
        ((says("ann", "2026-01-01"), says("ann", "2026-01-01")), "2026-01-01", "ann"),
        ((says("ann", "2026-01-01", "2026-09-01"), says("ann", "2026-03-01")), "2026-04-01", "ann"),
        ((says("ann"), says(None)), "2026-01-01", Why.CONFLICT),
        ((says("ann"), says("bob", "2026-03-01", "2026-05-01")), "2026-06-01", None),
    ],
)
def test_which_statement_holds(known: tuple[Known, ...], on: str, value: Any) -> None:
    assert held(on, *known) == value
    assert held(on, *reversed(known)) == value


def test_who_is_spoken_of_by_a_withdrawal_alone_hides_nobody_after() -> None:
    alone = Known(Statement("aircraft/0", HOLDER.name, None))
    assert list(state_of([alone, says("ann")], EMPTY, KNOWN_AT).held) == ["aircraft/A"]


def sale(sold: str, numbers_from: str) -> Any:
    """The number that an aircraft is sold under, of which another is on file from a day on."""
    known = [
        Known(Statement("aircraft/A", "sold_on", sold)),
        Known(Statement("aircraft/A", "registration", "FA00TEST01", EARLIEST, at(numbers_from))),
        Known(Statement("aircraft/A", "registration", "FA00TEST02", at(numbers_from))),
    ]
    found = state_of(known, date(2020, 1, 1), KNOWN_AT).held["aircraft/A"].get(SOLD_UNDER)
    return None if found is None else found.value


def test_once_sold_the_number_of_the_day_before_is_the_one_it_was_sold_under() -> None:
    assert sale("2020-01-01", "2020-01-01") == "FA00TEST01"
    assert sale("2020-01-01", "2019-12-31") is None  # the number was another one before
    assert sale("2020-01-02", "2020-01-01") is None  # not sold yet


def test_a_sale_on_file_for_all_time_with_one_number_for_all_time() -> None:
    known = [
        Known(Statement("aircraft/A", "sold_on", "2019-06-01")),
        Known(Statement("aircraft/A", "registration", "FA00TEST01")),
    ]
    assert SOLD_UNDER not in state_of(known, EMPTY, KNOWN_AT).held["aircraft/A"]


def test_a_withdrawal_unhides_what_it_covered() -> None:
    first, second = says("ann", "2026-01-01"), says("bob", "2026-03-01", number="2")
    withdrawal = says(None, "2020-01-01", "2020-01-01", answers=("2",))
    assert held("2026-04-01", first, second) == "bob"
    assert held("2026-04-01", first, second, withdrawal) == "ann"


def test_a_correction_takes_the_place_of_what_it_answers() -> None:
    wrong, right = says("ann", "2026-01-01", number="1"), says("bob", "2026-01-01", answers=("1",))
    assert held("2026-04-01", wrong, right) == "bob"


def test_what_was_recorded_later_was_not_known_then() -> None:
    later = says("bob", "2026-01-01", known=KNOWN_AT + timedelta(seconds=1))
    assert held("2026-04-01", says("ann", "2026-01-01", number="1"), later) == "ann"
    correction = later._replace(answers=("1",))
    assert held("2026-04-01", says("ann", "2026-01-01", number="1"), correction) == "ann"


def test_damage_beats_every_value() -> None:
    spoiled = (("aircraft/A", HOLDER.name), ("aircraft/B", HOLDER.name))
    assert held("2026-04-01", says("ann"), spoiled=spoiled) is Why.DAMAGED
    assert state_of([], EMPTY, KNOWN_AT, spoiled).held["aircraft/B"][HOLDER].why is Why.DAMAGED


def test_true_is_not_one() -> None:
    known = [Known(Statement("aircraft/A", IS_REGISTERED.name, value)) for value in (True, 1)]
    for order in (known, known[::-1]):
        assert state_of(order, EMPTY, KNOWN_AT).held["aircraft/A"][IS_REGISTERED].why is Why.CONFLICT


def test_a_value_of_the_wrong_kind_is_a_bad_fact() -> None:
    with pytest.raises(BadFact):
        state_of([Known(Statement("aircraft/A", IS_REGISTERED.name, "yes"))], EMPTY, KNOWN_AT)


def test_an_amount_below_zero_on_record_counts_as_unreadable() -> None:
    known = [Known(Statement("registration/R", "fee_paid_usd", "-0.01"))]
    assert state_of(known, EMPTY, KNOWN_AT).held["registration/R"][KEYS["fee_paid_usd"]].why is Why.DAMAGED
    known = [Known(Statement("registration/R", "fee_paid_usd", "0"))]
    assert state_of(known, EMPTY, KNOWN_AT).held["registration/R"][KEYS["fee_paid_usd"]].value == 0


def test_where_a_value_came_from_is_kept() -> None:
    state = state_of([says("ann"), says("ann")._replace(origin="another sheet")], EMPTY, KNOWN_AT)
    assert state.held["aircraft/A"][HOLDER].origins == ("says ann", "another sheet")


def fleet() -> State:
    """Two aircraft under one registration, one of them with a part."""
    facts: tuple[tuple[str, str, Raw], ...] = (
        ("aircraft/A", "registration", "N"),
        ("aircraft/B", "registration", "N"),
        ("registration/N", "expires_on", "2027-02-10"),
        ("part/1", "part_of", "A"),
    )
    return state_of([Known(Statement(*fact)) for fact in facts], EMPTY, KNOWN_AT)


def test_facts_note_every_look() -> None:
    facts = Facts(fleet(), "aircraft/A")
    assert facts.linked(REGISTRATION)[EXPIRES_ON] == date(2027, 2, 10)
    assert facts.on_file(HOLDER) is None
    assert [other.subject for other in facts.sharing(REGISTRATION)] == ["aircraft/B"]
    assert [part.subject for part in facts.linking(PART_OF)] == ["part/1"]
    with pytest.raises(Undecided, match="missing: holder"):
        facts[HOLDER]
    assert [tuple(look) for look in facts.looks] == [
        ("aircraft/A", REGISTRATION, False),
        ("registration/N", EXPIRES_ON, False),
        ("aircraft/A", HOLDER, True),
        ("aircraft/A", REGISTRATION, False),
        ("aircraft/A", REGISTRATION, True),
        ("aircraft/A", PART_OF, True),
        ("aircraft/A", HOLDER, False),
    ]


def test_a_missing_link_is_a_gap() -> None:
    with pytest.raises(Undecided, match="missing: registration"):
        Facts(fleet(), "aircraft/C").linked(REGISTRATION)
    with pytest.raises(Undecided, match="missing: registration"):
        list(Facts(fleet(), "aircraft/C").sharing(REGISTRATION))


def test_damage_is_a_gap_even_where_silence_would_do() -> None:
    state = state_of([], EMPTY, KNOWN_AT, [("aircraft/A", HOLDER.name)])
    with pytest.raises(Undecided, match="damaged: holder"):
        Facts(state, "aircraft/A").on_file(HOLDER)


def test_reading_the_use_marks_the_question() -> None:
    facts = Facts(fleet(), "aircraft/A", UsedFor.RECREATION)
    assert not facts.asked_use
    assert facts.linked(REGISTRATION).use is UsedFor.RECREATION
    assert facts.asked_use


def test_subjects_of_a_kind_stand_in_order() -> None:
    assert fleet().subjects("aircraft") == ["aircraft/A", "aircraft/B"]
    assert fleet().subjects("owner") == []


def test_a_link_that_cannot_be_read_may_point_anywhere() -> None:
    known = [
        Known(Statement("part/1", "part_of", "A")),
        Known(Statement("part/2", "part_of", "B")),
        Known(Statement("part/2", "part_weight_g", "6")),
    ]
    state = state_of(known, EMPTY, KNOWN_AT, [("part/2", "part_of")])
    facts = Facts(state, "aircraft/A")
    sure, doubtful = facts.linking(PART_OF)
    assert (sure.subject, sure[PART_OF]) == ("part/1", "A")
    for look in (doubtful.__getitem__, doubtful.on_file):
        with pytest.raises(Undecided, match="damaged: part_of"):
            look(PART_WEIGHT)
    assert ("part/2", PART_OF, False) in facts.looks


def test_nor_does_a_day_alone_say_whether_a_part_was_on_it() -> None:
    fitted = Known(Statement("part/1", "part_of", "A", parse_when("2026-06-01T12:00Z")))
    seen = {}
    for on in ("2026-05-31", "2026-06-01", "2026-06-01T12:00Z"):
        parts = Facts(state_of([fitted], at(on), KNOWN_AT), "aircraft/A").linking(PART_OF)
        seen[on] = [part.subject for part in parts]
    assert seen == {"2026-05-31": [], "2026-06-01": ["part/1"], "2026-06-01T12:00Z": ["part/1"]}


def test_what_ended_an_open_statement_does_not_hang_on_the_order() -> None:
    known = (says("ann"), says("bob", "2026-01-04", "2026-01-01"), says("ann", "2026-01-04T00:00Z"))
    for order in (known, known[::-1]):
        assert held("2026-01-04T00:00Z", *order) == "ann"


def test_what_was_indexed_goes_on_but_for_keys_that_changed() -> None:
    """Whatever is held otherwise, new or gone, a state made out of another answers as one made afresh."""
    before = fleet()
    held_now = dict(before.held)
    assert before.holding(PART_OF, "A") == ["part/1"]
    assert before.holding(REGISTRATION, "N") == ["aircraft/A", "aircraft/B"]
    assert before.subjects("part") == ["part/1"]
    changes: tuple[tuple[dict[str, dict[Key[Any], Held]], tuple[str, ...]], ...] = (
        ({"part/1": {PART_OF: Held("B")}}, ()),
        ({"part/2": {PART_OF: Held("A")}}, ()),
        ({"part/1": {PART_WEIGHT: Held(Decimal(6))}}, ()),
        ({"part/1": {PART_OF: Held("A", Why.DAMAGED)}}, ()),
        ({}, ("part/1", "part/none")),
        ({"aircraft/B": {}}, ("part/1",)),
    )
    for facts, gone in changes:
        made = before.with_facts(facts, gone)
        afresh = State(EMPTY, KNOWN_AT, {k: v for k, v in {**held_now, **facts}.items() if k not in gone})
        assert list(made.held.items()) == list(afresh.held.items())
        for key in (PART_OF, REGISTRATION):
            for name in ("A", "B", "N"):
                assert made.holding(key, name) == afresh.holding(key, name)
            assert made.doubtful(key) == afresh.doubtful(key)
        assert made.subjects("part") == afresh.subjects("part")


def served(value: Raw, origin: str) -> Known:
    """A statement of a text about an aircraft that was not understood, of which there may be several."""
    return Known(Statement("aircraft/A", NOT_UNDERSTOOD.name, value), origin)


@pytest.mark.parametrize(
    ("known", "value", "why", "origins"),
    [
        # each value once, in the order in which it is first said, with the place where
        ((served("a", "p"), served("b", "q")), ("a", "b"), None, ("p", "q")),
        ((served("a", "p"), served("a", "q"), served("b", "r")), ("a", "b"), None, ("p", "r")),
        ((served(None, "p"), served("b", "q")), ("b",), None, ("q",)),
        ((served("a", "p"), served(Unreadable("##"), "q"), served("b", "r")), None, Why.DAMAGED, ("q",)),
    ],
)
def test_what_may_have_many_values_holds_them_side_by_side(
    known: tuple[Known, ...], value: tuple[str, ...] | None, why: Why | None, origins: tuple[str, ...]
) -> None:
    assert state_of(known, EMPTY, KNOWN_AT).held["aircraft/A"][NOT_UNDERSTOOD] == Held(value, why, origins)


@pytest.mark.parametrize(
    ("before", "after", "changed"),
    [
        (Held("ann"), Held("ann"), False),
        (Held("ann", None, ("one sheet",)), Held("ann", None, ("another",)), False),
        (Held(Decimal("1.0")), Held(Decimal("1.0")), False),
        (Held(Decimal("1.0")), Held(Decimal("1.00")), True),
        (Held(value=True), Held(1), True),
        (Held("ann"), Held("bob"), True),
        (Held("ann"), Held("ann", Why.CONFLICT), True),
        (Held(None, Why.DAMAGED), Held(None, Why.CONFLICT), True),
        (Held("ann"), None, True),
        (None, Held("ann"), True),
    ],
)
def test_a_fact_is_held_otherwise_where_its_value_or_what_is_wrong_with_it_is_another(
    before: Held | None, after: Held | None, *, changed: bool
) -> None:
    old, new = ({} if one is None else {HOLDER: one} for one in (before, after))
    assert list(changed_keys(old, new)) == ([HOLDER] if changed else [])
    assert list(changed_keys(old or None, new or None)) == ([HOLDER] if changed else [])


def test_with_facts_made_of_a_state_its_clashes_and_its_moment_go_on() -> None:
    later = KNOWN_AT + timedelta(days=1)
    clash = Clash("invented", (("aircraft/A", REGISTRATION),))
    before = State(EMPTY, KNOWN_AT, fleet().held, (clash,))
    assert before.with_facts({}).known_at == KNOWN_AT
    assert before.with_facts({}, known_at=later).known_at == later
    assert before.with_facts({}).clashes == (clash,)


def test_who_says_yes_for_all_is_watched_where_a_rule_asks_for_it_and_only_there() -> None:
    facts: tuple[tuple[str, str, Raw], ...] = (
        ("paper/A", "covers_aircraft", "A"),
        ("paper/B", "covers_aircraft", "B"),
        ("paper/All", "covers_all", True),
        ("paper/None", "covers_all", False),
    )
    state = state_of([Known(Statement(*fact)) for fact in facts], EMPTY, KNOWN_AT)
    alone, with_all = Facts(state, "aircraft/A"), Facts(state, "aircraft/A")
    assert [one.subject for one in alone.linking(COVERS_AIRCRAFT)] == ["paper/A"]
    assert [one.subject for one in with_all.linking(COVERS_AIRCRAFT, for_all=COVERS_ALL)] == [
        "paper/A",
        "paper/All",
    ]
    watched = [{key for _, key in watched_by(one.looks.looks)} for one in (alone, with_all)]
    assert watched == [{COVERS_AIRCRAFT}, {COVERS_AIRCRAFT, COVERS_ALL}]


def test_reading_the_moment_marks_the_question() -> None:
    noted = Noted("aircraft/A")
    facts = Facts(fleet(), "aircraft/A", noted=noted)
    assert not noted.asked_when
    assert facts.linked(REGISTRATION).on == EMPTY
    assert noted.asked_when
