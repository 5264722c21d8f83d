"""GPX: times, zones, segments, missing values, and documents that could do harm. All documents are synthetic."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.track import HeightDatum, TimeSource
from tests.unit.tracks.logs import ANSWERS, counts, only, read, utc


def gpx(*points: str) -> str:
    return f'<gpx version="1.1"><trk><trkseg>{"".join(points)}</trkseg></trk></gpx>'


def point(time: str = "", lat: str = "44.27", lon: str = "-71.3", inside: str = "<ele>12.5</ele>") -> str:
    told = f"<time>{time}</time>" if time else ""
    return f'<trkpt lat="{lat}" lon="{lon}">{inside}{told}</trkpt>'


def test_a_track_in_utc(tmp_path: Path) -> None:
    track = only(
        read(tmp_path, gpx(point("2026-06-01T12:00:00Z"), point("2026-06-01T12:00:00.25Z", lon="-71.4")))
    )
    assert track.time_from is TimeSource.FILE_UTC
    assert track.mono_us.tolist() == [0, 250_000]
    assert utc(track)[1] == "2026-06-01T12:00:00.250"
    assert track.lon_e7.tolist() == [-713000000, -714000000]
    assert track.heights_m[HeightDatum.UNKNOWN].tolist() == [12.5, 12.5]


def test_offset_is_kept_and_a_time_without_zone_is_of_no_known_zone(tmp_path: Path) -> None:
    offset = only(read(tmp_path, gpx(point("2026-06-01T12:00:00+01:00"))))
    assert utc(offset) == ["2026-06-01T11:00:00.000"]
    text = gpx(point("2026-06-01T12:00:00"), point("2026-06-01T12:00:01"))
    naive = read(tmp_path, text)
    assert only(naive).utc_us is None
    assert counts(only(naive))["no_zone"] == 2
    assert "zone" in {question.asks for question in naive.questions}
    told = only(read(tmp_path, text, replace(ANSWERS, zone="America/New_York")))
    assert utc(told)[0] == "2026-06-01T16:00:00.000"


def test_a_document_type_is_refused(tmp_path: Path) -> None:
    bomb = '<!DOCTYPE gpx [<!ENTITY a "aaaa">]>' + gpx(point("2026-06-01T12:00:00Z"))
    with pytest.raises(UnreadableFile, match="document type"):
        read(tmp_path, bomb)
