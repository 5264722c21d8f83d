"""What ends a certificate, and which certificate an event is under."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from airwrit.base.verdict import Undecided
from airwrit.facts.choices import ApplicationPart, UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import LOST_ON, SOLD_ON
from airwrit.facts.looks import Used
from airwrit.facts.state import Facts
from airwrit.facts.statement import Known, Statement
from airwrit.law.aircraft.duty import (
    FILING_DATA,
    change_day,
    ended_as_known,
    ending_of,
    exempt_but_for_weight,
    lost_and_not_cancelled,
    old_number,
    under_certificate,
)
from airwrit.law.parameters import Law
from tests.unit.law.moving import moving

DAY = date(2026, 11, 24)
NOW = datetime(2026, 11, 24, 12, tzinfo=UTC)


def facts_of(subject: str, told: dict[str, dict[str, Raw]]) -> Facts:
    """The facts of a subject, work asked about."""
    known = [Known(Statement(one, key, value)) for one, mine in told.items() for key, value in mine.items()]
    return Facts(state_of(known, DAY, NOW), subject, UsedFor.WORK)


def aircraft(issued_on: str | None = None, **facts: Raw) -> Facts:
    """An aircraft that points at a certificate."""
    told: dict[str, dict[str, Raw]] = {"aircraft/A": {"registration": "FA00TEST01", **facts}}
    told["registration/FA00TEST01"] = {} if issued_on is None else {"issued_on": issued_on}
    return facts_of("aircraft/A", told)


@pytest.mark.parametrize("key", [SOLD_ON, LOST_ON])
@pytest.mark.parametrize(
    ("issued_on", "counts"), [("2026-03-04", True), ("2026-03-05", True), ("2026-03-06", False), (None, True)]
)
def test_an_event_before_the_certificate_was_issued_did_not_end_it(
    key: Key[date], issued_on: str | None, counts: bool
) -> None:
    day = under_certificate(aircraft(issued_on, **{key.name: "2026-03-05"}), key)
    assert day == (date(2026, 3, 5) if counts else None)


@pytest.mark.parametrize(
    ("number", "last", "counts"),
    [
        ("FA00TEST02", None, False),
        ("FA00TEST02", "2026-03-05", False),
        ("FA00TEST02", "2026-03-06", False),
        ("FA00TEST02", "2026-03-04", True),
        ("FA00TEST01", None, True),
        (None, None, True),
    ],
)
def test_a_sale_under_another_number_ends_the_one_it_was_under(
    number: str | None, last: str | None, counts: bool
) -> None:
    told = {"sold_on": "2026-03-05", "sold_under": number, "sold_under_on": last}
    facts = aircraft(**{key: value for key, value in told.items() if value is not None})
    assert under_certificate(facts, SOLD_ON) == (date(2026, 3, 5) if counts else None)


@pytest.mark.parametrize(
    ("told", "old"),
    [
        ({"sold_under": "FA00TEST02", "registration": "FA00TEST01"}, "FA00TEST02"),
        ({"sold_under": "FA00TEST02"}, "FA00TEST02"),
        ({"sold_under": "fa00test01", "registration": "FA00TEST01"}, None),
        ({"registration": "FA00TEST01"}, None),
        ({}, None),
    ],
)
def test_the_old_number_is_the_one_it_no_longer_points_at(told: dict[str, Raw], old: str | None) -> None:
    assert old_number(facts_of("aircraft/A", {"aircraft/A": told})) == old


@pytest.mark.parametrize(
    ("day", "told"),
    [("2026-11-23", date(2026, 11, 23)), ("2026-11-24", DAY), ("2026-11-25", None)],
)
def test_a_change_to_come_is_none_yet(day: str, told: date | None) -> None:
    assert change_day(facts_of("change/C", {"change/C": {"changed_on": day}})) == told


def test_a_change_without_its_day_leaves_it_open() -> None:
    with pytest.raises(Undecided):
        change_day(facts_of("change/C", {"change/C": {"change_of": "FA00TEST01"}}))


def test_every_part_of_an_application_is_one_that_the_code_knows() -> None:
    """Whoever words one of them anew in the law's data words it in `ApplicationPart` as well."""
    assert {part for span in FILING_DATA.spans for part in span.value} == set(ApplicationPart)


NUMBER = "FA00TEST01"


@pytest.mark.parametrize(
    ("craft", "paper", "holder", "ended"),
    [
        ({}, {}, {}, None),
        ({"sold_on": "2026-11-24"}, {}, {}, ("sold", DAY)),
        ({"sold_on": "2026-11-25"}, {}, {}, None),
        ({"destroyed_on": "2026-11-24"}, {}, {}, ("destroyed", DAY)),
        ({"exported_on": "2026-11-24"}, {}, {}, ("exported", DAY)),
        ({}, {"cancelled_on": "2026-11-24"}, {}, ("cancelled", DAY)),
        ({}, {"cancelled_on": "2026-11-25"}, {}, None),
        ({}, {"revoked_on": "2026-11-24"}, {}, ("revoked", DAY)),
        ({"sold_on": "2026-11-24"}, {"cancelled_on": "2026-11-23"}, {}, ("sold", DAY)),
        # 14 CFR 48.100(d): on the thirtieth day after the death of its holder it still is good.
        ({}, {"registered_to": "O"}, {"owner_died_on": "2026-10-25"}, None),
        ({}, {"registered_to": "O"}, {"owner_died_on": "2026-10-24"}, ("owner_died", date(2026, 11, 23))),
        ({}, {}, {"owner_died_on": "2026-10-24"}, None),
        ({}, {"registered_to": "O"}, {"citizenship_lost_on": "2026-11-24"}, ("citizenship_lost", DAY)),
        ({}, {"registered_to": "O"}, {"citizenship_lost_on": "2026-11-25"}, None),
    ],
)
def test_what_ends_a_registration(
    craft: dict[str, Raw], paper: dict[str, Raw], holder: dict[str, Raw], ended: tuple[str, date] | None
) -> None:
    told = {
        "aircraft/A": {"registration": NUMBER, **craft},
        f"registration/{NUMBER}": {"registration_kind": "Part 48 per aircraft", **paper},
        "owner/O": {"owner_kind": "person", **holder},
    }
    assert ending_of(facts_of("aircraft/A", told), Law(DAY)) == ended
    assert ended_as_known(facts_of("aircraft/A", told), Law(DAY)) == ended


def test_without_a_number_only_what_befell_the_aircraft_is_known() -> None:
    told: dict[str, dict[str, Raw]] = {"aircraft/A": {"is_registered": True}}
    with pytest.raises(Undecided):
        ending_of(facts_of("aircraft/A", told), Law(DAY))
    assert ended_as_known(facts_of("aircraft/A", told), Law(DAY)) is None
    told = {"aircraft/A": {"sold_on": "2026-11-24"}}
    assert ending_of(facts_of("aircraft/A", told), Law(DAY)) == ("sold", DAY)
    assert ended_as_known(facts_of("aircraft/A", told), Law(DAY)) == ("sold", DAY)


def test_what_is_passed_over_when_missing_is_looked_at_as_a_silence() -> None:
    """A registration that nobody named is no gap for who only asks what is known of it."""
    facts = aircraft()
    ended_as_known(facts, Law(DAY))
    under_certificate(facts, SOLD_ON)
    assert all(Used(*look).closed for look in facts.looks)
    facts = aircraft(sold_on="2026-11-24")
    under_certificate(facts, SOLD_ON)
    assert all(Used(*look).closed for look in facts.looks)


@pytest.mark.parametrize(("lost_on", "told"), [("2026-11-24", DAY), ("2026-11-25", None), (None, None)])
def test_a_loss_is_told_from_its_day_on(lost_on: str | None, told: date | None) -> None:
    """14 CFR 48.100(c) names no loss: whether one ends the registration stays open."""
    facts = facts_of("aircraft/A", {"aircraft/A": {} if lost_on is None else {"lost_on": lost_on}})
    assert lost_and_not_cancelled(facts, Law(DAY)) == told


@pytest.mark.parametrize(
    ("grams", "used_for", "use", "exempt"),
    [
        ("200", "recreation", UsedFor.RECREATION, True),
        ("200", "recreation", UsedFor.WORK, False),
        ("200", "work and recreation", UsedFor.RECREATION, False),
        # nobody said what it is flown for: over the limit no use is exempt, so that it need not be asked
        ("300", None, UsedFor.RECREATION, True),
        ("200", None, UsedFor.RECREATION, None),
        (None, None, UsedFor.RECREATION, None),
        ("300", None, UsedFor.WORK, False),
    ],
)
def test_whether_it_is_exempt_if_it_is_light_enough(
    grams: str | None, used_for: str | None, use: UsedFor, exempt: bool | None
) -> None:
    told = {"takeoff_weight_g": grams, "scale_error_g": "0", "used_for": used_for}
    known = [Known(Statement("aircraft/A", key, value)) for key, value in told.items() if value is not None]
    facts = Facts(state_of(known, DAY, NOW), "aircraft/A", use)
    if exempt is None:
        with pytest.raises(Undecided, match="missing: used_for"):
            exempt_but_for_weight(facts, Law(DAY))
    else:
        assert exempt_but_for_weight(facts, Law(DAY)) is exempt


def test_a_loss_ends_nothing_by_itself_unless_the_law_names_it() -> None:
    known = [Known(Statement("aircraft/A", "lost_on", "2026-11-20"))]
    facts = Facts(state_of(known, DAY, NOW), "aircraft/A")
    assert lost_and_not_cancelled(facts, Law(DAY)) == date(2026, 11, 20)
    with moving("loss_named_among_ending_events", True):
        assert lost_and_not_cancelled(facts, Law(DAY)) is None
