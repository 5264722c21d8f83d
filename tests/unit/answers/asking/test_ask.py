"""The way, the steps in their order, fee and dates, what would change it, and the verdict of the whole."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from airwrit.answers.asking.aircraft import AircraftAnswer
from airwrit.answers.asking.ask import AskAnswer, ask
from airwrit.answers.asking.json import ask_json
from airwrit.answers.asking.steps import decision_text, words
from airwrit.answers.standing.standing import contradictions
from airwrit.base.errors import UsageError
from airwrit.facts.key import Raw
from airwrit.law.holder.ways import RegistrationWay
from airwrit.law.parameters import tables
from tests.unit.answers.told_aircraft import COMPANY, DAY, NOW, PERSON, SMALL, dialogue, state

FUN: dict[str, Raw] = {**SMALL, "used_for": "recreation"}
WORK: dict[str, Raw] = {**SMALL, "used_for": "work"}


def one(
    aircraft: dict[str, Raw], owner: dict[str, Raw], on: date = DAY, **others: dict[str, Raw]
) -> AircraftAnswer:
    """The answer for the only aircraft."""
    return ask(state(aircraft, owner, on, **others)).aircraft[0]


@pytest.mark.parametrize(
    ("aircraft", "owner", "way"),
    [
        ({**FUN, "takeoff_weight_g": "240"}, PERSON, RegistrationWay.NONE),
        (FUN, PERSON, RegistrationWay.RECREATIONAL),
        (WORK, PERSON, RegistrationWay.PERSON),
        (FUN, COMPANY, RegistrationWay.ORGANIZATION),
        (WORK, {"owner_kind": "government"}, RegistrationWay.ORGANIZATION),
        ({**WORK, "flown_abroad": True}, PERSON, RegistrationWay.PART_47),
        ({**WORK, "takeoff_weight_g": "30000"}, PERSON, RegistrationWay.PART_47),
        ({**WORK, "foreign_registry": True}, PERSON, RegistrationWay.RECOGNITION),
        (WORK, {**PERSON, "citizenship": "neither"}, None),
    ],
)
def test_the_way(aircraft: dict[str, Raw], owner: dict[str, Raw], way: RegistrationWay | None) -> None:
    assert one(aircraft, owner).way is way


@pytest.mark.parametrize(
    ("aircraft", "owner", "title"),
    [
        (WORK, {**PERSON, "citizenship": "neither"}, "Not eligible for US registration"),
        (WORK, {}, "Can't tell yet"),
        (WORK, {"owner_kind": "trust"}, "Part 47 (N-number) (the only option left, but we can't be sure)"),
    ],
)
def test_titles(aircraft: dict[str, Raw], owner: dict[str, Raw], title: str) -> None:
    assert one(aircraft, owner).title == title


def test_a_trust_has_one_way_left_and_it_is_not_sure() -> None:
    answer = ask(state({**WORK, "is_registered": False}, {"owner_kind": "trust"}))
    decision = answer.aircraft[0].ways.decision
    assert (decision.way, decision.verdict) == (RegistrationWay.PART_47, "unknown")
    assert decision_text(decision) == "Part 47 (N-number) (the only option left, but we can't be sure)"
    assert {other.says for other in answer.aircraft[0].others} >= {
        "Held in trust. Part 48 doesn't cover that."
    }


@pytest.mark.parametrize(
    ("facts", "owner", "verdict"),
    [
        ({**FUN, "takeoff_weight_g": "240"}, PERSON, "met"),
        ({**WORK, "is_registered": False}, PERSON, "not_met"),
        (WORK, PERSON, "unknown"),
        (WORK, {**PERSON, "citizenship": "neither"}, "not_met"),
        ({**WORK, "only_indoors": True}, PERSON, "unknown"),
    ],
)
def test_the_verdict(facts: dict[str, Raw], owner: dict[str, Raw], verdict: str) -> None:
    assert ask(state(facts, owner)).verdict == verdict


def test_all_met_where_it_stands_registered_marked_and_broadcasting() -> None:
    aircraft: dict[str, Raw] = {
        **WORK,
        "is_registered": True,
        "registration": "1",
        "mark_place": "outside",
        "remote_id_way": "standard",
        "declaration_accepted": True,
        "remote_id_serial": "ZZ9Z5AAAAA",
        "listed_serial": "ZZ9Z5AAAAA",
    }
    registration: dict[str, Raw] = {
        "registration_kind": "Part 48 per aircraft",
        "issued_on": "2026-01-10",
        "registered_to": "O",
    }
    answer = ask(state(aircraft, COMPANY, registration=registration))
    assert (answer.verdict, answer.aircraft[0].registered_well, answer.aircraft[0].steps) == ("met", True, ())
    assert answer.aircraft[0].term.startswith("Registration expires 2029-01-10. Renew by")
    assert answer.aircraft[0].dates is None


def test_a_foreign_owner_is_not_held_to_the_tests_of_owners_here() -> None:
    foreign = {
        **WORK,
        "foreign_registry": True,
        "recognition_held": True,
        "notice_of_identification_filed": True,
    }
    answer = ask(state(foreign, {**PERSON, "citizenship": "neither"}))
    assert {finding.rule.about for finding in answer.aircraft[0].against} == {"aircraft"}
    assert (answer.verdict, answer.aircraft[0].cost) == ("unknown", None)


def test_steps_come_after_what_they_hang_on() -> None:
    for aircraft, owner in ((FUN, PERSON), (WORK, COMPANY), ({**WORK, "flown_abroad": True}, PERSON)):
        answer = one({**aircraft, "remote_id_way": "none"}, owner)
        assert [step.number for step in answer.steps] == list(range(1, len(answer.steps) + 1))
        assert all(before < step.number for step in answer.steps for before in step.after)
        assert all(step.cites for step in answer.steps)


def test_the_same_number_on_all_of_a_recreational_inventory() -> None:
    mark = next(step for step in one(FUN, PERSON).steps if "on the outside" in step.do)
    assert "gets the same number" in mark.do
    assert not any("same number" in step.do for step in one(WORK, PERSON).steps)


def test_fee_term_and_window() -> None:
    answer = one(WORK, PERSON)
    assert answer.cost is not None
    assert (answer.cost.usd, answer.cost.years, answer.cost.cites) == (Decimal(5), 3, "14 CFR 48.30")
    assert answer.dates == (DAY, date(2029, 11, 25), date(2029, 5, 1), date(2029, 10, 31))


@pytest.mark.parametrize(("on", "ends"), [("2023-01-22", "2026-01-31"), ("2023-01-23", "2030-01-31")])
def test_the_term_on_paper_is_that_of_the_day(on: str, ends: str) -> None:
    answer = one({**WORK, "flown_abroad": True}, PERSON, date.fromisoformat(on))
    assert answer.dates is not None
    assert answer.dates.ends == date.fromisoformat(ends)


def test_what_to_have_ready_is_that_of_the_day() -> None:
    now = {item.item for item in one(WORK, PERSON).ready}
    then = {item.item for item in one(WORK, PERSON, date(2021, 4, 20)).ready}
    assert then < now
    assert "telephone number" in now - then
    assert one({**WORK, "maker": "Quorrel", "model": "R2"}, PERSON).ready[5].held == "Quorrel R2"


def changes(aircraft: dict[str, Raw], owner: dict[str, Raw]) -> dict[str, str]:
    """What would change the answer, and to what."""
    return {change.what: decision_text(change.decision) for change in one(aircraft, owner).changes}


def test_what_would_change_it_is_judged_by_the_same_rules() -> None:
    found = changes({**FUN, "takeoff_weight_g": "246.4758035", "scale_error_g": "1"}, PERSON)
    assert found["2.0 to 4.0 g heavier (over 0.55 lb)"] == "recreational registration"
    assert found["one flight that isn't recreation, paid or not"] == "one aircraft, filed by the owner"
    found = changes(FUN, PERSON)
    assert found["650.5 to 650.6 g lighter (0.55 lb or less)"] == "no registration needed"
    assert found["sold to a trust"] == "Part 47 (N-number) (the only option left, but we can't be sure)"
    assert found["flown outside US airspace"] == "Part 47 (N-number)"
    assert found["owner no longer a US citizen or permanent resident"] == "no way to register it in the US"


def test_weight_told_in_parts_can_be_changed_too() -> None:
    told = dialogue("no", "no", "no", "yes", "230 g + 30 g ± 0 g", "none", "person", "citizen", "yes")
    found = {c.name: decision_text(c.decision) for c in ask(told.state()).aircraft[0].changes}
    assert found["less_weight"] == "no registration needed"


def test_what_was_taken_as_not_so_is_told() -> None:
    quiet = {used.key.name for used in one(WORK, PERSON).silent}
    assert quiet == {"foreign_registry", "flown_abroad", "holds_as", "owned_by_several"}


def test_an_organization_sees_whose_name() -> None:
    assert one(WORK, COMPANY).whose is not None
    assert one(WORK, PERSON).whose is None


def test_guidance_for_the_paper_way_tells_its_weak_readings() -> None:
    lines = one({**WORK, "flown_abroad": True}, PERSON).guidance
    assert len(lines) == 13
    assert any("stretched to 7 years" in line.says for line in lines)
    assert sum("the text isn't clear" in line.says for line in lines) == 2
    assert {line.confidence for line in lines} == {"low", "medium", "high"}
    assert any("8050-1" in line.says for line in lines)


def test_other_law_for_operating_is_told_apart() -> None:
    answer = one({**WORK, "operated_under": "Part 135 carriage for hire", "is_registered": False}, COMPANY)
    assert answer.way is RegistrationWay.ORGANIZATION
    assert "part_135" in {finding.outcome.code for finding in answer.against}


def test_a_school_is_told_what_education_counts_for() -> None:
    answer = one(WORK, COMPANY, flight={"educational": True})
    assert any("ducation" in line.says for line in answer.cautions)


def test_a_child_has_an_older_person_file() -> None:
    child: dict[str, Raw] = {**PERSON, "owner_born_on": "2015-01-01"}
    assert any("13 or older" in step.do for step in one(FUN, child).steps)
    alone = one(FUN, {**child, "filer_old_enough": False})
    assert (alone.way, alone.verdict) == (RegistrationWay.RECREATIONAL, "unknown")
    assert alone.title == "Part 48 recreational registration, if someone 13 or older files"
    assert any("13 or older" in step.do for step in alone.steps)


@pytest.mark.parametrize(
    ("aircraft", "way"),
    [
        (FUN, RegistrationWay.RECREATIONAL),
        (WORK, RegistrationWay.PERSON),
        ({**WORK, "flown_abroad": True}, None),
    ],
)
def test_an_adult_without_a_birthday_is_told_the_way(
    aircraft: dict[str, Raw], way: RegistrationWay | None
) -> None:
    """14 CFR 48.25(b): a younger owner's aircraft is registered the same way, by somebody of 13 or older."""
    adult: dict[str, Raw] = {"owner_kind": "person", "citizenship": "citizen"}
    answer = one(aircraft, adult)
    assert answer.verdict == "unknown"
    if way is None:
        assert answer.way is RegistrationWay.PART_47
        assert "can't be sure" in answer.title
        return
    assert answer.way is way
    assert answer.title == f"{way.words}, if someone 13 or older files"
    assert answer.steps
    assert answer.cost is not None
    assert answer.missing[0].name == "filer_old_enough"
    assert any("13 or older" in line.says for line in answer.cautions)
    assert one(aircraft, {**adult, "filer_old_enough": True}).verdict == "met"
    assert one(aircraft, {**adult, "owner_born_on": "1980-01-01"}).verdict == "met"


def test_a_lessee_is_sent_to_the_owner() -> None:
    answer = one(WORK, {**PERSON, "holds_as": "lessee"})
    assert answer.title == "The owner has to register it, not the person leasing it"
    assert answer.missing == ()


def test_every_word_has_its_section() -> None:
    table = words()
    for row in (*table["steps"], *table["gone"]["steps"], *table["carry"], *table["cautions"]):
        assert row.get("law") in tables() or row.get("cites"), row
    ways = {way.value for way in RegistrationWay}
    assert set(table["short"]) == ways
    assert {way for row in table["steps"] for way in row["ways"]} == ways


def test_no_day_before_the_first_one_read() -> None:
    with pytest.raises(UsageError):
        ask(state(WORK, PERSON, date(2015, 12, 31)))


def test_the_document_is_the_same_for_the_same_facts() -> None:
    told: dict[str, Any] = ask_json(ask(state(WORK, COMPANY)))
    assert told == ask_json(ask(state(WORK, COMPANY)))
    assert told["aircraft"][0]["way"] == "organization"
    assert told["question"] == "ask"


CONTRADICTIONS = [
    ({**WORK}, {**COMPANY, "owner_born_on": "2015-01-01"}, "a date of birth for the owner"),
    ({**WORK, "only_indoors": True, "flown_abroad": True}, PERSON, "only indoors"),
    ({**WORK, "is_registered": False, "registration": "1"}, PERSON, "isn't registered"),
    ({**WORK, "armed_forces": True}, PERSON, "belongs to the US armed forces"),
    ({**WORK, "weighed_on": "2026-11-26"}, PERSON, "is still to come"),
]


@pytest.mark.parametrize(("aircraft", "owner", "says"), CONTRADICTIONS)
def test_a_contradiction_gets_one_line_and_decides_nothing(
    aircraft: dict[str, Raw], owner: dict[str, Raw], says: str
) -> None:
    held, problems = contradictions(state(aircraft, owner), NOW.date())
    assert len(problems) == 1
    assert says in problems[0].what
    assert "\n" not in problems[0].what + problems[0].do
    answer: AskAnswer = ask(held, problems)
    assert answer.verdict in ("unknown", "not_met")


def test_a_flight_for_pay_contradicts_recreation_only() -> None:
    flight: dict[str, Raw] = {"flight_aircraft": "A", "paid": True}
    _, problems = contradictions(state(FUN, PERSON, flight=flight), NOW.date())
    assert [problem.spoils for problem in problems] == [(("aircraft/A", "used_for"), ("flight/1", "paid"))]
    assert contradictions(state(WORK, PERSON, flight=flight), NOW.date())[1] == ()


def test_good_facts_contradict_nothing() -> None:
    for aircraft, owner in ((FUN, PERSON), (WORK, COMPANY)):
        assert contradictions(state(aircraft, owner), NOW.date())[1] == ()
