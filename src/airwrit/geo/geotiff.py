"""Elevations of a GeoTIFF in degrees of latitude and longitude, laid onto the posts of one-degree tiles.

Read are the tags of OGC GeoTIFF 1.1 (from memory): scale 33550, tie point 33922, keys 34735, and 42113 for posts that hold
nothing. A file in another system, or above an ellipsoid, is refused. Heights are taken straight between the file's own posts
and rounded to whole meters; where the file ends or holds nothing, a post holds nothing too. That sea level of NAVD88, EGM96
and EGM2008 differs by about a meter is less than what the ground may be off.
"""

from __future__ import annotations

import math
import struct
import warnings
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from airwrit.base.errors import UnreadableFile
from airwrit.geo.terrain import VOID

Floats: TypeAlias = NDArray[np.float64]

_MOST_POSTS = 60_000_000
_SCALE, _TIE, _KEYS, _NOTHING = 33550, 33922, 34735, 42113
_MODEL, _RASTER, _VERTICAL, _VERTICAL_UNIT = 1024, 1025, 4096, 4099
_GEOGRAPHIC, _POINT = 2, 2
_SEA_LEVELS = (0, 32767, 5773, 5703, 3855)
"""Not told, user-defined, EGM96, NAVD88, EGM2008."""
_UNITS_M = {0: 1.0, 9001: 1.0, 9002: 0.3048, 9003: 1200 / 3937}
_FINE_DEG = 1.5 / 3600
_FINE, _COARSE = 3601, 1201
_ON_POST = 1e-3
_LEAST_SEEN = 0.01
_DO = (
    "get the elevation in degrees (WGS 84 or NAD 83) above sea level, or the one-degree tile as an .hgt file"
)


_UNREADABLE = (
    OSError,
    Image.DecompressionBombError,
    ArithmeticError,
    LookupError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
)
"""What the reader of images raises of damaged bytes."""


class Raster(NamedTuple):
    """Meters (rows, columns), nan where nothing is known; latitude and longitude of the first post, degrees between posts."""

    meters: Floats
    north_deg: float
    west_deg: float
    step_north_deg: float
    step_east_deg: float


def tiles_in(path: Path) -> Iterator[tuple[tuple[int, int], bytes]]:
    """The corner and the bytes of every one-degree tile of which a file holds more than an edge. UnreadableFile."""
    raster = _raster(path)
    rows, columns = raster.meters.shape
    south = raster.north_deg - (rows - 1) * raster.step_north_deg
    east = raster.west_deg + (columns - 1) * raster.step_east_deg
    side = _FINE if max(raster.step_north_deg, raster.step_east_deg) < _FINE_DEG else _COARSE
    found = False
    for row in range(math.floor(south + _ON_POST), math.ceil(raster.north_deg - _ON_POST)):
        for column in range(math.floor(raster.west_deg + _ON_POST), math.ceil(east - _ON_POST)):
            posts = _posts(raster, row, column, side)
            if (posts != VOID).mean() >= _LEAST_SEEN:
                found = True
                yield (row, (column + 180) % 360 - 180), posts.astype(">i2").tobytes()
    if not found:
        raise UnreadableFile("the file has no elevations", where=path.name, do=_DO)


def _raster(path: Path) -> Raster:
    try:
        with warnings.catch_warnings(action="ignore"), Image.open(path, formats=("TIFF",)) as image:
            if image.width * image.height > _MOST_POSTS:
                raise UnreadableFile(
                    f"the tile has more than {_MOST_POSTS:,} points",
                    where=path.name,
                    do="cut it down to the area you need",
                )
            if image.mode not in ("I", "F", "I;16"):
                raise UnreadableFile("this is a picture, not elevation data", where=path.name, do=_DO)
            tags = dict(getattr(image, "tag_v2", {}))
            meters = np.asarray(image, dtype=np.float64).copy()
    except _UNREADABLE as fault:
        raise UnreadableFile("we can't read the file as a GeoTIFF", where=path.name, do=_DO) from fault
    return _placed(meters, tags, path.name)


def _placed(meters: Floats, tags: dict[int, object], name: str) -> Raster:
    scale, tie = _numbers(tags.get(_SCALE)), _numbers(tags.get(_TIE))
    keys = _keys(tags)
    if len(scale) < 2 or len(tie) < 6 or keys.get(_MODEL) != _GEOGRAPHIC or min(scale[:2]) <= 0:
        raise UnreadableFile(
            "its points aren't spaced in degrees of latitude and longitude", where=name, do=_DO
        )
    unit = _UNITS_M.get(keys.get(_VERTICAL_UNIT, 0))
    if keys.get(_VERTICAL, 0) not in _SEA_LEVELS or unit is None:
        raise UnreadableFile("its heights aren't meters or feet above sea level", where=name, do=_DO)
    half = 0.0 if keys.get(_RASTER) == _POINT else 0.5
    west = tie[3] + (half - tie[0]) * scale[0]
    north = tie[4] - (half - tie[1]) * scale[1]
    if not (-180.1 <= west <= 360 and -90.1 <= north <= 90.1):
        raise UnreadableFile("the tile's position isn't on the earth", where=name, do=_DO)
    nothing = str(tags.get(_NOTHING, "")).strip(" \0")
    unseen = meters <= VOID
    with suppress(ValueError):
        unseen |= meters == float(nothing)
    meters[unseen] = np.nan
    return Raster(meters * unit, north, west, scale[1], scale[0])


def _numbers(told: object) -> tuple[float, ...]:
    return tuple(float(one) for one in told) if isinstance(told, tuple) else ()


def _keys(tags: dict[int, object]) -> dict[int, int]:
    """The keys whose value stands in the directory itself."""
    rows = [int(one) for one in _numbers(tags.get(_KEYS))]
    return {rows[at]: rows[at + 3] for at in range(4, len(rows) - 3, 4) if rows[at + 1] == 0}


def _posts(raster: Raster, south: int, west: int, side: int) -> NDArray[np.int16]:
    """The posts of a tile from north to south; nothing where the file ends or one of the four posts around holds nothing."""
    down = (raster.north_deg - (south + 1) + np.arange(side) / (side - 1)) / raster.step_north_deg
    right = (west - raster.west_deg + np.arange(side) / (side - 1)) / raster.step_east_deg
    rows, up, outside_rows = _shares(down, raster.meters.shape[0])
    columns, along, outside_columns = _shares(right, raster.meters.shape[1])
    top, bottom = (
        _between(raster.meters[rows + step][:, columns], raster.meters[rows + step][:, columns + 1], along)
        for step in (0, 1)
    )
    made = _between(top, bottom, up[:, None])
    made[outside_rows] = np.nan
    made[:, outside_columns] = np.nan
    found: NDArray[np.int16] = np.where(np.isnan(made), VOID, np.rint(made)).astype(np.int16)
    return found


def _shares(places: Floats, count: int) -> tuple[NDArray[np.intp], Floats, NDArray[np.bool_]]:
    """For places counted in posts: the post before, the share of the way to the next, and which lie outside."""
    near = np.rint(places)
    places = np.where(np.abs(places - near) < _ON_POST, near, places)
    outside = (places < 0) | (places > count - 1)
    before = np.clip(np.floor(places), 0, count - 2).astype(np.intp)
    return before, np.clip(places - before, 0.0, 1.0), outside


def _between(one: Floats, other: Floats, share: Floats) -> Floats:
    """Straight between two, each alone where the share is all of it: nothing beside a post that holds something is nothing."""
    made: Floats = np.where(share == 0, one, np.where(share == 1, other, one + (other - one) * share))
    return made
