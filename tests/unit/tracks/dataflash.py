"""DataFlash logs built from the published byte tables; every one is synthetic."""

from __future__ import annotations

import struct

KINDS = {
    "Q": "Q",
    "B": "B",
    "I": "I",
    "H": "H",
    "c": "h",
    "L": "i",
    "e": "i",
    "f": "f",
    "C": "H",
    "b": "b",
    "E": "I",
    "Z": "64s",
}


class Log:
    """A log that is written message by message."""

    def __init__(self) -> None:
        self.out = bytearray()
        self.forms: dict[str, tuple[int, str]] = {}

    def form(self, number: int, name: str, kinds: str, columns: str) -> None:
        """A FMT message."""
        length = 3 + struct.calcsize("<" + "".join(KINDS.get(kind, "64s") for kind in kinds))
        self.forms[name] = (number, kinds)
        self.out += struct.pack(
            "<BBBBB4s16s64s",
            0xA3,
            0x95,
            0x80,
            number,
            length,
            name.encode(),
            kinds.encode(),
            columns.encode(),
        )

    def add(self, name: str, *values: float | bytes) -> None:
        """A message, its numbers as stored."""
        number, kinds = self.forms[name]
        packed = struct.pack("<" + "".join(KINDS[kind] for kind in kinds), *values)
        self.out += bytes([0xA3, 0x95, number]) + packed


def flight(week: int = 2421, first_ms: int = 302_400_000, rows: int = 10) -> Log:
    """Ten rows of a receiver, five a second, climbing a meter each; 2421 is a week of 2026."""
    log = Log()
    log.form(130, "GPS", "QBIHBcLLef", "TimeUS,Status,GMS,GWk,NSats,HDop,Lat,Lng,Alt,Spd")
    for at in range(rows):
        gps(log, at, week, first_ms + at * 200)
    return log


def gps(log: Log, at: int, week: int, ms: int, status: int = 3) -> None:
    """One row of a receiver."""
    log.add(
        "GPS",
        5_000_000 + at * 200_000,
        status,
        ms,
        week,
        12,
        80,
        442700000 + at,
        -713000000,
        30000 + at * 100,
        1.5,
    )
