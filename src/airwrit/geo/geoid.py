"""How far mean sea level stands above the WGS-84 ellipsoid: EGM96, on a grid of a quarter of a degree.

Source: egm96_15.gtx of Debian's package proj-data 9.1.1-1, packed by `tools/geoid_grid.py`; a work of the National
Geospatial-Intelligence Agency and NASA, in the public domain. Taken straight between the points of the grid it is within 0.1 m
of six published values.
"""

from __future__ import annotations

import lzma
import math
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place

GRID = Path(__file__).with_name("egm96_quarter_degree.xz")
ROWS, COLUMNS = 721, 1440
_PER_DEGREE = 4


@cache
def _centimeters() -> NDArray[np.int32]:
    """Undulations in centimeters `(ROWS, COLUMNS)`, from 90 S northward and from 180 W eastward."""
    steps = np.frombuffer(lzma.decompress(GRID.read_bytes()), "<i2").reshape(ROWS, COLUMNS)
    found: NDArray[np.int32] = (
        steps.astype(np.int32).cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32)
    )
    return found


def undulation_m(place: Place) -> float:
    """Meters of mean sea level (EGM96) above the ellipsoid at a place; below zero where it lies under it."""
    grid = _centimeters()
    row = (place.latitude_deg + 90) * _PER_DEGREE
    column = ((place.longitude_deg + 180) % 360) * _PER_DEGREE
    south, west = min(math.floor(row), ROWS - 2), math.floor(column) % COLUMNS
    up, along = row - south, column - math.floor(column)
    east = (west + 1) % COLUMNS
    low = float(grid[south, west]) * (1 - along) + float(grid[south, east]) * along
    high = float(grid[south + 1, west]) * (1 - along) + float(grid[south + 1, east]) * along
    return (low * (1 - up) + high * up) / 100
