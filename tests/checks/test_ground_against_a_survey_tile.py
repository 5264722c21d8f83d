"""The ground of a real tile against what is published of it and of the summit in it (terrain/SOURCE.toml)."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwrit.base.places import Place
from airwrit.geo.footprint import within_of
from airwrit.geo.terrain import GROUND_ERROR_M, ground_of
from airwrit.geo.tiles_kept import keep_tiles
from tests.outside import outside_file


def test_mount_washington(tmp_path: Path) -> None:
    ((tile, is_new),) = keep_tiles(tmp_path, outside_file("terrain/N44W072.hgt"))
    assert (tile.name, tile.side, is_new) == ("N44W072", 1201, True)
    summit = ground_of(tmp_path, within_of((Place(44.2705, -71.3033),), 300))
    assert summit.middle_m == pytest.approx(1906.9, abs=0.1)
    assert summit.highest_m == 1908
    assert abs(1916.6 - summit.highest_m) < GROUND_ERROR_M
    wide = ground_of(tmp_path, within_of((Place(44.5, -71.5),), 15_000))
    assert wide.lowest_m is not None
    assert wide.lowest_m >= 115
