"""`airwrit check-authorization` as a user meets it: a file of facts, papers of the records, a request, JSON, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

from tests.unit.cli.command import run

FLIGHT = """
on = "2026-12-05T10:00:00-05:00"
[flight]
flight_under = "Part 107"
height_agl_ft = "50"
height_set = "15 m"
flight_starts_on = "2026-12-05T10:00:00-05:00"
flight_ends_on = "2026-12-05T16:00:00-05:00"
[site]
airspace_class = "D"
notice_covers = false
flight_area = "36.05, -79.98 within 300 m"
"""
PAPER = """
[[paper]]
id = "L1"
paper_kind = "authorization"
paper_state = "granted"
given_by = "FAA automated service"
authorizes_from_on = "2026-12-05T09:00:00-05:00"
authorizes_until_on = "2026-12-05T17:00:00-05:00"
authorized_height_ft = "50"
authorized_area = "36.05, -79.98 within 1 km"
"""


def test_words_json_and_exit_codes(tmp_path: Path) -> None:
    facts = tmp_path / "flight.toml"
    facts.write_text(FLIGHT + PAPER, encoding="utf-8")
    done = run(tmp_path, "check-authorization", "flight.toml")
    assert done.returncode == 0
    assert "Covered. Every point of Authorization L1 fits this flight." in done.stdout
    assert "set to 49.2 ft (15 m), which is within 50 ft (15.2 m)." in " ".join(done.stdout.split())
    facts.write_text(FLIGHT, encoding="utf-8")
    bare = run(tmp_path, "check-authorization", "flight.toml")
    assert (bare.returncode, "none is on file" in bare.stdout) == (1, True)
    facts.write_text((FLIGHT + PAPER).replace("17:00:00", "15:00:00"), encoding="utf-8")
    document = json.loads(run(tmp_path, "check-authorization", "flight.toml", "--json").stdout)
    assert document["verdict"] == "not_met"
    assert document["papers"][0]["uncovered"] == ["end"]


def test_a_paper_of_the_records(tmp_path: Path) -> None:
    run(tmp_path, "demo", "--on", "2026-11-25", "--no-page")
    paper = [line.split(" = ") for line in PAPER.strip().splitlines()[2:]]
    told = [f"{name}={value.strip(chr(34))}" for name, value in paper]
    assert run(tmp_path, "record-change", "paper/L1", *told, "--yes", "--clock-is-right").returncode == 0
    (tmp_path / "flight.toml").write_text(FLIGHT, encoding="utf-8")
    ledger = next(tmp_path.glob("*.airwrit"), tmp_path / "program.airwrit").name
    done = run(tmp_path, "check-authorization", "flight.toml", "--ledger", ledger)
    assert (done.returncode, done.stderr) == (0, "")


def test_the_request_and_what_is_refused(tmp_path: Path) -> None:
    facts = tmp_path / "flight.toml"
    facts.write_text(FLIGHT, encoding="utf-8")
    text = " ".join(run(tmp_path, "check-authorization", "flight.toml", "--request").stdout.split())
    assert "36.05, -79.98 within 300 m" in text
    assert "A request isn't an approval." in text
    facts.write_text(PAPER, encoding="utf-8")
    refused = run(tmp_path, "check-authorization", "flight.toml")
    assert (refused.returncode, "he file has no flight" in refused.stderr) == (2, True)
