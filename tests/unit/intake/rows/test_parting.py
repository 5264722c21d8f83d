"""Cells that say several things: taken apart where that is sure, asked about where it is not, never read as one thing.

Source: ways in which people write it, common practice, no source; all names and numbers are invented.
"""

from __future__ import annotations

import pytest

from airwrit.intake.sheets import Intake, read_given
from tests.unit.intake.meaning.test_general_reading import values_of

HEAD = "Drone,Model,FAA number,Reg dates,Weight,Remote ID serial\n"
ROWS = "".join(f"Wren {at},Korrin Two,FA00TEST0{at},,1.2 kg,ZZ9Z80000000{at}\n" for at in range(3))


def taken(text: str) -> Intake:
    return read_given([("fleet.csv", text.encode())])


def fleet(number: str = "", dates: str = "", weight: str = "") -> Intake:
    return taken(f'{HEAD}{ROWS}Heron,Korrin Two,"{number}","{dates}","{weight}",ZZ9Z800000009\n')


@pytest.mark.parametrize(
    ("cell", "until"),
    [
        ("FA00TEST09 exp 3/2027", "2027-03-31"),
        ("FA00TEST09 (expires 2027-03-05)", "2027-03-05"),
        ("FA00TEST09, good thru Mar 5 2027", "2027-03-05"),
    ],
)
def test_a_number_with_its_last_day(cell: str, until: str) -> None:
    intake = fleet(number=cell)
    assert values_of(intake, "registration")["aircraft/Heron"] == "FA00TEST09"
    assert values_of(intake, "expires_on") == {"registration/FA00TEST09": until}


@pytest.mark.parametrize(
    "cell", ["FA00TEST09 exp soon", "FA00TEST09 FA00TEST08", "FA00TEST09 exp 3/2027 exp 4/2028"]
)
def test_a_number_with_something_else_is_no_number(cell: str) -> None:
    intake = fleet(number=cell)
    assert "aircraft/Heron" not in values_of(intake, "registration")
    assert any(("aircraft/Heron", "registration") in problem.spoils for problem in intake.problems)


def test_two_days_with_their_words() -> None:
    rows = "".join(
        f'Wren {at},Korrin Two,FA00TEST0{at},"Registered 2/14/2{at}, exp 2/14/2{at + 3}",1.2 kg,ZZ9Z80000000{at}\n'
        for at in range(3, 6)
    )
    intake = taken(HEAD + rows)
    assert values_of(intake, "issued_on")["registration/FA00TEST04"] == "2024-02-14"
    assert values_of(intake, "expires_on")["registration/FA00TEST04"] == "2027-02-14"
    assert not [column.heading for column in intake.columns if column.why]


@pytest.mark.parametrize(
    ("cell", "grams"),
    [("1.2 lb / 0.5 kg", "544.310844"), ("2.6 lb (1180 g)", "1180"), ("0.5 kg/1.10 lb", "498.9516070")],
)
def test_one_weight_in_two_units(cell: str, grams: str) -> None:
    assert float(str(values_of(fleet(weight=cell), "takeoff_weight_g")["aircraft/Heron"])) == float(grams)


def test_two_weights_are_none() -> None:
    intake = fleet(weight="1.2 lb / 2 kg")
    assert "aircraft/Heron" not in values_of(intake, "takeoff_weight_g")
    assert any(("aircraft/Heron", "takeoff_weight_g") in problem.spoils for problem in intake.problems)


def test_what_stands_behind_the_name_of_an_aircraft_is_read() -> None:
    intake = taken(HEAD + ROWS + "Heron (crashed),Korrin Two,FA00TEST09,,1.2 kg,ZZ9Z800000009\n")
    assert values_of(intake, "service_status") == {"aircraft/Heron (crashed)": "out of service"}


PILOTS = "Pilot,107 cert no,Last recurrent\nKim Paulsen,0000001,2026-01-02\nRay Odom,0000002,2026-01-03\n"


def test_what_stands_behind_the_name_of_a_person_is_read() -> None:
    intake = taken(
        PILOTS + '"Dana Haskell (0000003, exp 5/2028)",,\nLee Ortiz (suspended),0000004,2026-01-02\n'
    )
    assert values_of(intake, "certificate_number")["person/Dana Haskell"] == "0000003"
    assert values_of(intake, "recurrent_due_on") == {"person/Dana Haskell": "2028-05-31"}
    assert values_of(intake, "person_not_understood") == {"person/Lee Ortiz": "suspended"}


@pytest.mark.parametrize(
    "cell", ["Dana Haskell/Lee Ortiz", "Haskell, Dana; Ortiz, Lee", "Dana Haskell & Lee Ortiz"]
)
def test_two_people_of_one_training(cell: str) -> None:
    intake = taken(PILOTS + f'"{cell}",,2026-02-03\n')
    people = {value for subject, value in values_of(intake, "event_of").items() if "/" in subject}
    assert len([name for name in people if "Haskell" in str(name) or "Ortiz" in str(name)]) == 2


@pytest.mark.parametrize("row", ['"Haskell, Dana; Ortiz, Lee",0000003,', "Dana and Lee Haskell,,2026-02-03"])
def test_several_people_of_one_number_or_name_are_asked_about(row: str) -> None:
    intake = taken(PILOTS + row + "\n")
    assert not any("Haskell" in known.statement.subject for known in intake.known)
    assert [
        problem for problem in intake.problems if problem.unread and "names several people" in problem.what
    ]


def test_a_title_with_brackets_is_no_aircraft() -> None:
    intake = taken(HEAD + ROWS + "NORTH CREW (Hollis),,,,,\n" + ROWS.replace("Wren", "Kite"))
    assert not any("NORTH" in known.statement.subject for known in intake.known)


def test_a_column_of_numbers_with_their_days_is_known_by_them() -> None:
    rows = "".join(f"Wren {at},Korrin Two,FA00TEST0{at} exp 3/202{at}\n" for at in range(6, 9))
    intake = taken("Drone,Model,FAA # & exp\n" + rows + "Heron,Korrin Two,FA00TEST01\n")
    assert values_of(intake, "registration")["aircraft/Heron"] == "FA00TEST01"
    assert values_of(intake, "expires_on")["registration/FA00TEST07"] == "2027-03-31"
    assert not [column.heading for column in intake.columns if column.why]


def test_a_role_that_says_somebody_left_is_asked_about() -> None:
    rows = "Kim Paulsen,0000001,2026-01-02,RP\nRay Odom,0000002,2026-01-03,RESIGNED OCT 26\n"
    text = "Pilot,107 cert no,Last recurrent,Duty\n" + rows
    assert values_of(taken(text), "person_not_understood") == {"person/Ray Odom": "Duty: RESIGNED OCT 26"}


@pytest.mark.parametrize("heading", ["kg loaded", "Loaded kilos", "Weight in kg as flown"])
def test_a_unit_anywhere_in_the_heading_is_the_columns(heading: str) -> None:
    rows = "".join(f"Wren {at},FA00TEST0{at},0.9{at}\n" for at in range(3))
    grams = values_of(taken(f"Drone,FAA number,{heading}\n{rows}"), "takeoff_weight_g")
    assert grams["aircraft/Wren 1"] == "910"
