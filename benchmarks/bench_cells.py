"""Values and looks of 10,000 rows of 17 columns in each form of workbook, beside openpyxl's values alone in the same run.

python benchmarks/bench_cells.py [ROWS]

One row in five is filled, one in fifty struck out. Times are of the processor, without the start of a process.
"""

from __future__ import annotations

import io
import random
import sys
import time
import zipfile
from collections.abc import Callable
from datetime import date
from functools import partial
from xml.sax.saxutils import escape

import openpyxl
import xlsxwriter
import xlwt

from airwrit.intake.child import workbook, xls
from airwrit.intake.reader.limits import LIMITS

ROWS, COLUMNS, RUNS = 10_000, 17, 3
Rows = list[list[str | int]]
SPACES = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
    "style": "urn:oasis:names:tc:opendocument:xmlns:style:1.0",
    "fo": "urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0",
}


def look_of(row: int) -> str:
    """How a row looks: `struck`, `filled` or plain."""
    return "struck" if row % 50 == 0 else "filled" if row % 5 == 0 else ""


def as_xlsx(rows: Rows) -> bytes:
    """The rows as an .xlsx file."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    sheet = book.add_worksheet("Fleet")
    formats = {
        "": None,
        "struck": book.add_format({"font_strikeout": True}),
        "filled": book.add_format({"bg_color": "#c6efce"}),
    }
    for row, values in enumerate(rows):
        sheet.write_row(row, 0, values, formats[look_of(row)])
    book.close()
    return file.getvalue()


def as_xls(rows: Rows) -> bytes:
    """The rows as an .xls file."""
    file, book = io.BytesIO(), xlwt.Workbook()
    sheet = book.add_sheet("Fleet")
    styles = {
        "": xlwt.easyxf(""),
        "struck": xlwt.easyxf("font: struck_out on"),
        "filled": xlwt.easyxf("pattern: pattern solid, fore_colour light_green"),
    }
    for row, values in enumerate(rows):
        for column, value in enumerate(values):
            sheet.write(row, column, value, styles[look_of(row)])
    book.save(file)
    return file.getvalue()


def as_ods(rows: Rows) -> bytes:
    """The rows as an .ods file."""
    spaces = " ".join(f'xmlns:{name}="{space}"' for name, space in SPACES.items())
    struck = '<style:text-properties style:text-line-through-style="solid"/>'
    filled = '<style:table-cell-properties fo:background-color="#c6efce"/>'
    styles = "".join(
        f'<style:style style:name="{name}" style:family="table-cell">{properties}</style:style>'
        for name, properties in (("struck", struck), ("filled", filled))
    )
    body = "".join(
        f"<table:table-row>{''.join(ods_cell(value, look_of(row)) for value in values)}</table:table-row>"
        for row, values in enumerate(rows)
    )
    content = (
        f"<office:document-content {spaces}><office:automatic-styles>{styles}</office:automatic-styles><office:body>"
        f'<office:spreadsheet><table:table table:name="Fleet">{body}</table:table></office:spreadsheet></office:body>'
        "</office:document-content>"
    )
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", "<manifest/>")
        archive.writestr("content.xml", content)
    return file.getvalue()


def ods_cell(value: object, style: str) -> str:
    """One cell of an .ods file."""
    if value == "":
        return "<table:table-cell/>"
    kind = '"string"'
    if isinstance(value, int | float):
        kind = f'"float" office:value="{value}"'
    elif isinstance(value, date):
        kind = f'"date" office:date-value="{value}"'
    named = f' table:style-name="{style}"' if style else ""
    text = escape(str(value))
    return f"<table:table-cell{named} office:value-type={kind}><text:p>{text}</text:p></table:table-cell>"


def seconds(read: Callable[[], object]) -> float:
    """The least processor time of some runs."""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        read()
        times.append(time.process_time() - start)
    return min(times)


def with_openpyxl(data: bytes) -> int:
    """The values of an .xlsx file as openpyxl reads them, and no more than that."""
    book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    return sum(len(row) for row in book.worksheets[0].iter_rows(values_only=True))


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    dice = random.Random(5)
    rows: Rows = [
        [
            dice.randrange(10**6) if column % 4 == 0 else f"v{dice.randrange(3000)}"
            for column in range(COLUMNS)
        ]
        for _ in range(count)
    ]
    xlsx = as_xlsx(rows)
    theirs = seconds(partial(with_openpyxl, xlsx))
    print(f"{count:,} rows of {COLUMNS}; openpyxl, values of .xlsx alone: {theirs:.2f} s")
    for form, data, read in (
        (".xlsx", xlsx, workbook.read),
        (".ods", as_ods(rows), workbook.read),
        (".xls", as_xls(rows), xls.read),
    ):
        ours = seconds(partial(read, data, LIMITS))
        print(f"{form:5} values and looks: {ours:.2f} s, {theirs / ours:.1f} times as fast")


if __name__ == "__main__":
    main()
