"""Delimited text to rows: its encoding and its delimiter found by what fits the whole file, both told with the result."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from itertools import islice
from typing import Any, NamedTuple

from charset_normalizer import from_bytes

from airwrit.intake.markup.marks import Marks
from airwrit.intake.reader.limits import Fault, Limits
from airwrit.intake.reader.looks import Unseen

_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_PAGES = ("<html", "<!doctype", "<?xml", "<table", "<head", "<body")
_DELIMITERS = ",;\t|"
_CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1a\x1c-\x1f\x7f-\x9f]")
_OFTEN_IN_1252 = re.compile(
    r"[\x00-\x7e\u00a0-\u00ff\u2013\u2014\u2018\u2019\u201c\u201d\u2026\u2022\u20ac\u2122]*"
)
_TRIED = [
    "cp1252",
    "cp1250",
    "cp1251",
    "mac_roman",
    "cp437",
    "cp850",
    "shift_jis",
    "gb18030",
    "big5",
    "euc_kr",
]
_SAMPLE = 200


class Decoded(NamedTuple):
    """The text, the encoding it was read in, and whether that had to be guessed."""

    text: str
    encoding: str
    guessed: bool


def read(data: bytes, limits: Limits) -> dict[str, Any]:
    """One sheet of text cells, with its encoding and delimiter. Fault when the bytes are no text."""
    decoded = decode(data)
    text = decoded.text
    controls = len(_CONTROLS.findall(text))
    if "\0" in text or controls > max(3, len(text) // 100) or controls == len(text.strip()):
        raise Fault("the file isn't a spreadsheet or a text file", "use an .xlsx, .xls, .ods or .csv file")
    if text[:200].lstrip().lower().startswith(_PAGES):
        raise Fault(
            "the file is a web page or XML, no matter what its name says",
            "open it and save it as .xlsx or .csv",
        )
    delimiter = delimiter_of(text)
    csv.field_size_limit(limits.file_bytes)
    rows: list[list[str]] = []
    cells = 0
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter):
            cells += len(row)
            if cells > limits.cells:
                raise Fault(f"the file has more than {limits.cells:,} cells", "split the file")
            rows.append(["s" + value if value else "" for value in row])
    except csv.Error as fault:
        raise Fault(f"we can't tell the rows apart ({fault})", "save it again as .csv or .xlsx") from fault
    marks = Marks(unseen={Unseen.TEXT_FILE})
    sheet = {
        "name": "",
        "hidden": False,
        "top": 0,
        "left": 0,
        "rows": rows,
        "formulas": [],
        "merged": [],
        **marks.told(),
    }
    return {
        "kind": "csv",
        "from_1904": False,
        "delimiter": delimiter,
        "encoding": decoded.encoding,
        "guessed": decoded.guessed,
        "sheets": [sheet],
    }


def decode(data: bytes) -> Decoded:
    """The text by its byte-order mark, else UTF-8, else UTF-16 by its zeros, else the legacy encoding that fits best."""
    try:
        for bom, encoding in _BOMS:
            if data.startswith(bom):
                return Decoded(data.decode(encoding), encoding, guessed=False)
        if b"\0" in data:
            encoding = "utf-16-le" if data[1::2].count(0) > data[::2].count(0) else "utf-16-be"
            return Decoded(data.decode(encoding), encoding, guessed=True)
    except UnicodeDecodeError as fault:
        raise Fault(
            "the file isn't a spreadsheet or a text file", "use an .xlsx, .xls, .ods or .csv file"
        ) from fault
    try:
        return Decoded(data.decode("utf-8"), "utf-8", guessed=False)
    except UnicodeDecodeError:
        return _legacy(data)


def _legacy(data: bytes) -> Decoded:
    text = data.decode("cp1252", errors="replace")
    if _OFTEN_IN_1252.fullmatch(text) and _mostly_plain(text):
        return Decoded(text, "cp1252", guessed=True)
    best = from_bytes(data, cp_isolation=_TRIED).best()
    if best is None:
        raise Fault("we can't tell the text's encoding", "save it again as UTF-8 or as .xlsx")
    return Decoded(str(best), best.encoding, guessed=True)


def _mostly_plain(text: str) -> bool:
    """Whether accents are as few as in a Western language; elsewhere letters are."""
    letters = [sign for sign in text if sign.isalpha()]
    return sum(not sign.isascii() for sign in letters) * 3 <= len(letters)


def delimiter_of(text: str) -> str:
    """The delimiter under which most records have the same number of cells, at least two; a comma when none has."""
    first = text[:20].lower()
    if first.startswith("sep=") and len(first) > 4 and first[4] in _DELIMITERS:
        return first[4]
    best, best_score = ",", (0.0, 0)
    for delimiter in _DELIMITERS:
        if delimiter in text:
            score = _fit(text, delimiter)
            if score > best_score:
                best, best_score = delimiter, score
    return best


def _fit(text: str, delimiter: str) -> tuple[float, int]:
    """Share of records that have the commonest width of two or more, and that width."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        widths = [len(row) for row in islice(reader, _SAMPLE) if any(row)]
    except csv.Error:
        return 0.0, 0
    wide = Counter(width for width in widths if width > 1)
    if not wide:
        return 0.0, 0
    width, count = max(wide.items(), key=lambda item: (item[1], item[0]))
    return count / len(widths), width
