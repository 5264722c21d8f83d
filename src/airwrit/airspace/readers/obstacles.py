"""The obstacle file as features, line by line. Source: the header of a published file and four of its lines, read by column.

| columns, from 0 | what |
|---|---|
| 0 to 8 | number |
| 10 | O verified, U not verified |
| 35 to 46 | latitude: degrees, minutes, seconds with N or S |
| 48 to 60 | longitude, with E or W |
| 62 to 79 | type |
| 83 to 87 | height above ground in feet |
| 89 to 93 | height above sea level |
| 95 | lighting |
| 97, 99 | accuracy, horizontal and vertical |
| 101 | marking |
| 118 | A added, C changed, D dismantled |
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

from airwrit.airspace.readers.features import Feature

_CURRENCY = re.compile(r"CURRENCY DATE = (\d\d/\d\d/\d\d)\b")
_RULE = "-----"
_COLUMNS = {
    "OAS": slice(0, 9),
    "VERIFIED": slice(10, 11),
    "LATITUDE": slice(35, 47),
    "LONGITUDE": slice(48, 61),
    "TYPE": slice(62, 80),
    "AGL": slice(83, 88),
    "AMSL": slice(89, 94),
    "LIGHTING": slice(95, 96),
    "HORIZONTAL": slice(97, 98),
    "VERTICAL": slice(99, 100),
    "MARKING": slice(101, 102),
    "ACTION": slice(118, 119),
}
_BEGINNING = 400


def is_obstacle_file(data: bytes) -> bool:
    """Whether bytes begin as an obstacle file does."""
    return _CURRENCY.search(data[:_BEGINNING].decode("latin-1")) is not None


def effective_of(data: bytes) -> date | None:
    """The day that the file says it is current of."""
    found = _CURRENCY.search(data[:_BEGINNING].decode("latin-1"))
    try:
        return None if found is None else datetime.strptime(f"{found[1]} +0000", "%m/%d/%y %z").date()
    except ValueError:
        return None


def obstacle_features(path: Path, data: bytes) -> Iterator[Feature]:
    """A feature for each line below the rule of the head; what is in its columns without the blanks around it."""
    below = False
    for number, line in enumerate(data.decode("latin-1").splitlines(), 1):
        if below and line.strip():
            fields = {name: line[part].strip() for name, part in _COLUMNS.items()}
            yield Feature(f"{path.name} line {number}", fields, None)
        below = below or line.startswith(_RULE)
