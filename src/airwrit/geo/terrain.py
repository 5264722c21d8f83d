"""The ground by tiles of one degree on file: lowest and highest under an area, and what no tile tells.

A tile is an .hgt file of the shuttle's radar survey: named for its southwest corner (N44W072), rows from north to south,
1201 or 3601 big-endian whole meters a row above mean sea level (EGM96), -32768 where nothing was seen. What no tile holds is
unknown, never 0. Each height may be off by 16 m, and the difference of two near ones by 10 m. Source: the survey's
specification, at 90 percent, from memory.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Sequence
from itertools import groupby, pairwise, product
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.geo.earth import m_per_degree
from airwrit.geo.fixed import DEGREE, FixedBox, FixedPoint
from airwrit.geo.footprint import Footprint, box_of_footprint, is_in, nearness_m

VOID = -32768
"""What stands for a post where nothing is known."""

GROUND_ERROR_M, DIFFERENCE_ERROR_M = 16.0, 10.0
MOST_WIDE_DEG = 1
_PIECE = DEGREE // 200
_SECOND, _MOST_CELLS = DEGREE // 3600, 64
_NAME = re.compile(r"(?P<ns>[NS])(?P<latitude>\d{2})(?P<ew>[EW])(?P<longitude>\d{3})\.hgt", re.IGNORECASE)
SIDES = {2 * side * side: side for side in (1201, 3601)}
FARTHEST_DEG = 80


class TerrainTile(NamedTuple):
    """A tile on file: its southwest corner in whole degrees, the posts on a side, its file and the SHA-256 of its bytes."""

    south: int
    west: int
    side: int
    path: Path
    sha256: str

    @property
    def name(self) -> str:
        """The name of its corner."""
        return corner_name(self.south, self.west)


class Ground(NamedTuple):
    """Meters above mean sea level under an area: lowest and highest, None where something is unknown; at its middle.

    `missing` are the tiles that aren't on file, `voids` how many posts hold nothing, `tiles` what was read.
    """

    lowest_m: float | None
    highest_m: float | None
    middle_m: float | None
    missing: tuple[str, ...]
    voids: int
    tiles: tuple[TerrainTile, ...]


def corner_name(south: int, west: int) -> str:
    """The name of a tile by its southwest corner."""
    return f"{'N' if south >= 0 else 'S'}{abs(south):02}{'E' if west >= 0 else 'W'}{abs(west):03}"


def tiles_on_file(folder: Path) -> list[TerrainTile]:
    """The tiles of a folder by their names; what has another name or size is none."""
    found = []
    for path in sorted(folder.glob("*.hgt")):
        corner = corner_of(path.name)
        if corner is not None and path.stat().st_size in SIDES:
            found.append(tile_of(path, corner))
    return found


def ground_of(folder: Path, footprint: Footprint) -> Ground:
    """The ground under a footprint, with the posts around its edge; `middle_m` is under its first point. UsageError outside.

    Under a circle and a polygon the cells count that it touches, and some next to its edge, of a grid of 64 by 64 cells over it
    that are no smaller than a second; under a line boxes around each half kilometer of it.
    """
    parts = _parts(footprint)
    if max(max(abs(part.south), abs(part.north)) for part in parts) > FARTHEST_DEG * DEGREE:
        raise UsageError(
            "we can't work out ground elevation that close to the North or South Pole",
            do="choose a place farther away",
        )
    lows, highs, missing, tiles, voids = [], [], [], [], 0
    for (south, west), boxes in _boxes_by_tile(parts).items():
        path = folder / f"{corner_name(south, west)}.hgt"
        side = SIDES.get(path.stat().st_size) if path.is_file() else None
        if side is None:
            missing.append(corner_name(south, west))
            continue
        tiles.append(tile_of(path, (south, west)))
        posts = _posts(path, side, boxes)
        voids += int((posts == VOID).sum())
        lows.append(float(posts.min()))
        highs.append(float(posts.max()))
    sure = not missing and not voids
    return Ground(
        min(lows) if sure else None,
        max(highs) if sure else None,
        ground_at(folder, Place(*(float(degrees) / DEGREE for degrees in footprint.points[0]))),
        tuple(missing),
        voids,
        tuple(tiles),
    )


class _Box(NamedTuple):
    """Shares of a tile's side: from the north and from the west, first and last."""

    top: float
    bottom: float
    left: float
    right: float


def _parts(footprint: Footprint) -> list[FixedBox]:
    """Boxes that hold a footprint: one, or along a line one for each piece of it."""
    whole = box_of_footprint(footprint)
    if max(whole.north - whole.south, whole.east - whole.west) > MOST_WIDE_DEG * DEGREE:
        raise UsageError(
            f"that area is more than {MOST_WIDE_DEG} degrees wide", do="ask about part of it at a time"
        )
    if footprint.is_filled or len(footprint.points) == 1:
        return _cells(footprint, whole)
    found = []
    for start, end in pairwise(footprint.points.tolist()):
        count = max(1, math.ceil(max(abs(e - s) for s, e in zip(start, end, strict=True)) / _PIECE))
        marks = [
            [s + (e - s) * part // count for s, e in zip(start, end, strict=True)]
            for part in range(count + 1)
        ]
        found += [
            box_of_footprint(footprint._replace(rings=(np.array(piece, dtype=np.int64),)))
            for piece in pairwise(marks)
        ]
    return found


def _cells(footprint: Footprint, whole: FixedBox) -> list[FixedBox]:
    """The cells of a grid over a box that a circle or a polygon touches, those beside one another in one."""
    south, west, high, wide = whole.south, whole.west, whole.north - whole.south, whole.east - whole.west
    rows, columns = (min(_MOST_CELLS, math.ceil(size / _SECOND)) or 1 for size in (high, wide))
    tops = [south + high * row // rows for row in range(rows + 1)]
    lefts = [west + wide * column // columns for column in range(columns + 1)]
    on_edge = (_on_edge if footprint.is_filled else _within)(footprint, tops, lefts)
    found = []
    for row, is_on_edge in enumerate(on_edge.tolist()):
        for near, run in groupby(range(columns), is_on_edge.__getitem__):
            first, *rest = run
            middle = FixedPoint((tops[row] + tops[row + 1]) // 2, (lefts[first] + lefts[first + 1]) // 2)
            if near or (footprint.is_filled and is_in(footprint, middle)):
                last = rest[-1] if rest else first
                found.append(FixedBox(tops[row], tops[row + 1], lefts[first], lefts[last + 1]))
    return found


def _within(circle: Footprint, tops: Sequence[int], lefts: Sequence[int]) -> NDArray[np.bool_]:
    """Which cells between lines of latitude and longitude a circle touches, with some that it nearly does."""
    middles = [[(a + b) // 2 for a, b in pairwise(lines)] for lines in (tops, lefts)]
    nearest = min((abs(one) for one in tops), default=0) if tops[0] * tops[-1] > 0 else 0
    halves = ((lines[-1] - lines[0]) / (len(lines) - 1) / 2 / DEGREE for lines in (tops, lefts))
    scales = m_per_degree(nearest / DEGREE)
    reach = 1.01 * math.hypot(*(half * scale for half, scale in zip(halves, scales, strict=True)))
    away = nearness_m(circle, np.array(list(product(*middles)), dtype=np.int64))
    found: NDArray[np.bool_] = (away <= circle.radius_m + reach).reshape(len(middles[0]), len(middles[1]))
    return found


def _on_edge(polygon: Footprint, tops: Sequence[int], lefts: Sequence[int]) -> NDArray[np.bool_]:
    """Which cells between lines of latitude and longitude the edges of a polygon run through, and those next to them."""
    shape = len(tops) - 1, len(lefts) - 1
    corner = np.array((tops[0], lefts[0]))
    size = np.maximum(np.array((tops[-1], lefts[-1])) - corner, 1) / shape
    marked = np.zeros((shape[0] + 2, shape[1] + 2), dtype=bool)
    for ring in polygon.rings:
        ends = (ring - corner) / size
        for start, end in pairwise(ends):
            steps = int(2 * np.abs(end - start).max()) + 2
            places = start + (end - start) * np.linspace(0, 1, steps)[:, None]
            row, column = np.clip(places.astype(np.int64), 0, np.array(shape) - 1).T
            for down, right in product(range(3), repeat=2):
                marked[row + down, column + right] = True
    return marked[1:-1, 1:-1]


def _boxes_by_tile(parts: Sequence[FixedBox]) -> dict[tuple[int, int], list[_Box]]:
    """The tiles that boxes reach, each with the parts of it that they cover."""
    found: dict[tuple[int, int], list[_Box]] = {}
    for south, north, west, east in ((float(one) / DEGREE for one in part) for part in parts):
        for row in range(math.floor(south), math.floor(north) + 1):
            for column in range(math.floor(west), math.floor(east) + 1):
                box = _Box(
                    row + 1 - min(north, row + 1),
                    row + 1 - max(south, row),
                    max(west, column) - column,
                    min(east, column + 1) - column,
                )
                found.setdefault((row, (column + 180) % 360 - 180), []).append(box)
    return found


def _posts(path: Path, side: int, boxes: Sequence[_Box]) -> NDArray[np.int16]:
    """The posts of parts of a tile, with those just outside of them; each once."""
    posts: NDArray[np.int16] = np.memmap(path, ">i2", "r", shape=(side, side))
    last = side - 1
    parts = [
        (
            slice(math.floor(box.top * last), math.ceil(box.bottom * last) + 1),
            slice(math.floor(box.left * last), math.ceil(box.right * last) + 1),
        )
        for box in boxes
    ]
    first_row, first_column = (min(part[way].start for part in parts) for way in (0, 1))
    window = posts[
        first_row : max(rows.stop for rows, _ in parts),
        first_column : max(columns.stop for _, columns in parts),
    ]
    chosen = np.zeros(window.shape, dtype=bool)
    for rows, columns in parts:
        chosen[
            rows.start - first_row : rows.stop - first_row,
            columns.start - first_column : columns.stop - first_column,
        ] = True
    return window[chosen]


def ground_at(folder: Path, place: Place) -> float | None:
    """Meters at a place, taken straight between the four posts around it; None where one of them is unknown."""
    south, west = math.floor(place.latitude_deg), math.floor(place.longitude_deg)
    path = folder / f"{corner_name(south, (west + 180) % 360 - 180)}.hgt"
    side = SIDES.get(path.stat().st_size) if path.is_file() else None
    if side is None:
        return None
    down = (south + 1 - place.latitude_deg) * (side - 1)
    right = (place.longitude_deg - west) * (side - 1)
    row, column = min(math.floor(down), side - 2), min(math.floor(right), side - 2)
    posts: NDArray[np.int16] = np.memmap(path, ">i2", "r", shape=(side, side))
    four = posts[row : row + 2, column : column + 2].astype(np.float64)
    if (four == VOID).any():
        return None
    up, along = down - row, right - column
    top, bottom = four @ np.array((1 - along, along))
    return float(top * (1 - up) + bottom * up)


class GroundAlong:
    """Meters of ground above sea level under many places at once, by the tiles of a folder; each tile is opened once."""

    __slots__ = ("_folder", "_tiles")

    def __init__(self, folder: Path) -> None:
        """No tile is opened yet."""
        self._folder = folder
        self._tiles: dict[tuple[int, int], NDArray[np.int16] | None] = {}

    def __call__(
        self, latitude_deg: NDArray[np.float64], longitude_deg: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """The ground under places (n,), taken straight between the four posts around each; NaN where one is unknown."""
        found = np.full(len(latitude_deg), np.nan)
        if not len(found):
            return found
        south, west = np.floor(latitude_deg), np.floor(longitude_deg)
        rows, columns = (range(int(one.min()), int(one.max()) + 1) for one in (south, west))
        for row, column in product(rows, columns):
            posts = self._posts(row, (column + 180) % 360 - 180)
            if posts is not None:
                alone = len(rows) * len(columns) == 1
                mine = slice(None) if alone else np.flatnonzero((south == row) & (west == column))
                found[mine] = _between_posts(
                    posts, row + 1 - latitude_deg[mine], longitude_deg[mine] - column
                )
        return found

    def _posts(self, south: int, west: int) -> NDArray[np.int16] | None:
        if (south, west) not in self._tiles:
            path = self._folder / f"{corner_name(south, west)}.hgt"
            side = SIDES.get(path.stat().st_size) if path.is_file() else None
            self._tiles[south, west] = (
                None if side is None else np.memmap(path, ">i2", "r", shape=(side, side))
            )
        return self._tiles[south, west]


def _between_posts(
    posts: NDArray[np.int16], down: NDArray[np.float64], right: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Heights at shares of a tile's side from the north and the west, NaN beside a post that holds nothing."""
    last = posts.shape[0] - 1
    down, right = down * last, right * last
    row = np.minimum(down.astype(np.int32), last - 1)
    column = np.minimum(right.astype(np.int32), last - 1)
    up, along = down - row, right - column
    flat, at = posts.reshape(-1), row * (last + 1) + column
    four = [flat[at + step].astype(np.float64) for step in (0, 1, last + 1, last + 2)]
    top = four[0] + (four[1] - four[0]) * along
    bottom = four[2] + (four[3] - four[2]) * along
    found: NDArray[np.float64] = top + (bottom - top) * up
    void = np.minimum(np.minimum(four[0], four[1]), np.minimum(four[2], four[3])) == VOID
    if void.any():
        found[void] = np.nan
    return found


def corner_of(name: str) -> tuple[int, int] | None:
    """The southwest corner that a file's name tells, in whole degrees; None where it tells none."""
    found = _NAME.fullmatch(name)
    if found is None:
        return None
    south = int(found["latitude"]) * (1 if found["ns"].upper() == "N" else -1)
    west = int(found["longitude"]) * (1 if found["ew"].upper() == "E" else -1)
    return (south, west) if -90 <= south < 90 and -180 <= west < 180 else None


def tile_of(path: Path, corner: tuple[int, int]) -> TerrainTile:
    """A tile by its file."""
    data = path.read_bytes()
    return TerrainTile(*corner, SIDES[len(data)], path, hashlib.sha256(data).hexdigest())
