"""Jobs as commands: shown, saved as one entry where that is wanted, one line for what cannot be."""

from __future__ import annotations

import json
from pathlib import Path
from unittest.mock import patch

from airwrit.cli.write import job as jobs
from tests.unit.cli.command import run

NEW = (
    "new-aircraft",
    "Maple 1",
    "model=Korrin Sarvo 4",
    "owner=Tarn & Fell",
    "used_for=work",
    "got_on=2026-11-20",
    "number=FA00TEST16",
    "issued_on=2026-11-24",
)


def test_a_new_aircraft_is_shown_and_saved_when_that_is_wanted(tmp_path: Path) -> None:
    shown = run(tmp_path, *NEW)
    assert shown.returncode == 3
    assert "Nothing was saved" in shown.stdout
    assert not (tmp_path / "program.airwrit").exists()
    saved = run(tmp_path, *NEW, "--yes", "--json")
    document = json.loads(saved.stdout)
    assert document["kept"] == [1]
    assert document["expires_on"] == {"FA00TEST16": "2029-11-24"}
    assert document["question"] == "new-aircraft"


def test_a_renewal_goes_by_the_name_of_an_aircraft_too(tmp_path: Path) -> None:
    early = [word.replace("2026-11", "2023-12") for word in NEW]
    assert run(tmp_path, *early, "--yes").returncode == 0
    done = run(tmp_path, "renew", "maple 1", "renewed_on=2026-08-01", "--yes", "--json")
    assert json.loads(done.stdout)["expires_on"] == {"FA00TEST16": "2029-12-24"}


def test_what_cannot_be_is_one_line(tmp_path: Path) -> None:
    for words, told in (
        (("person-leaves", "Nobody"), "no person on file"),
        (("person-leaves",), "Nobody was named."),
        (("renew", "which=FA00TEST99"), "isn't one of the choices"),
        (("new-person", "Rowan", "colour=red"), "There is no field"),
        (("new-person", "Rowan", "crew_role=sailor"), "isn't one of the choices"),
        (("new-aircraft", "model=Korrin Sarvo 4"), "Fill this in"),
    ):
        done = run(tmp_path, *words, "--yes")
        assert done.returncode == 2, words
        assert told.casefold() in done.stderr.casefold()
        assert len(done.stderr.strip().splitlines()) <= 3


def test_on_a_terminal_it_asks_one_by_one(tmp_path: Path) -> None:
    answers = iter(["1", "2026-11-20", "", "", "", "", "", ""])
    with (
        patch.object(jobs, "is_at_terminal", lambda: True),
        patch("airwrit.cli.shared.ledger.is_at_terminal", lambda: True),
        patch("click.prompt", lambda *_, **__: next(answers)),
        patch("click.confirm", lambda *_, **__: True),
    ):
        done = run(tmp_path, "new-person", "Rowan")
    assert done.returncode == 0, done.stderr
    assert "What do they do?" in done.stdout
    assert "Saved in program.airwrit as entry 1" in done.stdout


def test_a_flight_of_what_is_not_ok_says_so_before_it_is_saved(tmp_path: Path) -> None:
    assert run(tmp_path, *NEW, "--yes").returncode == 0  # not marked, no Remote ID on file
    assert (
        run(
            tmp_path,
            "new-person",
            "Rowan",
            "joined_on=2026-11-01",
            "flies_for=work",
            "has_certificate=no",
            "--yes",
        ).returncode
        == 0
    )
    words = (
        "log-flight",
        "--aircraft",
        "Maple 1",
        "--pilot",
        "Rowan",
        "--landed",
        "2026-11-25",
        "--minutes",
        "9",
    )
    shown = run(tmp_path, *words)
    assert "Watch out. Maple 1: can't tell yet." in shown.stdout
    assert "Watch out. Rowan: grounded." in shown.stdout
    document = json.loads(run(tmp_path, *words, "--json", "--yes").stdout)
    assert [one["subject"] for one in document["warned"]] == ["aircraft/Maple 1", "person/Rowan"]
    assert document["kept"]
