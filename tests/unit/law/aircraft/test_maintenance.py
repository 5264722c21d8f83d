"""Returns to service, service bulletins and the heights set in an aircraft, on both sides of each day."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from airwrit.law.wording import cites, silences
from tests.unit.law.case import TODAY, Case, Given, aircraft, case, check, given, judged, person

A = aircraft("A", airframe_serial="ZZ9Z105", model="Sarvo 4")
FOUND = "2026-11-20"
LATE = "2026-11-25"


def defect(name: str = "1", **facts: Raw) -> Given:
    """A defect of the aircraft."""
    usual: dict[str, Raw] = {"defect_of": "A", "defect": "cracked arm", "defect_found_on": FOUND}
    return given(f"defect/{name}", usual, facts)


def work(name: str = "1", **facts: Raw) -> Given:
    """Work done on the aircraft."""
    usual: dict[str, Raw] = {"maintenance_of": "A", "task": "propellers", "maintenance_done_on": FOUND}
    return given(f"maintenance/{name}", usual, facts)


def back(verdict: str, code: str, *given: Given, on: str = TODAY, why: str = "") -> Case:
    """Whether the aircraft was returned to service."""
    return case("returned_to_service", verdict, code, on, A, *given, why=why)


RETURNS = [
    back("not_applicable", "nothing_on_file"),
    case(
        "returned_to_service",
        "not_applicable",
        "not_asked",
        TODAY,
        A,
        defect(defect_grounds=True),
        moved=("condition_check", False),
    ),
    back("not_applicable", "nothing_on_file", defect(defect_grounds=True), on="2026-11-19"),
    back("not_met", "grounded", defect(defect_grounds=True), on="2026-11-20"),
    back("unknown", "defect_grounds", defect(), why="missing"),
    back("not_applicable", "flown_with", defect(defect_grounds=False)),
    back("unknown", "defect_found_on", defect(defect_found_on=None, defect_grounds=True), why="missing"),
    back("not_met", "grounded", defect(defect_grounds=True), defect("2", defect_found_on=None)),
    back("unknown", "defect_grounds", defect(defect_grounds=False), defect("2"), why="missing"),
    back("not_applicable", "flown_with", defect(defect_grounds=False), defect("2", returned_on="2026-11-21")),
    back("not_applicable", "returned", defect(defect_grounds=True, returned_on="2026-11-24")),
    back("not_met", "grounded", defect(defect_grounds=True, returned_on="2026-11-25")),
    back("unknown", "returned_before", defect(returned_on="2026-11-19"), why="conflict"),
    back("not_applicable", "returned", defect(returned_on=FOUND), on=FOUND),
    back(
        "unknown",
        "returned_that_day",
        defect(defect_grounds=True, returned_on="2026-11-24T09:00-05:00"),
        why="within_doubt",
    ),
    back(
        "not_applicable",
        "returned",
        defect(defect_grounds=True, returned_on="2026-11-24T09:00-05:00"),
        on="2026-11-24T14:00Z",
    ),
    back(
        "unknown",
        "returned_by_someone_gone",
        defect(returned_on="2026-11-22", returned_by="P"),
        person(left_on="2026-11-22"),
        why="conflict",
    ),
    back(
        "unknown",
        "returned_by_someone_gone",
        defect(returned_on="2026-11-22", returned_by="P"),
        person(has_left=True),
        why="conflict",
    ),
    back(
        "not_applicable",
        "returned",
        defect(returned_on="2026-11-22", returned_by="P"),
        person(left_on="2026-11-23"),
    ),
    back("not_applicable", "returned", defect(returned_on="2026-11-22", returned_by="The shop")),
    back(
        "not_applicable",
        "returned",
        defect(defect_grounds=True),
        work(fixes_defect="1", work_returned_on="2026-11-22"),
    ),
    back("not_met", "grounded", defect(defect_grounds=True), work(fixes_defect="1")),
    back("unknown", "work_returned_on", work(), why="missing"),
    back("unknown", "maintenance_done_on", work(maintenance_done_on=None), why="missing"),
    back("not_applicable", "nothing_on_file", work(), on="2026-11-19"),
    back("not_applicable", "returned", work(work_returned_on=FOUND)),
    back("not_met", "check_flight_failed", work(check_flight_passed=False, work_returned_on=FOUND)),
    back(
        "unknown",
        "check_flight_on",
        work(check_flight_needed=True, work_returned_on="2026-11-21"),
        why="missing",
    ),
    back(
        "unknown",
        "check_flight_on",
        work(check_flight_needed=True, check_flight_on="2026-11-25"),
        why="missing",
    ),
    back(
        "unknown",
        "check_flight_passed",
        work(check_flight_needed=True, check_flight_on="2026-11-21", work_returned_on="2026-11-21"),
        why="missing",
    ),
    back(
        "not_applicable",
        "returned",
        work(
            check_flight_needed=True,
            check_flight_on="2026-11-21",
            check_flight_passed=True,
            work_returned_on="2026-11-21",
        ),
    ),
    # A check flight on the day itself is flown; one of tomorrow is not.
    back(
        "unknown",
        "work_returned_on",
        work(check_flight_needed=True, check_flight_on=TODAY, check_flight_passed=True),
        why="missing",
    ),
    back("not_applicable", "returned", work(check_flight_needed=False, work_returned_on=FOUND)),
    back("unknown", "work_returned_on", work(maintenance_done_on=TODAY), why="missing"),
    # What is still to come says nothing of what is on record, and the other way round.
    back("not_applicable", "returned", work(work_returned_on=FOUND), defect(defect_found_on=LATE)),
    back("not_applicable", "nothing_on_file", work(maintenance_done_on=LATE), defect(defect_found_on=LATE)),
    # What stands in the way is told before what is open, and that before what is flown with, in whatever order it stands.
    back("not_met", "grounded", defect(), defect("2", defect_grounds=True)),
    back("not_met", "grounded", defect("2", defect_grounds=True), defect("3")),
    back("not_met", "grounded", defect(defect_grounds=False), defect("2", defect_grounds=True)),
    back("unknown", "defect_grounds", defect(), defect("2", defect_grounds=False), why="missing"),
    back("not_applicable", "flown_with", defect(returned_on=FOUND), defect("2", defect_grounds=False)),
    back("not_applicable", "flown_with", defect(defect_grounds=False), work(work_returned_on=FOUND)),
    back("not_met", "check_flight_failed", defect(), work(check_flight_passed=False)),
]


def bulletin(name: str = "SB-1", **facts: Raw) -> Given:
    """A service bulletin."""
    usual: dict[str, Raw] = {
        "bulletin_about": "aircraft",
        "bulletin_model": "Sarvo 4",
        "bulletin_serials": "all",
        "bulletin_says": "replace the arm screws",
        "bulletin_due_on": TODAY,
    }
    return given(f"bulletin/{name}", usual, facts)


def told(verdict: str, code: str, *given: Given, on: str = TODAY, why: str = "", of: Given = A) -> Case:
    """What service bulletins ask for the aircraft."""
    return case("bulletins_done", verdict, code, on, of, *given, why=why)


BULLETINS = [
    told("not_applicable", "model_not_known", bulletin(), of=aircraft("A", maker="Korrin")),
    told("not_applicable", "nothing_on_file"),
    told("not_applicable", "nothing_on_file", bulletin(bulletin_model="Sarvo 5")),
    told("met", "to_do", bulletin()),
    told("not_met", "overdue", bulletin(), on=LATE),
    told("unknown", "bulletin_due_on", bulletin(bulletin_due_on=None), why="missing"),
    told("unknown", "bulletin_serials", bulletin(bulletin_serials=None), why="missing"),
    told("unknown", "bulletin_about", bulletin(bulletin_about=None), why="missing"),
    told("not_applicable", "done", bulletin(bulletin_about="battery"), on=LATE),
    told("not_applicable", "done", bulletin(bulletin_issued_on=LATE)),
    told("met", "to_do", bulletin(bulletin_serials="ZZ9Z1, zz9z105")),
    told("not_applicable", "done", bulletin(bulletin_serials="ZZ9Z1, ZZ9Z1050"), on=LATE),
    told("met", "to_do", bulletin(bulletin_serials="ZZ9Z100 to ZZ9Z105")),
    told("not_applicable", "done", bulletin(bulletin_serials="ZZ9Z100 to ZZ9Z104"), on=LATE),
    told("not_applicable", "done", bulletin(bulletin_serials="ZZ8Z100 to ZZ8Z199"), on=LATE),
    told("unknown", "bulletin_serials", bulletin(bulletin_serials="ZZ9Z100 to ZY9Z199"), why="damaged"),
    told(
        "unknown",
        "airframe_serial",
        bulletin(bulletin_serials="ZZ9Z105"),
        why="missing",
        of=aircraft("A", model="Sarvo 4"),
    ),
    told("not_applicable", "done", bulletin(), work(does_bulletin="SB-1"), on=LATE),
    told("not_met", "overdue", bulletin(), work(does_bulletin="SB-2"), on=LATE),
    told(
        "not_met",
        "overdue",
        bulletin(),
        work(does_bulletin="SB-1", maintenance_done_on="2026-11-26"),
        on=LATE,
    ),
    told("not_met", "overdue", bulletin(), bulletin("SB-2", bulletin_due_on=None), on=LATE),
    told("met", "to_do", bulletin(), bulletin("SB-2", bulletin_due_on="2027-01-01")),
]


# Of the serial numbers a bulletin lists: one by one, or from the first to the last of a range, in whatever case and spacing.
A_SERIAL = "ZZ9Z105"
LISTS = [
    ("all", True),
    (" ALL ", True),
    ("ZZ9Z105", True),
    ("zz9z105", True),
    (" ZZ9Z105 ", True),
    ("ZZ9Z104", False),
    ("ZZ9Z1050", False),
    ("ZZ9Z", False),
    ("spare", False),
    ("ZZ9Z104,ZZ9Z105", True),
    ("ZZ9Z104, ,ZZ9Z105,", True),
    ("ZZ9Z104, ZZ9Z106", False),
    ("ZZ9Z105 to ZZ9Z110", True),
    ("ZZ9Z100 to ZZ9Z105", True),
    ("ZZ9Z105 TO ZZ9Z105", True),
    (" zz9z100  to  zz9z110 ", True),
    ("ZZ9Z106 to ZZ9Z110", False),
    ("ZZ9Z100 to ZZ9Z104", False),
    ("ZZ9Z99 to ZZ9Z1000", True),
    ("ZY9Z100 to ZY9Z110", False),
    ("ZZ9Z100 to ZZ9Z102, ZZ9Z104 to ZZ9Z106", True),
    # A range that cannot be read is a gap, never a no.
    ("ZZ9Z100 to ZY9Z110", None),
    ("ZZ9Z to ZZ9Z110", None),
    ("ZZ9Z100 to ZZ9Z", None),
    ("ZZ9Z100 to ZZ9Z104 to ZZ9Z110", None),
    ("ZZ9Z to ZZ9Z104 to ZZ9Z110", None),
    ("ZZ9Z100 to ZY9Z104 to ZZ9Z110", None),
]
NAMED = {
    True: ("not_met", "overdue", ""),
    False: ("not_applicable", "done", ""),
    None: ("unknown", "bulletin_serials", "damaged"),
}


def listed(serials: str, named: bool | None, serial: str = A_SERIAL) -> Case:
    """A bulletin of some serial numbers, overdue for the aircraft if it is one of them."""
    verdict, code, why = NAMED[named]
    of = aircraft("A", airframe_serial=serial, model="Sarvo 4")
    return told(verdict, code, bulletin(bulletin_serials=serials), on=LATE, why=why, of=of)


SERIALS = [
    *(listed(serials, named) for serials, named in LISTS),
    listed("ZZ9Z105", True, " zz9z105 "),
    listed("ZZ9Z100 to ZZ9Z110", True, " zz9z105 "),
    listed("ZZ9Z100 to ZZ9Z110", False, "ZZ9Z"),
    told("not_applicable", "done", bulletin(bulletin_serials="ZZ9Z104"), on=LATE),
    # Every aircraft of the model is named by "all", whatever its serial number.
    told("not_met", "overdue", bulletin(), on=LATE, of=aircraft("A", model="Sarvo 4")),
    # A bulletin counts from the day it was issued.
    told("met", "to_do", bulletin(bulletin_issued_on=TODAY)),
    told("not_applicable", "done", bulletin(bulletin_issued_on=LATE)),
    told("not_applicable", "done", bulletin(), work(does_bulletin="SB-1", maintenance_done_on=LATE), on=LATE),
    # Two to do: the one due first, in whatever order they stand; one done already is not asked for.
    case(
        "bulletins_done",
        "met",
        "to_do",
        TODAY,
        A,
        bulletin(bulletin_due_on="2027-01-01"),
        bulletin("SB-2", bulletin_says="new screws"),
        value="SB-2: new screws",
    ),
    case(
        "bulletins_done",
        "met",
        "to_do",
        TODAY,
        A,
        bulletin(),
        bulletin("SB-2", bulletin_due_on="2027-01-01"),
        value="SB-1: replace the arm screws",
    ),
    told("met", "to_do", bulletin(), bulletin("SB-2", bulletin_about="battery")),
    told("unknown", "bulletin_due_on", bulletin(), bulletin("SB-2", bulletin_due_on=None), why="missing"),
    told("unknown", "bulletin_due_on", bulletin(bulletin_due_on=None), bulletin("SB-2"), why="missing"),
    told("not_met", "overdue", bulletin(bulletin_due_on=None), bulletin("SB-2"), on=LATE),
]


def of_battery(verdict: str, code: str, *given: Given, on: str = TODAY, model: Raw = "Sarvo Cell") -> Case:
    """What service bulletins ask for a battery."""
    facts: dict[str, Raw] = {"battery_chemistry": "LiPo"}
    if model:
        facts["battery_model"] = model
    return case("battery_bulletins_done", verdict, code, on, Given("battery/B-1", facts), *given)


CELL = bulletin(bulletin_about="battery", bulletin_model="Sarvo Cell")
BATTERIES = [
    of_battery("not_applicable", "model_not_known", CELL, model=None),
    of_battery("not_applicable", "nothing_on_file", bulletin()),
    of_battery("met", "to_do", CELL),
    of_battery("not_met", "overdue", CELL, on=LATE),
    of_battery(
        "not_applicable",
        "done",
        CELL,
        Given(
            "maintenance/1",
            {"maintenance_battery": "B-1", "does_bulletin": "SB-1", "maintenance_done_on": FOUND},
        ),
        on=LATE,
    ),
]


def heights(verdict: str, code: str, **facts: Raw) -> Case:
    """The heights set in the aircraft."""
    return case("height_settings", verdict, code, TODAY, aircraft("A", **facts))


HEIGHTS = [
    heights("not_applicable", "not_on_file", maker="Korrin"),
    heights("not_applicable", "within", height_limit_set_ft="400", return_height_ft="400"),
    heights("not_applicable", "within", height_limit_set_ft="400"),
    heights("not_applicable", "within", return_height_ft="400"),
    heights("not_met", "limit_above", height_limit_set_ft="401"),
    heights("not_met", "limit_above", height_limit_set_ft="401", return_height_ft="500"),
    heights("not_met", "return_above", return_height_ft="401"),
    heights("not_met", "return_above_setting", height_limit_set_ft="200", return_height_ft="201"),
    heights("not_applicable", "within", height_limit_set_ft="200", return_height_ft="200"),
]
CASES = [*RETURNS, *BULLETINS, *SERIALS, *BATTERIES, *HEIGHTS]


@pytest.mark.parametrize("line", CASES, ids=[line.name for line in CASES])
def test_the_rule(line: Case) -> None:
    check(line)


@pytest.mark.parametrize(
    "line",
    [
        back("not_met", "grounded", defect(defect_grounds=True)),
        told("not_met", "overdue", bulletin(), on=LATE),
        told("unknown", "bulletin_due_on", bulletin(bulletin_due_on=None), why="missing"),
        heights("not_met", "limit_above", height_limit_set_ft="401"),
    ],
    ids=lambda line: line.name,
)
def test_what_is_against_the_aircraft_names_its_section(line: Case) -> None:
    """Condition for safe operation, 14 CFR 107.15; the height limit, 14 CFR 107.51(b)."""
    finding, _ = judged(line)
    (section,) = cites(finding)
    assert section.startswith("14 CFR 107.51(b)" if line.rule == "height_settings" else "14 CFR 107.15")


def test_a_model_nobody_named_is_a_silence() -> None:
    """No bulletin can be looked for, and none is asked for: what the answer rests on is told."""
    finding, state = judged(told("not_applicable", "model_not_known", of=aircraft("A", maker="Korrin")))
    assert [one.key.name for one in silences(finding, state)] == ["model"]
