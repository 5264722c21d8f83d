"""Seconds to judge a fleet, by size, beside a bare loop that only files the same statements by subject and fact.

And to judge it again once one aircraft weighs otherwise. Time of the processor, the least of some runs.

python benchmarks/bench_standing.py [AIRCRAFT ...]
"""

from __future__ import annotations

import gc
import platform
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from airwrit.answers.standing.standing import standing
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT
from airwrit.facts.state import Held, with_held
from airwrit.facts.statement import Known, Statement

SIZES = (1_000, 3_000, 10_000)
RUNS = 3
ON = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


LOT, MODELS = 20, 25


def aircraft_facts(number: int, people: int, lot: int = LOT) -> Iterator[tuple[str, str, Raw]]:
    """The facts of one invented aircraft and of its registration.

    Those of a lot are of one model, of which there are 25, registered on one day and used alike; five of them were weighed,
    each a gram apart. A lot of one makes every aircraft unlike all others.
    """
    craft, certificate = f"aircraft/A{number}", f"FA00TEST{number:05d}"
    serial, which = f"ZZ9Z8A{number:07d}", number // lot
    issued = date(2024, 1, 1) + timedelta(days=which * 37 % 1000)
    grams = 200 + number % 2000 if lot == 1 else 200 + 80 * (which % MODELS) + number % 5
    told: dict[str, Raw] = {
        "used_for": ("work", "recreation", "work and recreation")[which % 3],
        "is_registered": True,
        "registration": certificate,
        "owner": "Program",
        "takeoff_weight_g": str(grams),
        "scale_error_g": "1",
        "mark_place": "outside",
        "remote_id_way": "standard",
        "remote_id_serial": serial,
        "listed_serial": serial,
        "declaration_accepted": True,
    }
    yield from ((craft, key, value) for key, value in told.items())
    filed: dict[str, Raw] = {
        "registration_kind": "Part 48 per aircraft",
        "issued_on": issued.isoformat(),
        "registered_to": "Program",
        "representative": f"P{number % people}",
    }
    yield from ((f"registration/{certificate}", key, value) for key, value in filed.items())


def person_facts(number: int) -> Iterator[tuple[str, str, Raw]]:
    """The facts of one invented person and of two trainings."""
    person = f"person/P{number}"
    yield from (
        (person, "flies_for", "work"),
        (person, "has_certificate", True),
        (person, "flies_at_night", True),
    )
    for turn in range(2):
        event = f"training/P{number}-{turn}"
        done = date(2022, 1, 1) + timedelta(days=(number * 7 + turn * 600) % 1700)
        yield from (
            (event, "event_of", f"P{number}"),
            (event, "event_kind", "recurrent training"),
            (event, "completed_on", done.isoformat()),
        )


def program(aircraft: int, lot: int = LOT) -> list[Known]:
    """A program of that many aircraft, bought in lots, and a fifth as many people."""
    people = max(1, aircraft // 5)
    facts: list[tuple[str, str, Raw]] = [
        ("owner/Program", "owner_kind", "corporation"),
        ("owner/Program", "organized_in_us", True),
        ("owner/Program", "based_and_used_in_us", True),
    ]
    for number in range(aircraft):
        facts += aircraft_facts(number, people, lot)
    for number in range(people):
        facts += person_facts(number)
    return [Known(Statement(*fact), "fleet.xlsx") for fact in facts]


def bare_loop(known: list[Known]) -> int:
    """The least any answer has to do: file each statement under its subject and fact."""
    filed: dict[str, dict[str, Raw]] = {}
    for item in known:
        filed.setdefault(item.statement.subject, {})[item.statement.key] = item.statement.value
    return len(filed)


def judged(aircraft: int, lot: int) -> None:
    """Print the figures of one size."""
    known = program(aircraft, lot)
    gc.freeze()
    gc.disable()
    best, floor, again, findings = float("inf"), float("inf"), float("inf"), 0
    for _ in range(RUNS):
        start = time.process_time()
        bare_loop(known)
        floor = min(floor, time.process_time() - start)
        start = time.process_time()
        state = state_of(known, ON, NOW)
        answer = standing(state, ON, NOW)
        _ = answer.report.verdict
        best = min(best, time.process_time() - start)
        findings = len(answer.report.findings)
        heavier = with_held(state, {"aircraft/A25": {TAKEOFF_WEIGHT: Held(Decimal(777))}})
        start = time.process_time()
        standing(heavier, ON, NOW, like=answer)
        again = min(again, time.process_time() - start)
        del answer
    gc.enable()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{aircraft:6d} aircraft in lots of {lot:2d}, {len(known):7d} statements, {findings:7d} findings: {best:5.2f} s, "
        f"{best / findings * 1e6:5.1f} us a finding, {best / floor:4.0f} times a bare loop, "
        f"after one entry {again * 1000:6.1f} ms, peak {peak:.0f} MB"
    )


def whole_process(*arguments: str) -> float:
    """Median seconds of a whole command."""
    took = []
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(5):
            start = time.perf_counter()
            subprocess.run([sys.executable, *arguments], check=False, capture_output=True, cwd=folder)
            took.append(time.perf_counter() - start)
    return sorted(took)[len(took) // 2]


def main() -> None:
    """Print every figure with the machine it was taken on."""
    print(f"{platform.machine()}, {platform.python_implementation()} {platform.python_version()}")
    for size in [int(text) for text in sys.argv[1:]] or SIZES:
        judged(size, LOT)
        judged(size, 1)
    run = "import sys; sys.path.insert(0, sys.argv.pop(1)); from airwrit.cli.main import main; main()"
    source = str(Path(__file__).parent.parent / "src")
    nothing = whole_process("-c", "pass")
    for arguments in (("--help",), ("demo", "--on", ON.isoformat())):
        took = whole_process("-c", run, source, *arguments)
        print(f"airwrit {arguments[0]}: {took:.2f} s, {took / nothing:.1f} times an empty Python")


if __name__ == "__main__":
    main()
