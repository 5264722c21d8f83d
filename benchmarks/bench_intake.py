"""Seconds to read 10,000 messy rows of 15 columns, beside openpyxl over the same file in the same run.

python benchmarks/bench_intake.py [ROWS]
"""

from __future__ import annotations

import platform
import random
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import xlsxwriter

from airwrit.intake.sheets import Intake, read_sheets

ROWS = 10_000
RUNS = 5
HEADINGS = (
    "Aircraft",
    "Make",
    "Model",
    "Weight",
    "Scale error (g)",
    "FAA number",
    "Reg type",
    "Issued",
    "Expires",
    "Owner",
    "Remote ID",
    "Remote ID serial",
    "Marked",
    "Used for",
    "Comments",
)


def messy_row(number: int, dice: random.Random) -> list[object]:
    """One invented aircraft, typed by several hands."""
    issued = date(2023, 1, 1) + timedelta(days=dice.randrange(900))
    expires = (
        issued.replace(year=issued.year + 3) if (issued.month, issued.day) != (2, 29) else date(2027, 2, 28)
    )
    grams = dice.randrange(150, 20_000)
    return [
        f"H-{number:05d}",
        dice.choice(("Korrin Works", "korrin works ", "Talvane")),
        dice.choice(("One", "Two", 300)),
        dice.choice(
            (f"{grams} g", f"{grams / 1000:.3f} kg", f"{grams / 453.59237:.2f} lbs", grams, "~250", "")
        ),
        dice.choice((1, 2.5, "± 2 g", "")),
        dice.choice((f"FA{number:05d}TEST", f" fa{number:05d}test", "none", "?")),
        dice.choice(("107", "commercial", "hobby", "rec", "other")),
        dice.choice((issued, issued.isoformat(), issued.strftime("%b %d, %Y"))),
        dice.choice((expires.strftime("%m/%d/%Y"), expires.strftime("%m/%d/%y"), expires.isoformat())),
        dice.choice(("Test Program", "test program", "Field Team ")),
        dice.choice(("module", "built in", "yes", "none", "beacon")),
        dice.choice((f"ZZ9Z8{number:08d}", f"zz9z8{number:08d}", "1.58E+18", "tbd")),
        dice.choice(("outside", "battery bay", "yes", "no")),
        dice.choice(("work", "hobby", "both", "paid")),
        dice.choice(("", "new propellers", "see log\u00a0book")),
    ]


def write_messy(path: Path, rows: int) -> None:
    """A workbook of messy rows; the same for every run."""
    dice = random.Random(7)
    book = xlsxwriter.Workbook(str(path), {"default_date_format": "yyyy-mm-dd"})
    sheet = book.add_worksheet("Fleet")
    sheet.write_row(0, 0, HEADINGS)
    for number in range(1, rows + 1):
        sheet.write_row(number, 0, messy_row(number, dice))
    book.close()


def best_of(read: Callable[[], object]) -> float:
    """The shortest of some runs, in seconds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        read()
        times.append(time.perf_counter() - start)
    return min(times)


def with_openpyxl(path: Path) -> list[tuple[object, ...]]:
    """The same cells as openpyxl reads them, and no more than that."""
    book = openpyxl.load_workbook(path, read_only=True, data_only=True)
    return list(book.worksheets[0].iter_rows(values_only=True))


def main() -> None:
    """Print the figures."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "messy.xlsx"
        write_messy(path, rows)
        taken: Intake = read_sheets([path])
        ours = best_of(lambda: read_sheets([path]))
        theirs = best_of(lambda: with_openpyxl(path))
    print(f"{rows:,} rows, {len(taken.known):,} statements, {len(taken.problems):,} problems")
    print(f"read, judged cell by cell: {ours:.2f} s, {rows / ours:,.0f} rows/s, best of {RUNS}")
    print(f"openpyxl, cells only:      {theirs:.2f} s, {theirs / ours:.1f} times ours")
    print(
        f"{platform.processor() or platform.machine()}, Python {platform.python_version()}, {platform.system()}"
    )


if __name__ == "__main__":
    main()
