"""Sold, destroyed, exported, lost, bought used, in a pilot's name: canceling and who does it, not registering."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.asking.aircraft import AircraftAnswer
from airwrit.answers.asking.ask import ask
from airwrit.answers.asking.dialogue import next_question, so_far
from airwrit.answers.asking.gone import What
from airwrit.answers.asking.json import ask_json
from airwrit.facts.key import Raw
from airwrit.law.holder.ways import RegistrationWay
from tests.unit.answers.told_aircraft import COMPANY, PERSON, SMALL, asked, dialogue, state

EVENT = "2026-11-20"
AIRCRAFT: dict[str, Raw] = {**SMALL, "used_for": "work", "is_registered": True, "registration": "FA00TEST01"}
CERTIFICATE: dict[str, Raw] = {
    "registration_kind": "Part 48 per aircraft",
    "registered_to": "O",
    "issued_on": "2025-05-05",
}


def told(
    aircraft: dict[str, Raw],
    certificate: dict[str, Raw] | None = None,
    owner: dict[str, Raw] | None = None,
    on: str = "2026-11-25",
    **others: dict[str, Raw],
) -> AircraftAnswer:
    """The answer for the aircraft under its certificate."""
    made = state({**AIRCRAFT, **aircraft}, owner or PERSON, date.fromisoformat(on), **others)
    number = {**AIRCRAFT, **aircraft}.get("registration")
    if number is not None:
        paper = {name: value for name, value in {**CERTIFICATE, **(certificate or {})}.items() if value != ""}
        held = state({}, {}, date.fromisoformat(on), registration=paper).held
        made = type(made)(
            made.on, made.known_at, {**made.held, f"registration/{number}": held["registration/1"]}
        )
    return ask(made).aircraft[0]


def does(answer: AircraftAnswer) -> str:
    """The steps in one text."""
    return " / ".join(step.do for step in answer.steps)


@pytest.mark.parametrize("what", ["sold", "destroyed", "exported"])
def test_it_is_canceled_and_not_registered(what: str) -> None:
    """14 CFR 48.115(b)(2): cancellation "for any reason including sale or transfer, destruction, or export", in 14 days."""
    answer = told({f"{what}_on": EVENT})
    assert (answer.way, answer.title) == (None, "Cancel its registration")
    assert answer.gone is not None
    assert (answer.gone.what, answer.gone.day, answer.gone.outcome.due_on) == (
        what,
        date(2026, 11, 20),
        date(2026, 12, 4),
    )
    assert "2026-12-04" in answer.because
    assert "Cancel the registration in your FAA account within 14 days." in does(answer)
    assert answer.steps[0].cites == "14 CFR 48.115"
    assert (answer.cost, answer.dates, answer.ready, answer.others, answer.changes) == (
        None,
        None,
        (),
        (),
        (),
    )
    assert answer.verdict == "unknown"


@pytest.mark.parametrize(("on", "verdict"), [("2026-12-04", "unknown"), ("2026-12-05", "not_met")])
def test_the_fourteenth_day_and_the_day_after(on: str, verdict: str) -> None:
    answer = told({"destroyed_on": EVENT}, on=on)
    assert answer.verdict == verdict
    assert answer.title == "Cancel its registration"


def test_the_day_before_it_happened_it_is_registered_as_ever() -> None:
    assert told({"sold_on": EVENT}, on="2026-11-19").way is RegistrationWay.PERSON
    assert told({"sold_on": EVENT}, on=EVENT).way is None


def test_once_canceled_nothing_is_left_to_file() -> None:
    answer = told({"destroyed_on": EVENT}, {"cancelled_on": "2026-11-22"})
    assert answer.title == "Nothing left to file. The registration is canceled."
    assert "within 14 days" not in does(answer)
    assert answer.missing == ()


def test_what_was_never_registered_has_nothing_to_cancel() -> None:
    answer = told({"destroyed_on": EVENT, "is_registered": False, "registration": None})
    assert answer.title == "It doesn't need registration, and there is no registration to cancel"
    assert "cancel" not in does(answer)


def test_a_recreational_certificate_stays_for_the_others() -> None:
    answer = told({"sold_on": EVENT, "used_for": "recreation"}, {"registration_kind": "Part 48 recreational"})
    assert "remove the serial number and then the aircraft from your recreational registration" in does(
        answer
    )


def test_a_part_47_certificate_goes_back() -> None:
    """14 CFR 47.41(b): 21 days; 47.47: export by request."""
    paper: dict[str, Raw] = {"registration_kind": "Part 47"}
    back = told({"destroyed_on": EVENT, "registration": "N28"}, paper)
    assert back.title == "Send its certificate back to the FAA Registry"
    assert "within 21 days" in does(back)
    away = told({"exported_on": EVENT, "registration": "N28"}, paper)
    assert away.title == "Ask the FAA Registry to cancel it for export"
    assert away.steps[0].cites == "14 CFR 47.47"
    assert "in your FAA account" not in does(back) + does(away)


@pytest.mark.parametrize("what", ["sold", "destroyed", "exported"])
@pytest.mark.parametrize("kind", ["Part 47", None])
@pytest.mark.parametrize(("on", "verdict"), [("2026-06-22", "unknown"), ("2026-06-23", "not_met")])
def test_a_part_47_certificate_goes_back_by_the_twenty_first_day(
    what: str, kind: str | None, on: str, verdict: str
) -> None:
    """14 CFR 47.41(b): 21 days; 2026-06-01 and 21 days is 2026-06-22."""
    answer = told(
        {f"{what}_on": "2026-06-01", "registration": "N28"}, {"registration_kind": kind or ""}, on=on
    )
    assert answer.gone is not None
    assert (answer.gone.outcome.due_on, answer.verdict) == (date(2026, 6, 22), verdict)


def test_the_form_of_its_number_tells_the_part_where_no_kind_does() -> None:
    """14 CFR 47.15: an N-number; that Part 48 numbers begin with FA is common practice, no source."""
    paper = told({"destroyed_on": EVENT, "registration": "N28"}, {"registration_kind": ""})
    assert paper.title == "Send its certificate back to the FAA Registry"
    assert "within 21 days" in does(paper)
    assert "14 days" not in does(paper)
    assert [question.name for question in paper.missing] == ["cancelled_on"]
    web = told({"destroyed_on": EVENT}, {"registration_kind": ""})
    assert "within 14 days. If other aircraft use it" in does(web)
    assert "21 days" not in does(web)
    assert [question.name for question in web.missing] == ["registration_kind", "cancelled_on"]


@pytest.mark.parametrize("number", ["PENDING", "N0TEST", "TESTFA1"])
def test_a_number_of_neither_form_gets_both_parts(number: str) -> None:
    answer = told({"destroyed_on": EVENT, "registration": number}, {"registration_kind": ""})
    assert "14 days" in does(answer)
    assert "21 days" in does(answer)
    assert [question.name for question in answer.missing] == ["registration_kind", "cancelled_on"]


@pytest.mark.parametrize(
    ("number", "kind", "asks"),
    [
        ("N28", "Part 48 per aircraft", "N28 is an N-number, which means Part 47"),
        ("N28", "Part 48 recreational", "the record says Part 48 recreational"),
        ("FA00TEST01", "Part 47", "FA00TEST01 is a Part 48 number"),
    ],
)
def test_a_kind_that_the_form_contradicts_is_asked_about_and_neither_is_chosen(
    number: str, kind: str, asks: str
) -> None:
    answer = told({"destroyed_on": EVENT, "registration": number}, {"registration_kind": kind})
    assert (answer.title, answer.verdict) == ("Cancel its registration", "unknown")
    assert "If it's Part 48, cancel it in your FAA account within 14 days. If it's Part 47" in does(answer)
    assert asks in answer.missing[0].text
    assert answer.missing[0].text.endswith("Which one does the certificate say?")
    alive = told({"registration": number}, {"registration_kind": kind})
    assert [asks in question.text for question in alive.missing].count(True) == 1


@pytest.mark.parametrize(("number", "kind"), [("N28", "Part 47"), ("FA00TEST01", "Part 48 per aircraft")])
def test_a_kind_that_agrees_with_the_form_is_not_asked_about(number: str, kind: str) -> None:
    answer = told({"destroyed_on": EVENT, "registration": number}, {"registration_kind": kind})
    assert [question.name for question in answer.missing] == ["cancelled_on"]


def test_loss_stays_an_open_reading() -> None:
    answer = told({"lost_on": EVENT})
    assert answer.title == "Cancel it if you don't expect to find it"
    assert (
        "The rule doesn't mention lost aircraft. We advise canceling if you don't expect to find it."
        in answer.because
    )
    assert answer.gone is not None
    assert answer.gone.outcome.why == "open_reading"
    assert answer.verdict == "unknown"


def test_destroyed_after_it_was_lost_counts_as_destroyed() -> None:
    answer = told({"lost_on": EVENT, "destroyed_on": "2026-11-21"})
    assert answer.gone is not None
    assert answer.gone.what is What.DESTROYED


def test_bought_used_the_seller_cancels_and_the_old_number_comes_off() -> None:
    answer = told({"sold_on": EVENT, "mark_place": "outside"}, {"registered_to": "Seller"})
    assert answer.way is RegistrationWay.PERSON
    steps = does(answer)
    assert "Have the seller cancel the old registration" in steps
    assert "Take the old number off the aircraft" in steps
    filed = next(step for step in answer.steps if step.do.startswith("Register this aircraft"))
    seller = next(step for step in answer.steps if "seller" in step.do)
    assert seller.number in filed.after


def test_an_employers_aircraft_in_a_pilots_name_has_that_certificate_canceled() -> None:
    """14 CFR 48.25(b): only the owner registers."""
    dana: dict[str, Raw] = {"registered_to": "Dana"}
    made = told({}, dana, COMPANY, person={"role": "x"})
    assert "Have the person named on the certificate cancel the registration" in does(made)
    named = state({**AIRCRAFT}, COMPANY)
    held = {**named.held, "person/Dana": {}}
    certificate = state({}, {}, registration={**CERTIFICATE, **dana}).held["registration/1"]
    whole = type(named)(named.on, named.known_at, {**held, "registration/FA00TEST01": certificate})
    answer = ask(whole).aircraft[0]
    assert answer.way is RegistrationWay.ORGANIZATION
    assert "Have the pilot named on the registration cancel it" in does(answer)
    assert answer.steps[-1].cites


def test_a_pilots_recreational_certificate_keeps_the_pilots_own() -> None:
    named = state({**AIRCRAFT}, COMPANY)
    dana: dict[str, Raw] = {"registered_to": "Dana", "registration_kind": "Part 48 recreational"}
    certificate = state({}, {}, registration={**CERTIFICATE, **dana}).held["registration/1"]
    held = {**named.held, "registration/FA00TEST01": certificate, "person/Dana": {}}
    answer = ask(type(named)(named.on, named.known_at, held)).aircraft[0]
    assert "if none of the pilot's own aircraft use it" in does(answer)
    assert "Take it off the recreational registration" not in does(answer)


@pytest.mark.parametrize(
    ("weight", "says"),
    [
        ("24947.58035", "(under 55 lb)"),
        ("30000", "(under 55 lb)"),
        ("900", "(0.55 lb or less)"),
    ],
)
def test_a_limit_is_named_as_the_law_has_it(weight: str, says: str) -> None:
    """14 CFR 1.1: a small unmanned aircraft weighs less than 55 pounds; 48.15(b): 0.55 pounds or less."""
    answer = told(
        {"takeoff_weight_g": weight, "used_for": "recreation", "is_registered": False, "registration": None}
    )
    less = [change.what for change in answer.changes if change.name == "less_weight"]
    assert any(says in what for what in less), less
    assert not any("down to" in change.what for change in answer.changes)


@pytest.mark.parametrize(
    ("facts", "shut"),
    [
        ({}, {"representative": False, "part_47": False, "true_owner": False, "program_lead": False}),
        (
            {"flown_abroad": True},
            {"representative": True, "part_47": False, "true_owner": True, "program_lead": True},
        ),
        (
            {"takeoff_weight_g": "24947.58035"},
            {"representative": True, "part_47": False, "true_owner": True, "program_lead": True},
        ),
        (
            {"takeoff_weight_g": "24947.58034"},
            {"representative": False, "part_47": False, "true_owner": False, "program_lead": False},
        ),
    ],
)
def test_whose_name_obeys_the_ways_that_are_not_available(
    facts: dict[str, Raw], shut: dict[str, bool]
) -> None:
    citizens: dict[str, Raw] = {
        **COMPANY,
        "president_citizen": True,
        "citizen_officers_share": "1",
        "citizen_votes_share": "1",
        "citizens_control": True,
    }
    answer = told({**facts, "is_registered": False, "registration": None}, owner=citizens)
    assert answer.whose is not None
    assert {option.name: bool(option.shut) for option in answer.whose.options} == shut


# ---- the dialogue --------------------------------------------------------------------------------------------------


def test_what_became_of_it_is_asked_and_nothing_about_ways_after_it() -> None:
    names = asked("yes", "8", "2", EVENT, "yes", "FA00TEST01", "1")
    assert names == [
        *(
            "paid",
            "any_of",
            "what_became",
            "destroyed_on",
            "is_registered",
            "registration",
            "registration_kind",
        )
    ]
    answer = ask(dialogue("yes", "8", "2", EVENT, "yes", "FA00TEST01", "1").state()).aircraft[0]
    assert answer.title == "Cancel its registration"
    assert so_far(dialogue("yes", "8", "2", EVENT)).startswith("Destroyed. Cancel its registration")


def test_without_the_day_it_is_gone_all_the_same() -> None:
    answer = ask(dialogue("yes", "8", "lost", "?", "yes", "?").state())
    assert answer.aircraft[0].gone is not None
    assert answer.aircraft[0].gone.day is None
    assert ask_json(answer)["aircraft"][0]["gone"] == {"what": "lost", "on": None, "due_on": None}


def test_not_knowing_what_became_of_it_takes_nothing_for_granted() -> None:
    one = dialogue("yes", "8", "?")
    assert ask(one.state()).aircraft[0].gone is None
    assert ask(one.state()).verdict != "met"
    question = next_question(one)
    assert question is not None
    assert question.name not in ("sold_on", "destroyed_on", "exported_on", "lost_on")


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("1", "the true owner"),
        ("yes", "the true owner"),
        ("2", "the seller"),
        ("the seller", "the seller"),
        ("3", "a pilot"),
        ("a pilot's", "a pilot"),
        ("no", "somebody else"),
        ("4", "somebody else"),
    ],
)
def test_whose_name_is_on_the_certificate(said: str, named: str) -> None:
    before = ("yes", "none", "government", "900 g", "yes", "FA00TEST01", "2025-05-05", "1", said)
    one = dialogue(*_upto_named(before))
    assert one.state().held["registration/FA00TEST01"] is not None
    found = {key.name: held.value for key, held in one.state().held["registration/FA00TEST01"].items()}
    assert found["registered_to"] == named


def test_a_live_n_number_is_not_asked_about_its_kind_either() -> None:
    answer = told({"registration": "N28"}, {"registration_kind": ""})
    assert "registration_kind" not in [question.name for question in answer.missing]
    web = told({}, {"registration_kind": ""})
    assert "registration_kind" in [question.name for question in web.missing]


def test_an_n_number_leaves_the_kind_unasked_once_it_is_gone() -> None:
    assert asked("yes", "8", "2", EVENT, "yes", "N28")[-1] == "registration"
    assert asked("yes", "8", "2", EVENT, "yes", "FA00TEST01")[-1] == "registration_kind"
    assert asked("yes", "8", "2", EVENT, "yes", "PENDING")[-1] == "registration_kind"


def _upto_named(replies: tuple[str, ...]) -> tuple[str, ...]:
    """The answers up to the one whose name it is, in the order in which they are asked for."""
    names = asked(*replies[:-1])
    assert names[-1] == "registered_to", names
    return replies
