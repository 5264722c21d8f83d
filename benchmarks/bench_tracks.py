"""Flown tracks from Parquet through every check, with airspace and terrain: samples a second and memory.

    PYTHONPATH=src python benchmarks/bench_tracks.py [--small]

Flights of 20 minutes at 10 Hz, 1,000 of them (`--small`: 100), written to an archive, then read and checked as
`airwrit after-flight ARCHIVE --without-papers` does: meters around the takeoff, height above takeoff and ground with its
doubt, speed, time in the air, runs past the limits of height and speed of the day, the way through 300 volumes of class
airspace with floor and ceiling, the light at every minute, Remote ID. On one core in this process, then on two.

Beside it: reading the archive alone, copying memory, and what single checks cost a sample, among them the sight line over
terrain, which an archive leaves out, and the whole answer for one log; and geopandas and movingpandas on one flight, where
they are installed.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from importlib import import_module
from itertools import islice
from pathlib import Path

import numpy as np

from airwrit.airspace.areas import Area, AreaFacts, packed
from airwrit.airspace.edition import Edition
from airwrit.airspace.grid import grid_of
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import SURFACE, HeightLimit, Reference
from airwrit.airspace.shelf import shelve
from airwrit.answers.after_flight.airspace import airspace_flown
from airwrit.answers.after_flight.archived import ArchiveQuestion, lines_of_archive, phases_of
from airwrit.answers.after_flight.check import flown_answer
from airwrit.answers.after_flight.many import FlightLine
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion
from airwrit.answers.after_flight.track_facts import track_flown
from airwrit.answers.before_flight.program import Program
from airwrit.facts.choices import UsedFor
from airwrit.geo.fixed import DEGREE, FixedPoint
from airwrit.geo.footprint import filled
from airwrit.geo.terrain import GroundAlong
from airwrit.tracks.archive import groups_in, keep_tracks, tracks_in
from airwrit.tracks.excursions import CLIMBING, excursions
from airwrit.tracks.heights import heights_of
from airwrit.tracks.path import derived_speed_mps, path_of
from airwrit.tracks.sight import sight_along
from airwrit.tracks.track import HeightDatum, LogFormat, TimeSource, Track

FLIGHTS = 100 if "--small" in sys.argv[1:] else 1_000
SAMPLES, VOLUMES = 12_000, 300
GENERATOR = np.random.default_rng(2026)
STARTS_US = 1_781_103_600_000_000


def track(number: int) -> Track:
    """A flight: up, around, down, now and then over 400 ft; 0.3 m of noise."""
    at = np.arange(SAMPLES) / 10
    up = np.clip((at - 30) / 40, 0, 1) * np.clip((at[-1] - 30 - at) / 40, 0, 1)
    top = GENERATOR.choice((60.0, 100.0, 118.0, 140.0), p=(0.5, 0.35, 0.1, 0.05))
    latitude, longitude = 38.5 + GENERATOR.uniform(-0.3, 0.3), -98.5 + GENERATOR.uniform(-0.3, 0.3)
    mono = (at * 1e6).astype(np.int64)
    return Track(
        f"{number}",
        LogFormat.CSV,
        f"{number:064x}",
        TimeSource.FILE_UTC,
        mono,
        mono + STARTS_US,
        np.round((latitude + 0.002 * np.sin(at / 60) * up) * 1e7).astype(np.int32),
        np.round((longitude + 0.002 * np.cos(at / 60) * up) * 1e7).astype(np.int32),
        np.ones(SAMPLES, dtype=bool),
        {HeightDatum.SEA_LEVEL: 500 + top * up + GENERATOR.normal(0, 0.3, SAMPLES)},
        {},
        np.arange(SAMPLES, dtype=np.int64),
        np.where(up > 0, 8.0, 0.0),
    )


def volumes() -> Iterator[Area]:
    """Rings of 8 to 120 corners, from the surface to 2,500 ft."""
    for number in range(VOLUMES):
        turns = np.linspace(0, 2 * np.pi, int(GENERATOR.integers(8, 120)), endpoint=False)
        size, south, west = (
            GENERATOR.uniform(0.002, 0.05),
            38.5 + GENERATOR.uniform(-0.4, 0.4),
            -98.5 + GENERATOR.uniform(-0.4, 0.4),
        )
        radii = size * (1 + 0.2 * np.sin(5 * turns))
        ring = [
            FixedPoint(int((south + r * np.sin(a)) * DEGREE), int((west + r * np.cos(a)) * DEGREE))
            for r, a in zip(radii.tolist(), turns.tolist(), strict=True)
        ]
        facts = AreaFacts(f"V{number}", "CLASS_D", SURFACE, HeightLimit(2_500, Reference.SEA))
        yield Area(facts, (filled(((*ring, ring[0]),)),))


def folders(where: Path) -> FlownFolders:
    """An edition of the volumes, and hills of 50 m."""
    edition = Edition(
        AreaKind.CLASS, "class", date(2026, 5, 28), (), grid_of([]), packed(list(volumes())), ()
    )
    shelve(where / "airspace", edition)
    (where / "terrain").mkdir()
    along = np.arange(3601, dtype=np.float32)
    hills = (500 + 50 * np.cos(along / 150)[:, None] * np.sin(along / 200)).astype(">i2").tobytes()
    for name in ("N38W098", "N38W099"):
        (where / "terrain" / f"{name}.hgt").write_bytes(hills)
    return FlownFolders(where / "airspace", where / "terrain")


def told(name: str, work: Callable[[], object], samples: int, cores: int = 1) -> float:
    """Print how fast some work is, by processor seconds of this process or by the clock; seconds of the best of three runs."""
    clock = time.process_time if cores == 1 else time.perf_counter
    taken = []
    for _ in range(3):
        start = clock()
        work()
        taken.append(clock() - start)
    rate = samples / min(taken) / 1e6
    print(f"{name:44} {min(taken):7.2f} s  {rate:7.2f} M samples/s  {1000 / rate:7.1f} ns a sample")
    return min(taken)


def both_together(work: Callable[[], object], one: float) -> None:
    """Print the processor seconds that the processes of a run take together, beside those of one alone: what parting costs."""
    taken = []
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        start = time.process_time()
        work()
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        children = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        taken.append(time.process_time() - start + children)
    print(
        f"two processes together take {min(taken):.2f} s of the processors, {min(taken) / one:.2f} times one: on two free "
        f"cores {2 * one / min(taken):.2f} times one core"
    )


def main() -> None:
    """Write the archive, check it, and print what each took."""
    with tempfile.TemporaryDirectory() as made:
        where = Path(made)
        on_file, archive = folders(where), where / "2026-06.parquet"
        start = time.perf_counter()
        keep_tracks(archive, map(track, range(FLIGHTS)))
        total = FLIGHTS * SAMPLES
        print(
            f"{FLIGHTS} flights, {total:,} samples, {archive.stat().st_size / total:.2f} bytes a sample, "
            f"made and written in {time.perf_counter() - start:.1f} s"
        )
        asked = FlownQuestion(use=UsedFor.WORK)
        few = islice(lines(archive, ArchiveQuestion(None, asked, on_file)), FLIGHTS // 10)
        held(f"after {len(list(few))} flights")
        alone = told(
            "every check, one core",
            lambda: list(lines(archive, ArchiveQuestion(None, asked, on_file))),
            total,
        )
        held(f"after {3 * FLIGHTS} flights")
        both_together(lambda: list(lines(archive, ArchiveQuestion(None, asked, on_file, 2))), alone)
        told(
            "every check, two cores, by the clock",
            lambda: list(lines(archive, ArchiveQuestion(None, asked, on_file, 2))),
            total,
            2,
        )
        told(
            "every check, one core, by the clock",
            lambda: list(lines(archive, ArchiveQuestion(None, asked, on_file))),
            total,
            0,
        )
        told("reading the archive alone", lambda: [list(tracks_in(one)) for one in groups_in(archive)], total)
        single(where, on_file)
        others(where, on_file)


def lines(archive: Path, question: ArchiveQuestion) -> Iterator[FlightLine]:
    """The lines of the archive."""
    return lines_of_archive([archive], question)


def held(when: str) -> None:
    """Print the most memory that this process has held so far."""
    print(f"most memory {when}: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3:.0f} MB")


def single(where: Path, on_file: FlownFolders) -> None:
    """What single checks cost, over one flight many times."""
    one = replace(track(0), doubt_m={})
    path, ground = path_of(one), GroundAlong(where / "terrain")
    heights = heights_of(path, ground)
    records = Program((), datetime(2026, 12, 1, tzinfo=UTC))
    asked = FlownQuestion(use=UsedFor.WORK)
    flown = track_flown(one, asked, records, on_file)
    layers, spot = on_file.layers(date(2026, 6, 10)), path.place(0)
    copied = np.zeros(4_000_000)
    for times, name, work in (
        (200, "way in meters", lambda: path_of(one)),
        (200, "distance from a place", lambda: path.from_place_m(spot)),
        (200, "ground under it", lambda: ground(path.latitude_deg, path.longitude_deg)),
        (200, "heights with the ground", lambda: heights_of(path, ground)),
        (200, "speed from positions", lambda: derived_speed_mps(path.x_m, path.y_m, path.t_us)),
        (200, "the sun each minute", lambda: phases_of(flown)),
        (100, "300 volumes", lambda: airspace_flown(layers, path, heights, flown.plan)),
        (
            200,
            "runs past a limit that is never reached",
            lambda: excursions(heights.agl_m, heights.agl_doubt_m, path.t_us, 300.0, CLIMBING),
        ),
        (
            200,
            "runs past a limit that is",
            lambda: excursions(heights.agl_m, heights.agl_doubt_m, path.t_us, 60.0, CLIMBING),
        ),
        (20, "sight line over terrain, each second", lambda: sight_along(path, heights, spot, ground)),
        (10, "the whole answer for one log, no records", lambda: flown_answer(one, asked, records, on_file)),
    ):
        told(name, lambda work=work, times=times: [work() for _ in range(times)], times * SAMPLES)
    told("copying 8 bytes, memory alone", lambda: np.copyto(copied, copied[::-1].copy()), len(copied))
    told("adding up 8 bytes, memory alone", copied.sum, len(copied))


def others(where: Path, on_file: FlownFolders) -> None:
    """The same by packages that a user would otherwise take, on one flight; nothing where they aren't installed."""
    try:
        geopandas, shapely, movingpandas, pandas = map(
            import_module, ("geopandas", "shapely", "movingpandas", "pandas")
        )
    except ImportError as fault:
        print(f"geopandas and movingpandas were not tried: {fault}")
        return
    one = track(0)
    path, ground = path_of(one), GroundAlong(where / "terrain")
    heights = heights_of(path, ground)
    flown = track_flown(one, FlownQuestion(use=UsedFor.WORK), Program((), datetime.now(UTC)), on_file)
    layers = on_file.layers(date(2026, 6, 10))
    areas = [
        area for layer in layers if layer.edition for area in map(layer.edition.areas.area, range(VOLUMES))
    ]
    polygons = [
        shapely.Polygon([(x / DEGREE, y / DEGREE) for y, x in area.footprints[0].points]) for area in areas
    ]
    frame = geopandas.GeoDataFrame(geometry=polygons, crs=4326)
    points = geopandas.GeoDataFrame(
        geometry=geopandas.points_from_xy(path.longitude_deg, path.latitude_deg), crs=4326
    )
    told(
        "300 volumes, depth and runs, ours",
        lambda: airspace_flown(layers, path, heights, flown.plan),
        SAMPLES,
    )
    told("300 volumes, geopandas sjoin alone", lambda: geopandas.sjoin(points, frame), SAMPLES)
    few = slice(0, 2_000)
    moments = pandas.to_datetime(one.utc_us[few], unit="us")
    moving = movingpandas.Trajectory(points[few].set_index(moments), 1)
    told(
        "speed from positions, ours",
        lambda: derived_speed_mps(path.x_m[few], path.y_m[few], path.t_us[few]),
        2_000,
    )
    told("speed, movingpandas add_speed", lambda: moving.add_speed(overwrite=True), 2_000)


if __name__ == "__main__":
    main()
