"""Names made for rows that have none: the same whatever stands above them, whichever sheet they stand in."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from airwrit.facts.key import Raw
from airwrit.intake.rows.made_names import made_subjects
from airwrit.intake.sheets import Intake
from tests.unit.intake.books import Rows, sheet_of, taken, told

LOG: Rows = [
    ["Date", "Pilot", "Aircraft", "Landings"],
    ["2026-03-01", "Jo Test", "H-01", 2],
    ["2026-03-01", "Jo Test", "H-01", 5],
    ["2026-03-01", "Jo Test", "H-02", 1],
    ["", "Jo Test", "H-02", 1],
]
COURSES: Rows = [
    ["Who", "Course", "Completed"],
    ["Jo Test", "initial", "2024-01-02"],
    ["Jo Test", "recurrent", "2025-01-02"],
    ["Jo Test", "recurrent", "2026-01-02"],
]
PARTS: Rows = [
    ["Aircraft", "Part", "Weight (g)"],
    ["H-01", "lamp", 5],
    ["H-01", "lamp", 7],
    ["H-01", "float", 3],
]


def facts(*sheets: tuple[str, Rows]) -> dict[tuple[str, str], Raw]:
    return told(read(*sheets))


def read(*sheets: tuple[str, Rows]) -> Intake:
    return taken(*(sheet_of(name, rows) for name, rows in sheets))


def test_the_names() -> None:
    made = {subject for subject, _ in facts(("Flight log", LOG), ("Training", COURSES), ("Parts", PARTS))}
    assert made == {
        "flight/Jo Test, 2026-03-01, H-01",
        "flight/Jo Test, 2026-03-01, H-01, 2",
        "flight/Jo Test, 2026-03-01, H-02",
        "flight/Jo Test, H-02",
        "training/Jo Test, initial test, 2024-01-02",
        "training/Jo Test, recurrent test or training, 2025-01-02",
        "training/Jo Test, recurrent test or training, 2026-01-02",
        "part/H-01, lamp",
        "part/H-01, lamp, 2",
        "part/H-01, float",
    }


@given(st.permutations(LOG[1:]), st.permutations(COURSES[1:]), st.permutations(PARTS[1:]))
def test_the_order_of_rows_changes_nothing(log: list[list[object]], courses: Rows, parts: Rows) -> None:
    moved = facts(
        ("Flight log", [LOG[0], *log]),  # type: ignore[list-item]
        ("Training", [COURSES[0], *courses]),
        ("Parts", [PARTS[0], *parts]),
    )
    assert moved == facts(("Flight log", LOG), ("Training", COURSES), ("Parts", PARTS))


def test_a_row_put_in_above_leaves_the_others_their_names() -> None:
    more = [COURSES[0], ["Al Test", "initial", "2020-05-05"], *COURSES[1:]]
    before, after = facts(("Training", COURSES)), facts(("Training", more))
    assert before.items() <= after.items()


def test_the_name_of_the_sheet_is_no_part_of_it() -> None:
    assert facts(("Training", COURSES)) == facts(("Training 2026", COURSES))


def test_one_event_in_two_sheets_is_one_event() -> None:
    people: Rows = [["Name", "Role", "Initial test"], ["Jo Test", "pilot", "2024-01-02"]]
    both = read(("People", people), ("Training", COURSES[:2]))
    events = {item.statement.subject for item in both.known if item.statement.subject.startswith("training/")}
    assert events == {"training/Jo Test, initial test, 2024-01-02"}


def test_another_day_is_another_event() -> None:
    other = facts(("Training", [COURSES[0], ["Jo Test", "initial", "2024-01-03"]]))
    assert {subject for subject, _ in other} == {"training/Jo Test, initial test, 2024-01-03"}


def test_nothing_is_named_without_an_owner() -> None:
    assert made_subjects("part", [(None, "lamp"), ("", "lamp"), ("H-01", None)], [(), (), ()]) == [
        "",
        "",
        "part/H-01",
    ]
