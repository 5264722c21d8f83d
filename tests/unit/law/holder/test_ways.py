"""Each way to register, open, shut or not known; who counts as an owner; and the way that fits."""

from __future__ import annotations

from itertools import product

import pytest

from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.law.holder.ways import Decision, RegistrationWay, decision_of
from tests.unit.law.case import TODAY, Case, Given, aircraft, based_company, case, check, owner

NONE, ABROAD, FUN = "no_registration_way", "recognition_way", "recreational_way"
BY_PERSON, BY_ORGANIZATION, PAPER = "person_way", "organization_way", "part_47_way"


def person(**facts: Raw) -> Given:
    """A citizen who owns it, old enough to file."""
    return owner(**{"owner_kind": "person", "citizenship": "citizen", "filer_old_enough": True, **facts})


def small(grams: str = "900", used_for: Raw = "recreation", **facts: Raw) -> Given:
    """An aircraft that owner O owns, weighed on a scale without error."""
    about: dict[str, Raw] = {"used_for": used_for, "takeoff_weight_g": grams, "scale_error_g": "0"}
    return aircraft(**{**about, "owner": "O", **facts})


FREE = [
    case(NONE, "met", "light", TODAY, small("249.4758035"), use="recreation"),
    case(NONE, "not_met", "over_weight", TODAY, small("249.4758036"), use="recreation"),
    case(NONE, "not_met", "over_weight", TODAY, aircraft(takeoff_weight_g="400"), use="recreation"),
    case(
        NONE, "unknown", "used_for", TODAY, aircraft(takeoff_weight_g="200"), use="recreation", why="missing"
    ),
    case(
        NONE,
        "unknown",
        "weight_in_doubt",
        TODAY,
        small("249", scale_error_g="1"),
        use="recreation",
        why="within_doubt",
    ),
    case(
        NONE,
        "unknown",
        "takeoff_weight_g",
        TODAY,
        aircraft(used_for="recreation"),
        use="recreation",
        why="missing",
    ),
    case(NONE, "not_met", "other_purpose", TODAY, small("100", "work")),
    case(NONE, "met", "light", "2021-04-20", small("100", "work")),
    case(NONE, "not_met", "over_weight", "2021-04-20", small("900", "work")),
    case(NONE, "met", "armed_forces", TODAY, small(used_for="work", armed_forces=True)),
    case(NONE, "met", "indoors", TODAY, small(used_for="work", only_indoors=True)),
    case(NONE, "met", "struck", "2017-12-11", small(), use="recreation"),
    case(NONE, "not_met", "foreign", TODAY, small("100", foreign_registry=True), use="recreation"),
    case(ABROAD, "met", "foreign", TODAY, aircraft(foreign_registry=True)),
    case(ABROAD, "not_met", "not_foreign", TODAY, aircraft()),
]

RECREATIONAL = [
    case(FUN, "met", "way_open", TODAY, small(), person(), use="recreation"),
    case(FUN, "met", "way_open", TODAY, small(), person(citizenship="permanent resident"), use="recreation"),
    case(FUN, "not_met", "other_purpose", TODAY, small(used_for="work and recreation"), person()),
    case(FUN, "not_met", "not_a_person", TODAY, small(), based_company(), use="recreation"),
    case(FUN, "not_met", "abroad", TODAY, small(flown_abroad=True), person(), use="recreation"),
    case(FUN, "not_met", "not_citizen", TODAY, small(), person(citizenship="neither"), use="recreation"),
    case(
        FUN,
        "unknown",
        "older_person_needed",
        TODAY,
        small(),
        person(filer_old_enough=False),
        use="recreation",
        why="missing",
    ),
    case(FUN, "not_met", "foreign", TODAY, small(foreign_registry=True), person(), use="recreation"),
    case(FUN, "unknown", "used_for", TODAY, small(used_for=None), person(), use="recreation", why="missing"),
]

PER_AIRCRAFT = [
    case(BY_PERSON, "met", "way_open", TODAY, small(used_for=None), person()),
    case(BY_PERSON, "not_met", "not_a_person", TODAY, small(), owner(owner_kind="government")),
    case(BY_PERSON, "not_met", "heavy", TODAY, small("24947.58035"), person()),
    case(BY_PERSON, "not_met", "lessee", TODAY, small(), person(holds_as="lessee")),
    case(BY_PERSON, "unknown", "borrower", TODAY, small(), person(holds_as="borrower"), why="open_reading"),
    case(
        BY_PERSON,
        "unknown",
        "several",
        TODAY,
        small(),
        person(owned_by_several=True, other_owners_eligible=True),
        why="open_reading",
    ),
    case(BY_PERSON, "unknown", "owner", TODAY, small(owner=None), why="missing"),
    case(BY_PERSON, "not_met", "not_yet_open", "2016-03-30", small(used_for="work"), person()),
    case(BY_PERSON, "met", "way_open", "2016-03-31", small(used_for="work"), person()),
    case(
        BY_PERSON,
        "met",
        "way_open",
        "2016-03-30",
        small(used_for="recreation"),
        person(),
        use="recreation",
    ),
    case(BY_ORGANIZATION, "met", "way_open", TODAY, small(used_for="work"), based_company()),
    case(BY_ORGANIZATION, "met", "way_open", TODAY, small(), owner(owner_kind="government")),
    case(BY_ORGANIZATION, "not_met", "a_person", TODAY, small(), person()),
    case(BY_ORGANIZATION, "not_met", "trust", TODAY, small(), owner(owner_kind="voting trust")),
    case(
        BY_ORGANIZATION,
        "not_met",
        "partners",
        TODAY,
        small(),
        owner(owner_kind="partnership", partners_all_citizens=False),
    ),
]

ON_PAPER = [
    case(PAPER, "met", "way_open", TODAY, small("30000"), person()),
    case(PAPER, "met", "way_open", TODAY, small(), person(owned_by_several=True, other_owners_eligible=True)),
    case(
        PAPER,
        "not_met",
        "one_not_eligible",
        TODAY,
        small(),
        person(owned_by_several=True, other_owners_eligible=False),
    ),
    case(
        PAPER,
        "unknown",
        "other_owners_eligible",
        TODAY,
        small(),
        person(owned_by_several=True),
        why="missing",
    ),
    case(PAPER, "met", "way_open", TODAY, small(), based_company(us_flight_hours_share="0.6")),
    case(PAPER, "not_met", "share_not_reached", TODAY, small(), based_company(us_flight_hours_share="0.59")),
    case(PAPER, "unknown", "us_flight_hours_share", TODAY, small(), based_company(), why="missing"),
    case(PAPER, "unknown", "trust", TODAY, small(), owner(owner_kind="trust"), why="outside_this_tool"),
    case(
        PAPER, "unknown", "age_not_read", TODAY, small(), person(filer_old_enough=False), why="open_reading"
    ),
    case(PAPER, "not_met", "foreign", TODAY, small(foreign_registry=True), person()),
]


CASES = FREE + RECREATIONAL + PER_AIRCRAFT + ON_PAPER


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


def decided(*letters: str) -> Decision:
    """The decision for one letter a way: o open, s shut, u unknown."""
    meant = {"o": Verdict.MET, "s": Verdict.NOT_MET, "u": Verdict.UNKNOWN}
    return decision_of(
        {way: meant[letter] for way, letter in zip(RegistrationWay, "".join(letters), strict=True)}
    )


@pytest.mark.parametrize(
    ("letters", "way", "verdict", "sure"),
    [
        ("ossoss", RegistrationWay.NONE, "met", RegistrationWay.NONE),
        ("ssooso", RegistrationWay.RECREATIONAL, "met", RegistrationWay.RECREATIONAL),
        ("sssoso", RegistrationWay.PERSON, "met", RegistrationWay.PERSON),
        ("ssssoo", RegistrationWay.ORGANIZATION, "met", RegistrationWay.ORGANIZATION),
        ("ssssso", RegistrationWay.PART_47, "met", RegistrationWay.PART_47),
        ("sssssu", RegistrationWay.PART_47, "unknown", None),
        ("usuoso", None, "unknown", RegistrationWay.PERSON),
        ("uuuuuu", None, "unknown", None),
        ("ssssss", None, "not_met", None),
    ],
)
def test_the_way_that_fits(
    letters: str, way: RegistrationWay | None, verdict: str, sure: RegistrationWay | None
) -> None:
    found = decided(letters)
    assert (found.way, found.verdict, found.sure) == (way, verdict, sure)


@pytest.mark.parametrize(
    ("letters", "waits"),
    [
        # The owner's own way fits as soon as somebody old enough files, though another way is open or open to question.
        ("sssusu", True),
        ("sssuso", True),
        # A way before it may still fit, so this one is not yet the way.
        ("ssuusu", False),
    ],
)
def test_a_way_that_waits_for_whoever_files(letters: str, waits: bool) -> None:
    meant = {"o": Verdict.MET, "s": Verdict.NOT_MET, "u": Verdict.UNKNOWN}
    verdicts = {way: meant[letter] for way, letter in zip(RegistrationWay, letters, strict=True)}
    found = decision_of(verdicts, {RegistrationWay.PERSON})
    assert found.waits_for_filer is waits
    assert (found.way, found.verdict) == (RegistrationWay.PERSON if waits else None, Verdict.UNKNOWN)
    assert not decision_of(verdicts).waits_for_filer


def test_no_way_is_taken_past_one_that_is_not_shut() -> None:
    for letters in product("osu", repeat=len(RegistrationWay)):
        found = decided(*letters)
        if found.verdict is Verdict.MET:
            before = list(RegistrationWay)[: list(RegistrationWay).index(found.way)] if found.way else []
            assert [letters[list(RegistrationWay).index(way)] for way in before] == ["s"] * len(before)
