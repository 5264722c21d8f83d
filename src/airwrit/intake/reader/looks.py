"""What the eye sees of a cell beside its value: struck out, filled with a color, a comment on it, a check box drawn over it.

The reading process makes looks and hands them over as plain lists; ours puts them together again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Any, NamedTuple

Place = tuple[int, int]
"""0-based row and column."""


class CellLook(NamedTuple):
    """How one cell looks.

    `struck` is true when its text is struck out, be it only in part; `struck_part` is then that part, and "" when all of it
    is. `fill` is the color as six lower-case hexadecimal digits, red first, or "" for none or white. `note` is the text of
    its comments, a line for each, without the names of who wrote them. `box` tells whether a check box drawn over the
    cell is checked, and is None where there is none. `ink` is the color of its letters, "" for black, white or none of its
    own. A cell that is itself yes or no says so by its kind.
    """

    struck: bool = False
    fill: str = ""
    note: str = ""
    struck_part: str = ""
    box: bool | None = None
    ink: str = ""


PLAIN = CellLook()
"""A cell like any other."""

Run = tuple[int, int, CellLook]
"""First and last column of neighbors in a row that look alike."""


class Unseen(StrEnum):
    """Why more may be seen in the sheet than its looks tell."""

    TEXT_FILE = "text_file"
    """A .csv file cannot show how a cell looks, nor hide anything."""
    CONDITIONAL = "conditional"
    """The sheet colors cells by conditions, which are not worked out."""
    STYLES = "styles"
    """The file's styles are missing or damaged: fills and struck-out text are not known."""
    NOTES = "notes"
    """The file's comments are missing or damaged."""


class Looks(Mapping[Place, CellLook]):
    """The looks of the cells that are not plain, by their place; a filled row takes as much room as one filled cell."""

    def __init__(self, rows: Mapping[int, tuple[Run, ...]] | None = None) -> None:
        """`rows` are the runs of each row, which do not overlap."""
        self._rows = dict(rows or {})

    def __getitem__(self, place: Place) -> CellLook:
        """The look at a place. KeyError where the cell is plain."""
        row, column = place
        for first, last, look in self._rows.get(row, ()):
            if first <= column <= last:
                return look
        raise KeyError(place)

    def __iter__(self) -> Iterator[Place]:
        """The places, row by row."""
        for row, runs in self._rows.items():
            for first, last, _ in runs:
                for column in range(first, last + 1):
                    yield row, column

    def __len__(self) -> int:
        """How many cells are not plain."""
        return sum(last - first + 1 for runs in self._rows.values() for first, last, _ in runs)


def looks_of(told: Mapping[str, Any]) -> Looks:
    """Looks from what the reading process told: each look once, each way to fill a row once, and the rows with theirs."""
    looks = [CellLook(*fields) for fields in told["looks"]]
    ways = [tuple((first, last, looks[at]) for first, last, at in way) for way in told["ways"]]
    return Looks({row: ways[at] for row, at in told["rows"]})
