"""`airwrit over-people` as a user meets it: short words, units, JSON, exit codes, what can't be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.unit.cli.command import run

SITE = ("--below", "others", "--assembly", "none", "--vehicles", "no")
LIGHT = (*SITE, "--weight", "8.5 oz", "--weight-error", "1 g", "--cutting-parts", "no")


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        ((), 3, "Who is below at any time?"),
        (LIGHT, 0, "Within the Category 1 weight limit"),
        (
            (*SITE, "--category", "2", "--declared", "yes", "--label", "no"),
            3,
            "The category label is missing",
        ),
        (
            (*LIGHT, "--speed", "15 m/s", "--speed-error", "1 m/s"),
            0,
            "240.9709 g (0.53 lb) at 29.2 kt (15 m/s)",
        ),
        (("--below", "sheltered", "--vehicles", "no"), 0, "Nobody below is unprotected."),
        (
            (*SITE, "--weight", "2 lb", "--cutting-parts", "yes", "--certificate", "no"),
            1,
            "over the 0.55 lb limit",
        ),
    ],
)
def test_words_and_exit_codes(tmp_path: Path, arguments: tuple[str, ...], code: int, says: str) -> None:
    done = run(tmp_path, "over-people", *arguments)
    assert says in " ".join(done.stdout.split())
    assert done.returncode == code


def test_json(tmp_path: Path) -> None:
    done = run(tmp_path, "over-people", *LIGHT, "--on", "2026-12-01", "--json")
    document = json.loads(done.stdout)
    assert document["question"] == "over_people"
    assert document["verdict"] == "met"
    assert [one["verdict"] for one in document["categories"]] == ["met", "unknown", "unknown", "unknown"]
    assert document["waivers"] == ["107.39 over people", "107.145 over moving vehicles"]


def test_an_aircraft_of_the_records(tmp_path: Path) -> None:
    told = ("takeoff_weight=240 g", "scale_error=1 g", "remote_id_way=module")
    made = run(tmp_path, "record-change", "aircraft/Q-1", *told, "--yes", "--clock-is-right")
    assert made.returncode == 0, made.stderr
    ledger = next(path.name for path in tmp_path.iterdir() if path.suffix == ".airwrit")
    words = ("over-people", "--aircraft", "Q-1", "--ledger", ledger, *SITE, "--cutting-parts", "no")
    done = run(tmp_path, *words)
    assert (done.returncode, "Within the Category 1 weight" in done.stdout) == (0, True)
    heavy = run(tmp_path, *words, "--weight", "2 lb")
    assert (heavy.returncode, "over the 0.55 lb limit" in " ".join(heavy.stdout.split())) == (3, True)
    wrong = run(tmp_path, "over-people", "--aircraft", "Q-2", "--ledger", ledger)
    assert (wrong.returncode, "id you mean Q-1?" in wrong.stderr) == (2, True)
    assert run(tmp_path, "over-people", "--ledger", ledger).returncode == 2


def test_a_weight_without_its_unit_is_refused(tmp_path: Path) -> None:
    done = run(tmp_path, "over-people", "--weight", "249")
    assert done.returncode == 2
    assert "--weight" in done.stderr
    assert "rite it with g, kg, oz or lb" in done.stderr
