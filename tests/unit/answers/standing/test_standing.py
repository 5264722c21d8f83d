"""The headline, what stands in the way, what counts, and the verdict of the whole."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.report import Report
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.facts.statement import Problem
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, fleet, known_of

GOOD = {"takeoff_weight_g": "1400", "scale_error_g": "1"}
PILOT: dict[str, Raw] = {"flies_for": "work", "has_certificate": True}


def row(answer: Standing, subject: str) -> SubjectStanding:
    """The row of one subject."""
    return next(each for each in answer.rows if each.subject == subject)


def one(**more: Raw) -> SubjectStanding:
    """The row of an aircraft in order but for the facts given."""
    return row(fleet(firm_aircraft("K", "FA00TEST21", "2025-03-01", **{**GOOD, **more})), "aircraft/K")


def trained(*days: str, **more: Raw) -> dict[str, dict[str, Raw]]:
    """A pilot with recurrent trainings on those days."""
    told: dict[str, dict[str, Raw]] = {"person/P": {**PILOT, **more}}
    for number, day in enumerate(days):
        told[f"training/{number}"] = {
            "event_of": "P",
            "event_kind": "recurrent training",
            "completed_on": day,
        }
    return told


def test_an_aircraft_in_order_may_fly_for_work_and_for_recreation() -> None:
    mine = one()
    assert (mine.headline, mine.work, mine.recreation) == (Headline.WORK, Verdict.MET, Verdict.MET)
    assert mine.in_the_way == ()
    assert mine.deciding is None


@pytest.mark.parametrize(
    ("more", "headline", "rule"),
    [
        ({"mark_place": "not marked"}, Headline.GROUNDED, "marked_outside"),
        ({"mark_place": None}, Headline.CANT_SAY, "marked_outside"),
        ({"takeoff_weight_g": None}, Headline.CANT_SAY, "right_kind_for_use"),
        ({"takeoff_weight_g": "24947.58035", "scale_error_g": "0"}, Headline.GROUNDED, "right_kind_for_use"),
        ({"used_for": None}, Headline.CANT_SAY, "use_stated"),
        ({"used_for": None, "mark_place": "not marked"}, Headline.GROUNDED, "marked_outside"),
        ({"used_for": None, "registration_kind": "Part 48 recreational"}, Headline.CANT_SAY, "use_stated"),
        ({"remote_id_way": "none"}, Headline.GROUNDED, "remote_id_way"),
        ({"declaration_accepted": None}, Headline.CANT_SAY, "remote_id_way"),
        ({"operated_under": "Part 137 agricultural operation"}, Headline.CANT_SAY, "operating_rules"),
    ],
)
def test_what_stands_in_the_way_makes_the_headline(
    more: dict[str, Raw], headline: Headline, rule: str
) -> None:
    mine = one(**more)
    assert mine.headline is headline
    assert mine.deciding is not None
    assert mine.deciding.rule.name == rule


def test_a_light_aircraft_for_recreation_alone_needs_no_paper() -> None:
    told: dict[str, dict[str, Raw]] = {
        "aircraft/F": {
            "used_for": "recreation",
            "takeoff_weight_g": "249",
            "scale_error_g": "0.1",
            "is_registered": False,
        }
    }
    mine = row(fleet(told), "aircraft/F")
    assert (mine.headline, mine.recreation) == (Headline.RECREATION, Verdict.MET)
    told["part/s"] = {"part_of": "F", "part_weight_g": "6", "part_scale_error_g": "0.1"}
    told["aircraft/F"]["base_weight_g"] = told["aircraft/F"].pop("takeoff_weight_g")
    assert row(fleet(told), "aircraft/F").headline is Headline.GROUNDED


def test_an_owner_who_may_not_register_grounds_the_aircraft() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01", **GOOD)
    told["owner/Tarn & Fell Land Services"] = {"owner_kind": "person", "citizenship": "neither"}
    mine = row(fleet(told), "aircraft/K")
    assert mine.headline is Headline.GROUNDED
    assert mine.in_the_way[0].rule.name == "owner_eligible"


def test_the_day_after_the_24th_month_a_pilot_is_grounded() -> None:
    told = trained("2024-11-05")
    assert row(fleet(told, date(2026, 11, 30)), "person/P").headline is Headline.WORK
    assert row(fleet(told, date(2026, 12, 1)), "person/P").headline is Headline.GROUNDED


def test_night_counts_only_for_those_who_fly_at_night() -> None:
    old: dict[str, dict[str, Raw]] = {
        "training/0": {"event_of": "P", "event_kind": "initial test", "completed_on": "2021-03-01"},
        "person/P": {**PILOT},
    }
    day = date(2023, 3, 31)
    answer = fleet(old, day)
    assert row(answer, "person/P").headline is Headline.WORK
    assert row(answer, "person/P").night is Verdict.NOT_MET
    assert answer.report.verdict is Verdict.MET
    old["person/P"]["flies_at_night"] = True
    assert fleet(old, day).report.verdict is Verdict.NOT_MET


def test_people_who_left_are_named_and_not_judged() -> None:
    answer = fleet(trained("2026-01-10", left_on="2026-11-25"))
    assert answer.left == (("person/P", DAY),)
    assert answer.rows == ()
    assert fleet(trained("2026-01-10", left_on="2026-11-26")).left == ()


def test_nothing_asked_is_never_met() -> None:
    assert fleet({}).report.verdict is Verdict.UNKNOWN


def test_an_answer_owed_and_not_given_is_unknown() -> None:
    good = fleet(trained("2026-01-10")).report
    assert good.verdict is Verdict.MET
    short = Report(
        good.question,
        good.state,
        good.asked,
        tuple(finding for finding in good.findings if finding.rule.name != "recency"),
        good.problems,
        good.sources,
    )
    assert short.verdict is Verdict.UNKNOWN


def test_an_unread_row_caps_the_whole_at_unknown() -> None:
    known = known_of(trained("2026-01-10"))
    read = standing(known, DAY, KNOWN_AT, [Problem("a.csv row 7", "x", "y")])
    unread = standing(known, DAY, KNOWN_AT, [Problem("a.csv row 7", "x", "y", unread=True)])
    assert (read.report.verdict, unread.report.verdict) == (Verdict.MET, Verdict.UNKNOWN)


def test_a_damaged_cell_leaves_its_subject_open() -> None:
    problem = Problem("a.csv cell C7", "x", "y", (("aircraft/K", "listed_serial"),))
    known = known_of(firm_aircraft("K", "FA00TEST21", "2025-03-01", **GOOD))
    assert row(standing(known, DAY, KNOWN_AT, [problem]), "aircraft/K").headline is Headline.CANT_SAY


def test_a_day_before_the_law_was_read_is_refused() -> None:
    assert fleet(trained("2015-12-31"), date(2016, 1, 1)).rows
    with pytest.raises(UsageError, match=r"2015-12-31 is too early. We check dates from 2016-01-01"):
        fleet(trained(), date(2015, 12, 31))


def test_one_missing_fact_is_told_once_with_all_that_wait_for_it() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01", **GOOD)
    told |= firm_aircraft("L", "FA00TEST22", "2025-03-01", **GOOD)
    del told["owner/Tarn & Fell Land Services"]
    gaps = fleet(told).gaps
    assert [(gap.key.name, gap.holds_up) for gap in gaps] == [("owner_kind", ("aircraft/K", "aircraft/L"))]


@pytest.mark.parametrize(
    ("sold_on", "asked"), [("2026-11-25", set()), ("2026-11-26", {"declaration_accepted"})]
)
def test_nothing_waits_for_what_a_sold_aircraft_lacks(sold_on: str, asked: set[str]) -> None:
    lacking = {**GOOD, "declaration_accepted": None, "sold_on": sold_on}
    gaps = fleet(firm_aircraft("K", "FA00TEST21", "2025-03-01", **lacking)).gaps
    assert {gap.key.name for gap in gaps} == asked


def test_one_certificate_over_several_aircraft_is_due_once() -> None:
    shared: dict[str, Raw] = {
        "used_for": "recreation",
        "is_registered": True,
        "registration": "FA00TEST30",
        "owner": "Ivo Brask",
        **GOOD,
    }
    told: dict[str, dict[str, Raw]] = {
        "aircraft/A": dict(shared),
        "aircraft/B": dict(shared),
        "registration/FA00TEST30": {"registration_kind": "Part 48 recreational", "issued_on": "2024-02-10"},
    }
    due = [(item.day, item.overdue, item.subjects) for item in fleet(told).due]
    assert due == [(date(2027, 1, 31), False, ("aircraft/A", "aircraft/B"))]
    late = [(item.day, item.overdue) for item in fleet(told, date(2027, 2, 11)).due]
    assert late == [(date(2027, 2, 10), True)]


def test_what_is_gone_leaves_nothing_to_ask_of_its_registration() -> None:
    told = {
        **firm_aircraft("K", "FA00TEST21", "2025-03-01", **GOOD),
        **firm_aircraft("L", "FA00TEST22", "2025-03-01", service_status="retired", **GOOD),
    }
    del told["registration/FA00TEST22"]["registration_kind"]
    assert fleet(told).gaps == ()
    told["aircraft/L"]["service_status"] = "in service"
    assert [gap.subjects for gap in fleet(told).gaps] == [("registration/FA00TEST22",)]
