"""Batteries, maintenance and incidents: what can't be right is said and kept, by command and on the page alike."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from tests.unit.cli.command import run
from tests.unit.web.conftest import Visitor, own_fields

ON = "2026-11-25"


def recorded(folder: Path, *acts: tuple[str, ...]) -> Path:
    """A ledger into which the commands of some acts were written, each with its day."""
    for act in acts:
        done = run(folder, *act, "--yes", "--ledger", "own.airwrit", "--by", "tests", "--clock-is-right")
        assert done.returncode in (0, 1, 3), done.stderr
    return folder / "own.airwrit"


def act(name: str, about: str, on: str, *facts: str) -> tuple[str, ...]:
    """A record-change."""
    return "record-change", name, about, *facts, "--on", on


def flight(aircraft: str, landed: str, minutes: str, *more: str) -> tuple[str, ...]:
    """A flight logged by hand."""
    said = ("--aircraft", aircraft, "--pilot", "Nela Quist", "--landed", landed, "--minutes", minutes)
    return "log-flight", *said, *more


def both(visitor: Visitor, ledger: Path, command: str, path: str) -> tuple[str, str]:
    """What a command prints and what its page shows, in one line each."""
    printed = run(ledger.parent, command, "--on", ON, "--ledger", ledger.name).stdout
    shown = re.sub(r"<[^>]+>", "", html.unescape(visitor(ledger).get(path, params={"on": ON}).text))
    return " ".join(printed.split()), " ".join(shown.split())


@pytest.mark.parametrize(
    ("acts", "command", "path", "says"),
    [
        (
            (
                act("log_maintenance", "Ivy 1", "2026-10-01", "task=arm", "hours_read_h=90"),
                act("log_maintenance", "Ivy 1", "2026-11-01", "task=arm", "hours_read_h=80"),
            ),
            "maintenance",
            "/maintenance",
            "Its hours run backward: 90 h on Oct 1, 2026, then 80 h on Nov 1, 2026.",
        ),
        (
            (
                act("add_battery", "P9", "2026-10-01", "battery_model=Sarvo pack"),
                flight("Ivy 1", "2026-11-20T10:00-07:00", "20", "--packs", "P9"),
                flight("Alder 3", "2026-11-20T10:10-07:00", "20", "--packs", "P9"),
            ),
            "batteries",
            "/batteries",
            "Flight records put the battery in two aircraft at once: Ivy 1 and Alder 3 (Nov 20, 2026).",
        ),
        (
            (
                act("find_defect", "Ivy 1", "2026-11-10", "defect=loose arm", "defect_grounds=yes"),
                act("leave", "Nela Quist", "2026-11-11"),
                act("return_to_service", "Ivy 1", "2026-11-12", "returned_by=Nela Quist"),
            ),
            "maintenance",
            "/maintenance",
            "had already left",
        ),
    ],
    ids=("hours backward", "two places", "somebody gone"),
)
def test_what_cannot_be_right_is_said_and_kept(
    acts: tuple[tuple[str, ...], ...],
    command: str,
    path: str,
    says: str,
    visitor: Visitor,
    own_ledger: Path,
) -> None:
    for said in both(visitor, recorded(own_ledger.parent, *acts), command, path):
        assert says in said


@pytest.mark.parametrize("value", ["9 days", "three", "-4"])
def test_a_value_in_another_unit_is_refused_with_its_field(
    value: str, visitor: Visitor, own_ledger: Path
) -> None:
    """Nothing is written of what is no plain number of hours."""
    arguments = act("log_maintenance", "Ivy 1", "2026-11-01", "task=arm", f"hours_read_h={value}")
    refused = run(own_ledger.parent, *arguments, "--yes", "--ledger", own_ledger.name, "--clock-is-right")
    assert refused.returncode == 2
    assert "hours_read_h" in refused.stderr
    client, path = visitor(own_ledger), "/record-change/log_maintenance/aircraft/Ivy%201"
    fields = {"task": "arm", "hours_read_h": value, "day": "2026-11-01", "way": "write"}
    page = client.post(path, data={**own_fields(client.get(path).text), **fields})
    assert 'id="w-hours_read_h"' in page.text
    assert (
        "hours_read_h" not in run(own_ledger.parent, "history", "Ivy 1", "--ledger", own_ledger.name).stdout
    )


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        (
            {"happened_on": "2026-11-20", "happened_time": "14:40", "anyone_hurt": "nobody"},
            "14:40 has no time zone",
        ),
        (
            {
                "happened_on": "2026-11-01",
                "happened_time": "01:30",
                "incident_zone": "America/Denver",
                "anyone_hurt": "nobody",
            },
            "01:30 comes twice on Nov 1, 2026",
        ),
    ],
    ids=("no place or zone", "repeated hour"),
)
def test_the_hour_of_an_incident_is_never_guessed(
    facts: dict[str, str], says: str, visitor: Visitor, own_ledger: Path
) -> None:
    told = [part for name, value in facts.items() for part in ("--set", f"{name}={value}")]
    printed = run(own_ledger.parent, "incident", *told, "--ledger", own_ledger.name)
    assert says in " ".join(printed.stdout.split())
    page = visitor(own_ledger).get("/incident", params=facts)
    assert says in html.unescape(page.text)
    assert visitor(own_ledger).get("/incident.json", params=facts).json()["happened_at"] is None
