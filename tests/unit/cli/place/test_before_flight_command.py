"""`airwrit before-flight` as a pilot types it: the answer, its JSON twin, and refusals that name the field."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from airwrit.cli.place import before_flight
from tests.unit.answers.before_flight.planning import CONFIRMED
from tests.unit.cli.command import run

FACTS = {
    "Aircraft": "Fern 1",
    "Registration number": "FA00TEST01",
    "Registration type": "Part 48 per aircraft",
    "Registered on": "2025-03-03",
    "Expires": "2028-03-03",
    "Registered to": "Moor Survey",
    "Owner": "Moor Survey",
    "Weight g": "900",
    "Remote ID": "standard",
    "Serial": "ZZ9Z8FERN0001",
    "Listed serial": "ZZ9Z8FERN0001",
    "Where marked": "outside",
}
PEOPLE = {
    "Pilot": "Ansel Wray",
    "Flies for": "work",
    "Part 107 certificate": "0000001",
    "Initial test passed": "2025-01-15",
}
TYPED = {
    "--radius": "500",
    "--from": "2026-06-10 10:00",
    "--until": "10:30",
    "--height": "60 m",
    "--aircraft": "Fern 1",
    "--pilot": "Ansel Wray",
    "--for": "work",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a sheet of one aircraft and one of one pilot."""
    for name, facts in (("fleet.csv", FACTS), ("people.csv", PEOPLE)):
        (tmp_path / name).write_text(f"{','.join(facts)}\n{','.join(facts.values())}\n", encoding="utf-8")
    return tmp_path


def asked(folder: Path, *more: str, **changed: str) -> tuple[int, str, str]:
    """How the command ends, and what it prints."""
    place = changed.pop("place", "38.5, -98.5")
    typed = {**TYPED, **{f"--{name.replace('_', '-')}": text for name, text in changed.items()}}
    words = [word for pair in typed.items() for word in pair]
    sheets = ["--sheet", "fleet.csv", "--sheet", "people.csv"]
    return tuple(run(folder, "before-flight", place, *words, *sheets, *more))  # type: ignore[return-value]


def confirmations() -> list[str]:
    """Everything confirmed, as options."""
    words = {True: "yes", False: "no"}
    return [
        part
        for name, raw in CONFIRMED.items()
        for part in ("--confirm", f"{name}={words.get(raw, raw) if isinstance(raw, bool) else raw}")
    ]


def test_the_answer_lists_what_to_confirm_and_is_no_clearance(folder: Path) -> None:
    code, out, _ = asked(folder)
    assert code == 3
    assert "Confirm before you fly" in out
    assert "--confirm notice_covers=no" in out
    assert "Not checked: current NOTAMs" in out
    assert "When you could fly" in out


def test_json_carries_the_plan_every_rule_and_the_times(folder: Path) -> None:
    code, out, _ = asked(folder, "--json", "--days", "2", *confirmations())
    told = json.loads(out)
    assert (told["question"], told["plan"]["zone"]) == ("before_flight", "America/Chicago")
    assert told["plan"]["height_agl_ft"] == pytest.approx(196.850394)  # 60 m / 0.3048
    assert told["confirm"] == []
    assert {one["verdict"] for one in told["clauses"]} <= {"met", "unknown", "not_applicable"}
    assert told["stretches"][0]["start"] == "2026-06-10T00:00:00-05:00"
    assert told["stretches"][-1]["end"] == "2026-06-12T00:00:00-05:00"
    assert told["scope"]
    assert code in (0, 3)


def test_a_limit_broken_ends_with_its_code(folder: Path) -> None:
    code, out, _ = asked(folder, *confirmations(), height="401")
    assert code == 1
    assert "Not allowed as planned." in out
    assert "14 CFR 107.51(b)" in out


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"height": "high"}, "height"),
        ({"radius": "0"}, "radius"),
        ({"from": "2026-03-08 02:30"}, "from"),
        ({"until": "09:59"}, "until"),
        ({"pilot": "Nobody"}, "person"),
        ({"pilot": " "}, "pilot"),
        # an hour that daylight saving repeats
        ({"from": "2026-11-01 01:30", "until": "02:30"}, "from"),
        # a tenth of a degree north of a circle of 500 ft
        ({"takeoff": "38.6, -98.5"}, "takeoff"),
        ({"height": "2000 ft MSL"}, "height"),
        ({"height": "100 ft above takeoff"}, "height"),
        ({"structure": "38.5, -98.5"}, "structure_top"),
        # an area of no size, one over a whole State, and latitude and longitude swapped
        ({"place": "38.5, -98.5; 38.6, -98.5; 38.7, -98.5", "radius": ""}, "place"),
        ({"place": "37, -102; 40, -102; 40, -94.6; 37, -94.6", "radius": ""}, "place"),
        ({"place": "-98.5, 38.5"}, "place"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(folder: Path, changed: dict[str, str], field: str) -> None:
    code, _, err = asked(folder, **changed)
    assert code == 2
    assert err.startswith(f"airwrit: {field}")


def test_a_confirmation_without_an_answer_is_refused(folder: Path) -> None:
    assert asked(folder, "--confirm", "notice_covers")[0] == 2
    assert asked(folder, "--confirm", "takeoff_weight_g=900")[0] == 2


CHECKLIST = """
[[checklist]]
id = "Preflight"
checklist_edition = "2"
checklist_lines = '''
Props tight
Battery latched
'''
"""


def test_a_checklist_from_a_file_is_ticked_and_kept_with_a_released_flight(folder: Path) -> None:
    run(folder, "import", "fleet.csv", "people.csv", "--yes")
    (folder / "lists.toml").write_text(CHECKLIST, encoding="utf-8")
    assert run(folder, "record-change", "--facts", "lists.toml")[0] == 0
    words = [word for pair in TYPED.items() for word in pair]
    plan = ["38.5, -98.5", *words]
    code, out, _ = run(folder, "before-flight", *plan, "--tick", "1", "--json")
    lines = json.loads(out)["checklists"][0]["lines"]
    assert [(one["text"], one["ticked"]) for one in lines] == [
        ("Props tight", True),
        ("Battery latched", False),
    ]
    assert code == 3
    code, _, err = run(folder, "before-flight", *plan, "--save", "One", "--release", "--yes")
    assert code == 2
    assert "The answer isn't OK." in err
    more = (
        "--tick",
        "all",
        "--save",
        "One",
        "--release",
        "--against",
        "a child was lost",
        "--by",
        "Dot Wray",
    )
    run(folder, "before-flight", *plan, *more, "--yes")
    code, out, _ = run(folder, "before-flight", "--flight", "One", "--json")
    assert all(one["ticked"] for one in json.loads(out)["checklists"][0]["lines"])
    code, out, _ = run(folder, "planned-flights", "--on", "2026-06-10", "--json")
    assert "Released by Dot Wray" in json.loads(out)["flights"][0]["release"]
    assert code == 3


def test_a_call_out_needs_a_place_and_a_height(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    called = datetime(2026, 6, 11, 3, 40, tzinfo=UTC)
    monkeypatch.setattr(before_flight, "now", lambda: called)
    begun = run(folder, "import", "fleet.csv", "people.csv", "--yes", "--by", "ada")
    assert begun.returncode in (0, 1, 3), begun.stderr
    place = ("before-flight", "38.5, -98.5", "--radius", "500", "--height", "200", "--for", "work")
    missing = run(folder, *place, "--call-out")
    assert missing.returncode == 2
    assert "--aircraft" in missing.stderr, "no flight is on record whose crew could be taken"
    crew = ("--aircraft", "Fern 1", "--pilot", "Ansel Wray", "--save", "Pond", "--yes", "--by", "ada")
    run(folder, *place, "--from", "2026-06-10 10:00", "--until", "10:30", *crew)
    done = run(folder, *place[:-2], "--call-out", "--json")
    plan = json.loads(done.stdout)["plan"]
    assert (plan["aircraft"], plan["pilot"], plan["use"]) == ("aircraft/Fern 1", "person/Ansel Wray", "work")
    starts, ends = (datetime.fromisoformat(plan[name]) for name in ("starts", "ends"))
    assert starts == called
    assert ends - starts == timedelta(minutes=30)
    assert run(folder, *place, "--from", "2026-06-10 10:00", "--until", "10:30").returncode == 2
