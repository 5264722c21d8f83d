"""Jobs: their acts are one entry, what is worked out is right, and nothing that nobody said becomes a yes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime

import pytest

from airwrit.answers.acts.plan import before_of
from airwrit.answers.jobs.catalog import JOBS
from airwrit.answers.jobs.job import (
    JobAsked,
    JobFilled,
    JobPlan,
    expirations,
    fields_of,
    job_plan,
    missing_in,
    suggested,
)
from airwrit.answers.standing.headline import Headline
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.errors import AirwritError, UsageError
from airwrit.facts.fold import state_of
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import KEYS

ON, NOW = date(2026, 12, 1), datetime(2026, 12, 1, 12, tzinfo=UTC)
FIRM = "Tarn & Fell"
OWNER = [
    Known(Statement(f"owner/{FIRM}", key, value))
    for key, value in (("owner_kind", "corporation"), ("owner_citizenship", "citizen"))
    if key in KEYS
]
OTHER = [
    Known(Statement("aircraft/A1", key, value))
    for key, value in (
        ("maker", "Korrin"),
        ("model", "Sarvo 4"),
        ("owner", FIRM),
        ("used_for", "work"),
        ("takeoff_weight_g", "1400"),
        ("remote_id_way", "standard"),
        ("registration", "FA00TEST03"),
        ("is_registered", True),
    )
] + [
    Known(Statement("registration/FA00TEST03", key, value))
    for key, value in (
        ("registration_kind", "Part 48 per aircraft"),
        ("issued_on", "2024-02-14"),
        ("registered_to", FIRM),
        ("representative", "Maris"),
    )
]
NEW = {
    "name": ["Maple 1"],
    "model": ["Korrin Sarvo 4"],
    "owner": [FIRM],
    "used_for": ["work"],
    "got_on": ["2026-11-28"],
    "serial": ["ZZ9Z8SURV4A77"],
    "remote_id": ["standard, listed"],
    "number": ["FA00TEST16"],
    "issued_on": ["2026-12-01"],
    "listed": ["yes"],
    "mark": ["outside"],
}


def asked(known: Sequence[Known], subject: str = "") -> JobAsked:
    """A job on what is known."""
    return JobAsked(state_of(known, ON, NOW), subject, ON)


def planned(job: str, known: Sequence[Known], said: dict[str, list[str]], subject: str = "") -> JobPlan:
    """What a job comes to, with what is suggested where nothing is said."""
    on = asked(known, subject)
    steps = JOBS[job].steps(on)
    filled = JobFilled({**suggested(steps), **said})
    assert not missing_in(steps, filled)
    return job_plan(JOBS[job].acts(on, filled), before_of(known), "tests")


def standing_after(plan: JobPlan) -> Standing:
    """How everything stands once a job is on record."""
    return standing(plan.after, ON, NOW)


def test_a_new_aircraft_takes_at_most_twelve_fields() -> None:
    assert len(fields_of(JOBS["new-aircraft"].steps(asked(OTHER)))) <= 12


def test_a_new_aircraft_is_one_entry_and_ends_registered_marked_and_listed() -> None:
    plan = planned("new-aircraft", OTHER, NEW)
    assert len(plan.taking.drafts) == 1
    after = standing_after(plan)
    found = {f.rule.name: f.verdict.value for f in after.report.counted if f.subject == "aircraft/Maple 1"}
    for rule in ("must_be_registered", "marked_outside", "serial_on_right_certificate", "remote_id_way"):
        assert found[rule] == "met", rule
    assert (
        next(row for row in after.rows if row.subject == "aircraft/Maple 1").headline is not Headline.GROUNDED
    )
    assert expirations(plan, after.report.state) == (("FA00TEST16", date(2029, 12, 1)),)


def test_what_the_model_weighs_is_taken_from_others_of_it() -> None:
    said = {(s.key, s.value) for deed in planned("new-aircraft", OTHER, NEW).deeds for s in deed.statements}
    assert ("takeoff_weight_g", "1400") in said
    other = {**NEW, "model": ["Furvane 60"]}
    said = {(s.key, s.value) for deed in planned("new-aircraft", OTHER, other).deeds for s in deed.statements}
    assert not any(key == "takeoff_weight_g" for key, _ in said)


def test_what_nobody_said_stays_open() -> None:
    """Neither listed, marked, nor found on the list unless that was said."""
    few = {name: NEW[name] for name in ("name", "model", "owner")}
    said = {s.key: s.value for deed in planned("new-aircraft", OTHER, few).deeds for s in deed.statements}
    assert {"listed_serial", "mark_place", "declaration_accepted", "registration"}.isdisjoint(said)
    assert said["is_registered"] is False


def test_the_rest_can_be_said_another_day() -> None:
    few = {name: NEW[name] for name in ("name", "model", "owner", "used_for", "got_on")}
    known = planned("new-aircraft", OTHER, few).after
    on = asked(known, "aircraft/Maple 1")
    names = {field.name for field in fields_of(JOBS["new-aircraft"].steps(on))}
    assert {"number", "issued_on", "mark", "serial"} <= names
    assert {"name", "model", "owner", "used_for"}.isdisjoint(names)
    later = {name: NEW[name] for name in ("serial", "remote_id", "number", "issued_on", "listed", "mark")}
    after = standing_after(planned("new-aircraft", known, later, "aircraft/Maple 1"))
    found = {f.rule.name: f.verdict.value for f in after.report.counted if f.subject == "aircraft/Maple 1"}
    assert found["must_be_registered"] == found["marked_outside"] == "met"


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"issued_on": ["2026-11-01"]}, "issued_on"),
        ({"issued_on": []}, "issued_on"),
        ({"serial": ["ZZ9Z8SURV4AO7"]}, "serial"),
        ({"serial": []}, "serial"),
        ({"model": ["Lodrel"]}, "model"),
        ({"owner": []}, "owner"),
        ({"got_on": ["soon"]}, "got_on"),
        ({"weight": ["heavy"]}, "weight"),
        ({"number": []}, "number"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(said: dict[str, list[str]], field: str) -> None:
    on = asked(OTHER)
    with pytest.raises(UsageError) as fault:
        JOBS["new-aircraft"].acts(on, JobFilled({**NEW, **said}))
    assert fault.value.where == field


def test_two_renewals_are_one_entry_and_their_expirations_are_worked_out() -> None:
    second = [
        Known(
            Statement(one.statement.subject.replace("03", "05").replace("A1", "A2"), one.statement.key, value)
        )
        for one in OTHER
        for value in (["FA00TEST05"] if one.statement.key == "registration" else [one.statement.value])
    ]
    plan = planned("renew", [*OTHER, *second], {"which": ["FA00TEST03", "FA00TEST05"]})
    assert len(plan.taking.drafts) == 1
    after = standing_after(plan)
    assert dict(expirations(plan, after.report.state)) == {
        "FA00TEST03": date(2030, 2, 14),
        "FA00TEST05": date(2030, 2, 14),
    }


def test_a_renewal_of_nothing_is_refused() -> None:
    on = asked(OTHER)
    assert "which" in missing_in(JOBS["renew"].steps(on), JobFilled({"renewed_on": ["2026-12-01"]}))


def test_a_renewal_of_what_is_not_on_file_is_refused() -> None:
    steps = JOBS["renew"].steps(asked(OTHER))
    assert "which" in missing_in(steps, JobFilled({"which": ["FA00TEST99"], "renewed_on": ["2026-12-01"]}))


LEAVER = [
    *OTHER,
    *(
        Known(Statement(*one))
        for one in (
            ("person/Maris", "role", "lead"),
            ("person/Nela", "role", "remote pilot"),
            ("person/Pax", "role", "remote pilot"),
            ("paper/W-1", "paper_responsible", "Maris"),
            (f"owner/{FIRM}", "registry_login_holder", "Maris"),
            ("aircraft/A1", "holder", "Maris"),
        )
    ),
]


def test_one_person_takes_over_all_that_a_leaver_had_in_one_entry() -> None:
    plan = planned("person-leaves", LEAVER, {"taker": ["Nela"]}, "person/Maris")
    assert len(plan.taking.drafts) == 1
    state = state_of(plan.after, ON, NOW)
    held = {
        (subject, key): state.held[subject][KEYS[key]].value
        for subject, key in (
            ("paper/W-1", "paper_responsible"),
            (f"owner/{FIRM}", "registry_login_holder"),
            ("registration/FA00TEST03", "representative"),
            ("aircraft/A1", "holder"),
        )
    }
    assert set(held.values()) == {"Nela"}
    assert any(f.rule.name == "update_registration" for f in standing_after(plan).report.findings)


def test_one_thing_may_go_to_somebody_else_and_what_goes_to_nobody_stays() -> None:
    state = state_of(planned("person-leaves", LEAVER, {"papers_to": ["Pax"]}, "person/Maris").after, ON, NOW)
    assert state.held["paper/W-1"][KEYS["paper_responsible"]].value == "Pax"
    assert state.held[f"owner/{FIRM}"][KEYS["registry_login_holder"]].value == "Maris"


def test_who_leaves_takes_over_nothing() -> None:
    steps = JOBS["person-leaves"].steps(asked(LEAVER, "person/Maris"))
    assert "taker" in missing_in(steps, JobFilled({"taker": ["Maris"], "left_on": ["2026-12-01"]}))


def test_a_visual_observer_joins_and_is_asked_for_no_certificate() -> None:
    plan = planned("new-person", OTHER, {"name": ["Rowan"], "crew_role": ["visual observer"]})
    row = next(row for row in standing_after(plan).rows if row.subject == "person/Rowan")
    assert row.headline is Headline.NOT_JUDGED


def test_a_pilot_joins_with_a_training_in_one_entry() -> None:
    said = {"name": ["Rowan"], "flies_for": ["work"], "has_certificate": ["yes"]}
    said |= {"kind": ["initial test"], "completed_on": ["2026-03-01"]}
    plan = planned("new-person", OTHER, said)
    assert len(plan.taking.drafts) == 1
    found = {f.rule.name: f.verdict.value for f in standing_after(plan).report.counted}
    assert found["recency"] == "met"


def test_a_training_needs_its_kind_and_its_day() -> None:
    with pytest.raises(AirwritError):
        JOBS["new-person"].acts(
            asked(OTHER), JobFilled({"name": ["Rowan"], "crew_role": ["pilot"], "kind": ["initial test"]})
        )


def test_changes_of_many_registrations_are_filed_in_one_entry() -> None:
    known = planned("person-leaves", LEAVER, {"taker": ["Nela"]}, "person/Maris").after
    plan = planned("filed-with-faa", known, {})
    assert [deed.subject for deed in plan.deeds] == ["registration/FA00TEST03"]
    assert len(plan.taking.drafts) == 1
    assert fields_of(JOBS["filed-with-faa"].steps(asked(plan.after))) == ()
