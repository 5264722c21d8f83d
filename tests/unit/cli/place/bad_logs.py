"""Bad logs, each with what is said of it: its problem, or why it is refused."""

from __future__ import annotations

import importlib
import struct
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest

from tests.unit.tracks.readers.messages.test_telemetry import flight

DOCTYPE = b'<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><gpx>&b;</gpx>'


def gpx() -> bytes:
    """Five minutes on the ground, up to 60 m and down again."""
    starts = datetime(2026, 11, 24, 16, 12, tzinfo=UTC)
    heights = [0.0] * 30 + [min(60.0, 2.0 * at) for at in range(240)] + [0.0] * 30
    points = "".join(
        f'<trkpt lat="42.505" lon="-107.016"><ele>{2100 + height:.2f}</ele>'
        f"<time>{starts + timedelta(seconds=at):%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for at, height in enumerate(heights)
    )
    head = '<?xml version="1.0"?><gpx version="1.1" creator="made" xmlns="http://www.topografix.com/GPX/1/1">'
    return f"{head}<trk><trkseg>{points}</trkseg></trk></gpx>".encode()


def seeds() -> dict[str, bytes]:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(Path(__file__).parents[4] / "reliability")
        found: dict[str, bytes] = importlib.import_module("damaged_logs").seeds()
    return found


def climbing_out() -> bytes:
    """A KMZ whose log is named to be put outside the folder, with the root of the disk besides."""
    made = BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("../../out.kml", "<kml></kml>")
        archive.writestr("/etc/out.kml", "<kml></kml>")
    return made.getvalue()


def raw_mavlink() -> bytes:
    """Packets with nothing but themselves: the telemetry without its stamps."""
    data, at, packets = flight(rows=20), 0, []
    while at + 12 < len(data):
        length = data[at + 9] + (8 if data[at + 8] == 0xFE else 12 + 13 * (data[at + 10] & 1))
        packets.append(data[at + 8 : at + 8 + length])
        at += 8 + length
    return b"".join(packets)


def nowhere() -> bytes:
    """A track all of whose points are at 0, 0."""
    return (
        gpx()
        .replace(b'lat="42.505"', b'lat="0"')
        .replace(b'lon="-107', b'x="-107')
        .replace(b"<trkpt", b'<trkpt lon="0"')
    )


def timeless() -> bytes:
    return gpx().replace(b"<time>", b"<none>").replace(b"</time>", b"</none>")


BAD: list[tuple[str, str, Callable[[], bytes], str]] = [
    ("truncated", "log.gpx", lambda: gpx()[: len(gpx()) // 2], "The log breaks off early."),
    ("appended", "log.ulg", lambda: seeds()["ulog"] + b"\n\x07junk\x00" * 9, "damaged"),
    ("corrupt in the middle", "log.bin", lambda: _broken(seeds()["dataflash"]), "damaged"),
    ("wrong extension", "log.jpg", gpx, ""),
    ("raw MAVLink", "log.bin", raw_mavlink, "raw MAVLink stream, which has no timestamps"),
    ("no positions", "log.gpx", nowhere, "no positions"),
    ("no time", "log.gpx", timeless, "no point in the file has a time"),
    ("XML entities", "log.gpx", lambda: DOCTYPE, "document type"),
    ("KMZ path tricks", "log.kmz", climbing_out, "log.kmz"),
    ("nothing at all", "log.csv", lambda: b"", "log.csv"),
]


def _broken(data: bytes) -> bytes:
    middle = len(data) // 2
    return data[:middle] + struct.pack("<12B", *range(200, 212)) + data[middle + 12 :]
