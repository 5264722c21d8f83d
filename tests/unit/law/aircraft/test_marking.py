"""Is it marked, what does it weigh, and under which law do its flights come?"""

from __future__ import annotations

from datetime import date

import pytest

from tests.unit.law.aircraft.test_in_force import LIGHT_FUN, NOT, OVER
from tests.unit.law.case import (
    TODAY,
    Case,
    aircraft,
    case,
    certificate,
    check,
    registered,
)

MARK = "marked_outside"
SOLD = {"sold_on": "2026-03-10"}
NO_TOOL, TOOL = "inside, opened without a tool", "inside, opened with a tool"
MARKS = [
    case(MARK, "met", "outside", TODAY, aircraft(mark_place="outside")),
    case(MARK, "not_met", "not_legible", TODAY, aircraft(mark_place="outside", mark_legible=False)),
    case(MARK, "met", "outside", TODAY, aircraft(mark_place="outside", mark_legible=True)),
    # The text sets no height of letters; should it, we would not have read it.
    case(
        MARK,
        "unknown",
        "mark_letter_height_set",
        TODAY,
        aircraft(mark_place="outside"),
        why="law_not_read",
        moved=("mark_letter_height_set", True),
    ),
    case(MARK, "not_met", "not_marked", TODAY, aircraft(mark_place="not marked")),
    # The mark follows registration, also where nobody had to register.
    case(
        MARK,
        "not_met",
        "not_marked",
        TODAY,
        registered(mark_place="not marked", **LIGHT_FUN),
        use="recreation",
    ),
    case(MARK, "not_applicable", "no_registration_needed", TODAY, registered(only_indoors=True)),
    # After a sale the number is none of the buyer's, wherever it is.
    case(MARK, "met", "outside", "2026-03-09", registered(mark_place="outside", **SOLD), certificate()),
    case(
        MARK,
        "not_met",
        "number_ended",
        "2026-03-10",
        registered(mark_place="outside", **SOLD),
        certificate(),
        value=date(2026, 3, 10),
    ),
    case(
        MARK,
        "not_met",
        "number_ended",
        TODAY,
        registered(mark_place="outside"),
        certificate(cancelled_on="2026-03-10"),
    ),
    case(MARK, "not_met", "number_ended", TODAY, aircraft(mark_place="outside", is_registered=True, **SOLD)),
    case(
        MARK,
        "met",
        "outside",
        TODAY,
        registered(mark_place="outside", **SOLD),
        certificate(issued_on="2026-03-12"),
    ),
    case(
        MARK,
        "not_applicable",
        "no_registration_needed",
        TODAY,
        registered(mark_place="outside", **SOLD, **LIGHT_FUN),
        certificate(),
        use="recreation",
    ),
    case(MARK, "met", "inside_then_allowed", "2019-02-24", aircraft(mark_place=NO_TOOL, **OVER)),
    case(MARK, "not_met", "inside_with_tool", "2019-02-24", aircraft(mark_place=TOOL, **OVER)),
    case(MARK, "not_met", "inside", "2019-02-25", aircraft(mark_place=NO_TOOL, **OVER)),
    case(MARK, "not_met", "inside", TODAY, aircraft(mark_place=TOOL)),
    case(MARK, "not_applicable", "no_registration_needed", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
    case(MARK, "unknown", "mark_place", TODAY, aircraft(), why="missing"),
    case("mark_shows_number", "met", "same", TODAY, registered("A", "FA00TEST01", mark_text=" fa00 test01")),
    case(
        "mark_shows_number",
        "not_met",
        "other_number",
        TODAY,
        registered("A", "FA00TEST01", mark_text="FA00TEST02"),
    ),
    case(
        "mark_shows_number",
        "met",
        "same",
        TODAY,
        registered("A", "N12", mark_text="N12"),
        certificate("N12", "Part 47"),
    ),
    case("mark_shows_number", "not_applicable", "not_read_off", TODAY, registered()),
    case(
        "mark_shows_number",
        "not_met",
        "number_ended",
        "2026-03-10",
        registered("A", "FA00TEST01", mark_text="FA00TEST01", **SOLD),
    ),
    case(
        "mark_shows_number",
        "met",
        "same",
        "2026-03-09",
        registered("A", "FA00TEST01", mark_text="FA00TEST01", **SOLD),
    ),
    # Spaces and small letters are no other number, whichever of the two has them.
    *(
        case("mark_shows_number", verdict, code, TODAY, registered("A", number, mark_text=text))
        for number, text, verdict, code in (
            ("FA00TEST01", "fa 00 test01", "met", "same"),
            ("fa 00 test01", "FA00TEST01", "met", "same"),
            ("FA00TEST01", "FA00TEST02", "not_met", "other_number"),
        )
    ),
    case(
        "mark_shows_number",
        "not_applicable",
        "not_registered",
        TODAY,
        aircraft(**NOT, mark_text="FA00TEST01"),
    ),
    case(
        "mark_shows_number",
        "not_applicable",
        "no_registration_needed",
        TODAY,
        aircraft(**LIGHT_FUN),
        use="recreation",
    ),
]


CASES = MARKS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
