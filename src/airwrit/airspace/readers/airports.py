"""The airport table of the airspace data subscription (APT_BASE.csv) as features, by the names of its columns.

Source: the names in its first line, as seen in public text; no published row could be had.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from airwrit.airspace.readers.features import Feature
from airwrit.base.errors import UnreadableFile

_NEEDED = ("ARPT_ID", "ARPT_NAME", "LAT_DECIMAL", "LONG_DECIMAL")
_BEGINNING = 4_000


def is_airport_table(data: bytes) -> bool:
    """Whether the first line of a table names the columns of airports."""
    head = data[:_BEGINNING].decode("latin-1").split("\n", 1)[0].upper()
    return all(name in head for name in _NEEDED)


def airport_features(path: Path, data: bytes) -> Iterator[Feature]:
    """A feature for each row. UnreadableFile where the rows can't be told apart."""
    text = data.decode("utf-8-sig", errors="replace")
    try:
        for number, row in enumerate(csv.DictReader(io.StringIO(text, newline="")), 2):
            fields = {
                str(name).upper(): value for name, value in row.items() if name and isinstance(value, str)
            }
            yield Feature(f"{path.name} row {number}", fields, None)
    except csv.Error as error:
        raise UnreadableFile(
            f"we can't tell the file's rows apart ({error})", where=path.name, do="download it again"
        ) from None


def effective_of_row(feature: Feature) -> date | None:
    """The day that a row says its edition took effect."""
    try:
        return date.fromisoformat(str(feature.fields.get("EFF_DATE", "")).replace("/", "-"))
    except ValueError:
        return None
