"""Rows that are no data are set aside and told; rows that clash are kept and told."""

import pytest

from tests.unit.intake.books import Rows, problem_with, sheet_of, spoiled, taken, told

HEAD = ["Aircraft", "Maker", "Model", "Owner"]
GOOD = ["H-01", "Korrin Works", "One", "Test Co"]


@pytest.mark.parametrize(
    ("row", "says", "unread"),
    [
        (["Total", 3, "", ""], "looks like a total", False),
        (["Grand total:", "", "", 5], "looks like a total", False),
        (["Count 12", "", "", ""], "looks like a total", False),
        (["Inspection team", "", "", ""], "looks like a title", False),
        (["", "", "see log", ""], "looks like a title", False),
        (["H-02", "", "", ""], "has nothing else in it", True),
        (HEAD, "headings are repeated", False),
        (["", "Korrin Works", "One", ""], "nothing says whose they are", True),
        (["H-02", "?", "-", "n/a"], "blank except for the name", True),
    ],
)
def test_a_row_that_is_set_aside_is_told(row: list[str | int], says: str, unread: bool) -> None:
    intake = taken(sheet_of("Fleet", [HEAD, GOOD, row]))
    assert problem_with(intake, says).unread is unread
    assert {subject for subject, _ in told(intake)} == {"aircraft/H-01"}


def test_blank_rows_say_nothing() -> None:
    assert taken(sheet_of("Fleet", [HEAD, [], GOOD, ["", "  ", "", ""]])).problems == ()


def test_an_aircraft_whose_name_begins_like_a_total_is_read() -> None:
    rows: Rows = [HEAD, ["Totals flyer", "Korrin Works", "One", "Test Co"]]
    assert told(taken(sheet_of("Fleet", rows)))["aircraft/Totals flyer", "maker"] == "Korrin Works"


def test_the_same_row_twice_is_a_remark() -> None:
    intake = taken(sheet_of("Fleet", [HEAD, GOOD, GOOD]))
    assert problem_with(intake, "appears twice").where == "t.xlsx sheet 'Fleet' rows 2 and 3"
    assert not spoiled(intake)


def test_two_rows_that_differ_are_both_kept_and_named() -> None:
    intake = taken(sheet_of("Fleet", [HEAD, GOOD, ["H-01", "Talvane", "One", "Test Co"]]))
    assert "different values under Maker." in problem_with(intake, "appears twice").what
    makers = [item.statement.value for item in intake.known if item.statement.key == "maker"]
    assert makers == ["Korrin Works", "Talvane"]
    assert "B2. We kept" in problem_with(intake, "maker of H-01").what


def test_two_sheets_that_differ_are_told() -> None:
    fleet = sheet_of("Fleet", [["Aircraft", "FAA number", "Expires"], ["H-01", "FA00TEST01", "2027-01-02"]])
    other = sheet_of("Registrations", [["Number", "Expires"], ["FA00TEST01", "2027-01-03"]])
    assert (
        "Fleet" in problem_with(taken(fleet, other), "expiration date on the certificate of FA00TEST01").what
    )


def test_one_number_on_two_rows_is_for_the_law_to_judge() -> None:
    rows: Rows = [
        ["Aircraft", "FAA number", "Expires"],
        ["H-01", "FA00TEST01", "2027-01-02"],
        ["H-02", "FA00TEST01", "2027-01-02"],
    ]
    assert taken(sheet_of("Fleet", rows)).problems == ()


def test_formulas_are_told_once_a_column_and_one_without_result_spoils() -> None:
    rows: Rows = [["Aircraft", "Weight (g)"], ["H-01", 249], ["H-02", 300], ["H-03", None]]
    intake = taken(sheet_of("Fleet", rows, formulas=[(1, 1), (2, 1), (3, 1)]))
    assert "3 cells have formulas" in problem_with(intake, "last saved result").what
    assert spoiled(intake) == {("aircraft/H-03", "takeoff_weight_g")}
    assert told(intake)["aircraft/H-01", "takeoff_weight_g"] == "249"


def test_remarks_are_one_a_column_with_their_cells() -> None:
    rows: Rows = [["Aircraft", "FAA number"], *([f"H-{n}", f"fa00test{n:02}"] for n in range(1, 9))]
    intake = taken(sheet_of("Fleet", rows))
    assert problem_with(intake, "capitals").what.endswith("(B2, B3, B4, B5, B6 and 3 more)")


def test_signs_that_cannot_be_seen_are_left_out_and_told() -> None:
    intake = taken(sheet_of("Fleet", [["Aircraft", "Maker"], ["H-01", "\x1b[31mKorrin\u200b Works"]]))
    assert told(intake)["aircraft/H-01", "maker"] == "Korrin Works"
    assert "B2" in problem_with(intake, "hidden characters").what


def test_an_open_column_of_dates_is_summed_up_once() -> None:
    rows: Rows = [["Aircraft", "Sold on"], *([f"H-{n}", f"3/{n}/2025"] for n in (1, 2, 4))]
    sheet = sheet_of("Fleet", rows)
    intake = taken(sheet)
    assert "3 dates" in problem_with(intake, "3 dates").what
    assert "--dates" in problem_with(intake, "3 dates").do
    assert len(spoiled(intake)) == 3
    assert told(taken(sheet, dates="day-first"))["aircraft/H-4", "sold_on"] == "2025-04-03"
    assert taken(sheet, dates="month-first").columns[1].dates == "month-first"


def test_two_columns_of_one_meaning_are_asked_about() -> None:
    rows: Rows = [["Aircraft", "Model", "Maker", "Manufacturer"], ["H-01", "One", "Korrin Works", "Talvane"]]
    intake = taken(sheet_of("Fleet", rows))
    assert [column.why for column in intake.columns][2:] == [
        "'Manufacturer' says the same thing",
        "'Maker' says the same thing",
    ]
    assert ("aircraft/H-01", "maker") not in told(intake)


def test_a_person_known_by_name_alone_is_unread_not_a_title() -> None:
    intake = taken(
        sheet_of(
            "People",
            [
                ["Name", "Role", "Initial test", "Night"],
                ["Jo Test", "lead", "2025-01-02", "no"],
                ["Al Test", "", "", ""],
            ],
        )
    )
    assert problem_with(intake, "has nothing else in it").unread
    titled = taken(sheet_of("Fleet", [HEAD, GOOD, ["Inspection team", "", "", ""]]))
    assert not problem_with(titled, "looks like a title").unread


def test_a_private_entry_that_cannot_be_read_is_not_repeated() -> None:
    intake = taken(sheet_of("People", [["Name", "Role", "Birthday"], ["Jo Test", "lead", "31/31/1990"]]))
    assert "1990" not in problem_with(intake, "private").what
