"""Seconds to print marks for 200 aircraft, beside the same pages with empty strips in the same run.

python benchmarks/bench_papers.py [AIRCRAFT]
"""

from __future__ import annotations

import multiprocessing
import os
import platform
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import typst

from airwrit.answers.due.deadlines import deadlines_of
from airwrit.answers.registration.filing import worksheets_of
from airwrit.answers.registration.marks import marks_for
from airwrit.answers.standing.standing import Standing, standing
from airwrit.facts.statement import Known, Statement
from airwrit.papers.calendar import calendar_of
from airwrit.papers.filing_pdf import worksheet_pdf
from airwrit.papers.labels_pdf import PART_48_HEIGHTS, marks_pdf
from airwrit.papers.typeset import fonts

AIRCRAFT = 200
RUNS = 5
DAY = date(2026, 11, 25)
EMPTY = """#set page(paper: "us-letter", margin: 10mm)
#for at in range(int(sys.inputs.strips)) { box(width: 45mm, height: 8mm, stroke: 0.3pt); h(4mm) }
"""


def fleet(aircraft: int) -> Standing:
    """A fleet on certificates of its own, issued over three years, some run out."""
    known = []
    for number in range(aircraft):
        name, certificate = f"aircraft/A{number}", f"FA00TEST{number:05d}"
        issued = DAY - timedelta(days=1200 - number * 5 % 1100)
        told = {
            name: {
                "used_for": "work",
                "owner": "Tarn & Fell Land Services",
                "is_registered": True,
                "registration": certificate,
                "mark_place": "not marked" if number % 3 else "outside",
            },
            f"registration/{certificate}": {
                "registration_kind": "Part 48 per aircraft",
                "issued_on": issued.isoformat(),
                "registered_to": "Tarn & Fell Land Services",
            },
        }
        known += [
            Known(Statement(s, key, value)) for s, facts in told.items() for key, value in facts.items()
        ]
    return standing(known, DAY, datetime(2026, 11, 25, 12, tzinfo=UTC))


def empty_strips(strips: int) -> bytes:
    """As many empty boxes, by the same setter with the same fonts."""
    with tempfile.TemporaryDirectory() as folder:
        paper = Path(folder) / "empty.typ"
        paper.write_text(EMPTY, encoding="utf-8")
        return typst.compile(
            paper, font_paths=fonts(), ignore_system_fonts=True, sys_inputs={"strips": str(strips)}
        )


def marks(aircraft: int) -> bytes:
    """Marks without codes."""
    return marks_pdf(marks_for([f"FA00TEST{number:05d}" for number in range(aircraft)]), DAY)


def marks_with_codes(aircraft: int) -> bytes:
    """Marks with a QR code each."""
    return marks_pdf(marks_for([f"FA00TEST{number:05d}" for number in range(aircraft)]), DAY, codes=True)


def empty(aircraft: int) -> bytes:
    """The floor: empty strips."""
    return empty_strips(aircraft * len(PART_48_HEIGHTS))


def worksheets(aircraft: int) -> bytes:
    """A page for each aircraft, judged beforehand."""
    return worksheet_pdf(worksheets_of(fleet(aircraft), every=True), DAY)


def calendar(aircraft: int) -> bytes:
    """An event for each renewal."""
    return calendar_of(deadlines_of(fleet(aircraft)).due, DAY)


def timed(make: Callable[[int], bytes], aircraft: int) -> tuple[float, int]:
    """Seconds of the first run in this process, its fonts already read, and the bytes made."""
    fonts()
    fleet(1)
    start = time.perf_counter()
    size = len(make(aircraft))
    return time.perf_counter() - start, size


def best(make: Callable[[int], bytes], aircraft: int) -> tuple[float, int]:
    """The best of several runs, each in a process of its own: the setter remembers what it has set before."""
    spawn = multiprocessing.get_context("spawn")
    took = []
    for _ in range(RUNS):
        with ProcessPoolExecutor(1, mp_context=spawn) as pool:
            took.append(pool.submit(timed, make, aircraft).result())
    return min(took)


def main() -> None:
    """Print every figure with the machine it was taken on."""
    aircraft = int(sys.argv[1]) if len(sys.argv) > 1 else AIRCRAFT
    print(
        f"{platform.machine()}, {os.cpu_count()} processors, {platform.python_implementation()} "
        f"{platform.python_version()}, {aircraft} aircraft, best of {RUNS} processes"
    )
    floor, _ = best(empty, aircraft)
    print(f"empty strips: {floor:.2f} s")
    for make in (marks, marks_with_codes, worksheets, calendar):
        took, size = best(make, aircraft)
        name = make.__name__.replace("_", " ")
        print(f"{name}: {took:.2f} s, {took / floor:.1f} times the empty strips, {size / 1024:.0f} kB")


if __name__ == "__main__":
    main()
