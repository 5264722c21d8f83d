"""GPX: times, zones, segments, missing values, and documents that could do harm. All documents are synthetic."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.faults import HIDES_SAMPLES, TrackFault
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


def test_parts_without_time_are_left_out_and_said_to_hide_samples(tmp_path: Path) -> None:
    track = only(read(tmp_path, gpx(point("2026-06-01T12:00:00Z"), point(), point("2026-06-01T12:00:02Z"))))
    assert track.row.tolist() == [1, 3]
    assert counts(track)["no_time"] == 1
    assert TrackFault.NO_TIME in HIDES_SAMPLES
    with pytest.raises(UnreadableFile, match="No point in the file has a time"):
        read(tmp_path, gpx(point(), point()))


def test_a_leap_second_is_the_second_behind_it(tmp_path: Path) -> None:
    track = only(read(tmp_path, gpx(point("2016-12-31T23:59:60Z"))))
    assert utc(track) == ["2017-01-01T00:00:00.000"]


def test_missing_and_impossible_values_are_never_zero(tmp_path: Path) -> None:
    track = only(
        read(
            tmp_path,
            gpx(
                point("2026-06-01T12:00:00Z", inside="<ele>NaN</ele>"),
                point("2026-06-01T12:00:01Z", inside="<ele/>"),
                point("2026-06-01T12:00:02Z", lat="95", lon="200"),
                point("2026-06-01T12:00:03Z", lat="0", lon="0"),
                point("2026-06-01T12:00:04Z", lat="0.00003", lon="-0.00001"),
                point("2026-06-01T12:00:05Z", lat="x"),
                point("2026-06-01T12:00:06Z", inside="<ele>3</ele><fix>2d</fix>"),
                point("2026-06-01T12:00:07Z", inside="<ele>4</ele><fix>none</fix>"),
            ),
        )
    )
    assert track.placed.tolist() == [True, True, False, False, False, False, True, False]
    assert [str(one) for one in track.heights_m[HeightDatum.UNKNOWN]] == [
        "nan",
        "nan",
        *["12.5"] * 4,
        "nan",
        "nan",
    ]
    assert {"zero_place": 2, "off_the_earth": 1, "no_fix": 1}.items() <= counts(track).items()


def test_heights_that_are_all_zero_were_never_measured(tmp_path: Path) -> None:
    rows = [point(f"2026-06-01T12:00:0{at}Z", inside="<ele>0.0</ele>") for at in range(3)]
    track = only(read(tmp_path, gpx(*rows)))
    assert track.heights_m == {}
    assert counts(track)["heights_all_zero"] == 3


def test_segments_stay_apart_and_routes_are_no_track(tmp_path: Path) -> None:
    text = gpx(point("2026-06-01T12:00:00Z"), "</trkseg><trkseg>", point("2026-06-01T12:00:01Z"))
    reading = read(
        tmp_path, text.replace("<trk>", '<wpt lat="1" lon="1"/><rte><rtept lat="1" lon="1"/></rte><trk>')
    )
    track = only(reading)
    assert track.segment is not None
    assert track.segment.tolist() == [0, 1]
    assert [(str(one.code), one.rows) for one in reading.problems] == [("not_a_track", 2)]
    with pytest.raises(UnreadableFile, match="no track"):
        read(tmp_path, '<gpx><wpt lat="1" lon="1"/></gpx>')


def test_a_document_that_breaks_off_gives_what_it_has(tmp_path: Path) -> None:
    whole = gpx(point("2026-06-01T12:00:00Z"), point("2026-06-01T12:00:01Z"))
    reading = read(tmp_path, whole[: whole.rindex("<trkpt") + 20])
    assert len(only(reading).row) == 1
    assert [str(one.code) for one in reading.problems] == ["cut_short"]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "latin-1"])
def test_encodings(tmp_path: Path, encoding: str) -> None:
    declared = f'<?xml version="1.0" encoding="{"UTF-8" if "8" in encoding else encoding}"?>'
    text = declared + gpx(point("2026-06-01T12:00:00Z")).replace("<trk>", "<trk><name>Höhe</name>")
    assert only(read(tmp_path, text.encode(encoding))).name == "log.bin Höhe"


def test_deep_documents_are_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="deeper"):
        read(tmp_path, "<gpx>" + "<a>" * 5000)
