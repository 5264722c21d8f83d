"""Which format a log is in, by its bytes and never by its name; what is known and not read is refused by its name."""

from __future__ import annotations

import re
from pathlib import Path
from typing import BinaryIO

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.readers.reading import EXPORT_IT
from airwrit.tracks.track import LogFormat

MOST_BYTES = {
    LogFormat.ULOG: 1_000_000_000,
    LogFormat.DATAFLASH: 2_000_000_000,
    LogFormat.TELEMETRY: 2_000_000_000,
    LogFormat.GPX: 1_000_000_000,
    LogFormat.KML: 1_000_000_000,
    LogFormat.GEOJSON: 400_000_000,
    LogFormat.CSV: 2_000_000_000,
    LogFormat.SUBTITLES: 1_000_000_000,
}
"""The largest file that is read of each format."""
_HEAD = 1 << 16
_ULOG = bytes.fromhex("554c6f67011235")
_DATAFLASH = bytes.fromhex("a39580")
_ZIP = b"PK\x03\x04"
_MAVLINK = (0xFE, 0xFD)
_SUBTITLES = re.compile(r"\s*\d+\s*\r?\n\s*\d{1,2}:\d{2}:\d{2}(?:[,.]\d+)?\s*-->")
_NMEA = re.compile(r"^[$!][A-Z]{2}[A-Z0-9]{3},[^\r\n]*", re.MULTILINE)
_IGC = re.compile(r"^(?:HFDTE|B\d{6}\d{7}[NS]\d{8}[EW])", re.MULTILINE)
_ROOT = re.compile(r"<(?!\?|!)(?:[\w.-]+:)?([\w.-]+)")


def format_of(file: BinaryIO, path: Path) -> LogFormat:
    """The format of a file. UnreadableFile for one that is not read, with what to do."""
    head = file.read(_HEAD)
    if not head.strip(b"\x00 \r\n\t"):
        raise UnreadableFile("the file is empty", where=path.name, do="copy it from the aircraft again")
    found = _binary(head, path) or _textual(head, path)
    if found is not None:
        return found
    raise UnreadableFile("we can't read this as a flight log", where=path.name, do=EXPORT_IT)


def _binary(head: bytes, path: Path) -> LogFormat | None:
    if head.startswith(_ULOG):
        return LogFormat.ULOG
    if _DATAFLASH in head[:4096]:
        return LogFormat.DATAFLASH
    if head.startswith(_ZIP):
        return LogFormat.KML
    if _packets(head, 8):
        return LogFormat.TELEMETRY
    if _packets(head, 0):
        raise UnreadableFile(
            "this is a raw MAVLink stream, which has no timestamps",
            where=path.name,
            do="use the telemetry log of the ground station or the log of the aircraft",
        )
    return None


def _packets(head: bytes, ahead: int) -> bool:
    """Whether MAVLink packets stand one behind the other, each with so many bytes ahead of it."""
    at, seen = 0, 0
    while seen < 3 and at + ahead + 12 <= len(head):
        start = head[at + ahead]
        if start not in _MAVLINK:
            return False
        length = head[at + ahead + 1]
        extra = 8 if start == 0xFE else 12 + 13 * (head[at + ahead + 2] & 1)
        at += ahead + length + extra
        seen += 1
    return seen > 0


def _textual(head: bytes, path: Path) -> LogFormat | None:
    text = _text(head)
    if text is None:
        return None
    start = text.lstrip("\ufeff \t\r\n")
    if start.startswith("<"):
        return _of_xml(start, path)
    if start.startswith(("{", "\x1e{")):
        return LogFormat.GEOJSON
    if _SUBTITLES.match(start) or start.startswith("WEBVTT"):
        return LogFormat.SUBTITLES
    for pattern, name in ((_IGC, "an IGC flight recorder file"), (_NMEA, "an NMEA 0183 log")):
        if pattern.search(start):
            raise UnreadableFile(f"this is {name}, which we can't read", where=path.name, do=EXPORT_IT)
    return LogFormat.CSV


def _text(head: bytes) -> str | None:
    """The text that bytes are, None where they are none."""
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return head.decode("utf-16", errors="replace")
    pairs = head[:200]
    if pairs[1::2].count(0) > len(pairs) // 3:
        return head.decode("utf-16-le", errors="replace")
    if pairs[::2].count(0) > len(pairs) // 3:
        return head.decode("utf-16-be", errors="replace")
    control = sum(head.count(bytes([sign])) for sign in (*range(9), *range(14, 32)))
    return None if control * 100 > len(head) else head.decode("utf-8", errors="replace")


def _of_xml(text: str, path: Path) -> LogFormat:
    root = _ROOT.search(text)
    name = "" if root is None else root[1].lower()
    if name in {"gpx", "kml"}:
        return LogFormat(name)
    if "<!doctype" in text.lower():
        raise UnreadableFile(
            "the XML has a document type, which can hide harmful content, so we don't read it",
            where=path.name,
            do="export it again without a DOCTYPE",
        )
    raise UnreadableFile("this is XML, but neither GPX nor KML", where=path.name, do=EXPORT_IT)
