"""The view of a day: the answer in sentences, posts by headline, what to fix by cause, what expires next."""

from __future__ import annotations

import tomllib
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from airwrit.answers.acts.step import steps_table
from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.standing import today as module
from airwrit.answers.standing.headline import Headline
from airwrit.answers.standing.standing import Standing, standing
from airwrit.answers.standing.today import Today, today_members, today_of
from airwrit.facts.choices import UsedFor
from airwrit.intake.sheets import read_sheets
from airwrit.law.rulebook import BY_NAME

ON = date(2026, 11, 25)
HEAD = (
    "Aircraft,used_for,owner,registration,registration_kind,issued_on,registered_to,mark_place,remote_id_way,"
    "remote_id_serial,listed_serial,declaration_accepted,takeoff_weight_g,owner_kind,organized_in_us,based_and_used_in_us\n"
)


def fleet(folder: Path, many: int) -> Standing:
    """A fleet in which every fifth registration has expired and every seventh number is inside."""
    rows = [HEAD]
    for number in range(many):
        serial = f"ZZ9Z7TEST{number:03d}"
        issued = "2023-10-05" if number % 5 == 0 else "2024-01-10" if number % 5 == 1 else "2025-03-01"
        mark = "inside" if number % 7 == 3 else "" if number % 7 == 4 else "outside"
        rows.append(
            f"Unit {number},work,County,FA{number // 100:02d}TEST{number % 100:02d},Part 48 per aircraft,{issued},"
            f"County,{mark},standard,{serial},{serial},yes,1400,corporation,yes,yes\n"
        )
    path = folder / "fleet.csv"
    path.write_text("".join(rows), encoding="utf-8")
    read = read_sheets([path])
    known = told_for_all(read.known, UsedFor.WORK, None)
    return standing(known, ON, datetime(2026, 11, 25, 12, tzinfo=UTC), read.problems)


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> Today:
    """The day of seventy aircraft."""
    return today_of(fleet(tmp_path_factory.mktemp("today"), 70))


def test_the_answer_counts_everything_once(view: Today) -> None:
    (strip,) = view.strips
    assert sum(len(lot.posts) for lot in strip.lots) == strip.many == 70
    counts = [strip.of(headline) for headline in (Headline.GROUNDED, Headline.WORK, Headline.CANT_SAY)]
    assert view.say == (
        (
            f"{counts[0]} of 70 aircraft are grounded. {counts[1]} have papers OK for work. "
            f"We can't tell yet for {counts[2]}."
        ),
    )


def test_a_cause_is_one_line_with_all_of_whom_it_is_so(view: Today) -> None:
    assert len({(fix.cause, fix.flight) for fix in view.fixes}) == len(view.fixes)
    first = view.fixes[0]
    assert (first.do, len(first.subjects), first.flight) == ("Register 14 aircraft", 14, "Before they fly")
    assert first.why == "Registration expired 2026-10-05. There is no grace period."
    assert first.cites.startswith("14 CFR 48.")
    grounded = {row.subject for row in view.standing.rows if row.headline is Headline.GROUNDED}
    assert grounded <= {subject for fix in view.fixes for subject in fix.subjects}


def test_over_sixty_what_is_grounded_stands_by_its_cause(view: Today) -> None:
    lots = [lot for lot in view.strips[0].lots if lot.headline is Headline.GROUNDED]
    assert [(lot.short, lot.fix) for lot in lots] == [("Registration", 1), ("Number on the outside", 2)]


def test_few_stand_together_with_their_names(tmp_path: Path) -> None:
    lots = today_of(fleet(tmp_path, 20)).strips[0].lots
    assert [lot.headline for lot in lots] == [Headline.GROUNDED, Headline.CANT_SAY, Headline.WORK]


def test_what_only_is_missing_is_asked_for_and_no_line_to_fix(view: Today) -> None:
    asked = {subject for gap in view.standing.gaps for subject in gap.holds_up}
    told = {subject for fix in view.fixes if fix.cause == "mark" for subject in fix.subjects}
    assert asked
    assert not asked & told


def test_what_expires_next_lies_within_ninety_days_and_is_not_told_twice(view: Today) -> None:
    (one,) = view.expires
    assert (str(one.day), one.what) == ("2026-12-31", "Renew the registrations of 14 aircraft")
    assert all(ON <= line.day <= ON + timedelta(days=90) for line in view.expires)


def test_the_document_says_what_was_not_checked(view: Today) -> None:
    told = today_members(view)
    assert told["not_checked"] == ["airspace", "weather", "people below", "the aircraft's condition"]
    assert told["fix_first"][0]["step"]["act"] == "register"
    assert told["fix_first"][0]["subjects"][0] == "aircraft/Unit 0"


def test_every_cause_covers_rules_there_are_and_reads_as_one_line() -> None:
    table = tomllib.loads(Path(module.__file__).with_name("causes.toml").read_text(encoding="utf-8"))
    covered = [one for row in table.values() for one in row["covers"]]
    assert len(covered) == len(set(covered))
    assert {one.partition(".")[0] for one in covered} <= set(BY_NAME)
    assert set(steps_table()) <= set(BY_NAME)
    for row in table.values():
        assert "{many}" in row["many"]
        assert len(row["many"].split()) <= 14
