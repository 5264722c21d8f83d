"""The house rules that a command is given: read, with every area in them checked before anything else is done."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from airwrit.house.rules import House, read_house, rows_with_area


def house_given(paths: Sequence[Path]) -> House:
    """The rules of the files. BadHouseFile names the first thing that can't be taken, also where an area can't be read."""
    house = read_house(paths)
    if rows_with_area(house):
        from airwrit.answers.site.territory import check_areas  # geometry takes long to load

        check_areas(house)
    return house
