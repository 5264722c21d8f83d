"""What to have ready for each aircraft, and what to do in which order."""

from __future__ import annotations

from airwrit.answers.registration.filing import worksheets_json, worksheets_of
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.law.aircraft.duty import FILING_DATA
from tests.unit.answers.told import firm_aircraft, fleet

BLANK = ("physical address", "e-mail", "telephone")
"""What an application asks for that is never on file here."""


def test_nothing_to_do_has_no_page_unless_asked() -> None:
    answer = fleet(firm_aircraft("Alder 1", "FA00TEST01", "2025-11-15"))
    assert worksheets_of(answer).sheets == ()
    assert worksheets_of(answer).quiet == ("aircraft/Alder 1",)
    assert worksheets_of(answer).verdict is Verdict.MET
    assert len(worksheets_of(answer, every=True).sheets) == 1
    assert len(worksheets_of(answer, ["aircraft/Alder 1"]).sheets) == 1


def test_what_is_not_met_comes_before_what_is_unknown() -> None:
    told = firm_aircraft("Alder 1", "FA00TEST01", "2023-11-15", mark_place="not marked", remote_id_way=None)
    (sheet,) = worksheets_of(fleet(told)).sheets
    assert [step.verdict for step in sheet.steps] == sorted(
        (step.verdict for step in sheet.steps), key=[Verdict.NOT_MET, Verdict.UNKNOWN].index
    )
    assert sheet.steps[0].do.startswith("Register it again")
    assert any("on the outside" in step.do for step in sheet.steps)
    assert sheet.steps[-1].verdict is Verdict.UNKNOWN
    assert len({step.do for step in sheet.steps}) == len(sheet.steps)


def test_an_open_renewal_is_a_step() -> None:
    (sheet,) = worksheets_of(fleet(firm_aircraft("Alder 1", "FA00TEST01", "2024-01-15"))).sheets
    assert [(step.verdict, str(step.by)) for step in sheet.steps] == [(Verdict.MET, "2026-12-31")]


def test_what_the_record_holds_is_filled_in() -> None:
    told = firm_aircraft("Alder 1", "FA00TEST01", "2023-11-15")
    told["registration/FA00TEST01"]["representative"] = "Dara Venn"
    (sheet,) = worksheets_of(fleet(told)).sheets
    held = {asked.item.partition(",")[0]: asked.held for asked in sheet.asks}
    assert held["name of the owner"] == "Tarn & Fell Land Services"
    assert held["authorized representative"] == "Dara Venn"
    assert held["maker and model"] == "Korrin Sarvo 4"
    assert held["Remote ID serial of the aircraft or of its module"] == "ZZ9Z6TEST01"
    told["person/Dara Venn"] = {"left_on": "2026-11-01"}
    (sheet,) = worksheets_of(fleet(told)).sheets
    assert {asked.item.partition(",")[0]: asked.held for asked in sheet.asks}[
        "authorized representative"
    ] is None


def test_everything_ever_asked_for_is_filled_or_left_blank_on_purpose() -> None:
    told = firm_aircraft("Alder 1", "FA00TEST01", "2023-11-15")
    told["registration/FA00TEST01"]["representative"] = "Dara Venn"
    (sheet,) = worksheets_of(fleet(told)).sheets
    assert {asked.item for asked in sheet.asks if asked.held is None} == {
        item for item in FILING_DATA.spans[-1].value if item.startswith(BLANK)
    }


def test_part_47_and_light_aircraft_have_nothing_to_file_here() -> None:
    heavy = firm_aircraft("Gorse", "FA00TEST03", "2025-11-01", takeoff_weight_g="30000")
    toy: dict[str, Raw] = {"used_for": "recreation", "takeoff_weight_g": "200", "is_registered": False}
    sheets = worksheets_of(fleet({**heavy, "aircraft/Fescue": toy}), every=True).sheets
    assert [(sheet.certificate[:7], sheet.asks) for sheet in sheets] == [("Part 47", ()), ("No regi", ())]


def test_the_document() -> None:
    document = worksheets_json(worksheets_of(fleet(firm_aircraft("Alder 1", "FA00TEST01", "2023-11-15"))))
    assert document["verdict"] == "not_met"
    sheet = document["worksheets"][0]
    assert sheet["steps"][0]["verdict"] == "not_met"
    assert sheet["fee"] == {"usd": "5", "act": "register", "kind": "Part 48 per aircraft"}
