"""Carry, enter, hours and the hand-over from the outside: shown, kept, counted, released, and taken in once."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import segno

from tests.unit.cli.command import run

FLEET = "Aircraft,Use,Owner\nH-03,work,Tarn\nH-04,work,Tarn\n"
CREW = "Name,Flies for,Cert #\nIvo Brask,work,0000001\n"
LANDED = "2026-03-02T10:20-05:00"
ENTER = ("log-flight", "--aircraft", "h-03", "--pilot", "ivo brask", "--landed", LANDED, "--by", "ada")
ON = ("--on", "2026-03-03")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a ledger of two aircraft and a pilot."""
    (tmp_path / "fleet.csv").write_text(FLEET, encoding="utf-8")
    (tmp_path / "crew.csv").write_text(CREW, encoding="utf-8")
    done = run(tmp_path, "import", "fleet.csv", "crew.csv", "--yes", "--by", "ada")
    assert "entries saved to" in done.stdout, done.stderr
    return tmp_path


def told(folder: Path, *arguments: str) -> dict[str, Any]:
    """What a command says as JSON."""
    document: dict[str, Any] = json.loads(run(folder, *arguments, "--json").stdout)
    return document


def test_a_flight_is_shown_and_kept_only_with_a_yes(folder: Path) -> None:
    shown = run(folder, *ENTER, "--minutes", "14", "--packs", "P1,P2")
    assert shown.returncode == 3
    assert "aircraft flown: H-03" in shown.stdout
    assert "Nothing was" in shown.stdout
    assert told(folder, "flight-hours", *ON)["flights"] == 0
    assert run(folder, *ENTER, "--minutes", "14", "--packs", "P1,P2", "--yes").returncode == 0
    hours = told(folder, "flight-hours", *ON)
    assert [(one["name"], one["minutes"], one["landings"]) for one in hours["aircraft"]] == [
        ("H-03", "14", "1")
    ]
    assert [(one["name"], one["cycles"]) for one in hours["packs"]] == [("P1", 1), ("P2", 1)]
    again = run(folder, *ENTER, "--minutes", "14", "--packs", "P1,P2", "--yes")
    assert (again.returncode, "Nothing to save" in again.stdout) == (0, True)


def test_a_correction_changes_what_it_says_and_no_more(folder: Path) -> None:
    run(folder, *ENTER, "--minutes", "14", "--landings", "3", "--yes")
    assert "CONTRADICTED" in run(folder, *ENTER, "--minutes", "15").stdout
    assert run(folder, *ENTER, "--minutes", "15", "--correct", "--yes").returncode == 0
    (one,) = told(folder, "flight-hours", *ON)["aircraft"]
    assert (one["minutes"], one["landings"]) == ("15", "3")


def test_an_open_defect_shows_until_it_is_released(folder: Path) -> None:
    def verdicts(on: str) -> list[str]:
        found = told(folder, "today", "--on", on)["findings"]
        mine = [f for f in found if f["subject"] == "aircraft/H-03" and f["rule"] == "defect_released"]
        return [f["verdict"] for f in mine]

    assert verdicts("2026-03-04") == ["not_applicable"]
    run(folder, *ENTER, "--defect", "crack in the left arm", "--yes")
    assert verdicts("2026-03-01") == ["not_applicable"]
    assert verdicts("2026-03-04") == ["unknown"]
    release = ("log-flight", "--aircraft", "H-03", "--release", "2026-03-05", "--by", "ada", "--yes")
    assert run(folder, *release).returncode == 0
    assert verdicts("2026-03-04") == ["unknown"]
    assert verdicts("2026-03-05") == ["not_applicable"]
    assert "No open defect" in run(folder, *release).stderr


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--aircraft", "H-09", "--pilot", "Ivo Brask"), "Did you mean H-04?"),
        (("--aircraft", "H-03", "--pilot", "Ivo Brask", "--minutes", "0"), "--minutes: '0' can't be right."),
        (("--aircraft", "H-03"), "--pilot: the flight doesn't say who flew."),
        (("--aircraft", "H-03", "--pilot", "Ivo Brask", "--landed", "2026-03-02T10:20"), "its zone"),
        (
            ("--aircraft", "H-03", "--pilot", "Ivo Brask", "--release", "2026-03-02"),
            "A sign-off isn't a flight.",
        ),
        (("--aircraft", "H-03", "--release", "soon"), "--release"),
    ],
)
def test_wrong_use_is_one_line_and_keeps_nothing(folder: Path, arguments: tuple[str, ...], says: str) -> None:
    before = (folder / "program.airwrit").read_bytes()
    done = run(folder, "log-flight", *arguments, "--yes")
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stderr.count("\n") == 1
    assert (folder / "program.airwrit").read_bytes() == before


def test_a_pack_is_written_for_phone_and_paper(folder: Path) -> None:
    done = run(folder, "pilot-papers", "Ivo Brask", *ON, "--aircraft", "H-03", "--pdf", "pack.pdf")
    assert done.returncode == 3, done.stderr
    page = (folder / "carry-ivo-brask-2026-03-03.html").read_text(encoding="utf-8")
    assert "0000001" in page
    assert (folder / "pack.pdf").read_bytes().startswith(b"%PDF")
    assert "No pilot is named 'Zed'." in run(folder, "pilot-papers", "Zed", *ON).stderr
    for name in ("carry-ivo-brask-2026-03-03.html", "pack.pdf"):
        assert (folder / name).stat().st_mode & 0o777 == 0o600


def test_the_pilot_may_be_written_in_any_case(folder: Path) -> None:
    pack = told(folder, "pilot-papers", "  ivo   BRASK", *ON)
    assert pack["pilot"]["subject"] == "person/Ivo Brask"
    assert "Did you mean 'Ivo Brask'?" in run(folder, "pilot-papers", "Ivo Brusk", *ON).stderr


HANDED = {
    "form": "airwrit flights 1",
    "pack": "ab12",
    "pilot": "Ivo Brask",
    "flights": [
        {"aircraft": "H-03", "landed": LANDED, "minutes": 14, "defect": "<script>alert(1)</script>"},
        {"aircraft": "H-09", "landed": LANDED},
        {"aircraft": "H-04", "landed": "noon"},
    ],
}


def test_a_hand_over_is_taken_in_once_from_file_and_photo(folder: Path) -> None:
    (folder / "f.json").write_text(json.dumps(HANDED), encoding="utf-8")
    shown = run(folder, "import", "f.json")
    assert shown.returncode == 3
    assert "f.json flight 3 landed" in shown.stdout
    assert told(folder, "flight-hours", *ON)["flights"] == 0
    kept = told(folder, "import", "f.json", "--yes", "--by", "ada")
    assert len(kept["kept"]) == 1
    assert [problem["where"] for problem in kept["problems"]] == ["f.json flight 3 landed", "f.json flight 2"]
    assert told(folder, "import", "f.json", "--yes")["kept"] == []
    segno.make(json.dumps(HANDED), micro=False).save(str(folder / "code.png"), scale=5)
    assert told(folder, "import", "code.png", "--yes")["kept"] == []
    assert told(folder, "flight-hours", *ON)["flights"] == 1
    assert run(folder, "check-records").returncode == 0


def test_a_hand_over_that_is_none_is_refused_in_one_line(folder: Path) -> None:
    (folder / "f.json").write_bytes(b"\x00\xff\x01")
    done = run(folder, "import", "f.json", "--yes")
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    both = run(folder, "import", "f.json", "fleet.csv", "--yes")
    assert "Import them separately." in both.stderr


PLANNED = (
    *(
        "before-flight",
        "36.0542, -79.9792",
        "--radius",
        "500",
        "--from",
        "2026-03-04 14:00",
        "--until",
        "14:40",
    ),
    *("--height", "200", "--aircraft", "H-03", "--for", "work", "--yes", "--by", "ada"),
)


def test_the_pack_carries_the_sheets_of_the_pilots_planned_flights(folder: Path) -> None:
    run(folder, *PLANNED, "--pilot", "Ivo Brask", "--save", "Quarry survey")
    pack = ("pilot-papers", "Ivo Brask", "--out", "pack.html", "--on")
    (sheet,) = told(folder, *pack, "2026-03-04")["flights"]
    assert (sheet["flight"], sheet["verdict"]) == ("flight/Quarry survey", "unknown")
    assert sheet["to_confirm"] > 0
    page = (folder / "pack.html").read_text(encoding="utf-8")
    assert "<h3>Quarry survey</h3>" in page
    assert "Confirm before takeoff" in page
    assert "14 CFR 107.51(b)" in page
    assert page.count('<img src="data:image/svg+xml;base64,') == 2
    assert "http" not in page.partition('<section id="flights">')[2].partition('<section id="officer">')[0]
    assert len(page) < 150_000
    assert told(folder, *pack, "2026-03-05")["flights"] == []
    assert "Planned flights" not in (folder / "pack.html").read_text(encoding="utf-8")
