"""What acts cause, checked against the law's days: the last day of each duty, and the day after it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pytest

from airwrit.answers.acts.catalog import ActPlanned, act_named, deed_of
from airwrit.answers.acts.plan import all_known, double_text, effects_of
from airwrit.answers.sheets.difference import clashes
from airwrit.answers.standing.headline import Headline
from airwrit.base.verdict import Outcome, Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known
from airwrit.law.rule import judge
from airwrit.law.rulebook import BY_NAME
from tests.unit.answers.program import (
    EVENT,
    FIRM,
    KNOWN,
    ONE,
    SERIAL,
    TWO,
    after,
    caused,
    days,
    done,
    held,
    planned,
    then,
)
from tests.unit.answers.told import KNOWN_AT, known_of

FILING, ADDRESS = 14, 30  # 14 CFR 48.115, 107.77
H1, H2, R1, R2 = "aircraft/H-01", "aircraft/H-02", f"registration/{ONE}", f"registration/{TWO}"

STORIES: tuple[tuple[str, str, dict[str, str], str, set[str], int], ...] = (
    ("sell", "H-01", {}, "cancel_registration", {H1}, FILING),
    ("destroy", "H-01", {}, "cancel_registration", {H1}, FILING),
    ("export", "H-01", {}, "cancel_registration", {H1}, FILING),
    ("lose", "H-01", {}, "cancel_registration", {H1}, FILING),
    ("leave", "Bob", {}, "update_registration", {R1, R2}, FILING),
    ("change_representative", FIRM, {"to": "Ann"}, "update_registration", {R1, R2}, FILING),
    ("move_module", "H-01", {"to": "H-02"}, "update_registration", {R1, R2}, FILING),
    ("fit_module", "H-02", {"serial": "ZZ9Z6MADE02"}, "update_registration", {R2}, FILING),
    ("move_house", "Ann", {}, "address_told", {"person/Ann"}, ADDRESS),
    ("move_house", "Ann", {}, "update_registration", {"registration/FA00TEST09"}, FILING),
)


@pytest.mark.parametrize(("act", "subject", "told", "rule", "subjects", "count"), STORIES)
def test_a_duty_has_its_last_day_and_is_overdue_the_day_after(
    act: str, subject: str, told: dict[str, str], rule: str, subjects: set[str], count: int
) -> None:
    last = days(EVENT, count)
    deed = deed_of(act_named(act), subject, told, EVENT, KNOWN)
    for on in (EVENT, days(last, -1), last):
        mine = [one for one in caused(deed, on).appear if one.finding.rule.name == rule]
        assert {name for one in mine for name in one.subjects} == subjects
        assert {(one.day, one.overdue) for one in mine} == {(last, False)}
    if act == "lose":
        return  # the law does not name loss, so the day stays a reading and is never overdue
    late = [one for one in caused(deed, days(last, 1)).appear if one.finding.rule.name == rule]
    if rule == "address_told":
        assert {one.finding.outcome.verdict for one in late} == {Verdict.NOT_MET}
    assert {name for one in late for name in one.subjects} == subjects
    assert all(one.overdue for one in late)


DONE: tuple[tuple[ActPlanned, str, str, dict[str, str], str, str], ...] = (
    (done("sell", "H-01"), "cancel", ONE, {}, "cancel_registration", H1),
    (done("leave", "Bob"), "file_change", ONE, {}, "update_registration", R1),
    (done("move_module", "H-01", to="H-02"), "file_change", TWO, {}, "update_registration", R2),
    (done("move_house", "Ann"), "tell_address", "Ann", {}, "address_told", "person/Ann"),
)


@pytest.mark.parametrize(("cause", "act", "subject", "told", "rule", "about"), DONE)
def test_the_act_that_does_the_duty_takes_it_away(
    cause: ActPlanned, act: str, subject: str, told: dict[str, str], rule: str, about: str
) -> None:
    known = after(cause)
    on = days(EVENT, 3)
    cure = deed_of(act_named(act), subject, told, on, known)
    effects = caused(cure, on, known)
    assert (rule, about) in {(one.finding.rule.name, name) for one in effects.go for name in one.subjects}
    cured = after(cure, known=known)
    assert outcome(rule, about, on, cured).due_on is None
    assert verdict(rule, about, on, cured) is Verdict.MET
    assert outcome(rule, about, days(on, -1), cured).due_on is not None


def outcome(rule: str, subject: str, on: date, known: Sequence[Known]) -> Outcome:
    """What a rule says of a subject on a day."""
    return judge(BY_NAME[rule], state_of(known, on, KNOWN_AT), subject, UsedFor.WORK, on).outcome


def verdict(rule: str, subject: str, on: date, known: Sequence[Known]) -> Verdict:
    """Its verdict."""
    return outcome(rule, subject, on, known).verdict


def test_a_sale_grounds_the_aircraft_and_nobody_else() -> None:
    effects = caused(done("sell", "H-01"))
    (turn,) = effects.turns
    assert (turn.subject, turn.before, turn.after) == (H1, Headline.WORK, Headline.NOT_IN_FLEET)
    assert "2026-11-20" in turn.because
    assert {one.subject for one in effects.shifts} == {H1}
    assert {one.rule for one in effects.shifts} == {"must_be_registered", "cancel_registration"}
    assert [one.finding.rule.name for one in effects.go] == ["registration_in_term"]
    assert effects.usd[0] - effects.usd[1] == 5


def test_before_the_day_of_the_sale_nothing_differs() -> None:
    assert caused(done("sell", "H-01"), days(EVENT, -1)).is_empty


def test_a_loss_is_told_as_an_open_reading() -> None:
    (due,) = [one for one in caused(done("lose", "H-01")).appear if one.subjects == (H1,)]
    assert due.finding.outcome.code == "lost"
    (turn,) = caused(done("lose", "H-01")).turns
    assert turn.after is Headline.NOT_IN_FLEET


def test_a_moved_module_grounds_the_one_and_leaves_the_other_to_be_listed() -> None:
    effects = caused(done("move_module", "H-01", to="H-02"))
    assert {(turn.subject, turn.after) for turn in effects.turns} == {
        (H1, Headline.GROUNDED),
        (H2, Headline.GROUNDED),
    }
    assert (
        verdict("remote_id_way", H1, EVENT, after(done("move_module", "H-01", to="H-02"))) is Verdict.NOT_MET
    )
    moved = after(done("move_module", "H-01", to="H-02", filed="yes"))
    assert verdict("serial_on_right_certificate", H2, EVENT, moved) is Verdict.MET
    assert verdict("update_registration", R2, EVENT, moved) is Verdict.MET


def test_a_representative_who_leaves_takes_papers_and_login_along() -> None:
    effects = caused(done("leave", "Bob"))
    assert {one.rule for one in effects.shifts if one.after is Verdict.NOT_MET} == {
        "login_holder_present",
        "paper_responsible_present",
    }
    assert [(turn.subject, turn.after) for turn in effects.turns] == [("person/Bob", None)]
    book = then(held(done("leave", "Bob")), "change_representative", FIRM, to="Ann", login="yes", filed="yes")
    cured = effects_of(KNOWN, all_known(then(book, "hand_over", "W-1", to="Ann")), EVENT, KNOWN_AT)
    assert cured.appear == ()
    assert not [one for one in cured.shifts if one.after in (Verdict.NOT_MET, Verdict.UNKNOWN)]


def test_a_new_aircraft_owes_registration_mark_and_the_rest_before_it_flies() -> None:
    bought = done("buy", "H-03", owner=FIRM, used_for="work", takeoff_weight_g="900")
    effects = caused(bought)
    (turn,) = effects.turns
    assert (turn.before, turn.after) == (None, Headline.GROUNDED)
    assert effects.usd[1] - effects.usd[0] == 5
    serial = "ZZ9Z6MADE03"
    book = then(held(bought), "register", "H-03", number="FA00TEST03", kind="Part 48 per aircraft")
    book = then(book, "register", "H-03", number="FA00TEST03", registered_to=FIRM, listed_serial=serial)
    book = then(book, "fit_module", "H-03", serial=serial, declaration_accepted="yes", filed="yes")
    marked = then(book, "mark", "H-03", place="outside", text="FA00TEST03")
    (flies,) = effects_of(all_known(book), all_known(marked), EVENT, KNOWN_AT).turns
    assert (flies.subject, flies.after) == ("aircraft/H-03", Headline.WORK)
    inside = then(book, "mark", "H-03", place="inside, opened without a tool")
    assert verdict("marked_outside", "aircraft/H-03", EVENT, all_known(inside)) is Verdict.NOT_MET


def test_a_new_aircraft_does_not_stand_before_its_day() -> None:
    bought = done("buy", "H-03", owner=FIRM, used_for="work")
    assert caused(bought, days(EVENT, -1)).is_empty
    assert not caused(bought, EVENT).is_empty


def test_acts_of_one_day_that_do_not_follow_each_other_contradict() -> None:
    book = then(then(held(), "lend", "H-01", to="Ola"), "lease", "H-01", to="Pim")
    assert {one.key for one in clashes(book.alive((H1, "holder")))} == {"holder"}
    again = then(then(held(), "lend", "H-01", to="Ola"), "give_back", "H-01", holder="Ann")
    assert clashes(again.alive((H1, "holder"))) == []


def test_a_renewal_moves_the_day_it_is_due() -> None:
    facts = {**R48, "issued_on": "2023-12-10"}
    known = [*KNOWN, *known_of({"registration/FA00TEST05": facts, "aircraft/H-05": AIRCRAFT})]
    effects = caused(done("renew", "FA00TEST05", known=known), EVENT, known)
    (moved,) = effects.moved
    assert (moved.before.day, moved.after.day) == (date(2026, 11, 30), date(2029, 11, 30))


R48: dict[str, Raw] = {"registration_kind": "Part 48 per aircraft", "registered_to": FIRM}
AIRCRAFT: dict[str, Raw] = {
    "used_for": "work",
    "owner": FIRM,
    "is_registered": True,
    "registration": "FA00TEST05",
}


def test_training_moves_the_day_recency_ends() -> None:
    effects = caused(done("train", "Ann", kind="recurrent training"), days(EVENT, 1))
    (moved,) = effects.moved
    assert (moved.before.day, moved.after.day) == (date(2027, 12, 31), date(2028, 11, 30))


def test_one_module_on_two_aircraft_and_one_number_on_two_are_told() -> None:
    fitted = caused(done("fit_module", "H-02", serial=SERIAL))
    (double,) = fitted.doubles
    assert double_text(double) == f"{SERIAL} is the serial broadcast of H-01 and H-02 at once"
    (shared,) = planned(done("register", "H-02", number=ONE), held()).taking.contradictions
    assert (shared.subject, {name for name, _ in shared.said}) == (R1, {H1, H2})
    one_of_many = done("register", "H-02", number="FA00TEST09")
    assert (
        planned(done("register", "H-01", number="FA00TEST09"), held(one_of_many)).taking.contradictions == ()
    )


def test_a_confirmation_and_a_loan_change_no_verdict() -> None:
    for deed in (
        done("confirm", "Ann", what="props tight", good_until_on="2026-11-21"),
        done("lend", "H-01", to="Ola"),
        done("pass_safety_test", "Ann", proof="yes"),
    ):
        assert caused(deed).is_empty
