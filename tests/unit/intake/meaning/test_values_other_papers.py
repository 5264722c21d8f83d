"""Days of other papers beside the registration and the certificate: asked about, never taken. Common practice, no source."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.intake.sheets import Answers, Intake, read_given

READ_ON = date(2026, 12, 1)
DAYS = ("2027-05-01", "2028-06-01", "2027-08-01")
BARE = ("Exp", "Expires", "Good thru", "Valid until", "Exp date")
OTHER_PAPERS = (
    "Insurance carrier",
    "Policy #",
    "COI",
    "Waiver",
    "COA #",
    "County permit",
    "Warranty",
    "Subscription",
    "FCC license",
    "State reg #",
    "Service contract",
)


def taken(head: list[str], *cells: str) -> Intake:
    """Three rows under headings of which the last two are given; the rest is the aircraft's or the pilot's own."""
    own = {
        "Drone": ("Fern {0}", "FA00TEST0{0}", "ZZ9Z3A0{0}"),
        "Pilot": ("{1}", "000001{0}"),
    }[head[0]]
    people = ("Ana Bell", "Bob Coe", "Cy Dunn")
    rows = [
        [*(one.format(place, people[place]) for one in own), *cells, day] for place, day in enumerate(DAYS)
    ]
    text = "\n".join(",".join(row) for row in [head, *rows])
    return read_given([("list.csv", text.encode())], Answers(read_on=READ_ON))


def stated(intake: Intake, *keys: str) -> list[str]:
    return [item.statement.key for item in intake.known if item.statement.key in keys]


@pytest.mark.parametrize("bare", BARE)
@pytest.mark.parametrize("paper", OTHER_PAPERS)
def test_a_bare_end_behind_another_paper_is_asked_about(paper: str, bare: str) -> None:
    """Also with a second bare day between: policy, issued, expires."""
    for between in ([], ["Issued"]):
        head = ["Drone", "FAA number", "RID serial", paper, *between, bare]
        intake = taken(head, "Able Co", *("2026-01-05" for _ in between))
        assert not stated(intake, "expires_on", "issued_on")
        asked = {column.heading for column in intake.columns if column.why}
        assert {bare, *between} <= asked


@pytest.mark.parametrize("bare", BARE)
@pytest.mark.parametrize("paper", ["CPR card", "Driver license", "Pesticide lic", "FCC license"])
def test_of_a_person_as_well(paper: str, bare: str) -> None:
    intake = taken(["Pilot", "107 certificate number", paper, bare], "yes")
    assert not stated(intake, "recurrent_due_on", "completed_on")


@pytest.mark.parametrize("bare", BARE)
def test_a_bare_end_behind_the_own_paper_is_read(bare: str) -> None:
    aircraft = taken(["Drone", "FAA number", "RID serial", bare])
    assert len(stated(aircraft, "expires_on")) == len(DAYS)
    person = taken(["Pilot", "107 certificate number", bare])
    assert len(stated(person, "recurrent_due_on")) == len(DAYS)


@pytest.mark.parametrize("heading", ["License exp", "Lic. expires", "Next", "Upcoming"])
def test_a_day_that_doesnt_say_of_what_is_asked_about(heading: str) -> None:
    aircraft = taken(["Drone", "FAA number", "RID serial", heading])
    person = taken(["Pilot", "107 certificate number", heading])
    assert not stated(aircraft, "expires_on") + stated(person, "recurrent_due_on")
