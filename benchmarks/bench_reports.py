"""Reports by command, out of a cold ledger of a great program: from the start of the process to its answer.

The program is that of `bench_upkeep.py`: 10,000 aircraft, 2,000 people, 100,000 flights, with packs, work, defects, courses and
incidents. Every report runs in a process of its own, with the house rules of that benchmark where it judges; each as often as
told, and the fastest counts. The ledger is made once in FOLDER and used again where it is there already.

python benchmarks/bench_reports.py FOLDER [RUNS [AIRCRAFT PEOPLE FLIGHTS]]
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path

from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger

sys.path.insert(0, str(Path(__file__).parent))
from bench_upkeep import HOUSE, MOST_REPORT_S, ON, SIZE, Told, flown, program, upkeep

COMMAND = "from airwrit.cli.main import main; main()"
JOB = ("--aircraft", "A5", "--aircraft", "A6", "--person", "P3", "--person", "P4")
"""Two aircraft and two people of a job."""
REPORTS: dict[str, tuple[str, ...]] = {
    "month": ("month", "--month", "2026-10"),
    "year": ("year", "--year", "2026"),
    "insurer": ("insurer",),
    "aircraft-hours": ("aircraft-hours", "--aircraft", "A5"),
    "board": ("board", "--house", "house.toml"),
    "client, one day": ("client", *JOB, "--house", "house.toml"),
    "contractor, five days": ("contractor", *JOB, "--until", "2026-12-04", "--house", "house.toml"),
    "inventory": ("inventory", "--purchases", "bought.csv", "--count", "shelf.csv"),
}


def told(aircraft: int, people: int, flights: int) -> Iterator[Told]:
    """All that is on record."""
    yield from program(aircraft, people)
    yield from flown(aircraft, people, flights)
    yield from upkeep(aircraft, people)


def made(folder: Path, size: tuple[int, int, int]) -> Path:
    """The ledger of a program of some size, with the files beside it."""
    path = folder / "program.airwrit"
    (folder / "house.toml").write_text(HOUSE, encoding="utf-8")
    lists = ["\n".join(["Name", *(f"A{number}" for number in range(0, size[0], step))]) for step in (1, 2)]
    for name, text in zip(("bought.csv", "shelf.csv"), lists, strict=True):
        (folder / name).write_text(text, encoding="utf-8")
    if path.exists():
        return path
    moment = datetime(ON.year, ON.month, ON.day, 6, tzinfo=UTC)
    with Ledger.at(path) as book:
        statements = (Statement(*one) for one in told(*size))
        while said := tuple(islice(statements, 2_000)):
            book.append([Draft("bench", "record", said)], lambda: moment)
    return path


def took(folder: Path, arguments: tuple[str, ...]) -> tuple[float, float]:
    """Wall clock and processor seconds of one command."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    call = [
        sys.executable,
        "-c",
        COMMAND,
        "report",
        *arguments,
        "--on",
        str(ON),
        "--ledger",
        "program.airwrit",
    ]
    ran = subprocess.run([*call, "--json"], cwd=folder, check=False, capture_output=True, env=os.environ)
    wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    if ran.returncode not in (0, 1, 3):
        raise SystemExit(ran.stderr.decode())
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> int:
    """Print a table; 1 when a report takes longer than it may."""
    folder, runs = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 3
    size = tuple(int(one) for one in sys.argv[3:6]) if len(sys.argv) > 5 else SIZE
    path = made(folder, (size[0], size[1], size[2]))
    print(
        f"{size[0]:,} aircraft, {size[1]:,} people, {size[2]:,} flights; {path.stat().st_size / 1e6:.0f} MB"
    )
    slow = []
    for name, arguments in REPORTS.items():
        times = [took(folder, arguments) for _ in range(runs)]
        wall, processor = min(one[0] for one in times), min(one[1] for one in times)
        print(f"report {name:22} {wall:6.2f} s, processor {processor:6.2f} s")
        slow += [] if processor <= MOST_REPORT_S else [name]
    print(f"too slow: {', '.join(slow)}" if slow else "all within their limits")
    return int(bool(slow))


if __name__ == "__main__":
    sys.exit(main())
