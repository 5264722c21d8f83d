"""What a file is, by its bytes alone; what is known and not read is refused by name. All files are synthetic."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.reading import read_track
from tests.unit.tracks.dataflash import flight
from tests.unit.tracks.logs import ANSWERS, read


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\x00" * 5000, "empty"),
        (b"AXXX123\r\nHFDTE010626\r\nB1200004416200N07118000WA0030000300\r\n", "IGC"),
        (b"$GPGGA,120000,4416.2,N,07118.0,W,1,08,1,300,M,0,M,,*47\r\n" * 3, "NMEA"),
        (b"<html><body/></html>", "neither GPX nor KML"),
        (b"<!DOCTYPE a><a/>", "document type"),
        (b"\xfd\x09\x00\x00\x00\x01\x01\x00\x00\x00" + bytes(9) + b"\x12\x34", "no timestamps"),
        (bytes(random.Random(1).randbytes(5000)), "export the flight as CSV, KML, GPX or subtitles"),
    ],
)
def test_what_is_not_read_is_refused_by_name(tmp_path: Path, data: bytes, says: str) -> None:
    with pytest.raises(UnreadableFile, match=f"(?i){says}"):
        read(tmp_path, data, name="log.gpx")


def test_a_log_of_three_gigabytes_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "log.bin"
    with path.open("wb") as file:
        file.write(bytes(flight().out))
        file.truncate(3_000_000_000)
    with pytest.raises(UnreadableFile, match="3,000 MB"):
        read_track(path, ANSWERS)


def test_a_folder_is_no_log(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="isn't a file"):
        read_track(tmp_path, ANSWERS)
