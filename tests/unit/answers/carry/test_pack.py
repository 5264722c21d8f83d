"""The carry pack: the pilot, the aircraft and the papers that concern them; gaps are told, private lines stay out."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.carry.law import asked_of_a_pilot, if_something_happens, pack_words
from airwrit.answers.carry.pack import MOST_AIRCRAFT, Pack, carry_json, carry_pack
from airwrit.answers.standing.standing import standing
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.facts.statement import Problem
from airwrit.house.rules import house_rules
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, fleet, known_of
from tests.unit.law.words import texts

PILOT: dict[str, Raw] = {
    "flies_for": "work",
    "has_certificate": True,
    "certificate_number": "0000001",
    "born_on": "1983-02-07",
    "role": "pilot",
}
TEST: dict[str, Raw] = {"event_of": "Ivo Brask", "event_kind": "initial test", "completed_on": "2026-01-10"}
Told = dict[str, dict[str, Raw]]
BARE: Told = {"person/Ivo Brask": {"role": "pilot"}, "aircraft/H-09": {"maker": "Korrin"}}


def program(**more: dict[str, Raw]) -> Told:
    """A pilot with one aircraft; `more` are papers by name."""
    papers = {f"paper/{name}": facts for name, facts in more.items()}
    fleet_told = firm_aircraft("H-03", "FA00TEST01", "2025-11-25") | firm_aircraft(
        "H-04", "FA00TEST02", "2020-11-25"
    )
    return {**fleet_told, "person/Ivo Brask": PILOT, "training/1": TEST, **papers}


def pack(told: Told | None = None, *only: str, pilot: str = "Ivo Brask", whom: str | None = None) -> Pack:
    """The pack of the pilot."""
    return carry_pack(fleet(program() if told is None else told), pilot, only, whom)


def values(pack_made: Pack, at: int = 0) -> dict[str, tuple[str, bool]]:
    """What the pack tells of an aircraft."""
    return {fact.label: (fact.value, fact.known) for fact in pack_made.aircraft[at].facts}


def test_an_aircraft_is_told_with_its_numbers_and_verdicts() -> None:
    made = pack()
    good, ended = made.aircraft
    assert (good.work, ended.work) == (Verdict.MET, Verdict.NOT_MET)
    told = values(made)
    assert told["registration number"] == ("FA00TEST01", True)
    assert told["kind"] == ("Part 48, single aircraft", True)
    assert told["issued on"] == ("2025-11-25", True)
    assert told["Remote ID serial number"] == ("ZZ9Z6TEST01", True)
    assert told["registration number is marked"] == ("outside", True)
    assert [ruling.verdict for ruling in ended.against][:1] == [Verdict.NOT_MET]
    assert made.verdict is Verdict.NOT_MET
    assert pack(None, "H-03").verdict is Verdict.MET


def test_what_is_not_on_file_is_told_and_not_left_out() -> None:
    told = values(pack(BARE))
    assert told.pop("maker") == ("Korrin", True)
    assert set(told.values()) == {("not on file", False)}
    assert {"registration number", "Remote ID serial number", "issued on", "owner"} <= set(told)


def test_a_contradicted_or_unreadable_fact_is_told_as_such() -> None:
    known = known_of(program()) + known_of({"aircraft/H-03": {"registration": "FA00TEST07"}})
    made = carry_pack(standing(known, DAY, KNOWN_AT), "Ivo Brask", ["H-03"])
    assert values(made)["registration number"] == ("two different values on file, look it up", False)


def test_the_certificate_number_is_in_it_and_the_birthday_is_not() -> None:
    text = str(carry_json(pack()))
    assert "0000001" in text
    assert "1983" not in text


@pytest.mark.parametrize(
    ("facts", "is_in"),
    [
        ({"covers_all": True}, True),
        ({"covers_aircraft": "H-03"}, True),
        ({"covers_aircraft": "H-04"}, False),
        ({"covers_person": "Ivo Brask"}, True),
        ({"covers_person": "Nela Quist"}, False),
        ({"covers_all": False}, True),
        ({"covers_all": False, "covers_aircraft": "H-04"}, False),
        ({}, True),
    ],
)
def test_a_paper_is_in_it_where_it_covers_someone_or_nobody_said(facts: dict[str, Raw], is_in: bool) -> None:
    made = pack(program(W={"paper_kind": "waiver", "ends_on": "2027-01-01", **facts}), "H-03")
    assert [paper.subject for paper in made.papers] == (["paper/W"] if is_in else [])


def test_a_paper_says_what_to_carry_and_whether_it_is_in_force() -> None:
    ended: dict[str, Raw] = {
        "paper_kind": "waiver",
        "ends_on": "2026-11-24",
        "covers_all": True,
        "carried": "a copy",
    }
    last: dict[str, Raw] = {**ended, "ends_on": "2026-11-25", "carried": None}
    made = pack(program(E=ended, L={key: value for key, value in last.items() if value is not None}))
    assert [(p.carried, p.ruling.verdict) for p in made.papers] == [
        ("a copy", Verdict.NOT_MET),
        (None, Verdict.MET),
    ]


def test_papers_for_counsel_are_counted_and_not_told() -> None:
    made = pack(
        program(C={"paper_kind": "other", "covers_all": True, "for_counsel": True, "paper_number": "77-X"})
    )
    assert (made.papers, made.withheld) == ((), 1)
    assert "77-X" not in str(carry_json(made))


def test_house_conditions_are_told_of_whom_they_bind() -> None:
    rules = house_rules(
        'document = "Manual"\n[[rule]]\nname = "makers"\nabout = "aircraft"\nkind = "one_of"\nkey = "maker"\n'
        'values = ["Talvane"]\nclause = "2"\n',
        "house.toml",
        set(),
    )
    made = carry_pack(standing(known_of(program()), DAY, KNOWN_AT, house=rules), "Ivo Brask", ["H-03"])
    assert [(about, ruling.verdict) for about, ruling in made.house] == [("H-03", Verdict.NOT_MET)]


def test_a_pilot_or_an_aircraft_that_is_not_there_is_refused() -> None:
    with pytest.raises(UsageError, match=r"No pilot is named 'Zed'. One of: Ivo Brask."):
        pack(pilot="Zed")
    with pytest.raises(UsageError, match=r"No aircraft is named 'H-3'."):
        pack(None, "H-3")


@pytest.mark.parametrize(("count", "fits"), [(MOST_AIRCRAFT, True), (MOST_AIRCRAFT + 1, False)])
def test_a_pack_holds_so_many_aircraft(count: int, fits: bool) -> None:
    told: Told = {"person/Ivo Brask": PILOT, **{f"aircraft/{n}": {"maker": "Korrin"} for n in range(count)}}
    if fits:
        assert len(pack(told).aircraft) == count
        return
    with pytest.raises(UsageError, match="--aircraft: A pack holds up"):
        pack(told)


def test_a_pilot_who_says_nothing_of_use_leaves_it_open() -> None:
    assert pack(BARE).verdict is Verdict.UNKNOWN


def test_people_and_the_battery_come_before_any_report() -> None:
    told = if_something_happens(date(2026, 11, 25), "Dara Venn, 555-0100")
    assert [one.title for one in told[:2]] == ["People first", "The damaged battery"]
    assert "911" in told[0].says
    assert "Tell the 911 dispatcher" in told[1].says
    practice = [one for one in told if not one.is_law]
    assert list(told[: len(practice)]) == practice
    assert practice[-1][:2] == ("Call", "Dara Venn, 555-0100")
    assert {one.dated for one in practice} == {"common practice"}


def test_the_deadlines_are_days_counted_from_the_flight() -> None:
    """Source: 14 CFR 107.9, "No later than 10 calendar days after an operation"."""
    told = {one.title: one for one in if_something_happens(date(2026, 11, 25))}
    assert "within 10 calendar days" in told["Report to the FAA"].says
    assert "2026-12-05" in told["Report to the FAA"].says
    assert told["Remote ID fails in flight"].says == "Land as soon as practicable."
    assert "$500" in told["When damage has to be reported"].says
    assert all(one.cites for one in told.values())


@pytest.mark.parametrize(
    ("day", "says"),
    [
        (date(2021, 4, 20), "Show it when the FAA asks."),
        (date(2021, 4, 21), "Carry the certificate itself, within reach."),
    ],
)
def test_what_is_asked_is_the_law_of_the_day(day: date, says: str) -> None:
    assert asked_of_a_pilot(day)[0].says.startswith(says)


def test_a_day_whose_law_was_not_read_says_so() -> None:
    told = {one.title: one for one in if_something_happens(date(2021, 4, 20))}
    first = told["Remote ID fails in flight"]
    assert (first.known, first.says, first.dated) == (False, "We haven't read the law for that day.", "")


def test_whom_to_call_is_what_the_owner_says_unless_told() -> None:
    told = program()
    told["owner/Tarn & Fell Land Services"] = {
        **told["owner/Tarn & Fell Land Services"],
        "whom_to_call": "Dara Venn, 555-0100",
    }
    assert pack().whom is None
    assert pack(told).whom == "Dara Venn, 555-0100"
    assert pack(told, whom="Nela Quist, 555-0101").whom == "Nela Quist, 555-0101"


def test_the_term_is_told_even_where_all_is_met() -> None:
    (term,) = pack(None, "H-03").aircraft[0].in_short
    assert (term.rule, term.verdict) == ("registration_in_term", Verdict.MET)
    assert "2028-11-25" in term.says


def stands(made: Pack, at: int | None = None) -> list[tuple[str, str]]:
    """How the pilot, or an aircraft, is said to stand."""
    one = made.pilot if at is None else made.aircraft[at]
    return [(status.when, status.says) for status in one.stands]


def test_what_was_found_is_said_in_short() -> None:
    made = pack()
    assert stands(made) == [("For work", "papers OK"), ("At night", "papers OK")]
    assert stands(made, 0) == [("For work", "papers OK")]
    assert stands(made, 1) == [("For work", "not OK (registration expired)")]


@pytest.mark.parametrize(
    ("aircraft", "says"),
    [
        (
            {"is_registered": False, "registration": None},
            "not OK (not registered",
        ),
        ({"mark_place": "not marked"}, "not OK (no registration number on the aircraft"),
        ({"mark_place": "inside, opened without a tool"}, "not OK (number not on the outside"),
        ({"remote_id_way": "none"}, "not OK (no Remote ID"),
        ({"owner": None}, "can't tell yet (not on file: owner"),
    ],
)
def test_each_finding_has_its_short_words(aircraft: dict[str, Raw], says: str) -> None:
    told = program()
    facts = {**told["aircraft/H-03"], **aircraft}
    told["aircraft/H-03"] = {name: value for name, value in facts.items() if value is not None}
    assert stands(pack(told, "H-03"), 0)[0][1].startswith(says)


@pytest.mark.parametrize(
    ("day", "says"),
    [("2024-11-01", "papers OK"), ("2024-10-31", "not OK (not current)")],
)
def test_a_pilot_who_is_not_current_is_said_to_be_so(day: str, says: str) -> None:
    """Source: 14 CFR 107.65, 24 calendar months: to the end of November 2026, of which the 25th is asked about."""
    told = program()
    told["training/1"] = {**TEST, "completed_on": day}
    assert stands(pack(told)) == [("For work", says), ("At night", says)]


def test_it_is_the_use_of_the_pilot_that_counts() -> None:
    told = program()
    told["aircraft/H-03"] = {**told["aircraft/H-03"], "used_for": "recreation"}
    told["registration/FA00TEST01"] = {
        **told["registration/FA00TEST01"],
        "registration_kind": "Part 48 recreational",
    }
    made = pack(told, "H-03")
    assert stands(made, 0)[0][1].startswith("not OK (registered for recreation only")
    assert made.verdict is Verdict.NOT_MET


def test_an_aircraft_too_light_to_be_registered_says_so() -> None:
    told: Told = {
        "person/Ivo Brask": {**PILOT, "flies_for": "recreation", "safety_test_on": "2026-01-10"},
        "aircraft/H-09": {"used_for": "recreation", "takeoff_weight_g": "200", "is_registered": False},
    }
    made = pack(told)
    assert stands(made, 0) == [("For recreation", "papers OK")]
    assert [ruling.rule for ruling in made.aircraft[0].free] == ["must_be_registered"]


def test_a_filing_owed_is_told_once_and_counts() -> None:
    told = program()
    told["registration/FA00TEST01"] = {
        **told["registration/FA00TEST01"],
        "details_changed_on": "2026-10-01",
    }
    made = pack(told, "H-03")
    assert [(one.subject, one.ruling.verdict) for one in made.records] == [
        ("registration/FA00TEST01", Verdict.NOT_MET)
    ]
    assert stands(made, 0) == [("For work", "papers OK")]
    assert made.verdict is Verdict.NOT_MET


def test_an_unread_row_leaves_it_open() -> None:
    problem = Problem("fleet.xlsx row 9", "not read", "", (), unread=True)
    made = carry_pack(standing(known_of(program()), DAY, KNOWN_AT, [problem]), "Ivo Brask", ["H-03"])
    assert (made.unread, made.verdict) == (1, Verdict.UNKNOWN)


def test_a_pack_without_aircraft_is_no_yes() -> None:
    told = {name: facts for name, facts in program().items() if not name.startswith("aircraft/")}
    assert pack(told).verdict is Verdict.UNKNOWN


def test_a_responsible_person_who_left_is_told_of_a_paper() -> None:
    waiver: dict[str, Raw] = {
        "paper_kind": "waiver",
        "ends_on": "2027-01-01",
        "covers_all": True,
        "paper_responsible": "Dara Venn",
    }
    told: Told = {**program(W=waiver), "person/Dara Venn": {"left_on": "2026-11-01"}}
    made = pack(told, "H-03")
    (paper,) = made.papers
    assert (paper.status, [one.rule for one in paper.also]) == ("in force", ["paper_responsible_present"])
    assert made.verdict is Verdict.NOT_MET


def test_every_short_word_belongs_to_a_sentence() -> None:
    known = {f"{rule}.{code}" for rule, codes in texts().items() for code in codes}
    assert set(pack_words()["short"]) - known == set()
