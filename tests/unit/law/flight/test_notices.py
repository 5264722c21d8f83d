"""Notices beside the FAA's and the NTSB's: each side of OSHA's hours and days, and of NASA's ten days."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import Case, case, check, incident, outcome_of

FAA, OSHA, NASA = "deviation_report", "report_osha", "nasa_report"
DAY, NEXT = "2026-04-02", "2026-04-03"
AT = "2026-04-02T14:40-06:00"


def asked(
    rule: str, verdict: str, code: str, on: str, why: str = "", value: date | None = None, /, **facts: Raw
) -> Case:
    """An incident of DAY about which a rule is asked."""
    told = incident(**{"happened_on": DAY, **facts})
    return case(rule, verdict, code, on, told, why=why, value=value)


DEVIATIONS = [
    asked(FAA, "not_applicable", "still_to_come", "2026-04-01"),
    asked(FAA, "not_applicable", "only_when_the_faa_asks", NEXT),
    asked(FAA, "not_applicable", "no_deviation", NEXT, deviated_in_emergency=False),
    asked(FAA, "not_applicable", "only_when_the_faa_asks", NEXT, deviated_in_emergency=True),
    asked(FAA, "unknown", "asked", NEXT, "missing", deviated_in_emergency=True, faa_asked=True),
    asked(FAA, "met", "sent", NEXT, deviated_in_emergency=True, faa_asked=True, deviation_sent_on=NEXT),
    asked(FAA, "not_applicable", "not_under_part_107", NEXT, incident_under="recreation"),
    asked(FAA, "not_applicable", "not_under_part_107", NEXT, abroad=True, faa_asked=True),
    asked(OSHA, "unknown", "abroad", NEXT, "outside_this_tool", abroad=True, employee_harm="died"),
    asked(FAA, "unknown", "asked", DAY, "missing", faa_asked=True),
    asked(FAA, "unknown", "asked", NEXT, "missing", faa_asked=True, deviation_sent_on="2026-04-04"),
    # Part 107 came into force on 2016-08-29.
    case(
        FAA,
        "not_applicable",
        "not_under_part_107",
        "2016-09-01",
        incident(happened_on="2016-08-28", deviated_in_emergency=True, faa_asked=True),
    ),
    case(
        FAA,
        "unknown",
        "asked",
        "2016-09-01",
        incident(happened_on="2016-08-29", deviated_in_emergency=True, faa_asked=True),
        why="missing",
    ),
]

DIED: dict[str, Raw] = {"happened_on": AT, "employee_harm": "died", "public_employer": False}
ADMITTED: dict[str, Raw] = {**DIED, "employee_harm": "admitted to a hospital for care or treatment"}


def worker(
    verdict: str, code: str, on: str, why: str = "", value: date | None = None, /, **facts: Raw
) -> Case:
    """An employee who died at the time of the event, but for what is said otherwise."""
    return asked(OSHA, verdict, code, on, why, value, **{**DIED, "harmed_on": AT, **facts})


WORK = [
    asked(OSHA, "not_applicable", "still_to_come", "2026-04-01"),
    asked(OSHA, "unknown", "employee_harm", NEXT, "missing"),
    asked(OSHA, "not_applicable", "no_severe_harm", NEXT, anyone_hurt="nobody"),
    *(
        asked(OSHA, "not_applicable", code, NEXT, employee_harm=harm)
        for harm, code in (
            ("no employee was hurt", "no_severe_harm"),
            ("hurt, but not admitted to a hospital", "treated_only"),
            ("in a hospital for observation or tests only", "observed_only"),
        )
    ),
    asked(OSHA, "unknown", "state_plan", NEXT, "open_reading", employee_harm="died", public_employer=True),
    asked(OSHA, "unknown", "public_employer", NEXT, "missing", employee_harm="died"),
    # A death: 8 hours from the event, or from when the employer learns of it.
    worker(
        "unknown",
        "owed",
        "2026-04-02T22:40-06:00",
        "missing",
        datetime.fromisoformat("2026-04-02T22:40-06:00"),
    ),
    worker("not_met", "overdue", "2026-04-02T22:41-06:00"),
    worker(
        "unknown", "owed", "2026-04-03T10:00-06:00", "missing", employer_learned_on="2026-04-03T02:00-06:00"
    ),
    worker("not_met", "overdue", "2026-04-03T10:01-06:00", employer_learned_on="2026-04-03T02:00-06:00"),
    worker("unknown", "employer_learned_on", NEXT, "within_doubt", harmed_on=DAY),
    worker("met", "sent", NEXT, osha_told_on="2026-04-02T22:40-06:00"),
    worker("not_met", "sent_late", NEXT, osha_told_on="2026-04-02T22:41-06:00"),
    worker("met", "sent", NEXT, osha_told_on="2026-04-01"),
    worker("unknown", "osha_told_on", NEXT, "within_doubt", osha_told_on=DAY),
    worker("unknown", "harmed_on", NEXT, "missing", harmed_on=None),
    # A death on the 30th day counts, on the 31st it doesn't.
    worker("unknown", "owed", "2026-05-02T20:00-06:00", "missing", harmed_on="2026-05-02T14:40-06:00"),
    worker("not_applicable", "died_later", "2026-05-03T20:00-06:00", harmed_on="2026-05-03T00:01-06:00"),
    # Admission, amputation, loss of an eye: within 24 hours of the event, and told within 24 hours.
    *(
        worker("unknown", "owed", "2026-04-03T14:40-06:00", "missing", employee_harm=harm)
        for harm in ("admitted to a hospital for care or treatment", "amputation", "loss of an eye")
    ),
    worker("not_met", "overdue", "2026-04-03T14:41-06:00", employee_harm="amputation"),
    worker("unknown", "owed", NEXT, "missing", **{**ADMITTED, "harmed_on": "2026-04-03T14:40-06:00"}),
    worker("not_applicable", "harmed_later", NEXT, **{**ADMITTED, "harmed_on": "2026-04-03T14:41-06:00"}),
    worker(
        "unknown", "harmed_on", NEXT, "within_doubt", **{**ADMITTED, "happened_on": DAY, "harmed_on": NEXT}
    ),
    worker(
        "not_applicable",
        "harmed_later",
        "2026-04-05",
        **{**ADMITTED, "happened_on": DAY, "harmed_on": "2026-04-04"},
    ),
]

DUE = datetime.fromisoformat("2026-04-03T14:40-06:00")
HOURS = [
    # 29 CFR 1904.39(b)(6): harm within 24 hours of the event; where either has no time of day, the day between is in doubt.
    worker(
        "not_applicable", "harmed_later", NEXT, "", DUE, **{**ADMITTED, "harmed_on": "2026-04-03T14:41-06:00"}
    ),
    worker("unknown", "harmed_on", NEXT, "within_doubt", **{**ADMITTED, "harmed_on": NEXT}),
    worker("unknown", "employer_learned_on", NEXT, "within_doubt", **{**ADMITTED, "harmed_on": DAY}),
    worker(
        "not_applicable",
        "harmed_later",
        "2026-04-05",
        "",
        date(2026, 4, 3),
        **{**ADMITTED, "happened_on": DAY, "harmed_on": "2026-04-04"},
    ),
    worker("not_applicable", "died_later", "2026-05-05", "", date(2026, 5, 2), harmed_on="2026-05-03"),
    worker("unknown", "employer_learned_on", "2026-05-05", "within_doubt", harmed_on="2026-05-02"),
    # A day counts whole: on the day of the last hour it is owed yet, the day after it is overdue.
    worker("unknown", "owed", DAY, "missing"),
    worker("not_met", "overdue", NEXT),
    worker("not_met", "sent_late", "2026-04-05", osha_told_on=NEXT),
    worker("unknown", "owed", "2026-04-03T14:40-06:00", "missing", DUE, **ADMITTED),
]


@pytest.mark.parametrize(
    "line",
    [worker("unknown", "owed", DAY, "missing"), worker("not_met", "overdue", NEXT)],
    ids=lambda one: one.code,
)
def test_the_last_hour_falls_on_a_day(line: Case) -> None:
    due = outcome_of(line).due_on
    assert (type(due), due) == (date, date(2026, 4, 2))


CALM: dict[str, Raw] = {"death_or_injury": False, "airworthiness_certificate": False}
NASA_CASES = [
    asked(NASA, "not_applicable", "still_to_come", "2026-04-01"),
    asked(NASA, "not_applicable", "choice", "2026-04-12", "", date(2026, 4, 12), **CALM),
    asked(NASA, "not_applicable", "choice", DAY, "", date(2026, 4, 12), **CALM),
    asked(NASA, "not_applicable", "past", "2026-04-13", **CALM),
    asked(NASA, "not_applicable", "choice", NEXT, "", date(2026, 4, 12), nasa_sent_on="2026-04-04", **CALM),
    asked(
        NASA, "not_applicable", "choice", NEXT, "", date(2026, 4, 12), nasa_learned_on="2026-04-01", **CALM
    ),
    asked(NASA, "not_applicable", "choice", "2026-04-15", nasa_learned_on="2026-04-05", **CALM),
    asked(NASA, "not_applicable", "past", "2026-04-16", nasa_learned_on="2026-04-05", **CALM),
    asked(NASA, "not_applicable", "accident", NEXT, death_or_injury=True),
    asked(NASA, "unknown", "death_or_injury", NEXT, "missing"),
    asked(NASA, "met", "sent", "2026-04-20", nasa_sent_on="2026-04-12", **CALM),
    asked(NASA, "not_met", "sent_late", "2026-04-20", nasa_sent_on="2026-04-13", **CALM),
]
CASES = DEVIATIONS + WORK + HOURS + NASA_CASES


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
