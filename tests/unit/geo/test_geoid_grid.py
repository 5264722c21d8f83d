"""The grid of sea level: what the tool packs is what the module reads, to the centimeter."""

from __future__ import annotations

import lzma
import struct

import numpy as np
import pytest

from airwrit.geo.geoid import COLUMNS, ROWS
from tools.geoid_grid import packed


def test_packing_keeps_every_centimeter() -> None:
    rows, columns = np.arange(ROWS)[:, None], np.arange(COLUMNS)[None, :]
    meters = (90 * np.sin(rows / 40) * np.cos(columns / 55) - 10).astype(">f4")
    head = struct.pack(">4d2i", -90, -180, 0.25, 0.25, ROWS, COLUMNS)
    steps = np.frombuffer(lzma.decompress(packed(head + meters.tobytes())), "<i2").reshape(ROWS, COLUMNS)
    read = steps.astype(np.int32).cumsum(axis=0).cumsum(axis=1)
    assert np.abs(read / 100 - meters).max() < 0.0051
    with pytest.raises(ValueError, match="quarter of a degree"):
        packed(struct.pack(">4d2i", -90, -180, 0.5, 0.5, 361, 720))
