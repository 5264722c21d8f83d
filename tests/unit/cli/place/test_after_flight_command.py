"""`airwrit after-flight`: one log, a folder with bad files and links, an archive, and a stopped run that goes on."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from tests.unit.cli.command import run
from tests.unit.cli.place.bad_logs import BAD
from tests.unit.tracks.made import HOME, bump
from tests.unit.tracks.readers.messages.test_telemetry import flight

TOLD = ("--heights-from", "sea_level", "--for", "work", "--level-ground", "10 ft")


def gpx(path: Path, peak_m: float, start: datetime = datetime(2026, 6, 10, 15, tzinfo=UTC)) -> None:
    """A flight of ten minutes, straight up and down again."""
    heights = 500 + bump(60, 500, peak_m, 60)(np.arange(601.0))
    points = "".join(
        f'<trkpt lat="{HOME.latitude_deg}" lon="{HOME.longitude_deg}"><ele>{height:.2f}</ele>'
        f"<time>{start + timedelta(seconds=at):%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for at, height in enumerate(heights)
    )
    path.write_text(
        f'<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>"
    )


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    folder = tmp_path / "logs"
    folder.mkdir()
    for name, peak in (("low", 50.0), ("high", 180.0)):
        gpx(folder / f"{name}.gpx", peak)
    (folder / "bad.gpx").write_text("<gpx><trk>")
    (folder / "link.gpx").symlink_to(folder / "high.gpx")
    return folder


def test_one_log(logs: Path, tmp_path: Path) -> None:
    ran = run(tmp_path, "after-flight", str(logs / "high.gpx"), *TOLD)
    assert ran.returncode == 1
    assert "The flight went past 1 limit. The aircraft climbed to 590.6 ft (180 m) above ground." in " ".join(
        ran.stdout.split()
    )
    assert "14 CFR 107.51(b)" in ran.stdout
    document = json.loads(run(tmp_path, "after-flight", str(logs / "high.gpx"), *TOLD, "--json").stdout)
    (height,) = [one for one in document["clauses"] if one["name"] == "height_limit"]
    assert height["verdict"] == "not_met"
    assert height["intervals"][0]["start"]["utc"].startswith("2026-06-10T15:01:")


def test_the_report_is_saved_as_a_pdf_and_a_folder_has_none(logs: Path, tmp_path: Path) -> None:
    report = tmp_path / "report.pdf"
    ran = run(tmp_path, "after-flight", str(logs / "high.gpx"), *TOLD, "--pdf", str(report))
    assert f"The report is in {report}." in " ".join(ran.stdout.split())
    assert report.read_bytes().startswith(b"%PDF-")
    refused = run(tmp_path, "after-flight", str(logs), "--pdf", str(report))
    assert refused.returncode == 2
    assert "a report is of one log" in refused.stderr.lower()


def test_a_folder_goes_on_where_it_was_stopped(logs: Path, tmp_path: Path) -> None:
    many = ("after-flight", str(logs), *TOLD, "--results", "done.jsonl", "--archive", "flown", "--json")
    first = run(tmp_path, *many)
    assert first.returncode == 1
    flights = json.loads(first.stdout)["flights"]
    assert [one["log"] for one in flights] == ["high.gpx", "bad.gpx", "low.gpx"]
    assert flights[1]["refused"]
    done = tmp_path / "done.jsonl"
    kept = done.read_text()
    done.write_text(kept[:-30])  # cut off in the middle of a line
    again = run(tmp_path, *many)
    assert json.loads(again.stdout)["flights"] == flights
    months = sorted(path.name for path in (tmp_path / "flown" / "results").iterdir())
    assert months == ["month=2026-06", "month=no-date"]
    for cores in ((), ("--one-core",)):
        archived = run(tmp_path, "after-flight", "flown", "--level-ground", "10 ft", *cores, "--json")
        assert [one["log"] for one in json.loads(archived.stdout)["flights"]] == ["high.gpx", "low.gpx"]


def test_a_folder_is_matched_to_planned_flights(logs: Path, tmp_path: Path) -> None:
    for kind, fact in (("aircraft/Fern 1", "used_for=work"), ("person/Ansel Wray", "role=pilot")):
        run(tmp_path, "record-change", kind, fact, "--by", "Ansel Wray", "--yes")
    area = f"{HOME.latitude_deg}, {HOME.longitude_deg}"
    for name, hour in (("Quarry", "10:00"), ("Bridge", "16:00")):
        until = hour.replace(":00", ":05")
        who = (
            "--aircraft",
            "Fern 1",
            "--pilot",
            "Ansel Wray",
            "--for",
            "work",
            "--by",
            "Ansel Wray",
            "--yes",
        )
        planned = run(
            tmp_path, "before-flight", area, "--radius", "300", "--from", f"2026-06-10 {hour}", "--until", until,
            "--height", "300", "--save", name, *who,
        )  # fmt: skip
        assert "Saved" in planned.stdout, planned.stdout + planned.stderr
    (logs / "low.gpx").unlink()
    document = json.loads(run(tmp_path, "after-flight", str(logs), *TOLD, "--json").stdout)
    (high,) = [one for one in document["flights"] if one["log"] == "high.gpx"]
    assert high["flight"] == "Quarry"
    assert any("above the planned 300 ft" in says for says in high["differs"])
    assert document["without_log"] == ["Bridge"]
    shown = " ".join(run(tmp_path, "after-flight", str(logs), *TOLD).stdout.split())
    assert "Planned as 'Quarry'." in shown
    assert "1 of 2 logs match a planned flight. Flown differently: 1." in shown
    one = " ".join(run(tmp_path, "after-flight", str(logs / "high.gpx"), *TOLD).stdout.split())
    assert "We matched this log to the planned flight 'Quarry'" in one


def test_saving_logs_the_flight_once(logs: Path, tmp_path: Path) -> None:
    for kind, fact in (("aircraft/Fern 1", "used_for=work"), ("person/Ansel Wray", "role=pilot")):
        run(tmp_path, "record-change", kind, fact, "--by", "Ansel Wray", "--yes")
    named = ("--aircraft", "Fern 1", "--pilot", "Ansel Wray", "--save", "--yes", "--by", "Ansel Wray")
    log = ("after-flight", str(logs / "low.gpx"), *TOLD, *named)
    first = run(tmp_path, *log)
    assert "Saved in program.airwrit" in first.stdout, first.stderr + first.stdout
    assert "already on record" in run(tmp_path, *log).stdout
    hours = json.loads(run(tmp_path, "flight-hours", "--json").stdout)
    assert hours["flights"] == 1


def test_saving_a_folder_logs_each_flight_once(logs: Path, tmp_path: Path) -> None:
    """Hours and landings of every log reach the records; a flight logged by hand at about that time is left out and told."""
    for kind, fact in (("aircraft/Fern 1", "used_for=work"), ("person/Ansel Wray", "role=pilot")):
        run(tmp_path, "record-change", kind, fact, "--by", "Ansel Wray", "--yes")
    (logs / "high.gpx").unlink()
    gpx(logs / "late.gpx", 60.0, datetime(2026, 6, 11, 15, tzinfo=UTC))
    many = ("after-flight", str(logs), *TOLD, "--aircraft", "Fern 1", "--pilot", "Ansel Wray")
    saving = (*many, "--save", "--yes", "--by", "Ansel Wray")
    document = json.loads(run(tmp_path, *many, "--json").stdout)
    (by_aircraft,) = document["totals"]["aircraft"]
    assert (by_aircraft["name"], by_aircraft["flights"], by_aircraft["landings"]) == ("Fern 1", 2, 2)
    shown = json.loads(run(tmp_path, *many, "--save", "--by", "Ansel Wray", "--json").stdout)["saving"]
    assert [one["log"] for one in shown["flights"]] == ["late.gpx", "low.gpx"]
    saved = " ".join(run(tmp_path, *saving).stdout.split())
    assert "low.gpx: Fern 1, flown by Ansel Wray, Jun 10, 2026" in saved
    assert "Logged 2 flights in program.airwrit as entries 3 to 4." in saved
    assert "By pilot Ansel Wray: 2 flights" in saved
    hours = json.loads(run(tmp_path, "flight-hours", "--json").stdout)
    assert (hours["flights"], hours["aircraft"][0]["landings"]) == (2, "2")
    again = run(tmp_path, *saving).stdout
    assert "low.gpx: This flight is already on record." in again
    assert "Logged" not in again
    gpx(logs / "shifted.gpx", 60.0, datetime(2026, 6, 10, 15, 2, tzinfo=UTC))
    assert "may be the same flight" in run(tmp_path, *saving).stdout
    assert json.loads(run(tmp_path, "flight-hours", "--json").stdout)["flights"] == 2


def test_a_log_of_two_vehicles_is_of_no_one_aircraft(tmp_path: Path) -> None:
    """Each is answered by itself; a name is taken for one of them alone, and none is guessed."""
    for kind, fact in (("aircraft/Fern 1", "used_for=work"), ("person/Ansel Wray", "role=pilot")):
        run(tmp_path, "record-change", kind, fact, "--by", "Ansel Wray", "--yes")
    (tmp_path / "Fern 1").mkdir()
    log = tmp_path / "Fern 1" / "two.tlog"
    log.write_bytes(flight(rows=60) + flight(system=7, rows=60))
    both = run(tmp_path, "after-flight", str(log), "--json")
    assert len(json.loads(both.stdout)["flights"]) == 2
    named = run(tmp_path, "after-flight", str(log), "--aircraft", "Fern 1")
    assert named.returncode == 2
    assert "The log has 2 vehicles. Choose one of 1, 7" in named.stderr
    one = run(tmp_path, "after-flight", str(log), "--aircraft", "Fern 1", "--vehicle", "7", "--json")
    assert json.loads(one.stdout)["flown"]["aircraft"] == "aircraft/Fern 1"
    many = json.loads(run(tmp_path, "after-flight", str(tmp_path / "Fern 1"), "--json").stdout)
    assert {flight["aircraft"] for flight in many["flights"]} == {""}


def test_a_table_whose_columns_are_open_gives_a_mapping_to_complete(tmp_path: Path) -> None:
    rows = "".join(
        f"2026-06-10T15:00:{at:02d}Z,{HOME.latitude_deg},{HOME.longitude_deg},{at}\n" for at in range(40)
    )
    (tmp_path / "log.csv").write_text(f"time,lat,lon,alt\n{rows}")
    asked = run(tmp_path, "after-flight", "log.csv")
    assert asked.returncode == 2
    assert "What unit is the column alt in? Choose one of: m, ft, cm, mm." in asked.stdout
    assert "add --columns columns.toml" in asked.stderr
    (tmp_path / "columns.toml").write_text(
        asked.stdout.replace('is = "height"', 'is = "height"\nunit = "m"\nfrom = "takeoff"')
    )
    assert run(tmp_path, "after-flight", "log.csv", "--columns", "columns.toml").returncode in (1, 3)
    document = json.loads(run(tmp_path, "after-flight", "log.csv", "--json").stdout)
    assert document["verdict"] == "unknown"
    assert [one["asks"] for one in document["questions"]] == ["unit", "datum"]


def test_a_table_none_of_whose_headings_say_anything_is_asked_about(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text("Breite;Laenge;Hoehe\n38,5001;-98,5001;1,5\n38,5002;-98,5001;2,5\n")
    done = run(tmp_path, "after-flight", str(log))
    assert done.returncode == 2
    assert 'headings = ["Breite", "Laenge", "Hoehe"]' in done.stdout
    assert "Which column is the latitude" in done.stdout


@pytest.mark.parametrize(("name", "make", "says"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_a_bad_log_by_command(tmp_path: Path, name: str, make: Callable[[], bytes], says: str) -> None:
    """Read or refused, stdout is the document or empty: nothing that a library prints."""
    log = tmp_path / name
    log.write_bytes(make())
    told = ("after-flight", str(log), "--heights-from", "sea_level", "--on", "2026-11-24")
    done, document = run(tmp_path, *told), run(tmp_path, *told, "--json")
    words = " ".join((done.stdout + done.stderr).split())
    assert says.casefold() in words.casefold()
    assert "Traceback" not in words
    if document.stdout:
        assert json.loads(document.stdout)["question"] == "after_flight"
    else:
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr.startswith("airwrit: ")
    assert sorted(path.name for path in tmp_path.iterdir()) == [name]


def test_a_log_of_three_gigabytes_by_command(tmp_path: Path) -> None:
    log = tmp_path / "log.gpx"
    log.write_bytes(BAD[3][2]() * 30)
    with log.open("r+b") as file:
        file.truncate(3_000_000_000)
    done = run(tmp_path, "after-flight", str(log))
    assert (done.returncode, done.stdout) == (2, "")
    assert "The log is 3,000 MB. We read up to" in done.stderr


def test_links_in_a_folder_lead_nowhere(tmp_path: Path) -> None:
    """A link to a log outside, one to a folder, and one to itself: none is read, and the log beside them is."""
    outside, logs = tmp_path / "outside", tmp_path / "logs"
    outside.mkdir()
    logs.mkdir()
    gpx(outside / "other.gpx", 50.0)
    gpx(logs / "own.gpx", 50.0)
    (logs / "link.gpx").symlink_to(outside / "other.gpx")
    (logs / "folder").symlink_to(outside)
    (logs / "itself").symlink_to(logs)
    many = json.loads(
        run(tmp_path, "after-flight", str(logs), "--heights-from", "sea_level", "--json").stdout
    )
    assert [one["file"] for one in many["flights"]] == ["own.gpx"]
