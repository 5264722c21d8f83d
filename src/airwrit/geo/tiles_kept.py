"""Tiles of the ground put on file: an .hgt file of the survey, or those that a GeoTIFF holds."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.whole_files import write_whole
from airwrit.geo.geotiff import tiles_in
from airwrit.geo.terrain import SIDES, VOID, TerrainTile, corner_name, corner_of, tile_of

_LOWEST_M, _HIGHEST_M = -500, 9000
_DO = "get the one-degree tile as an .hgt file, named like N44W072.hgt"


def keep_tiles(folder: Path, source: Path) -> list[tuple[TerrainTile, bool]]:
    """Put the tile of an .hgt file on file, or those that a GeoTIFF holds; whether each is new.

    UnreadableFile for what is neither, UsageError where another tile of the place is there.
    """
    if source.suffix.lower() in (".tif", ".tiff"):
        return [_keep(folder, corner, data) for corner, data in tiles_in(source)]
    corner = corner_of(source.name)
    if corner is None:
        raise UnreadableFile("the file's name doesn't say which tile it is", where=source.name, do=_DO)
    try:
        data = source.read_bytes() if source.stat().st_size in SIDES else b""
    except OSError as fault:
        raise UnreadableFile(fault.strerror or "we can't read it", where=source.name, do=_DO) from fault
    if not data:
        raise UnreadableFile(
            "the file doesn't have the size of a tile with 1201 or 3601 points per side",
            where=source.name,
            do=_DO,
        )
    posts = np.frombuffer(data, ">i2")
    seen = posts[posts != VOID]
    if seen.size and (seen.min() < _LOWEST_M or seen.max() > _HIGHEST_M):
        raise UnreadableFile(
            f"the heights in the tile run from {seen.min():,} to {seen.max():,} m, which is impossible",
            where=source.name,
            do="get the tile again. Its bytes may be in the wrong order",
        )
    return [_keep(folder, corner, data)]


def _keep(folder: Path, corner: tuple[int, int], data: bytes) -> tuple[TerrainTile, bool]:
    path = folder / f"{corner_name(*corner)}.hgt"
    folder.mkdir(parents=True, exist_ok=True)
    try:
        write_whole(path, data, private=False, new=True)
    except FileExistsError:
        if path.read_bytes() != data:
            raise UsageError(
                "an elevation tile for that area is already on file",
                where=path.name,
                do="if this one is better, move the other one to another folder first",
            ) from None
        return tile_of(path, corner), False
    return tile_of(path, corner), True
