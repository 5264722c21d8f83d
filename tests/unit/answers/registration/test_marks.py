"""Which marks are printed, and who is left out and why."""

from __future__ import annotations

import pytest

from airwrit.answers.registration.marks import MarkList, marks_for, marks_json, marks_of
from airwrit.answers.standing.standing import standing
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Problem, Statement
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, fleet, known_of


def marks_with(number: str = "FA00TEST01", issued_on: str = "2025-11-01", **more: Raw) -> MarkList:
    return marks_of(fleet(firm_aircraft("Alder 1", number, issued_on, **more)))


def test_a_registered_aircraft_gets_its_number() -> None:
    marks = marks_with()
    assert [(mark.subject, mark.number, mark.about) for mark in marks.wanted] == [
        ("aircraft/Alder 1", "FA00TEST01", "Korrin Sarvo 4")
    ]
    assert marks.left_out == ()
    assert marks.verdict is Verdict.MET


@pytest.mark.parametrize(
    ("more", "verdict", "says"),
    [
        ({"registration": None}, Verdict.UNKNOWN, "no registration number"),
        ({"registration": None, "is_registered": False}, Verdict.NOT_MET, "Not registered"),
        ({"number": "FA00-TEST"}, Verdict.NOT_MET, "isn't a"),
        ({"number": "XA00TEST01"}, Verdict.NOT_MET, "with FA"),
        ({"sold_on": "2026-11-01"}, Verdict.NOT_MET, "Sold on 2026-11-01"),
        ({"destroyed_on": "2026-11-01"}, Verdict.NOT_MET, "Destroyed on"),
        ({"issued_on": "2023-11-24"}, Verdict.NOT_MET, "expired 2026-11-24"),
    ],
)
def test_what_is_left_out(more: dict[str, Raw], verdict: Verdict, says: str) -> None:
    marks = marks_with(**more)  # type: ignore[arg-type]
    assert marks.wanted == ()
    assert [one.verdict for one in marks.left_out] == [verdict]
    assert says in marks.left_out[0].says
    assert marks.left_out[0].do
    assert marks.verdict is verdict


def test_a_damaged_number_is_never_printed() -> None:
    told = firm_aircraft("Alder 1", "FA00TEST01", "2025-11-01")
    problem = Problem("cell B2", "digits are lost", "type it again", (("aircraft/Alder 1", "registration"),))
    marks = marks_of(standing(known_of(told), DAY, KNOWN_AT, [problem]))
    assert marks.wanted == ()
    assert marks.left_out[0].says == "we can't read its registration number"
    assert marks.verdict is Verdict.UNKNOWN


def test_two_numbers_for_one_aircraft_are_not_chosen_from() -> None:
    told = firm_aircraft("Alder 1", "FA00TEST01", "2025-11-01")
    other = Known(Statement("aircraft/Alder 1", "registration", "FA00TEST02"))
    marks = marks_of(standing([*known_of(told), other], DAY, KNOWN_AT))
    assert marks.wanted == ()
    assert "two registration numbers" in marks.left_out[0].says


def test_an_aircraft_that_needs_none_is_no_failure() -> None:
    light: dict[str, dict[str, Raw]] = {
        "aircraft/Fescue": {"used_for": "recreation", "takeoff_weight_g": "200", "is_registered": False},
        **firm_aircraft("Alder 1", "FA00TEST01", "2025-11-01"),
    }
    marks = marks_of(fleet(light))
    assert [one.verdict for one in marks.left_out] == [Verdict.NOT_APPLICABLE]
    assert marks.verdict is Verdict.MET


def test_the_kind_of_the_certificate_decides_the_form() -> None:
    told = firm_aircraft("Hazel", "N99", "2025-11-01")
    told["registration/N99"]["registration_kind"] = "Part 47"
    marks = marks_of(fleet(told))
    assert [(mark.number, mark.part_47) for mark in marks.wanted] == [("N99", True)]
    told["registration/N99"]["registration_kind"] = "Part 48 per aircraft"
    assert "can't be a Part 48 number." in marks_of(fleet(told)).left_out[0].says


def test_numbers_by_hand() -> None:
    marks = marks_for(["fa00test01", "n99", "N0", "FA00TESTO1"])
    assert [(mark.number, mark.part_47) for mark in marks.wanted] == [
        ("FA00TEST01", False),
        ("N99", True),
        ("FA00TESTO1", False),
    ]
    assert "printed as FA00TEST01" in marks.wanted[0].remarks[0]
    assert "letter O or I" in marks.wanted[2].remarks[0]
    assert "1-9" in marks.left_out[0].says
    assert marks.verdict is Verdict.NOT_MET


def test_the_document() -> None:
    answer = fleet(firm_aircraft("Alder 1", "FA00TEST01", "2025-11-01"))
    document = marks_json(marks_of(answer), DAY, answer.report)
    assert document["verdict"] == "met"
    assert document["marks"][0]["number"] == "FA00TEST01"
    assert document["on"] == "2026-11-25"
