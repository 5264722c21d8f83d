"""Seconds to read and understand 10,000 messy rows of 17 columns in each form, beside openpyxl's values in the same run.

python benchmarks/bench_intake.py [ROWS]

openpyxl reads the values of the .xlsx file alone, and does no more. Times are of the processor, of the reading process too.
"""

from __future__ import annotations

import csv
import platform
import random
import resource
import sys
import tempfile
import zipfile
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import xlsxwriter
import xlwt
from bench_cells import SPACES, ods_cell

from airwrit.intake.sheets import Intake, read_sheets

ROWS = 10_000
RUNS = 4
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
    "Status",
    "Department",
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
        dice.choice(("Active", "in service", "Retired", "spare", "")),
        dice.choice(("Survey", "Roads", "Water")),
    ]


def write_messy(folder: Path, rows: int) -> list[Path]:
    """A file of each form with the same messy rows; the same for every run."""
    dice = random.Random(7)
    table = [list(HEADINGS), *(messy_row(number, dice) for number in range(1, rows + 1))]
    paths = [folder / f"messy.{form}" for form in ("xlsx", "xls", "ods", "csv")]
    book = xlsxwriter.Workbook(str(paths[0]), {"default_date_format": "yyyy-mm-dd"})
    sheet = book.add_worksheet("Fleet")
    for number, row in enumerate(table):
        sheet.write_row(number, 0, row)
    book.close()
    old, days = xlwt.Workbook(), xlwt.easyxf(num_format_str="yyyy-mm-dd")
    sheet = old.add_sheet("Fleet")
    for number, row in enumerate(table):
        for column, value in enumerate(row):
            sheet.write(number, column, value, *([days] if isinstance(value, date) else []))
    old.save(str(paths[1]))
    _write_ods(paths[2], table)
    with paths[3].open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(table)
    return paths


def _write_ods(path: Path, table: list[list[object]]) -> None:
    spaces = " ".join(f'xmlns:{name}="{space}"' for name, space in SPACES.items())
    rows = "".join(
        f"<table:table-row>{''.join(ods_cell(value, '') for value in row)}</table:table-row>" for row in table
    )
    content = (
        f"<office:document-content {spaces}><office:body><office:spreadsheet>"
        f'<table:table table:name="Fleet">{rows}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", "<manifest/>")
        archive.writestr("content.xml", content)


def processor_s() -> float:
    """Seconds of the processor that this process and the ended ones it began have used."""
    both = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(used.ru_utime + used.ru_stime for used in both)


def seconds(read: Callable[[], object]) -> float:
    """The processor's time for one run."""
    start = processor_s()
    read()
    return processor_s() - start


def with_openpyxl(path: Path) -> list[tuple[object, ...]]:
    """The same cells as openpyxl reads them, and no more than that."""
    book = openpyxl.load_workbook(path, read_only=True, data_only=True)
    return list(book.worksheets[0].iter_rows(values_only=True))


def main() -> None:
    """Print the figures."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    with tempfile.TemporaryDirectory() as folder:
        paths = write_messy(Path(folder), rows)
        taken: Intake = read_sheets(paths[:1])
        theirs: list[float] = []
        ours: dict[str, list[float]] = {path.suffix: [] for path in paths}
        for _ in range(RUNS):
            theirs.append(seconds(lambda: with_openpyxl(paths[0])))
            for path in paths:
                ours[path.suffix].append(seconds(lambda path=path: read_sheets([path])))
    print(f"{rows:,} rows, {len(taken.known):,} statements, {len(taken.problems):,} problems")
    print(f"openpyxl, values of .xlsx alone: {min(theirs):.2f} s, best of {RUNS}")
    for form, times in ours.items():
        print(f"{form:5} read and understood: {min(times):.2f} s, {min(times) / min(theirs):.2f} of that")
    print(
        f"{platform.processor() or platform.machine()}, Python {platform.python_version()}, {platform.system()}"
    )


if __name__ == "__main__":
    main()
