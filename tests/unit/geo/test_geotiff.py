"""GeoTIFFs of elevation: which tiles they give, where they end, and what is refused."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from PIL.TiffImagePlugin import ImageFileDirectory_v2

from airwrit.base.errors import UnreadableFile
from airwrit.base.places import Place
from airwrit.geo.footprint import within_of
from airwrit.geo.terrain import ground_of
from airwrit.geo.tiles_kept import keep_tiles

POINT, AREA = 2, 1


def geotiff(path: Path, meters: Any, north: float, west: float, step: float, **more: Any) -> Path:
    """A GeoTIFF: `raster` tells whether the tie point is a post or the corner around it; `keys` are further GeoKeys."""
    tags = ImageFileDirectory_v2()
    keys = {1024: more.get("model", 2), 1025: more.get("raster", POINT), **more.get("keys", {})}
    rows = [1, 1, 0, len(keys), *(one for key, value in keys.items() for one in (key, 0, 1, value))]
    for tag, kind, value in (
        (33550, 12, (step, step, 0.0)),
        (33922, 12, (0.0, 0.0, 0.0, west, north, 0.0)),
        (34735, 3, tuple(rows)),
        (42113, 2, more.get("nothing", "-9999")),
    ):
        tags[tag] = value
        tags.tagtype[tag] = kind
    image = Image.fromarray(np.asarray(meters, dtype=more.get("kind", np.float32)))
    image.save(path, tiffinfo=tags, compression=more.get("compression", "tiff_lzw"))
    return path


@pytest.mark.parametrize("compression", ["tiff_lzw", "tiff_adobe_deflate", None])
@pytest.mark.parametrize("kind", [np.float32, np.int32])
def test_a_tile_of_1201_posts(tmp_path: Path, compression: str | None, kind: Any) -> None:
    meters = np.full((1201, 1201), 1600)
    meters[600, 600] = 1700
    path = geotiff(tmp_path / "a.tif", meters, 41.0, -106.0, 1 / 1200, compression=compression, kind=kind)
    ((tile, is_new),) = keep_tiles(tmp_path / "terrain", path)
    assert (tile.name, tile.side, is_new) == ("N40W106", 1201, True)
    ground = ground_of(tmp_path / "terrain", within_of((Place(40.5, -105.5),), 100))
    assert (ground.lowest_m, ground.highest_m, ground.middle_m) == (1600, 1700, 1700)


def test_the_middle_of_a_cell_and_a_border_around(tmp_path: Path) -> None:
    # Cells of 3 seconds, 6 more on each side, told by their outer corner as national files have it.
    meters = np.tile(np.arange(1212.0), (1212, 1))
    step = 1 / 1200
    path = geotiff(tmp_path / "a.tif", meters, 41 + 6 * step, -106 - 6 * step, step, raster=AREA)
    ((tile, _),) = keep_tiles(tmp_path / "terrain", path)
    assert tile.name == "N40W106"
    ground = ground_of(tmp_path / "terrain", within_of((Place(40.5, -105.5),), 0))
    # The post in the middle lies 600 + 6 cells from the corner, on the line between cells 605 and 606: 605.5, rounded.
    assert ground.middle_m in (605, 606)


def test_parts_of_several_degrees_and_feet(tmp_path: Path) -> None:
    path = geotiff(
        tmp_path / "a.tif", np.full((1201, 1201), 1000.0), 40.5, -105.5, 1 / 1200, keys={4099: 9002}
    )
    names = sorted(tile.name for tile, _ in keep_tiles(tmp_path / "terrain", path))
    assert names == ["N39W105", "N39W106", "N40W105", "N40W106"]
    inside = ground_of(tmp_path / "terrain", within_of((Place(40.2, -105.2),), 100))
    assert inside.lowest_m == 305
    outside = ground_of(tmp_path / "terrain", within_of((Place(40.7, -105.2),), 100))
    assert (outside.lowest_m, outside.voids > 0) == (None, True)


def test_what_holds_nothing_stays_unknown(tmp_path: Path) -> None:
    meters = np.full((1201, 1201), 100.0)
    meters[600, 600] = -9999
    path = geotiff(tmp_path / "a.tif", meters, 41.0, -106.0, 1 / 1200)
    keep_tiles(tmp_path / "terrain", path)
    assert ground_of(tmp_path / "terrain", within_of((Place(40.5, -105.5),), 100)).lowest_m is None
    assert ground_of(tmp_path / "terrain", within_of((Place(40.6, -105.5),), 100)).lowest_m == 100


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"model": 1}, "degrees of latitude and longitude"),
        ({"keys": {4096: 4979}}, "above sea level"),
        ({"keys": {4099: 9035}}, "above sea level"),
        ({"nothing": "0"}, "has no elevations"),
    ],
)
def test_what_is_refused(tmp_path: Path, more: dict[str, Any], says: str) -> None:
    path = geotiff(tmp_path / "a.tif", np.zeros((1201, 1201)), 41.0, -106.0, 1 / 1200, **more)
    with pytest.raises(UnreadableFile, match=says):
        keep_tiles(tmp_path / "terrain", path)


def test_a_picture_and_no_picture_are_refused(tmp_path: Path) -> None:
    Image.new("RGB", (10, 10)).save(tmp_path / "photo.tif")
    (tmp_path / "text.tif").write_text("no tiff", encoding="utf-8")
    Image.fromarray(np.zeros((10, 10), dtype=np.float32)).save(tmp_path / "bare.tif")
    for name, says in (
        ("photo", "a picture"),
        ("text", "can't read the file"),
        ("bare", "aren't spaced in degrees"),
    ):
        with pytest.raises(UnreadableFile, match=says):
            keep_tiles(tmp_path / "terrain", tmp_path / f"{name}.tif")
