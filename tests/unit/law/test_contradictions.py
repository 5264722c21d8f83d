"""Each pair of facts that cannot both be so, on both sides of its edge; what is contradicted decides nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from airwrit.base.errors import BadLawFile
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import KEYS
from airwrit.law.contradictions import pairs, read_pairs, settled, told
from airwrit.law.rule import judge
from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import Teller, worded
from tests.unit.law.moving import moving

TODAY = date(2026, 11, 24)
KNOWN_AT = datetime(2026, 11, 24, 15, 0, tzinfo=UTC)
FA, NN = "registration/FA00TEST01", "registration/N99"
KINDS = {"per": "Part 48 per aircraft", "fun": "Part 48 recreational", "47": "Part 47"}
Facts = dict[str, dict[str, Raw]]


def state(facts: Facts, on: date = TODAY) -> State:
    known = [
        Known(Statement(subject, key, value))
        for subject, mine in facts.items()
        for key, value in mine.items()
    ]
    return state_of(known, on, KNOWN_AT)


def broken(facts: Facts, on: date = TODAY) -> list[str]:
    """The names of the pairs that some facts break."""
    return [clash.name for clash in settled(state(facts, on), on).clashes]


def one(subject: str, **facts: Raw) -> Facts:
    return {subject: facts}


def certificate(kind: str, *, subject: str = "", **days: str) -> Facts:
    """A certificate: i, r, e for the days of issue, renewal and expiration."""
    names = {"i": "issued_on", "r": "renewed_on", "e": "expires_on"}
    subject = subject or (NN if kind == "47" else FA)
    return {subject: {"registration_kind": KINDS[kind], **{names[key]: day for key, day in days.items()}}}


WHOLE = "aircraft/A"
BORN: Facts = {"person/P": {"born_on": "2010-11-24"}}
CASES: list[tuple[str, Facts, Facts]] = [
    # name, facts that break it, facts as near as can be that do not
    (
        "renewed_before_issued",
        certificate("per", i="2024-05-10", r="2024-05-09"),
        one(FA, issued_on="2024-05-10", renewed_on="2024-05-10"),
    ),
    (
        "renewed_outside_the_window",
        certificate("per", i="2021-05-10", r="2023-10-31"),
        certificate("per", i="2021-05-10", r="2023-11-01"),
    ),
    (  # three years then, to the end of January 2021 (14 CFR 47.40)
        "renewed_outside_the_window",
        certificate("47", i="2018-01-10", r="2020-06-30"),
        certificate("47", i="2018-01-10", r="2020-07-01"),
    ),
    (
        "renewed_outside_the_window",
        certificate("fun", i="2016-01-10", r="2018-06-30"),
        certificate("fun", i="2016-01-10", r="2018-07-01"),
    ),
    ("runs_too_long", certificate("per", e="2030-06-01"), certificate("per", e="2030-05-31")),
    (
        "runs_too_long_from_issue",
        certificate("per", i="2024-05-10", e="2030-06-01"),
        certificate("per", i="2024-05-10", e="2030-05-10"),
    ),
    (
        "runs_too_long_from_renewal",
        certificate("per", r="2026-01-15", e="2029-08-01"),
        certificate("per", r="2026-01-15", e="2029-07-31"),
    ),
    (
        "expires_before_issued",
        certificate("per", i="2024-05-10", e="2024-05-09"),
        certificate("per", i="2024-05-10", e="2024-05-10"),
    ),
    (
        "canceled_before_issued",
        one(FA, issued_on="2024-05-10", cancelled_on="2024-05-09"),
        one(FA, issued_on="2024-05-10", cancelled_on="2024-05-10"),
    ),
    (
        "revoked_before_issued",
        one(FA, issued_on="2024-05-10", revoked_on="2024-05-09"),
        one(FA, issued_on="2024-05-10", revoked_on="2024-05-10"),
    ),
    ("kind_and_number", certificate("47", subject=FA), certificate("per")),
    ("kind_and_number", certificate("fun", subject=NN), certificate("47")),
    ("kind_and_number", certificate("47", subject=FA), certificate("47", subject="registration/X-1")),
    (
        "not_registered_with_a_number",
        one(WHOLE, is_registered=False, registration="FA00TEST01"),
        one(WHOLE, is_registered=True, registration="FA00TEST01"),
    ),
    (
        "not_marked_with_a_number",
        one(WHOLE, mark_place="not marked", mark_text="FA00TEST01"),
        one(WHOLE, mark_place="outside", mark_text="FA00TEST01"),
    ),
    (
        "whole_lighter_than_its_base",
        one(WHOLE, takeoff_weight_g="249", base_weight_g="249.1"),
        one(WHOLE, takeoff_weight_g="249", base_weight_g="249"),
    ),
    (
        "whole_lighter_than_a_part",
        {"part/P": {"part_of": "A", "part_weight_g": "300"}, **one(WHOLE, takeoff_weight_g="299")},
        {"part/P": {"part_of": "B", "part_weight_g": "300"}, **one(WHOLE, takeoff_weight_g="299")},
    ),
    (
        "whole_lighter_than_a_part",
        {"part/P": {"part_of": "A", "part_weight_g": "299.1"}, **one(WHOLE, takeoff_weight_g="299")},
        {"part/P": {"part_of": "A", "part_weight_g": "299"}, **one(WHOLE, takeoff_weight_g="299")},
    ),
    (
        "indoors_and_abroad",
        one(WHOLE, only_indoors=True, flown_abroad=True),
        one(WHOLE, only_indoors=True, flown_abroad=False),
    ),
    (
        "foreign_and_armed_forces",
        one(WHOLE, foreign_registry=True, armed_forces=True),
        one(WHOLE, foreign_registry=False, armed_forces=True),
    ),
    (
        "armed_forces_of_another_owner",
        {**one(WHOLE, armed_forces=True, owner="O"), **one("owner/O", owner_kind="corporation")},
        {**one(WHOLE, armed_forces=True, owner="O"), **one("owner/O", owner_kind="government")},
    ),
    (
        "birthday_of_an_organization",
        one("owner/O", owner_kind="trust", owner_born_on="2000-01-01"),
        one("owner/O", owner_kind="person", owner_born_on="2000-01-01"),
    ),
    (
        "citizenship_of_an_organization",
        one("owner/O", owner_kind="partnership", citizenship="citizen"),
        one("owner/O", owner_kind="person", citizenship="citizen"),
    ),
    (
        "person_organized_under_a_law",
        one("owner/O", owner_kind="person", organized_in_us=True),
        one("owner/O", owner_kind="person", organized_in_us=False),
    ),
    (
        "citizenship_lost",
        one("owner/O", citizenship="citizen", citizenship_lost_on="2026-11-24"),
        one("owner/O", citizenship="citizen", citizenship_lost_on="2026-11-25"),
    ),
    (
        "died_before_born",
        one("owner/O", owner_born_on="2000-01-02", owner_died_on="2000-01-01"),
        one("owner/O", owner_born_on="2000-01-02", owner_died_on="2000-01-02"),
    ),
    (
        "certificate_at_that_age",
        one("person/P", has_certificate=True, born_on="2010-11-25"),
        one("person/P", has_certificate=True, born_on="2010-11-24"),
    ),
    (
        "no_certificate_with_a_number",
        one("person/P", has_certificate=False, certificate_number="0000001"),
        one("person/P", has_certificate=True, certificate_number="0000001"),
    ),
    (
        "test_before_birth",
        one("person/P", safety_test_on="2010-11-23", born_on="2010-11-24"),
        one("person/P", safety_test_on="2010-11-24", born_on="2010-11-24"),
    ),
    (
        "training_before_birth",
        {**BORN, "training/T": {"event_of": "P", "completed_on": "2010-11-23"}},
        {**BORN, "training/T": {"event_of": "P", "completed_on": "2010-11-24"}},
    ),
    (
        "training_too_young",
        {
            **BORN,
            "training/T": {"event_of": "P", "event_kind": "recurrent training", "completed_on": "2026-11-23"},
        },
        {
            **BORN,
            "training/T": {"event_of": "P", "event_kind": "recurrent training", "completed_on": "2026-11-24"},
        },
    ),
    (
        "paper_ends_before_it_begins",
        one("paper/W", granted_on="2026-01-02", ends_on="2026-01-01"),
        one("paper/W", granted_on="2026-01-02", ends_on="2026-01-02"),
    ),
    (
        "authorization_ends_before_it_begins",
        one("paper/W", authorizes_from_on="2026-01-02T10:00Z", authorizes_until_on="2026-01-02T09:59Z"),
        one("paper/W", authorizes_from_on="2026-01-02T10:00Z", authorizes_until_on="2026-01-02"),
    ),
    (
        "nobody_below_an_assembly",
        one("flight/F", people_below="nobody", over_assembly="passing over it once"),
        one("flight/F", people_below="nobody", over_assembly="none"),
    ),
    (
        "nobody_below_sustained",
        one("flight/F", people_below="nobody", sustained_over_people=True),
        one("flight/F", people_below="nobody", sustained_over_people=False),
    ),
    (
        "no_vehicles_sustained",
        one("flight/F", over_moving_vehicles=False, sustained_over_vehicles=True),
        one("flight/F", over_moving_vehicles=True, sustained_over_vehicles=True),
    ),
    (
        "no_clouds_near_clouds",
        one("flight/F", no_clouds=True, below_clouds_ft="600"),
        one("flight/F", no_clouds=False, below_clouds_ft="600"),
    ),
    (
        "no_clouds_beside_clouds",
        one("flight/F", no_clouds=True, beside_clouds_ft="3000"),
        one("flight/F", no_clouds=False, beside_clouds_ft="3000"),
    ),
    (
        "broadcast_worked_and_failed",
        one("flight/F", broadcasts=True, broadcast_failed_on="2026-11-24T10:00Z"),
        one("flight/F", broadcasts=False, broadcast_failed_on="2026-11-24T10:00Z"),
    ),
    (
        "observer_able_and_not_there",
        one("flight/F", observer_used=False, observer_able=True),
        one("flight/F", observer_used=True, observer_able=True),
    ),
    (
        "event_ends_before_it_starts",
        one("flight/F", event_starts_on="2026-11-24T10:00Z", event_ends_on="2026-11-24T09:00Z"),
        one("flight/F", event_starts_on="2026-11-24T10:00Z", event_ends_on="2026-11-24T10:00Z"),
    ),
    (
        "authorized_in_no_notice",
        one("flight/F", notice_covers=False, notice_authorized=True),
        one("flight/F", notice_covers=True, notice_authorized=True),
    ),
    *(
        (
            name,
            one("incident/I", happened_on="2026-11-02", **{key: "2026-11-01"}),
            one("incident/I", happened_on="2026-11-02", **{key: "2026-11-02"}),
        )
        for name, key in (
            ("reported_before_it_happened", "reported_on"),
            ("ntsb_told_before_it_happened", "ntsb_told_on"),
            ("ntsb_report_before_it_happened", "ntsb_report_on"),
            ("wreckage_released_before_it_happened", "released_on"),
        )
    ),
]


@pytest.mark.parametrize(("name", "against", "near"), CASES, ids=[case[0] for case in CASES])
def test_a_pair_breaks_just_past_its_edge(name: str, against: Facts, near: Facts) -> None:
    assert broken(against) == [name]
    assert broken(near) == []


def test_every_pair_has_its_case() -> None:
    assert {pair.name for pair in pairs()} == {name for name, _, _ in CASES}


# ---- terms: stretching, relief, the two parts, days asked about ----------------------------------------------------------


@pytest.mark.parametrize(
    ("facts", "on"),
    [
        # a renewal inside its window: up to three years and seven months ahead (14 CFR 48.100(c))
        (certificate("per", i="2021-05-10", r="2023-11-01", e="2027-05-10"), TODAY),
        # an early recreational certificate was good to 2020-12-12, whenever it was issued (82 FR 58338)
        (certificate("fun", i="2015-12-21", e="2020-12-12"), date(2018, 6, 1)),
        # and was renewed by the first end as well as by the later one
        (certificate("fun", i="2016-01-10", r="2018-08-01"), date(2020, 1, 1)),
        (certificate("fun", i="2016-01-10", r="2020-07-01"), date(2020, 8, 1)),
        # Part 47: three years then, stretched to seven for those that ran on 2023-01-23; renewed ones too (87 FR 71210)
        (certificate("47", i="2019-05-10", r="2022-04-01", e="2029-04-30"), TODAY),
        (certificate("fun", r="2016-05-01", e="2020-12-12"), TODAY),
        (certificate("47", i="2022-12-15", e="2029-12-31"), TODAY),
        (certificate("47", i="2022-12-15", e="2025-12-31"), date(2022, 12, 20)),
        # a sheet with its renewal told is no contradiction on a day before it
        (certificate("per", i="2023-02-10", r="2026-01-15", e="2029-02-10"), date(2024, 6, 1)),
        # several renewals, of which the last one is told
        (certificate("per", i="2017-05-10", r="2023-01-10", e="2026-05-10"), date(2024, 6, 1)),
    ],
)
def test_a_term_the_law_gives_is_no_contradiction(facts: Facts, on: date) -> None:
    assert broken(facts, on) == []


@pytest.mark.parametrize(
    ("facts", "on", "name"),
    [
        (certificate("47", e="2034-06-01"), TODAY, "runs_too_long"),
        (certificate("fun", r="2016-05-01", e="2020-12-13"), TODAY, "runs_too_long_from_renewal"),
        (certificate("per", r="2016-05-01", e="2020-12-12"), TODAY, "runs_too_long_from_renewal"),
        (certificate("47", i="2022-12-15", e="2029-12-31"), date(2022, 12, 20), "runs_too_long_from_issue"),
        (certificate("fun", i="2017-12-12", e="2021-12-12"), date(2018, 1, 1), "runs_too_long_from_issue"),
        (certificate("47", i="2023-06-15", r="2026-06-15"), TODAY, "renewed_outside_the_window"),
    ],
)
def test_a_term_the_law_could_not_give_is_one(facts: Facts, on: date, name: str) -> None:
    assert broken(facts, on) == [name]


@pytest.mark.parametrize(("kind", "years"), [("fun", 5), ("per", 3)])
def test_a_term_is_that_of_its_kind(kind: str, years: int) -> None:
    """Both run three years (14 CFR 48.100(c)); should the recreational term be made another, it is its own alone."""
    with moving("recreational_term_years", 5):
        assert broken(certificate(kind, e=f"{2027 + years}-05-31")) == []
        assert broken(certificate(kind, e=f"{2027 + years}-06-01")) == ["runs_too_long"]


def test_on_a_day_whose_law_was_not_read_nothing_is_told() -> None:
    young = one("person/P", has_certificate=True, born_on="2010-01-01")
    early = {**certificate("per", i="2001-01-01", r="2002-01-01"), **young}
    assert broken(early, date(2014, 1, 1)) == []


# ---- what it does ---------------------------------------------------------------------------------------------------------


def test_a_number_of_another_kind_is_told_by_its_name() -> None:
    found = settled(state(certificate("47", subject=FA)), TODAY)
    assert told(found.clashes[0], found).says == (
        "The record says Part 47, but FA00TEST01 isn't that kind of number."
    )


def test_what_is_contradicted_keeps_its_value_and_decides_nothing() -> None:
    told_of = certificate("per", i="2024-05-10", r="2024-05-09")
    found = settled(state(told_of), TODAY)
    held = found.held[FA][KEYS["renewed_on"]]
    assert (held.value, held.why) == (date(2024, 5, 9), Why.CONFLICT)
    assert found.held[FA][KEYS["registration_kind"]].why is None
    assert settled(found, TODAY) is found
    whole = state(certificate("per", i="2024-05-10"))
    assert settled(whole, TODAY) is whole


def test_a_state_that_goes_on_finds_what_one_looked_at_whole_finds() -> None:
    """What was in no clash before is, what was is none any more, and what is of others stays; in whatever order they stand."""
    good: dict[str, Raw] = {"issued_on": "2024-05-10"}
    bad: dict[str, Raw] = {**good, "renewed_on": "2024-05-09"}
    first, second, third = (f"registration/FA00TEST0{n}" for n in (1, 2, 3))
    for changed, was, now in (
        (one, *way) for one in (first, second, third) for way in ((good, bad), (bad, good))
    ):
        others: Facts = {first: good, second: bad, third: good}
        whole = state({**others, changed: now})
        before = state({**others, changed: was})
        after = before.with_facts({changed: whole.held[changed]})
        assert settled(after, TODAY, settled(before, TODAY)).clashes == settled(whole, TODAY).clashes


def test_a_state_that_goes_on_looks_again_at_what_points_at_a_change() -> None:
    """A part weighs more than its aircraft once the aircraft is weighed otherwise; the part itself stays as it was."""
    part: Facts = {"part/P": {"part_of": "A", "part_weight_g": "300"}}
    before = state({**part, **one(WHOLE, takeoff_weight_g="301")})
    lighter = state(one(WHOLE, takeoff_weight_g="299")).held[WHOLE]
    after = settled(before.with_facts({WHOLE: lighter}), TODAY, settled(before, TODAY))
    assert [clash.name for clash in after.clashes] == ["whole_lighter_than_a_part"]


def test_a_rule_that_looks_at_it_is_unknown_and_tells_the_pair() -> None:
    facts = {
        **one(WHOLE, used_for="work", is_registered=True, registration="FA00TEST01"),
        **certificate("per", i="2024-05-10", r="2024-05-09"),
    }
    raw = state(facts)
    finding = judge(BY_NAME["registration_in_term"], raw, WHOLE, UsedFor.WORK, TODAY)
    assert (finding.verdict, finding.outcome.why) == (Verdict.UNKNOWN, Why.CONFLICT)
    words = worded(finding, raw)
    assert (
        words.says == "The renewal date, 2024-05-09, is before the issue date, 2024-05-10 (14 CFR 48.100(c))."
    )
    assert words.do == "Check the certificate and correct the wrong date."
    assert Teller(raw).worded(finding) == words


def test_two_entries_for_one_fact_are_told_as_before() -> None:
    twice = [Known(Statement("person/P", "has_certificate", value)) for value in (True, False)]
    raw = state_of(twice, TODAY, KNOWN_AT)
    finding = judge(BY_NAME["certificate_held"], raw, "person/P", UsedFor.WORK, TODAY)
    assert worded(finding, raw).says.startswith("Two entries disagree")


@pytest.mark.parametrize(("name", "against", "near"), CASES, ids=[case[0] for case in CASES])
def test_every_pair_is_told_with_its_facts(name: str, against: Facts, near: Facts) -> None:
    found = settled(state(against), TODAY)
    words = told(found.clashes[0], found)
    assert "{" not in words.says + words.do
    assert "None" not in words.says


# ---- the table itself -----------------------------------------------------------------------------------------------------

ROW = '[[pairs]]\nname = "p"\nkeys = ["issued_on", "renewed_on"]\ntest = "together"\ncites = ""\nsays = ""\ndo = ""\n'


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"together"', '"apart"', "No test is called apart."),
        ('"renewed_on"', '"renewed"', "There is no fact called renewed."),
        ('"renewed_on"', '"owned.renewed_on"', "There is no fact called owned."),
        ('cites = ""', 'cite = ""', "Unknown field cite."),
        ('cites = ""', 'cites = ""\nis = { born_on = [true] }', "Born_on is none of its keys."),
    ],
)
def test_a_row_with_a_mistake_is_refused(old: str, new: str, says: str) -> None:
    assert [pair.name for pair in read_pairs(ROW)] == ["p"]
    with pytest.raises(BadLawFile, match=says):
        read_pairs(ROW.replace(old, new))
