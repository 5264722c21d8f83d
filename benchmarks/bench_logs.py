"""Logs read into tracks, each beside the reader one would otherwise take, in the same run: DataFlash, GPX, ULog.

python benchmarks/bench_logs.py [MEGABYTES]

All logs are synthetic: a flight of 10 rows of position a second among 40 times as many of other messages, as such logs are.
Times are of the processor; ours go from the path to a finished track, theirs to the values of the same rows.
"""

from __future__ import annotations

import contextlib
import io
import platform
import struct
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

import gpxpy
import numpy as np
from pymavlink import DFReader
from pyulog import ULog

from airwrit.tracks.readers.reading import LogAnswers
from airwrit.tracks.reading import read_track

ANSWERS = LogAnswers(date(2026, 12, 1))
POINTS = 100_000
START_US = 1_780_300_800_000_000


def dataflash(megabytes: int) -> bytes:
    """A log with positions, a receiver and many other messages."""
    forms = (
        (180, b"POS", b"QLLfff", b"TimeUS,Lat,Lng,Alt,RelHomeAlt,RelOriginAlt", "<Qiifff"),
        (130, b"GPS", b"QBIHBcLLef", b"TimeUS,Status,GMS,GWk,NSats,HDop,Lat,Lng,Alt,Spd", "<QBIHBhiiif"),
        (150, b"IMU", b"Qffffff", b"TimeUS,GyrX,GyrY,GyrZ,AccX,AccY,AccZ", "<Qffffff"),
    )
    out = bytearray()
    for number, name, kinds, columns, packed in forms:
        length = 3 + struct.calcsize(packed)
        out += struct.pack("<BBBBB4s16s64s", 0xA3, 0x95, 0x80, number, length, name, kinds, columns)
    noise = np.random.default_rng(1)
    at = 0
    while len(out) < megabytes * 1_000_000:
        us = at * 100_000
        out += b"\xa3\x95\xb4" + struct.pack(
            "<Qiifff", us, 442700000 + at, -713000000, 300.0 + at % 100, at % 100, 1.0
        )
        out += b"\xa3\x95\x82" + struct.pack(
            "<QBIHBhiiif", us, 3, 302_400_000 + at * 100, 2421, 12, 80, 442700000 + at, -713000000, 30000, 1.5
        )
        values = noise.normal(size=(40, 6)).astype("<f4")
        for step in range(40):
            out += b"\xa3\x95\x96" + struct.pack("<Q", us + step * 2500) + values[step].tobytes()
        at += 1
    return bytes(out)


def gpx(points: int) -> str:
    """A track of so many points, ten a second."""
    start = datetime(2026, 6, 1, 8)  # noqa: DTZ001
    rows = "".join(
        f'<trkpt lat="{44.27 + at * 1e-7:.7f}" lon="-71.3000000"><ele>{300 + at % 100:.2f}</ele>'
        f"<time>{(start + timedelta(milliseconds=100 * at)).isoformat(timespec='milliseconds')}Z</time></trkpt>\n"
        for at in range(points)
    )
    return f'<gpx version="1.1" creator="x"><trk><trkseg>{rows}</trkseg></trk></gpx>'


def ulog(rows: int) -> bytes:
    """Positions of a receiver among ten times as many of another topic."""
    clocks = b"uint64_t timestamp;uint64_t time_utc_usec;"
    gps = b"vehicle_gps_position:" + clocks + b"int32_t lat;int32_t lon;int32_t alt;uint8_t fix_type;"
    other = b"sensor_combined:uint64_t timestamp;float[12] x;"
    out = bytearray(bytes.fromhex("554c6f6701123501") + bytes(8))
    for kind, data in (
        (b"F", gps),
        (b"F", other),
        (b"A", struct.pack("<BH", 0, 0) + b"vehicle_gps_position"),
        (b"A", struct.pack("<BH", 0, 1) + b"sensor_combined"),
    ):
        out += struct.pack("<H", len(data)) + kind + data
    for at in range(rows):
        row = struct.pack(
            "<HQQiiiB", 0, at * 100_000, START_US + at * 100_000, 442700000 + at, -713000000, 300_000, 3
        )
        out += struct.pack("<HB", len(row), ord("D")) + row
        for step in range(10):
            row = struct.pack("<HQ12f", 1, at * 100_000 + step * 10_000, *([0.5] * 12))
            out += struct.pack("<HB", len(row), ord("D")) + row
    return bytes(out)


def seconds(work: Callable[[], object], runs: int = 3) -> float:
    """The shortest of some runs, in seconds of the processor."""
    best = float("inf")
    for _ in range(runs):
        begun = time.process_time()
        work()
        best = min(best, time.process_time() - begun)
    return best


def by_dfreader(path: Path) -> int:
    """Positions and receiver rows by pymavlink."""
    count = 0
    with contextlib.redirect_stdout(io.StringIO()), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        log = DFReader.DFReader_binary(str(path))
        while log.recv_match(type=["POS", "GPS"]) is not None:
            count += 1
        log.close()
    return count


def main() -> None:
    """Print each speed and its ratio."""
    megabytes = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    sys.stdout.write(
        f"{platform.machine()}, {platform.python_implementation()} {platform.python_version()}\n"
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log"
        path.write_bytes(dataflash(megabytes))
        size = path.stat().st_size / 1e6
        ours, theirs = seconds(lambda: read_track(path, ANSWERS)), seconds(lambda: by_dfreader(path), 1)
        print(
            f"DataFlash, {size:.0f} MB: {size / ours:.0f} MB/s; pymavlink, the same messages: {size / theirs:.1f} MB/s"
        )
        print(f"  {theirs / ours:.1f} times")
        text = gpx(POINTS)
        path.write_text(text, encoding="utf-8")
        ours = seconds(lambda: read_track(path, ANSWERS))
        theirs = seconds(lambda: gpxpy.parse(text), 1)
        print(f"GPX: {POINTS / ours:,.0f} points/s; gpxpy: {POINTS / theirs:,.0f}; {theirs / ours:.1f} times")
        path.write_bytes(ulog(30_000))
        size = path.stat().st_size / 1e6
        ours = seconds(lambda: read_track(path, ANSWERS))
        theirs = seconds(lambda: ULog(str(path), ["vehicle_gps_position"]))
        print(
            f"ULog, {size:.0f} MB: {size / ours:.0f} MB/s; pyulog, through which it is read: {theirs / ours:.0%} of the time"
        )


if __name__ == "__main__":
    main()
