"""`airwrit incident` as a user meets it: facts in a file or one by one, questions, JSON, exit codes, what can't be read."""

from __future__ import annotations

import contextlib
import hashlib
import json
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from airwrit.cli.write.incident import command
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.cli.command import run

AT = ("--at", "2026-12-01T16:10-07:00")
CAR = (
    "--set",
    "happened_on=2026-12-01 2:40 PM",
    "--set",
    "incident_zone=America/Denver",
    "--set",
    "incident_under=Part 107",
    "--set",
    "anyone_hurt=nobody",
    "--set",
    "damaged_property=property apart from the aircraft",
    "--set",
    "repair_cost_usd=$1,150",
    "--set",
    "total_loss=no",
)
ANSWERS = "2026-12-01 14:40\n36.0542, -79.9792\n?\n?\n1\n1\n1\nnone\nno\nno\nyes\nno\n"


def test_it_says_whom_to_notify_by_when(tmp_path: Path) -> None:
    done = run(tmp_path, "incident", *CAR, *AT)
    assert done.returncode == 3
    assert "Notify the FAA by Dec 11, 2026, 11:59 PM MST." in done.stdout
    assert "Help anyone hurt. Call 911." in done.stdout
    assert "not asked yet" in done.stdout


def test_the_questions_come_one_by_one(tmp_path: Path) -> None:
    with contextlib.chdir(tmp_path):
        done = CliRunner().invoke(command, ["--at", "2026-12-01T16:10-05:00"], input=ANSWERS)
    assert "Did any of these happen? Enter the numbers, or none." in done.output
    assert "Based on your answers, nothing is on the NTSB's list. Call to be sure." in done.output
    assert "Incident Dec 1, 2026, 2:40 PM EST" in done.output


def test_the_document(tmp_path: Path) -> None:
    (tmp_path / "crash.toml").write_text(
        '[incident]\nhappened_on = 2026-12-01T14:40:00-07:00\nincident_zone = "America/Denver"\nflew_away = true\n'
        'anyone_hurt = "nobody"\nairworthiness_certificate = false\n',
        encoding="utf-8",
    )
    done = run(tmp_path, "incident", "--facts", "crash.toml", "--json", *AT)
    document = json.loads(done.stdout)
    ntsb = next(one for one in document["notices"] if one["notice"] == "notify_ntsb")
    assert (ntsb["must"], ntsb["at_once"], ntsb["cites"]) == ("call", True, "49 CFR 830.5")
    assert {one["fact"] for one in document["open_questions"]} >= {"fire_in_flight", "damaged_property"}


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("happened_on=yesterday-ish", "happened_on"),
        ("happened_time=25:00", "isn't a time"),
        ("incident_zone=America/Nowhere", "No time zone is called"),
        ("repair_cost_usd=lots", "repair_cost_usd"),
        ("no_such=1", "Incidents have no fact"),
        ("anyone_hurt", "has no answer"),
        ("harmed_on=2026-12-01 16:00", "has no time zone"),
    ],
)
def test_what_cannot_be_read_is_said(tmp_path: Path, typed: str, says: str) -> None:
    done = run(tmp_path, "incident", "--set", typed, *AT)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stderr.count("\n") == 1


def test_it_answers_at_once(tmp_path: Path) -> None:
    """Under 0.3 s of processor time, once the program is loaded."""
    run(tmp_path, "incident", *CAR, *AT)
    start = time.process_time()
    run(tmp_path, "incident", *CAR, *AT)
    assert time.process_time() - start < 0.3


CRASH = """[incident]
happened_on = 2026-11-20
happened_time = "14:40"
incident_zone = "America/Denver"
incident_aircraft = "Ivy 1"
anyone_hurt = "nobody"
narrative = "Lost height. Came down on a car."
"""


def saved(folder: Path, day: str, near_miss: str = "false") -> None:
    """An incident of a day, put on record."""
    text = CRASH.replace("2026-11-20", day) + f"near_miss = {near_miss}\n"
    (folder / "crash.toml").write_text(text, encoding="utf-8")
    done = run(folder, "incident", "--facts", "crash.toml", "--save", "--yes", "--by", "Tester", *AT)
    assert done.returncode == 3, done.stderr


def test_it_is_saved_with_a_hold_and_its_evidence(tmp_path: Path) -> None:
    saved(tmp_path, "2026-11-20")
    (tmp_path / "flight.log").write_bytes(b"log")
    name = "2026-11-20 Ivy 1"
    done = run(
        tmp_path, "incident", name, "--keep-file", "flight.log", "--yes", "--by", "Tester", "--json", *AT
    )
    assert json.loads(done.stdout)["happened_at"] == "2026-11-20T14:40:00-07:00"
    digest = hashlib.sha256(b"log").hexdigest()
    assert json.loads(done.stdout)["facts"]["kept_as_evidence"] == f"flight.log sha256:{digest}"
    holds = json.loads(run(tmp_path, "legal-hold", "--list", "--json").stdout)["holds"]
    assert [one["of"] for one in holds] == [f"incident/{name}"]
    with Ledger(tmp_path / "program.airwrit") as book:
        file = book.file(digest)
        assert file is not None
        assert file.data == b"log"


def test_nothing_is_saved_without_a_yes_or_without_a_day(tmp_path: Path) -> None:
    (tmp_path / "crash.toml").write_text(CRASH, encoding="utf-8")
    assert run(tmp_path, "incident", "--facts", "crash.toml", "--save", "--by", "Tester", *AT).returncode == 2
    assert not (tmp_path / "program.airwrit").exists()
    done = run(tmp_path, "incident", "--set", "anyone_hurt=nobody", "--save", "--yes", "--by", "Tester", *AT)
    assert "An incident needs its date" in done.stderr


def test_three_near_misses_in_thirty_days_are_pointed_out(tmp_path: Path) -> None:
    for day in ("2026-10-20", "2026-11-05", "2026-11-19"):
        saved(tmp_path, day, "true")
    done = run(tmp_path, "incident", "--list")
    assert "near misses from" not in done.stdout
    saved(tmp_path, "2026-11-18", "true")
    done = run(tmp_path, "incident", "--list")
    assert done.returncode == 0
    assert "4 near misses from Oct 20, 2026 to Nov 19, 2026, 3 or more of them within 30 days." in done.stdout
    assert (
        json.loads(run(tmp_path, "incident", "--list", "--json").stdout)["near_misses_close_together"][0][
            "many"
        ]
        == 4
    )


def test_the_worksheet_has_what_each_report_asks(tmp_path: Path) -> None:
    (tmp_path / "crash.toml").write_text(CRASH, encoding="utf-8")
    run(tmp_path, "incident", "--facts", "crash.toml", "--worksheet", "reports.pdf", *AT)
    text = "".join(page.extract_text() for page in PdfReader(tmp_path / "reports.pdf").pages)
    assert "FAA safety event report" in text
    assert "Came down on a car" in text
    assert "Nov 20, 2026, 2:40 PM MST" in text


def test_the_aircraft_and_the_papers_on_record_count(tmp_path: Path) -> None:
    """A 70 lb aircraft is outside Part 107; a policy's term is read from the record."""
    with Ledger.at(tmp_path / "program.airwrit") as book:
        said = [
            ("aircraft/Ivy 1", "takeoff_weight_g", "31751"),
            ("aircraft/Ivy 1", "scale_error_g", "0"),
            ("paper/Liability", "paper_kind", "insurance policy"),
            ("paper/Liability", "notice_within_hours", "24"),
        ]
        draft = Draft("Tester", "record", tuple(Statement(*one) for one in said))
        book.append([draft], lambda: datetime(2026, 11, 1, tzinfo=UTC))
    (tmp_path / "crash.toml").write_text(CRASH + "serious_injury = true\n", encoding="utf-8")
    done = run(tmp_path, "incident", "--facts", "crash.toml", "--json", "--at", "2026-11-21T12:00-07:00")
    notices = {one["notice"]: one for one in json.loads(done.stdout)["notices"]}
    assert notices["report_107_9"]["must"] == "read"
    assert notices["insurance"]["due_at"] == "2026-11-21T14:40:00-07:00"


def test_a_notice_is_marked_as_sent_and_leaves_the_deadlines(tmp_path: Path) -> None:
    name = ("--set", "incident_aircraft=Ivy 1", "--set", "flew_away=no")
    assert run(tmp_path, "incident", *CAR, *name, *AT, "--save", "--yes", "--by", "me").returncode in (1, 3)
    named = "2026-12-01 Ivy 1"
    before = json.loads(run(tmp_path, "deadlines", "--on", "2026-12-01", "--json").stdout)
    assert "report_107_9" in [one["notice"] for one in before["notices"]]
    told = (
        "--sent",
        "faa",
        "--sent-on",
        "2026-12-01 15:00",
        "--sent-by",
        "Nela Quist",
        "--reference",
        "F-118",
    )
    assert "notice 2026-12-01" in run(tmp_path, "incident", named, *told, *AT, "--yes", "--by", "me").stdout
    document = json.loads(run(tmp_path, "incident", named, *AT, "--json").stdout)
    faa = next(one for one in document["notices"] if one["notice"] == "report_107_9")
    assert (faa["must"], faa["says"]) == (
        "done",
        "Sent Dec 1, 2026, 3:00 PM MST by Nela Quist. Reference F-118.",
    )
    after = json.loads(run(tmp_path, "deadlines", "--on", "2026-12-01", "--json").stdout)
    assert "report_107_9" not in [one["notice"] for one in after["notices"]]
    refused = run(tmp_path, "incident", named, "--sent", "faa", *AT, "--yes", "--by", "me")
    assert refused.returncode == 2
    assert "when it was sent" in refused.stderr
