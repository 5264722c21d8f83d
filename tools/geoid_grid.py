"""Make the grid of EGM96 undulations that `geo/geoid.py` reads, out of egm96_15.gtx of Debian's package proj-data.

    apt-get download proj-data && dpkg-deb -x proj-data_*.deb there
    python tools/geoid_grid.py there/usr/share/proj/egm96_15.gtx

The file in the project was made of proj-data 9.1.1-1. EGM96 is a work of the National Geospatial-Intelligence Agency and
NASA, in the public domain. Undulations are kept as whole centimeters of a grid of a quarter of a degree, from the south pole
northward and from 180 degrees west eastward; each is written as its difference from its neighbors, which packs well.
"""

from __future__ import annotations

import lzma
import struct
import sys
from pathlib import Path

import numpy as np

from airwrit.geo.geoid import COLUMNS, GRID, ROWS

_HEAD = struct.Struct(">4d2i")


def packed(data: bytes) -> bytes:
    """The packed grid of a .gtx file. ValueError for another grid than the one expected."""
    south, west, high, wide, rows, columns = _HEAD.unpack_from(data)
    if (south, west, high, wide, rows, columns) != (-90, -180, 0.25, 0.25, ROWS, COLUMNS):
        raise ValueError("this is not the grid of a quarter of a degree")
    meters = np.frombuffer(data, ">f4", offset=_HEAD.size).reshape(ROWS, COLUMNS)
    centimeters = np.rint(meters.astype(np.float64) * 100).astype(np.int32)
    along = np.diff(centimeters, axis=1, prepend=0)
    return lzma.compress(np.diff(along, axis=0, prepend=0).astype("<i2").tobytes(), preset=9)


def main() -> None:
    """Write the grid beside the module that reads it."""
    GRID.write_bytes(packed(Path(sys.argv[1]).read_bytes()))


if __name__ == "__main__":
    main()
