"""A change told to people: statuses from a day on, what to do by when and who, nothing about rules that begin to be asked."""

from __future__ import annotations

from datetime import date

from airwrit.answers.acts.changes import WhatChanges, change_json, change_of, side_by_side
from airwrit.answers.acts.plan import all_known, effects_of
from airwrit.answers.standing.headline import Headline
from airwrit.facts.key import Raw
from tests.unit.answers.program import (
    EVENT,
    FIRM,
    KNOWN,
    ONE,
    after,
    caused,
    days,
    done,
    held,
    then,
)
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, known_of

SERIAL_READ = {"remote_id": "standard", "serial": "ZZ9Z6NEW03", "listed": "yes"}


def told(change: WhatChanges) -> list[str]:
    """All that it says of statuses."""
    return [turn.says(change.on) for turn in change.turns]


def test_a_sale_is_told_with_what_to_do_by_when() -> None:
    change = change_of(caused(done("sell", "H-01"), EVENT))
    (turn,) = change.turns
    assert turn.becomes(change.on) == "not in the fleet from Nov 20, 2026 (was papers OK for work)"
    assert turn.why.endswith("Don't fly it. The new owner has to register it.")
    (fix,) = change.to_do
    assert (fix.do, fix.when) == ("Cancel the registration of H-01", "By Dec 4, 2026")
    assert change.over == ()
    assert change.over_lines == ("Other deadlines of H-01.",)
    assert change.notes == ("Fees for one term: $5 instead of $10.",)


def test_a_representative_who_leaves_is_told_with_whom_it_falls_to() -> None:
    change = change_of(caused(done("leave", "Bob")))
    assert told(change) == ["Bob: no longer checked from Nov 25, 2026."]
    assert {fix.do for fix in change.to_do} == {
        "File the changes to 2 registrations",
        f"Move the FAA login for {FIRM} to someone who is staying",
        "Name someone to be responsible for W-1",
    }
    assert {fix.by for fix in change.to_do} == {days(EVENT, 14), None}


def test_what_is_mended_is_told_as_no_longer_to_do() -> None:
    off = after(done("mark", "H-01", place="not marked"))
    change = change_of(caused(done("mark", "H-01", DAY, off, place="outside"), known=off))
    assert told(change) == ["H-01: papers OK for work from Nov 25, 2026 (was grounded)."]
    assert change.to_do == ()
    assert change.over_lines == ("Put the registration number on the outside of H-01.",)


def test_a_renewal_is_a_date_instead_of_another() -> None:
    facts = firm_aircraft("H-01", ONE, "2024-01-05")
    known = known_of(facts)
    change = change_of(caused(done("renew", ONE, DAY, known), known=known), ["aircraft/H-01"])
    assert [(turn.before, turn.after) for turn in change.turns] == [(Headline.WORK, Headline.WORK)]
    (due,) = change.due
    assert (due.expiry.day, due.was) == (date(2029, 12, 31), date(2026, 12, 31))


def test_of_who_it_is_about_it_is_told_that_nothing_changes() -> None:
    change = change_of(caused(done("tell_address", "Ann")), ["person/Ann"])
    assert told(change) == ["Ann: still papers OK for work."]


def test_a_sign_off_by_somebody_who_had_left_is_said_at_once() -> None:
    """Whatever else stands in the way of the aircraft, whoever enters it is told."""
    flight: dict[str, Raw] = {"flight_aircraft": "H-01", "flown_on": "2026-11-01", "defect_seen": "loose leg"}
    base: dict[str, dict[str, Raw]] = {
        "aircraft/H-01": {"maker": "Korrin"},
        "person/Ann": {"left_on": "2026-11-03"},
        "flight/1": flight,
    }
    signed: dict[str, Raw] = {**flight, "defect_released_on": "2026-11-04", "defect_released_by": "Ann"}
    effects = effects_of(known_of(base), known_of({**base, "flight/1": signed}), DAY, KNOWN_AT)
    assert change_of(effects).notes == (
        "H-01: The person who signed off this defect had already left: loose leg (2026-11-01).",
    )
    in_time: dict[str, Raw] = {**signed, "defect_released_on": "2026-11-02"}
    fine = effects_of(known_of(base), known_of({**base, "flight/1": in_time}), DAY, KNOWN_AT)
    assert change_of(fine).notes == ()


def test_many_alike_are_one_line() -> None:
    names = [f"M-{number:02}" for number in range(1, 10)]
    facts = {}
    for place, name in enumerate(names):
        facts.update(firm_aircraft(name, f"FA00TEST{place + 21}", "2025-05-01"))
    known = known_of(facts)
    sold = list(known)
    for name in names:
        sold = after(done("mark", name, DAY, sold, place="not marked"), known=sold)
    change = change_of(effects_of(known, sold, DAY, KNOWN_AT))
    assert [turn.whom for turn in change.turns] == ["M-01, M-02, M-03, M-04, M-05 and 4 more"]
    assert change.turns[0].becomes(DAY) == "grounded from Nov 25, 2026 (were papers OK for work)"
    assert [fix.do for fix in change.to_do] == ["Put the registration number on the outside of 9 aircraft"]


def test_a_new_aircraft_names_no_rule_that_begins_to_be_asked() -> None:
    book = then(held(), "buy", "H-03", owner=FIRM, used_for="work")
    change = change_of(effects_of(KNOWN, all_known(book), DAY, KNOWN_AT))
    (turn,) = change.turns
    assert (turn.before, turn.after) == (None, Headline.GROUNDED)
    assert "(new)" in turn.becomes(DAY)
    text = str(change_json(change))
    assert "not asked" not in text
    assert "must_be_registered" not in text


def test_two_columns_and_the_codes_of_the_document() -> None:
    effects = caused(done("sell", "H-01"))
    rows = side_by_side(effects)
    assert (rows[0].about, rows[0].without) == ("H-01", "Papers OK for work.")
    assert rows[0].with_it.startswith("Not in the fleet. Sold on")
    assert (rows[-1].about, rows[-1].without, rows[-1].with_it) == ("Fees for one term", "$10", "$5")
    assert [(row.without != "", row.with_it != "") for row in rows if row.about == "To do"] == [
        (True, False),
        (False, True),
    ]
    (status,) = change_json(change_of(effects))["status"]
    assert (status["before"], status["after"]) == ("may_fly_work", "not_in_fleet")
