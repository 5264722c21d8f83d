"""Airspace for very many points, beside what one would otherwise use, and one place asked by a process just begun.

    PYTHONPATH=src python benchmarks/bench_airspace.py [--small]

Needs shapely and geopandas, which no lock of ours holds: install them beside `requirements.lock` in an environment of its own.

1. A facility map of some 415,000 cells and 10,000,000 points, a third of them near a cell; `geopandas.sjoin` with the cells as
   boxes gets 1,000,000 of them. Hits have to agree.
2. 10,000 polygons of 100 to 2,800 corners (14.6 million in all), scattered points and tracks of 1,000 points near one another;
   `STRtree.query` with the predicate gets a part of them. Hits have to agree.
3. An edition of those polygons on file: opening it, and `airwrit airspace at` from the command to the answer.

Rates by processor seconds, the best of three runs; `--small` takes a twentieth of everything.
"""

from __future__ import annotations

import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import geopandas
import numpy as np
import shapely

from airwrit.airspace.areas import Areas, packed
from airwrit.airspace.edition import Edition
from airwrit.airspace.grid import COLUMNS, LEAST_OFF, Grid, grid_of
from airwrit.airspace.holding import index_of
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.pages import NO_CELL, pages_of
from airwrit.airspace.store import as_bytes, from_file
from airwrit.geo.fixed import DEGREE

SHARE = 20 if "--small" in sys.argv[1:] else 1
FACILITIES, POINTS, JOINED = 740 // SHARE, 10_000_000 // SHARE, 1_000_000 // SHARE
POLYGONS, SCATTERED, TRACKED, QUERIED = (
    10_000 // SHARE,
    1_000_000 // SHARE,
    1_000_000 // SHARE,
    40_000 // SHARE,
)
GENERATOR = np.random.default_rng(2026)
WHERE = ((26.0, 48.0), (-123.0, -68.0))


CHILD = """
import sys, time
from airwrit.cli.main import main
sys.argv[0] = "airwrit"
try:
    main()
finally:
    memory = next(line for line in open("/proc/self/status") if line.startswith("VmHWM"))
    print(time.process_time(), int(memory.split()[1]) / 1e3, file=sys.stderr)
"""
"""The command in a process of its own, which then tells the processor seconds and the megabytes that it used."""


def best(work: Callable[[], Any], runs: int = 3) -> tuple[float, Any]:
    """The least processor time of some runs, and what the last gave."""
    taken = []
    for _ in range(runs):
        start = time.process_time()
        found = work()
        taken.append(time.process_time() - start)
    return min(taken), found


def somewhere(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Places all over the States."""
    latitudes, longitudes = (GENERATOR.uniform(*span, count) for span in WHERE)
    return latitudes, longitudes


def grid() -> tuple[Grid, np.ndarray]:
    """A map of discs of cells around facilities, and where those are."""
    centers = np.stack(somewhere(FACILITIES), axis=1)
    numbers: dict[int, int] = {}
    for row, column in np.floor(centers * 120).astype(int).tolist():
        for up in range(-14, 15):
            for right in range(-14, 15):
                if up * up + right * right <= 196:
                    key = (row + up) * COLUMNS + (column + right) % COLUMNS
                    numbers[key] = 50 * ((row + up + column + right) % 9)
    keys = np.array(sorted(numbers), dtype=np.int64)
    return Grid(keys, np.array([numbers[key] for key in keys.tolist()], dtype=np.int16), LEAST_OFF), centers


def bench_grid() -> None:
    """Points against cells."""
    cells, centers = grid()
    built, pages = best(lambda: pages_of(cells))
    latitudes, longitudes = somewhere(POINTS)
    near = GENERATOR.integers(0, FACILITIES, POINTS // 3)
    latitudes[: POINTS // 3] = centers[near, 0] + GENERATOR.uniform(-0.1, 0.1, POINTS // 3)
    longitudes[: POINTS // 3] = centers[near, 1] + GENERATOR.uniform(-0.1, 0.1, POINTS // 3)
    order = GENERATOR.permutation(POINTS)
    latitudes, longitudes = latitudes[order], longitudes[order]
    ours, found = best(lambda: pages.lowest_ft(latitudes, longitudes))
    held = (
        pages.cells.nbytes + pages.starts.nbytes + sum(one.nbytes for one in (*pages.rows, *pages.columns))
    ) / 1e6
    print(f"{len(cells.keys):,} cells: made in {built:.2f} s, {held:.0f} MB")
    print(f"  {POINTS / ours / 1e6:.0f} M points/s, {(found != NO_CELL).mean():.0%} in a cell")
    rows, columns = np.divmod(cells.keys, COLUMNS)
    columns = np.where(columns >= COLUMNS // 2, columns - COLUMNS, columns)
    boxes = shapely.box(columns / 120, rows / 120, (columns + 1) / 120, (rows + 1) / 120)
    frame = geopandas.GeoDataFrame({"ceiling": cells.numbers_ft}, geometry=boxes, crs=4326)

    def joined() -> Any:
        points = geopandas.points_from_xy(longitudes[:JOINED], latitudes[:JOINED], crs=4326)
        return geopandas.sjoin(geopandas.GeoDataFrame(geometry=points), frame, predicate="intersects")

    frame.sindex  # noqa: B018
    theirs, pairs = best(joined, 1)
    lowest = pairs.groupby(level=0)["ceiling"].min()
    wanted = np.full(JOINED, NO_CELL)
    wanted[lowest.index.to_numpy()] = lowest.to_numpy()
    print(f"  agrees with geopandas: {bool((wanted == found[:JOINED]).all())}")
    print(
        f"  geopandas.sjoin {JOINED / theirs / 1e6:.2f} M points/s: {POINTS / ours / (JOINED / theirs):.0f} times"
    )


def polygons() -> tuple[Areas, list[np.ndarray]]:
    """Wavy rings as areas, and each as a table of latitudes and longitudes."""
    rings = []
    for _ in range(POLYGONS):
        count = int(GENERATOR.integers(100, 2800))
        turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
        wave = 0.15 * np.sin(turn * GENERATOR.integers(2, 9)) + 0.004 * GENERATOR.standard_normal(count)
        radius = GENERATOR.uniform(0.05, 0.33) * (1 + wave)
        latitude, longitude = (float(GENERATOR.uniform(*span)) for span in WHERE)
        across = radius * np.cos(turn) / np.cos(np.radians(latitude))
        ring = np.stack([latitude + radius * np.sin(turn), longitude + across], axis=1)
        rings.append((np.vstack([ring, ring[:1]]) * 1e9).round().astype(np.int64) * (DEGREE // 10**9))
    empty = packed([])
    starts = np.arange(POLYGONS + 1, dtype=np.int64)
    line = b'["Wavy", "CLASS_D", [0, "ground"], [0, "none"], null, "", [], null, null, "", []]\n'
    boxes = [
        (*one[:, 0][[one[:, 0].argmin(), one[:, 0].argmax()]], one[:, 1].min(), one[:, 1].max())
        for one in rings
    ]
    areas = Areas(
        np.concatenate(rings),
        np.cumsum([0, *map(len, rings)], dtype=np.int64),
        starts,
        starts,
        np.ones(POLYGONS, dtype=bool),
        np.zeros(POLYGONS),
        np.array(boxes, dtype=np.int64),
        starts * len(line),
        np.frombuffer(line * POLYGONS, dtype=empty.lines.dtype),
        empty.sums,
    )
    return areas, rings


def tracks() -> tuple[np.ndarray, np.ndarray]:
    """Points of tracks, a thousand near one another each."""
    parts = [
        np.cumsum(GENERATOR.standard_normal((1000, 2)) * 2e-5 + GENERATOR.standard_normal(2) * 5e-5, axis=0)
        + [GENERATOR.uniform(*span) for span in WHERE]
        for _ in range(TRACKED // 1000)
    ]
    found = np.concatenate(parts)
    return np.ascontiguousarray(found[:, 0]), np.ascontiguousarray(found[:, 1])


def bench_polygons(areas: Areas, rings: list[np.ndarray]) -> None:
    """Points against polygons."""
    built, index = best(lambda: index_of(areas), 1)
    print(f"{len(areas):,} polygons of {len(areas.points):,} corners: made ready in {built:.1f} s")
    tree = shapely.STRtree([shapely.Polygon(ring[:, ::-1] / DEGREE) for ring in rings])
    for name, places in (("scattered", somewhere(SCATTERED)), ("tracks", tracks())):
        index.holding(*places)
        ours, held = best(lambda some=places: index.holding(*some))
        points = shapely.points(places[1][:QUERIED], places[0][:QUERIED])
        theirs, pairs = best(lambda some=points: tree.query(some, predicate="intersects"), 1)
        mine = held.points < QUERIED
        same = set(zip(*pairs.tolist(), strict=True)) == set(
            zip(held.points[mine].tolist(), held.areas[mine].tolist(), strict=True)
        )
        rate, other = len(places[0]) / ours, QUERIED / theirs
        print(f"  {name}: {rate / 1e6:.2f} M points/s, {len(held.points) / len(places[0]):.2f} hits a point")
        print(f"    STRtree.query {other / 1e6:.3f} M points/s: {rate / other:.0f} times; agrees: {same}")


def bench_cold(areas: Areas) -> None:
    """One place, asked by a process just begun."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        edition = Edition(AreaKind.CLASS, "class", date(2026, 11, 26), (), grid_of([]), areas, ())
        path = folder / "class_class_2026-11-26.airspace"
        path.write_bytes(as_bytes(edition))
        opened, _ = best(lambda: from_file(path))
        command = [sys.executable, "-c", CHILD, "airspace", "at", "36.05, -79.98", "--height", "200"]
        command += ["--radius", "500", "--on", "2026-12-01", "--folder", name]
        walls, told = [], []
        for _ in range(5):
            start = time.perf_counter()
            done = subprocess.run(command, capture_output=True, text=True, check=False)
            walls.append(time.perf_counter() - start)
            told.append([float(one) for one in done.stderr.split()])
        size = path.stat().st_size / 1e6
        used, memory = (min(one[at] for one in told) for at in (0, 1))
        print(f"an edition of {size:.0f} MB: opened in {opened * 1000:.1f} ms of the processor")
        print(
            f"  one place from the command to the answer: {min(walls):.2f} s, {used:.2f} s of the processor,"
        )
        print(f"  {memory:.0f} MB")


def main() -> None:
    """All three."""
    print(
        f"{platform.machine()}, {os.cpu_count()} processors, CPython {platform.python_version()}, numpy {np.__version__},"
    )
    print(f"shapely {shapely.__version__}, geopandas {geopandas.__version__}, load {os.getloadavg()[0]:.1f}")
    bench_grid()
    areas, rings = polygons()
    bench_polygons(areas, rings)
    bench_cold(areas)


if __name__ == "__main__":
    main()
