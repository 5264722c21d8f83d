"""Only what matters is asked, in plain words, in an order that decides early; not knowing is never a yes."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.asking.dialogue import AIRCRAFT, Dialogue, next_question
from airwrit.answers.asking.questions import answered, words
from airwrit.base.errors import BadFact
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import USED_FOR
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS
from airwrit.law.holder.ways import RegistrationWay
from tests.unit.answers.told_aircraft import DAY, NOW, asked, dialogue

FUN = ("no", "no", "no", "yes")
WORK = ("yes",)


@pytest.mark.parametrize(
    ("replies", "names"),
    [
        ((), ["paid"]),
        (FUN[:1], ["paid", "helps_business"]),
        (FUN[:3], ["paid", "helps_business", "helps_organization", "only_this"]),
        (
            (*FUN, "900 g"),
            [*("paid", "helps_business", "helps_organization", "only_this"), "takeoff_weight_g", "any_of"],
        ),
        (("no", "no", "yes"), ["paid", "helps_business", "helps_organization", "educational"]),
        (
            ("no", "no", "yes", "yes"),
            ["paid", "helps_business", "helps_organization", "educational", "education_by"],
        ),
        (
            ("no", "no", "yes", "yes", "institution of higher education"),
            [
                *("paid", "helps_business", "helps_organization", "educational", "education_by"),
                "education_for",
            ],
        ),
        (
            ("no", "no", "yes", "yes", "institution of higher education", "education or research"),
            [
                *("paid", "helps_business", "helps_organization"),
                *("educational", "education_by", "education_for", "only_this"),
            ],
        ),
        (
            ("no", "no", "yes", "yes", "elementary or secondary school"),
            [
                *("paid", "helps_business", "helps_organization", "educational", "education_by"),
                "education_for",
            ],
        ),
        (
            ("no", "no", "yes", "yes", "elementary or secondary school", "marketing or publicity"),
            [
                *("paid", "helps_business", "helps_organization"),
                *("educational", "education_by", "education_for", "any_of"),
            ],
        ),
        (WORK, ["paid", "any_of"]),
        ((*WORK, "none"), ["paid", "any_of", "owner_kind"]),
        (
            (*WORK, "none", "person", "900 g"),
            ["paid", "any_of", "owner_kind", "takeoff_weight_g", "citizenship"],
        ),
        (
            (*WORK, "none", "partnership", "900 g"),
            ["paid", "any_of", "owner_kind", "takeoff_weight_g", "partners_all_citizens"],
        ),
        (
            (*WORK, "none", "government", "900 g"),
            ["paid", "any_of", "owner_kind", "takeoff_weight_g", "is_registered"],
        ),
        ((*WORK, "7"), ["paid", "any_of", "operated_under"]),
        ((*WORK, "5"), ["paid", "any_of", "holds_as"]),
        (
            (*WORK, "6", "person", "900 g"),
            ["paid", "any_of", "owner_kind", "takeoff_weight_g", "other_owners_eligible"],
        ),
        ((*WORK, "1"), ["paid", "any_of", "recognition_held"]),
        ((*WORK, "2"), ["paid", "any_of"]),
        ((*WORK, "4"), ["paid", "any_of"]),
        ((*WORK, "none", "trust"), ["paid", "any_of", "owner_kind", "is_registered"]),
    ],
)
def test_what_is_asked(replies: tuple[str, ...], names: list[str]) -> None:
    assert asked(*replies) == names


@pytest.mark.parametrize(
    ("replies", "way"),
    [
        ((*FUN, "240 g ± 1 g", "none"), RegistrationWay.NONE),
        ((*FUN, "200 g + 40 g ± 1 g", "none"), RegistrationWay.NONE),
        ((*FUN, "900 g", "none", "person", "citizen", "yes"), RegistrationWay.RECREATIONAL),
        ((*WORK, "none", "person", "240 g", "citizen", "yes"), RegistrationWay.PERSON),
        (("no", "no", "no", "no", "none", "person", "240 g", "citizen", "yes"), RegistrationWay.PERSON),
        ((*WORK, "none", "corporation", "900 g", "yes", "yes"), RegistrationWay.ORGANIZATION),
        ((*WORK, "3", "person", "citizen", "yes"), RegistrationWay.PART_47),
        ((*WORK, "1"), RegistrationWay.RECOGNITION),
        ((*WORK, "2"), RegistrationWay.NONE),
        (("?", "?", "?"), None),
    ],
)
def test_ways(replies: tuple[str, ...], way: RegistrationWay | None) -> None:
    assert dialogue(*replies).ways().decision.way is way


def test_a_scale_is_asked_about_only_near_a_limit() -> None:
    assert asked(*FUN, "249 g")[-1] == "scale_error_g"
    assert asked(*FUN, "249 g", "0.2 g")[-1] == "any_of"
    assert dialogue(*FUN, "249 g", "0.2 g").ways().decision.way is RegistrationWay.NONE
    assert dialogue(*FUN, "249 g", "1 g").ways().decision.way is None
    assert asked(*FUN, "249 g", "?")[-1] == "any_of"


def test_weight_is_one_question_for_parts_and_scale() -> None:
    told = dialogue(*FUN, "230 g + 9 g + 15 g ± 1 g")
    assert told.ways().decision.left[0] is RegistrationWay.RECREATIONAL
    assert {s.key for s in told.given[-1].statements} == {
        "base_weight_g",
        "scale_error_g",
        "part_of",
        "part_weight_g",
        "part_scale_error_g",
    }


def test_not_known_is_no_answer_to_lean_on() -> None:
    """Not knowing whether it is registered abroad keeps every way from being taken as open."""
    told = dialogue(*WORK, "?", "person", "900 g", "citizen", "yes")
    assert all(finding.verdict is not Verdict.MET for finding in told.ways().findings.values())


def test_not_known_purpose_leaves_what_covers_every_use() -> None:
    told = dialogue("no", "?", "no", "240 g ± 0 g", "none", "person", "citizen", "yes")
    decision = told.ways().decision
    assert (decision.way, decision.verdict, decision.sure) == (None, "unknown", RegistrationWay.PERSON)


def test_a_yes_elsewhere_decides_though_one_answer_is_not_known() -> None:
    told = dialogue("?", "yes")
    assert told.state().held[AIRCRAFT][USED_FOR].value is UsedFor.WORK


def test_back_takes_the_last_answer_back() -> None:
    told = dialogue("yes", "none", "person")
    assert told.back().given == told.given[:-1]
    assert next_question(told.back()) == next_question(dialogue("yes", "none"))
    assert Dialogue(DAY, NOW).back().given == ()


def test_what_was_told_before_is_not_asked() -> None:
    told = Dialogue(DAY, NOW, (Statement(AIRCRAFT, "used_for", "work"),))
    question = next_question(told)
    assert question is not None
    assert question.name == "any_of"


def test_days_to_come_and_other_slips_get_one_line() -> None:
    told = dialogue(*WORK, "none", "government", "900 g", "yes", "FA00TEST01")
    question = next_question(told)
    assert question is not None
    assert question.name == "expires_on"
    answered(question, "2027-01-31", DAY)
    issued = question._replace(settles=((question.settles[0][0], KEYS["issued_on"]),))
    with pytest.raises(BadFact, match="a date up to"):
        answered(issued, "2027-01-31", DAY)


def test_the_law_of_the_day_decides_what_is_asked() -> None:
    """Before 2021-04-21 low weight freed work too, so weight alone decides."""
    told = dialogue(*WORK, "200 g ± 0 g", "none", on=date(2021, 4, 20))
    assert told.ways().decision.way is RegistrationWay.NONE
    assert asked(*WORK, on=date(2021, 4, 21))[-1] == "any_of"


def test_every_question_says_why_by_which_section_and_how() -> None:
    paths = [
        (*FUN, "249 g", "0.2 g"),
        (*WORK, "none", "corporation", "900 g", "yes", "no", "80 %", "all", "yes", "yes"),
    ]
    for path in paths:
        for length in range(len(path) + 1):
            question = next_question(dialogue(*path[:length]))
            assert question is not None
            assert question.text.endswith("?")
            assert question.why
            assert question.cites
            assert question.hint


def test_words_of_questions_are_about_keys_there_are() -> None:
    assert set(words()) - set(KEYS) == {"kinds", "any_of", "only_this", "what_became", "kind_disagrees"}
