"""What is concluded from how a sheet is made: repeated names, codes in headings, notes, totals, dates of a file.

Source: common practice, no source; the sheets are made up.
"""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.facts.keys.service import NOT_UNDERSTOOD, SERVICE_STATUS
from airwrit.intake.mapping import read_mapping, written
from airwrit.intake.meaning.status import codes_in, is_harmless, says_it_was_mended
from airwrit.intake.sheets import Answers, Intake, read_given

READ_ON = date(2026, 12, 1)
FLEET = "Drone,FAA number,Remote ID serial,{}\nFern 1,FA00TEST01,ZZ9Z3A01,{}\nFern 2,FA00TEST02,ZZ9Z3A02,{}\n"


def taken(*texts: str) -> Intake:
    """Texts as sheets, read on the day of the tests."""
    files = [(f"fleet{place or ''}.csv", text.encode()) for place, text in enumerate(texts)]
    return read_given(files, Answers(read_on=READ_ON))


def values_of(intake: Intake, key: str) -> dict[str, object]:
    """What is said of a fact, by subject."""
    return {
        item.statement.subject: item.statement.value for item in intake.known if item.statement.key == key
    }


def subjects(intake: Intake, kind: str) -> set[str]:
    """The names of all subjects of a kind."""
    found = {item.statement.subject for item in intake.known}
    return {one.partition("/")[2] for one in found if one.startswith(f"{kind}/")}


def meanings(intake: Intake) -> dict[str, str]:
    """What each column was read as."""
    return {column.heading: column.meaning for column in intake.columns}


# ---- who and what a row is about -------------------------------------------------------------------------------------


def test_aircraft_of_one_model_are_told_apart_by_their_numbers() -> None:
    rows = "\n".join(f"Maprel,FA00TEST0{number},2028-0{number}-01,yes" for number in range(1, 5))
    intake = taken(f"Drone,FAA #,Expires,Label outside\n{rows}\n")
    assert subjects(intake, "aircraft") == {f"FA00TEST0{number}" for number in range(1, 5)}
    assert meanings(intake)["Drone"] == "model"


def test_beside_a_pilot_too() -> None:
    intake = taken(
        "Agent,Drone,FAA #,Exp,107 test/refresher,Sticker\n"
        "Dana,Maprel,FA00TEST01,2/2/28,3/4/25,outside\n"
        "Milo,Maprel,FA00TEST02,2/2/28,8/14/26,outside\n"
        "spare,Maprel,FA00TEST03,2/2/28,,outside\n"
    )
    assert subjects(intake, "aircraft") == {"FA00TEST01", "FA00TEST02", "FA00TEST03"}
    assert subjects(intake, "training")
    assert "spare" not in subjects(intake, "person")


def test_a_crew_number_is_no_person() -> None:
    intake = taken(
        "Drone name,Model,Crew,FAA ID,FAA renewal\n"
        "Sunny,Maprel,Crew 1,FA00TEST01,2025-06-01\n"
        "Ray,Maprel,Crew 2,FA00TEST02,2025-06-01\n"
        "Dawn,Maprel,Thermal,FA00TEST03,2025-06-01\n"
    )
    assert subjects(intake, "person") == set()


def test_people_are_named_by_the_column_of_names() -> None:
    intake = taken(
        "Crew,RPIC,FAA cert,Recur. complete\n"
        "A,Dana Haskell,0000001,2025-11-02\n"
        "B,Ivo Brask,0000002,2024-12-18\n"
        "C,Ray Ostend,0000003,2024-11-25\n"
    )
    assert subjects(intake, "person") == {"Dana Haskell", "Ivo Brask", "Ray Ostend"}


def test_names_under_no_heading_name_the_rows() -> None:
    intake = taken(
        ",UAS-1,UAS-2,UAS-3\nModel,Maprel,Maprel,Motrel\nCounty asset tag,RB-1,RB-2,RB-3\n"
        "FAA registration,FA00TEST01,FA00TEST02,FA00TEST03\nReg. expiration,2027-02-10,2027-02-10,2028-01-31\n"
    )
    assert subjects(intake, "aircraft") == {"UAS-1", "UAS-2", "UAS-3"}


@pytest.mark.parametrize(
    "line",
    ["Serviceable,2,,", "Students w/ TRUST: 14,,,", "TOTAL,2,,"],
)
def test_what_sums_up_is_no_aircraft(line: str) -> None:
    intake = taken(FLEET.format("Status", "ready", "ready") + ",,,\n" + line + "\n")
    assert subjects(intake, "aircraft") == {"Fern 1", "Fern 2"}
    assert not [problem for problem in intake.problems if problem.unread]


# ---- codes and words ---------------------------------------------------------------------------------------------------


def test_codes_that_a_heading_explains() -> None:
    intake = taken(FLEET.format('"Remote ID (B=built in, M=module)"', "B", "M"))
    assert values_of(intake, "remote_id_way") == {"aircraft/Fern 1": "standard", "aircraft/Fern 2": "module"}


@pytest.mark.parametrize(
    ("line", "codes"),
    [
        ("S = serviceable   U/S = unserviceable", {"s": "serviceable", "u/s": "unserviceable"}),
        ("10-8 in service / 10-7 out of service", {"10-8": "in service", "10-7": "out of service"}),
        ("NMC = do not fly; x = no!", {"nmc": "do not fly", "x": "no"}),
        ("UAS-3 underground only / never above ground", {}),
        ("A crew in service", {}),
    ],
)
def test_codes_in_a_line(line: str, codes: dict[str, str]) -> None:
    assert codes_in([line]) == codes


def test_a_heading_that_lists_the_choices() -> None:
    intake = taken(FLEET.format("commercial reg or hobby", "commercial", "hobby"))
    assert meanings(intake)["commercial reg or hobby"] == "registration_kind"


@pytest.mark.parametrize(
    ("heading", "value", "not_read_as"),
    [("Log location", "share/one", "remarks"), ("Damage location", "left", "remarks")],
)
def test_a_last_word_that_turns_a_heading(heading: str, value: str, not_read_as: str) -> None:
    assert meanings(taken(FLEET.format(heading, value, value + " 2")))[heading] != not_read_as


def test_a_persons_column_is_never_a_model() -> None:
    intake = taken(
        "Employee,Remote Pilot Cert. No.,Last Recurrent,Supervisor\n"
        "Dana Haskell,0000011,2025-02-20,K. Osgood\nIvo Brask,0000012,2024-08-01,K. Osgood\n"
    )
    assert meanings(intake)["Supervisor"] == ""


def test_members_beside_aircraft_without_an_owner_are_asked_about() -> None:
    intake = taken(FLEET.format("Member", "Dana Haskell", "Ivo Brask"))
    assert [column.heading for column in intake.columns if column.why] == ["Member"]
    owned = FLEET.format("Member,Owner", "Dana Haskell,Fern County", "Ivo Brask,Fern County")
    assert not [column for column in taken(owned).columns if column.why]


def test_malformed_serials_under_a_plain_heading_are_read_one_by_one() -> None:
    rows = "\n".join(f"Fern {n},FA00TEST0{n},ZZ9ZX12{n}" for n in range(1, 5))
    intake = taken(f"Drone,FAA number,RID serial\n{rows}\n")
    assert not [column for column in intake.columns if column.why]
    assert len(values_of(intake, "remote_id_serial")) == 4
    assert not values_of(intake, NOT_UNDERSTOOD.name)


# ---- status and notes --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "status"),
    [("n/a", None), ("NO GO prop crack", "out of service"), ("do not fly till spring", "out of service")],
)
def test_a_status(text: str, status: str | None) -> None:
    intake = taken(FLEET.format("Go/NoGo", "GO", text))
    assert values_of(intake, SERVICE_STATUS.name).get("aircraft/Fern 2") == status


def test_a_spare_part_without_any_fact_is_no_aircraft() -> None:
    intake = taken(FLEET.format("Go/NoGo", "GO", "GO") + "Fern 3,FA00TEST03,,GO\nthermal cam spare,,,n/a\n")
    assert subjects(intake, "aircraft") == {"Fern 1", "Fern 2", "Fern 3"}


@pytest.mark.parametrize(
    "note",
    [
        "gimbal twitchy",
        "salt in motor 3",
        "motor 3",
        "in the pond",
        "never to be flown, fabric brittle",
        "NO RID",
        "no GPS",
        "to the sheriff 4/2026",
        "not cleared",
        "size-up over the street",
    ],
)
def test_a_note_that_nobody_understood_holds(note: str) -> None:
    intake = taken(FLEET.format("Notes", "", f'"{note}"'))
    assert set(values_of(intake, NOT_UNDERSTOOD.name)) == {"aircraft/Fern 2"}
    assert "aircraft/Fern 2" not in values_of(intake, SERVICE_STATUS.name)


@pytest.mark.parametrize(
    "note",
    [
        "good",
        "backup",
        "training bird",
        "bought with the 2025 gala money",
        "Sta 2",
        "camera used to fog, replaced",
        "null",
        "big one",
    ],
)
def test_a_note_that_changes_nothing_holds_nothing(note: str) -> None:
    assert is_harmless(note)
    assert not values_of(taken(FLEET.format("Notes", "", f'"{note}"')), NOT_UNDERSTOOD.name)


@pytest.mark.parametrize(
    ("note", "told"),
    [
        ("traded in for another", "'traded in for another' was read as: sold (D3)"),
        (
            "arm cracked - fixed and back in service 9/2",
            "'arm cracked - fixed and back in service 9/2' was read as: repaired, so it changes nothing (D3)",
        ),
    ],
)
def test_what_was_concluded_from_a_note_is_shown(note: str, told: str) -> None:
    intake = taken(FLEET.format("Notes", "", f'"{note}"'))
    assert told in [problem.what for problem in intake.problems]


def test_a_repair_told_by_a_note_is_no_return_to_service() -> None:
    note = "arm cracked - fixed 9/2"
    assert values_of(taken(FLEET.format("Notes", "", note)), NOT_UNDERSTOOD.name) == {"aircraft/Fern 2": note}
    told = taken(FLEET.format("Notes,Status", ",active", f"{note},active"))
    assert not values_of(told, NOT_UNDERSTOOD.name)
    assert any("repaired, so it changes nothing" in problem.what for problem in told.problems)


def test_a_row_of_columns_that_are_not_used_is_not_called_blank() -> None:
    people = (
        "Pilot,Cert No,Recurrent,Phone\nDana Haskell,0000001,,555-0100\nRory Vance,,,555-0101\nMika Toll,,,\n"
    )
    assert [problem.what for problem in taken(people).problems if problem.unread] == [
        "the row of 'Mika Toll' has nothing else in it",
        "the row of 'Rory Vance' holds nothing that we use",
    ]


def test_a_label_of_a_card_without_a_value_says_nothing_of_all() -> None:
    cards = "Call sign,Fern 1\nFAA registration,FA00TEST01\nExpires,2029-10-06\nNumber on outside,\nRID serial,ZZ9Z3A01\n"
    assert not values_of(taken(cards), "mark_place")


def test_what_explains_a_code_says_nothing_of_all() -> None:
    codes = "RID,S-A,standard; declaration accepted by FAA; serial on certificate\n,S-N,standard; serial NOT on certificate\n"
    intake = taken(FLEET.format("RID", "S-A", "S-N"), codes)
    assert not values_of(intake, "listed_serial")
    assert not values_of(intake, "declaration_accepted")


def test_a_card_of_two_pairs_a_row_above_a_log_is_read() -> None:
    card = (
        "Aircraft card,Fern 1,,\nMake,Maprel,Model,Two\nFAA registration,FA00TEST01,Expires,2028-08-14\n"
        "Remote ID,Standard,RID serial,ZZ9Z3A01\nStatus,Active,Takeoff weight (lb),4.4\n,,,\n"
        "Date,Hours,Site,Remarks\n2026-10-05,1.2,Block C,string 14 hot\n2026-11-09,2,Block A,two found\n"
    )
    assert set(values_of(taken(card), "registration").values()) == {"FA00TEST01"}


def test_a_table_below_one_on_its_side_is_read() -> None:
    sheet = (
        "Which,Fern 1,Fern 2\nFAA number,FA00TEST01,FA00TEST02\nRegistration good until,2028-03-09,2028-07-22\n"
        "Remote ID serial,ZZ9Z3A01,ZZ9Z3A02\nNumber on outside?,yes,yes\n,,\n,,\n"
        "Name,107 number,Last recurrent\nDana Haskell,0000001,2026-04-12\nRory Vance,0000002,2024-12-13\n"
    )
    intake = taken(sheet)
    assert subjects(intake, "aircraft") == {"Fern 1", "Fern 2"}
    assert subjects(intake, "person") == {"Dana Haskell", "Rory Vance"}


def test_a_table_above_one_with_the_same_headings_is_read() -> None:
    rows = "T1,Maprel 20,FA00TEST01,2028-04-03,33,54.5,ZZ9Z3A01,ready\nT2,Maprel 40,N31,2028-06-18,61,112,ZZ9Z3A02,ready\n"
    more = "S1,Maprel 3,FA00TEST04,2028-07-19,1.9,ZZ9Z3A04,ready\nS2,Maprel 3,FA00TEST05,2028-07-19,1.9,ZZ9Z3A05,ready\n"
    sheet = (
        f"TREATMENT\nUnit,Model,Reg.,Cert. dated,Wt empty lb,Wt loaded lb,RID serial,Status\n{rows}"
        f"\nSURVEY\nUnit,Model,Reg.,Expires,Wt lb,RID serial,Status\n{more}"
    )
    intake = taken(sheet)
    assert subjects(intake, "aircraft") == {"T1", "T2", "S1", "S2"}
    plans = read_mapping(written(intake.columns), "kept")
    again = read_given([("fleet.csv", sheet.encode())], Answers(plans, read_on=READ_ON))
    assert subjects(again, "aircraft") == {"T1", "T2", "S1", "S2"}


def test_numbers_of_tools_under_rid_are_no_drones() -> None:
    sheet = (
        "RID,What,Make,Serial,Expires,Status\nRX-01,rover,Maprel,P1,2027-03-31,in use\n"
        "TB-2,tablet,Maprel,P2,2027-06-30,spare\n"
    )
    assert not read_given([("kit.csv", sheet.encode())], Answers(read_on=READ_ON)).known


def test_a_word_with_a_denial_behind_it_is_kept_and_held() -> None:
    said = "standard, serial NOT on certificate"
    intake = taken(FLEET.format("Remote ID", "standard", f'"{said}"'))
    assert set(values_of(intake, NOT_UNDERSTOOD.name)) == {"aircraft/Fern 2"}
    assert set(values_of(intake, "remote_id_way").values()) == {"standard"}


def test_the_end_of_any_license_is_no_due_date_of_training() -> None:
    sheet = "Pilot,107 number,{}\nDana Haskell,0000001,6/22/2028\nRory Vance,0000002,3/14/2027\n"
    assert meanings(taken(sheet.format("Lic. expires")))["Lic. expires"] == ""
    assert meanings(taken(sheet.format("107 lic. expires")))["107 lic. expires"] == "recurrent_due_on"


def test_only_what_was_wrong_was_mended() -> None:
    assert says_it_was_mended("lost a prop at the field, replaced")
    assert not says_it_was_mended("replaced")
    assert not says_it_was_mended("gimbal twitchy")


PAST, TO_COME = ("3/14/2024", "6/22/2025"), ("3/14/2027", "6/22/2028")


@pytest.mark.parametrize(
    ("heading", "days", "means"),
    [
        ("Renewal", PAST, ""),
        ("Renewal", TO_COME, ""),
        ("Reg renewal", PAST, ""),
        ("Last renewal", PAST, "renewed_on"),
        ("Renewed", PAST, "renewed_on"),
        ("Renewed by", TO_COME, "expires_on"),
        ("Start", PAST, ""),
        ("Reg start", PAST, "issued_on"),
        ("End", TO_COME, ""),
        ("Reg end", TO_COME, "expires_on"),
        ("Crash date", PAST, ""),
        ("Returned", PAST, ""),
        ("Label needed", ("yes", "no"), ""),
        ("Label outside", ("yes", "no"), "mark_place"),
    ],
)
def test_a_heading_of_aircraft_that_may_say_what_is_due_is_asked_about(
    heading: str, days: tuple[str, str], means: str
) -> None:
    assert meanings(taken(FLEET.format(heading, *days)))[heading] == means


@pytest.mark.parametrize(
    ("heading", "days", "means"),
    [
        ("Recert", PAST, "event: recurrent test or training"),
        ("Recert by", PAST, "recurrent_due_on"),
        ("107 renewal", PAST, ""),
        ("Last 107 renewal", PAST, "event: recurrent test or training"),
        ("24 mo", PAST, ""),
        ("24 mo expires", TO_COME, "recurrent_due_on"),
        ("Start date", PAST, ""),
        ("Last training", PAST, ""),
        ("Training due", TO_COME, ""),
        ("Recurrent training due", TO_COME, "recurrent_due_on"),
        ("Lic. expires", TO_COME, ""),
        ("License exp", TO_COME, ""),
        ("107 cert expires", TO_COME, "recurrent_due_on"),
    ],
)
def test_a_heading_of_people_that_may_say_what_is_due_is_asked_about(
    heading: str, days: tuple[str, str], means: str
) -> None:
    sheet = f"Pilot,107 number,{heading}\nDana Haskell,0000001,{days[0]}\nRory Vance,0000002,{days[1]}\n"
    assert meanings(taken(sheet))[heading] == means


# ---- dates -------------------------------------------------------------------------------------------------------------


CARD = (
    ("Call sign", "SAR-6", "SAR-7"),
    ("FAA registration", "FA00TEST01", "FA00TEST02"),
    ("Expires", "2028-05-01", "2028-05-02"),
    ("Takeoff weight lb", "9.4", "9.5"),
    ("Remarks", "none", "none"),
)


@pytest.mark.parametrize("many", [1, 2])
@pytest.mark.parametrize("place", range(len(CARD) + 1))
@pytest.mark.parametrize(
    "label", ["Number on outside", "Registration marked on the outside (y/n)", "Label outside:"]
)
def test_a_label_with_nothing_beside_it_says_nothing(label: str, place: int, many: int) -> None:
    """A card of labels, of one aircraft or two, wherever among the labels the blank one stands."""
    lines = [",".join(line[: many + 1]) for line in CARD]
    sheet = "\n".join([*lines[:place], label + "," * many, *lines[place:]])
    known = [item.statement for item in taken(sheet + "\n").known]
    assert {one.key for one in known} >= {"registration", "takeoff_weight_g"}
    assert "mark_place" not in {one.key for one in known}


def test_a_label_with_an_answer_beside_it_is_read() -> None:
    sheet = "\n".join([",".join(line[:2]) for line in CARD] + ["Number on outside,Yes"])
    assert "outside" in [
        item.statement.value for item in taken(sheet + "\n").known if item.statement.key == "mark_place"
    ]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("All numbers are on the outside", True),
        ("Numbers on the outside:", False),
        ("Marked outside ____", False),
    ],
)
def test_a_blank_to_fill_in_below_a_table_says_nothing_of_all(line: str, says: bool) -> None:
    sheet = "Aircraft,FAA registration,Weight lb\nA1,FA00TEST01,2\nA2,FA00TEST02,2\n\n" + line + "\n"
    assert ("mark_place" in {item.statement.key for item in taken(sheet).known}) is says


def test_dates_are_read_as_the_rest_of_the_file_shows() -> None:
    people = "Pilot,107 number,Recurrent completed\nDana Haskell,0000001,6/12/2025\n"
    shown = (
        people
        + ",,\n,,\nDrone,FAA number,Expires\nFern 1,FA00TEST01,3/15/2028\nFern 2,FA00TEST02,3/16/2028\n"
    )
    intake = taken(shown)
    assert "2025-06-12" in values_of(intake, "completed_on").values()
    assert [problem for problem in intake.problems if "read month first, as other dates" in problem.what]
    open_ = taken(people)
    assert not values_of(open_, "completed_on")
    both = taken(shown + "Fern 3,FA00TEST03,16/3/2028\n")
    assert "2025-06-12" not in values_of(both, "completed_on").values()


def test_dates_of_either_order_in_years_to_come_are_no_record_of_what_was_done() -> None:
    intake = taken(FLEET.format("Renewed", "2/1/2028", "3/1/2028"))
    assert [column.heading for column in intake.columns if column.why] == ["Renewed"]
    assert set(values_of(intake, NOT_UNDERSTOOD.name)) == {"aircraft/Fern 1", "aircraft/Fern 2"}
