"""Recreation or not: the purpose of a flight, and every condition of the exception."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    Given,
    aircraft,
    case,
    certificate,
    check,
    flight,
    paper,
    person,
    registered,
)

PURPOSE, EXCEPTION = "recreational_purpose", "recreational_exception"
PURE: dict[str, Raw] = {"paid": False, "helps_business": False, "helps_organization": False}
GOOD: dict[str, Raw] = {
    **PURE,
    "flight_aircraft": "A",
    "flight_pilot": "P",
    "within_guidelines": True,
    "kept_in_sight": True,
    "gives_way": True,
    "airspace_allowed": True,
    "height_agl_ft": "400",
}
OWN: dict[str, Raw] = {
    "used_for": "recreation",
    "takeoff_weight_g": "900",
    "scale_error_g": "0",
    "mark_place": "outside",
}
CRAFT = registered("A", "N", **OWN)
PAPER = certificate(kind="Part 48 recreational", issued_on="2026-01-05")
FLYER = person(safety_test_proof=True)
REST = (CRAFT, PAPER, FLYER)


def good(**facts: Raw) -> Given:
    """A flight that meets every condition, but for what is said otherwise."""
    return flight(**{**GOOD, **facts})


def held(feet: str, **facts: Raw) -> Given:
    """A flight that relies on the authorization for Cedar Field up to 600 ft."""
    return good(
        **{"height_agl_ft": feet, "flight_authorization": "L", "flight_place": "Cedar Field", **facts}
    )


GRANT = paper(
    "L",
    given_by="FAA web request",
    authorizes_from_on="2024-01-01",
    authorizes_until_on="2026-12-31",
    authorized_place="Cedar Field",
    authorized_height_ft="600",
)
COA = "certificate of authorization of a public agency"
N_NUMBER = certificate(kind="Part 47", issued_on="2023-02-05")
UNWEIGHED = registered("A", "N", used_for="recreation", mark_place="outside")


def heavy(verdict: str, code: str, pounds: str, on: str = TODAY, why: str = "", **facts: Raw) -> Case:
    """A flight for fun with an aircraft of so many pounds under an N-number, and what is on file of its site."""
    grams = str(Decimal(pounds) * Decimal("453.59237"))
    craft = registered("A", "N", **{**OWN, "takeoff_weight_g": grams})
    return case(EXCEPTION, verdict, code, on, good(**facts), craft, N_NUMBER, FLYER, why=why)


LESSON: dict[str, Raw] = {
    "educational": True,
    "education_by": "institution of higher education",
    "education_for": "education or research",
    "paid": True,
    "helps_organization": True,
}
SET = (good(height_agl_ft="500", other_ceiling_ft="500"),)
OLD = (CRAFT, certificate(kind="Part 48 recreational", issued_on="2023-01-05"), FLYER)
PURPOSES = [
    case(PURPOSE, "met", "recreation", TODAY, flight(**PURE)),
    case(PURPOSE, "not_met", "paid", TODAY, flight(**{**PURE, "paid": True})),
    case(PURPOSE, "not_met", "business", TODAY, flight(**{**PURE, "helps_business": True})),
    case(PURPOSE, "not_met", "organization", TODAY, flight(**{**PURE, "helps_organization": True})),
    case(PURPOSE, "unknown", "paid", TODAY, flight(helps_business=False), why="missing"),
    case(PURPOSE, "not_met", "business", TODAY, flight(helps_business=True)),
]

COLLEGE = "institution of higher education"
JROTC = "junior officers' training program (JROTC)"
CHARTERED = "program chartered by a recognized community-based organization"
SCHOOL = "elementary or secondary school"
LEARNING = "education or research"


def taught(
    verdict: str, code: str, by: Raw, what_for: Raw, on: str = TODAY, why: str = "", **facts: Raw
) -> Case:
    """A flight called education that serves an organization and no business, but for what is said otherwise."""
    told = {"helps_business": False, "helps_organization": True, **facts}
    return case(
        PURPOSE,
        verdict,
        code,
        on,
        flight(educational=True, education_by=by, education_for=what_for, **told),
        why=why,
    )


EDUCATION = [
    taught("met", "education", COLLEGE, LEARNING),
    taught("met", "education", COLLEGE, LEARNING, "2018-10-05"),
    taught("not_met", "paid", COLLEGE, LEARNING, "2018-10-04", paid=True),
    taught("not_met", "organization", COLLEGE, LEARNING, "2018-10-04"),
    # The junior officers' and the chartered programs were named from 2021 on.
    taught("met", "education", JROTC, LEARNING, "2021-01-01"),
    taught("not_met", "organization", JROTC, LEARNING, "2020-12-31"),
    taught("met", "education", CHARTERED, LEARNING, "2021-01-01"),
    taught("not_met", "organization", CHARTERED, LEARNING, "2020-12-31"),
    # Schools were named on 2024-05-16 in words that were not read.
    taught("unknown", "schools_count_as_recreation", SCHOOL, LEARNING, "2024-05-16", "law_not_read"),
    taught("not_met", "organization", SCHOOL, LEARNING, "2024-05-15"),
    taught("not_met", "organization", "somebody else", LEARNING),
    # An instructor's pay ends nothing; a business that is served does, and so does what the flight is for.
    taught("met", "education", COLLEGE, LEARNING, paid=True),
    taught("not_met", "business", COLLEGE, LEARNING, paid=True, helps_business=True),
    taught("unknown", "helps_business", COLLEGE, LEARNING, why="missing", paid=True, helps_business=None),
    *(
        taught("not_met", "education_ended", operator, purpose)
        for operator in (COLLEGE, JROTC, CHARTERED, SCHOOL, "somebody else")
        for purpose in ("work for a customer", "marketing or publicity", "buildings, grounds or security")
    ),
    # Something else is judged as any flight is.
    taught("not_met", "organization", COLLEGE, "something else"),
    taught("met", "recreation", COLLEGE, "something else", paid=False, helps_organization=False),
    # The word alone is no answer, whoever pays and whoever does not.
    taught("unknown", "education_by", None, None, why="missing"),
    taught("unknown", "education_by", None, LEARNING, why="missing"),
    taught("unknown", "education_for", COLLEGE, None, why="missing"),
    taught("unknown", "education_by", None, "work for a customer", why="missing"),
    taught("unknown", "education_by", None, None, why="missing", paid=True, helps_business=False),
    taught(
        "unknown", "education_for_business", None, None, why="open_reading", paid=True, helps_business=True
    ),
    taught("unknown", "education_for_business", COLLEGE, None, why="open_reading", helps_business=True),
    taught("unknown", "education_by", None, None, why="missing", paid=False, helps_organization=False),
    # A club's members fly for fun; what the club is paid for, or promotes itself with, is no recreation.
    case(PURPOSE, "met", "recreation", TODAY, flight(**PURE)),
    case(PURPOSE, "not_met", "organization", TODAY, flight(**{**PURE, "helps_organization": True})),
    case(PURPOSE, "not_met", "paid", TODAY, flight(**{**PURE, "paid": True, "helps_organization": True})),
]

BARE = aircraft("A", is_registered=False, **OWN)
LIGHT = aircraft("A", is_registered=False, used_for="recreation", takeoff_weight_g="240", scale_error_g="0")
EXCEPTIONS = [
    case(EXCEPTION, "met", "all_hold", TODAY, good(), *REST),
    case(EXCEPTION, "met", "all_hold", TODAY, good(), *REST, use="recreation"),
    case(EXCEPTION, "met", "all_hold", TODAY, good(), LIGHT, FLYER),
    case(EXCEPTION, "not_met", "height", TODAY, good(height_agl_ft="400.1"), *REST, value=Decimal("400.1")),
    case(EXCEPTION, "met", "all_hold", TODAY, good(height_agl_ft="390", height_error_ft="10"), *REST),
    case(
        EXCEPTION,
        "unknown",
        "height_in_doubt",
        TODAY,
        good(height_agl_ft="395", height_error_ft="10"),
        *REST,
        why="within_doubt",
    ),
    # Another ceiling of the FAA's, higher or lower, from 2024-05-16.
    case(EXCEPTION, "met", "all_hold", TODAY, good(height_agl_ft="500", other_ceiling_ft="500"), *REST),
    case(EXCEPTION, "not_met", "height", TODAY, good(height_agl_ft="201", other_ceiling_ft="200"), *REST),
    case(EXCEPTION, "met", "all_hold", "2024-05-16", *SET, *OLD),
    case(EXCEPTION, "not_met", "height", "2024-05-15", *SET, *OLD),
    # In controlled airspace the authorization sets the height; so it may above the ceiling elsewhere.
    case(EXCEPTION, "met", "all_hold", TODAY, good(height_agl_ft="400", airspace_class="D"), *REST),
    case(
        EXCEPTION,
        "unknown",
        "flight_authorization",
        TODAY,
        good(height_agl_ft="401", airspace_class="D"),
        *REST,
        why="missing",
    ),
    case(EXCEPTION, "met", "all_hold", TODAY, held("600", airspace_class="D"), GRANT, *REST),
    case(EXCEPTION, "not_met", "too_high", TODAY, held("601", airspace_class="D"), GRANT, *REST),
    case(
        EXCEPTION,
        "not_met",
        "other_place",
        TODAY,
        held("90", airspace_class="D", flight_place="Oak"),
        GRANT,
        *REST,
    ),
    case(EXCEPTION, "met", "all_hold", TODAY, held("600", airspace_class="G"), GRANT, *REST),
    case(EXCEPTION, "not_met", "height", TODAY, held("601", airspace_class="G"), GRANT, *REST),
    case(EXCEPTION, "not_met", "airspace", TODAY, good(airspace_allowed=False), *REST),
    case(EXCEPTION, "not_met", "out_of_sight", TODAY, good(kept_in_sight=False), *REST),
    case(EXCEPTION, "not_met", "no_way_given", TODAY, good(gives_way=False), *REST),
    case(EXCEPTION, "not_met", "guidelines", TODAY, good(within_guidelines=False), *REST),
    case(EXCEPTION, "not_met", "paid", TODAY, good(paid=True), *REST),
    case(EXCEPTION, "not_met", "not_registered", TODAY, good(), BARE, FLYER),
    case(
        EXCEPTION,
        "not_met",
        "not_in_term",
        TODAY,
        good(),
        CRAFT,
        certificate(kind="Part 48 recreational", issued_on="2022-01-05"),
        FLYER,
    ),
    case(
        EXCEPTION,
        "not_met",
        "not_marked",
        TODAY,
        good(),
        registered("A", "N", **{**OWN, "mark_place": "not marked"}),
        PAPER,
        FLYER,
    ),
    # Education that counts still has every other condition to meet.
    case(EXCEPTION, "met", "all_hold", TODAY, good(**LESSON), *REST),
    case(EXCEPTION, "not_met", "height", TODAY, good(**{**LESSON, "height_agl_ft": "401"}), *REST),
    case(EXCEPTION, "not_met", "guidelines", TODAY, good(**{**LESSON, "within_guidelines": False}), *REST),
    case(
        EXCEPTION,
        "not_met",
        "education_ended",
        TODAY,
        good(**{**LESSON, "education_for": "marketing or publicity"}),
        *REST,
    ),
    # Not small: a fixed site and approved standards, from exactly 55 lb on since 2024-05-16.
    heavy("met", "all_hold", "55", fixed_site=True, heavy_standards=True),
    heavy("met", "all_hold", "60", fixed_site=True, heavy_standards=True),
    heavy("met", "all_hold", "60", "2024-05-16", fixed_site=True, heavy_standards=True),
    heavy("met", "all_hold", "60", "2024-05-15", fixed_site=True, heavy_standards=True),
    heavy("met", "all_hold", "55", "2024-05-16", fixed_site=True, heavy_standards=True),
    heavy(
        "unknown", "exactly_55_lb", "55", "2024-05-15", "open_reading", fixed_site=True, heavy_standards=True
    ),
    heavy("met", "all_hold", "54.99", "2024-05-15"),
    heavy("unknown", "fixed_site", "60", why="missing"),
    heavy("unknown", "heavy_standards", "60", why="missing", fixed_site=True),
    heavy("not_met", "no_fixed_site", "60", fixed_site=False, heavy_standards=True),
    heavy("not_met", "no_heavy_standards", "60", fixed_site=True, heavy_standards=False),
    case(
        EXCEPTION,
        "unknown",
        "perhaps_heavy",
        TODAY,
        good(),
        registered("A", "N", **{**OWN, "takeoff_weight_g": "24947", "scale_error_g": "1"}),
        N_NUMBER,
        FLYER,
        why="within_doubt",
    ),
    case(
        EXCEPTION,
        "met",
        "all_hold",
        TODAY,
        good(fixed_site=True, heavy_standards=True),
        registered("A", "N", **{**OWN, "takeoff_weight_g": "24947", "scale_error_g": "1"}),
        N_NUMBER,
        FLYER,
    ),
    # A Part 48 certificate is for small aircraft; under Part 47 the weight has to be on file.
    case(EXCEPTION, "met", "all_hold", TODAY, good(), UNWEIGHED, PAPER, FLYER),
    case(EXCEPTION, "unknown", "takeoff_weight_g", TODAY, good(), UNWEIGHED, N_NUMBER, FLYER, why="missing"),
    # What is flown under other law is none of the exception.
    case(EXCEPTION, "unknown", "other_law", TODAY, good(flight_under=COA), *REST, why="outside_this_tool"),
    case(
        EXCEPTION,
        "unknown",
        "other_law",
        TODAY,
        good(),
        registered("A", "N", **{**OWN, "operated_under": COA}),
        PAPER,
        FLYER,
        why="outside_this_tool",
    ),
    case(EXCEPTION, "met", "all_hold", TODAY, good(flight_under="Part 107"), *REST),
    # The test is asked of the flyer whichever use the question names.
    case(
        EXCEPTION, "not_met", "no_safety_test", TODAY, good(), CRAFT, PAPER, person(safety_test_proof=False)
    ),
    case(EXCEPTION, "unknown", "safety_test_proof", TODAY, good(), CRAFT, PAPER, person(), why="missing"),
    case(
        EXCEPTION,
        "unknown",
        "not_obtainable",
        "2021-06-21",
        good(),
        CRAFT,
        certificate(kind="Part 48 recreational", issued_on="2020-01-05"),
        FLYER,
        why="open_reading",
    ),
    case(
        EXCEPTION,
        "unknown",
        "gives_way",
        TODAY,
        flight(**{name: value for name, value in GOOD.items() if name != "gives_way"}),
        *REST,
        why="missing",
    ),
]

MOVED = [
    # Under a law that does not ask for recreation strictly, or that nobody here has read, nothing is made up.
    case(PURPOSE, "met", "recreation", TODAY, flight(paid=True), moved=("recreation_strictly", False)),
    case(PURPOSE, "not_met", "paid", TODAY, flight(**{**PURE, "paid": True})),
    case(
        EXCEPTION,
        "unknown",
        "recreational_statute",
        TODAY,
        good(),
        *REST,
        why="law_not_read",
        moved=("recreational_statute", ""),
    ),
    case(
        EXCEPTION,
        "met",
        "recreation",
        TODAY,
        good(gives_way=False),
        *REST,
        moved=("all_conditions_or_part_107", False),
    ),
]
CASES = MOVED + PURPOSES + EDUCATION + EXCEPTIONS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
