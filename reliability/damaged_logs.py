"""Logs of flights with bytes changed, cut, doubled and put in: each is read or refused by name, never anything else.

python reliability/damaged_logs.py [CASES] [SEED] [--kept FILE] [--samples FOLDER]

Runs in this process, so that a crash shows; a case that takes over five seconds of the clock is counted as one. Every case has
a chance of its own, so that with --kept FILE a stopped run goes on where it was. --samples adds the first bytes of the logs in
a folder to the synthetic ones.
"""

from __future__ import annotations

import argparse
import io
import json
import random
import struct
import sys
import tempfile
import time
import warnings
import zipfile
from collections import Counter
from datetime import date
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import AirwritError
from airwrit.tracks.readers.reading import LogAnswers
from airwrit.tracks.reading import read_track

CASES = 200_000
LONGEST_S = 5.0
SAMPLE_BYTES = 400_000
KEPT_EACH = 1_000
ANSWERS = LogAnswers(date(2026, 12, 1), zone="America/New_York", day=date(2026, 6, 1))
_SPICE = (
    b"",
    b"\x00",
    b"\xff" * 8,
    b"<",
    b"<!DOCTYPE a>",
    b'"',
    b"\n\n",
    b"-->",
    b"nan",
    b"1e999",
    b",",
    b"\xa3\x95\x80",
)


def seeds() -> dict[str, bytes]:
    """A small log of each format, each synthetic."""
    points = "".join(
        f'<trkpt lat="44.2{at}" lon="-71.3"><ele>{at}</ele><time>2026-06-01T12:00:0{at}Z</time></trkpt>'
        for at in range(8)
    )
    whens = "".join(f"<when>2026-06-01T12:00:0{at}Z</when>" for at in range(8))
    coords = "".join(f"<gx:coord>-71.3 44.2{at} {at}</gx:coord>" for at in range(8))
    inside = f"<gx:Track><altitudeMode>absolute</altitudeMode>{coords}{whens}</gx:Track>"
    kml = f'<kml xmlns:gx="a"><Placemark>{inside}</Placemark></kml>'
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("doc.kml", kml)
    times = ",".join(f'"2026-06-01T12:00:0{at}Z"' for at in range(8))
    places = ",".join(f"[-71.3,44.2{at},{at}]" for at in range(8))
    cues = "".join(
        f"{at}\n00:00:0{at},000 --> 00:00:0{at},500\n2026-06-01 12:00:0{at}\n"
        f"[latitude: 44.2{at}] [longitude: -71.3] [rel_alt: {at}]\n\n"
        for at in range(8)
    )
    rows = "".join(f"2026-06-01 12:00:0{at},44.2{at},-71.3,{at}\n" for at in range(8))
    return {
        "gpx": f"<gpx><trk><trkseg>{points}</trkseg></trk></gpx>".encode(),
        "kml": kml.encode(),
        "kmz": packed.getvalue(),
        "geojson": (
            f'{{"type":"Feature","properties":{{"coordTimes":[{times}]}},'
            f'"geometry":{{"type":"LineString","coordinates":[{places}]}}}}'
        ).encode(),
        "subtitles": cues.encode(),
        "csv": f"time_utc,latitude,longitude,altitude_msl_ft\n{rows}".encode(),
        "dataflash": _dataflash(),
        "ulog": _ulog(),
        "telemetry": _telemetry(),
    }


def _dataflash() -> bytes:
    out = struct.pack(
        "<BBBBB4s16s64s", 0xA3, 0x95, 0x80, 130, 36, b"GPS", b"QBIHLLe", b"TimeUS,Status,GMS,GWk,Lat,Lng,Alt"
    )
    for at in range(20):
        out += struct.pack(
            "<BBBQBIHiii", 0xA3, 0x95, 130, at * 200_000, 3, at * 200, 2421, 442700000, -713000000, at
        )
    return out


def _ulog() -> bytes:
    fields = "uint64_t timestamp;uint64_t time_utc_usec;int32_t lat;int32_t lon;int32_t alt;uint8_t fix_type;"
    form = f"vehicle_gps_position:{fields}".encode()
    out = bytes.fromhex("554c6f6701123501") + bytes(8) + struct.pack("<HB", len(form), ord("F")) + form
    name = struct.pack("<BH", 0, 0) + b"vehicle_gps_position"
    out += struct.pack("<HB", len(name), ord("A")) + name
    for at in range(20):
        row = struct.pack(
            "<HQQiiiB", 0, at * 200_000, 1_780_300_800_000_000 + at * 200_000, 442700000, -713000000, at, 3
        )
        out += struct.pack("<HB", len(row), ord("D")) + row
    return out


def _telemetry() -> bytes:
    out = b""
    for at in range(20):
        payload = struct.pack("<Iiiiihhh", at * 200, 442700000, -713000000, at, at, 1, 1, 1)
        head = struct.pack("<BBBBB", len(payload) + 2, at, 1, 1, 33)
        body = head + payload + b"\x01\x00"
        out += struct.pack(">Q", 1_780_300_800_000_000 + at * 200_000) + b"\xfe" + body
        out += struct.pack("<H", _checksum(body + bytes([104])))
    return out


def _checksum(data: bytes) -> int:
    value = 0xFFFF
    for byte in data:
        value ^= byte
        for _ in range(8):
            value = value >> 1 ^ 0x8408 if value & 1 else value >> 1
    return value


def damaged(data: bytes, chance: random.Random) -> bytes:
    """The bytes with one to four small damages."""
    out = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(out) + 1)
        kind = chance.randrange(5)
        if kind == 0 and at < len(out):
            out[at] = chance.randrange(256)
        elif kind == 1:
            del out[at : at + chance.randint(1, 40)]
        elif kind == 2:
            out[at:at] = chance.choice(_SPICE)
        elif kind == 3:
            out[at:at] = out[at : at + chance.randint(1, 200)]
        elif len(out) > 1:
            del out[chance.randrange(1, len(out)) :]
    return bytes(out)


def samples(folder: Path) -> dict[str, bytes]:
    """The beginnings of the logs in a folder, by name."""
    found = {}
    for path in sorted(folder.iterdir()):
        with path.open("rb") as file:
            found[path.name] = file.read(SAMPLE_BYTES)
    return found


class Found(NamedTuple):
    """How many cases are done, how many were read and refused by format, and what else happened."""

    done: int
    counts: Counter[str]
    wrong: list[str]


def kept_in(kept: Path | None, seed: int) -> Found:
    """What an earlier run of a seed has done."""
    if kept is None or not kept.exists():
        return Found(0, Counter(), [])
    told = json.loads(kept.read_text(encoding="utf-8"))
    if told["seed"] != seed:
        raise SystemExit(f"{kept.name} is of seed {told['seed']}")
    return Found(told["done"], Counter(told["counts"]), told["wrong"])


def run(cases: int, seed: int, kept: Path | None = None, more: dict[str, bytes] | None = None) -> Found:
    """How many were read and refused, by format, and what else happened; kept as it goes, where wanted."""
    begun, counts, wrong = kept_in(kept, seed)
    every = {**seeds(), **(more or {})}
    names = list(every)
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("error")
        path = Path(folder) / "log"
        for case in range(begun, cases):
            chance = random.Random(f"{seed} {case}")
            name = chance.choice(names)
            path.write_bytes(damaged(every[name], chance))
            outcome, fault = tried(path)
            counts[f"{name} {outcome}"] += 1
            if fault:
                wrong.append(f"case {case} of seed {seed}, {name}: {fault}")
            if kept is not None and (case + 1) % KEPT_EACH == 0:
                told = {"seed": seed, "done": case + 1, "counts": counts, "wrong": wrong}
                kept.write_text(json.dumps(told), encoding="utf-8")
    return Found(cases, counts, wrong)


def tried(path: Path) -> tuple[str, str]:
    """Whether a log was read, asked about or refused, and what is wrong with that."""
    begun = time.monotonic()
    fault = ""
    try:
        outcome = "read" if read_track(path, ANSWERS).tracks else "asked"
    except AirwritError:
        outcome = "refused"
    except Exception as other:  # noqa: BLE001
        outcome, fault = "broken", f"{type(other).__name__}: {other}"
    if time.monotonic() - begun > LONGEST_S:
        fault = fault or f"took over {LONGEST_S:g} s"
    return outcome, fault


def main() -> int:
    """Run as long as asked, and print what was found."""
    parser = argparse.ArgumentParser()
    parser.add_argument("cases", nargs="?", type=int, default=CASES)
    parser.add_argument("seed", nargs="?", type=int, default=1)
    parser.add_argument("--kept", type=Path)
    parser.add_argument("--samples", type=Path)
    asked = parser.parse_args()
    begun = time.monotonic()
    more = samples(asked.samples) if asked.samples else {}
    _, counts, wrong = run(asked.cases, asked.seed, asked.kept, more)
    told = ", ".join(f"{name} {count}" for name, count in sorted(counts.items()))
    sys.stdout.write("".join(f"{line}\n" for line in wrong[:50]))
    sys.stdout.write(
        f"seed {asked.seed}: {asked.cases} damaged logs in {time.monotonic() - begun:.0f} s, "
        f"{len(wrong)} neither read nor refused by name within {LONGEST_S:g} s: {told}\n"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
