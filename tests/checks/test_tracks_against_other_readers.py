"""Logs of public test sets, read row for row as pyulog, pymavlink and gpxpy read them, but for their faults.

The files and readers are named in tracks/SOURCE.toml.
"""

from __future__ import annotations

import contextlib
import io
import re
from datetime import UTC, date, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

import gpxpy
import numpy as np
import pytest
from pymavlink import DFReader
from pyulog import ULog

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.readers.reading import LogAnswers, Reading
from airwrit.tracks.readers.utc import leap_seconds
from airwrit.tracks.reading import read_track
from airwrit.tracks.track import HeightDatum, Track
from tests.outside import outside_file
from tests.unit.tracks.dataflash import flight

TODAY = LogAnswers(date(2026, 12, 1))
REFUSED = {
    "dataflash_125_bytes.bin": "no aircraft position",
    "gpx_extremes.gpx": "has a time",
    "igc_bad_line_ellipsoid.igc": "IGC",
    "igc_geo_datum.igc": "IGC",
    "igc_pressure_altitude_zero.igc": "IGC",
    "igc_time_not_increasing.igc": "IGC",
    "nmea_a.nmea": "NMEA",
    "nmea_bad_checksum.nmea": "NMEA",
}


def read(name: str) -> Reading:
    return read_track(outside_file(f"tracks/{name}"), TODAY)


def only(name: str) -> Track:
    (track,) = read(name).tracks
    return track


def test_every_sample_is_read_or_refused_by_name(capsys: pytest.CaptureFixture[str]) -> None:
    for path in sorted(outside_file("tracks").iterdir()):
        if path.name in REFUSED:
            with pytest.raises(UnreadableFile, match=REFUSED[path.name]):
                read_track(path, TODAY)
        else:
            assert all(len(track.row) for track in read_track(path, TODAY).tracks), path.name
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("name", "lat", "alt", "scale", "meters"),
    [
        ("ulog_int_millimetres.ulg", "lat", "alt", 1, 1e-3),
        ("ulog_float_metres_simulated.ulg", "latitude_deg", "altitude_msl_m", 1e7, 1.0),
    ],
)
def test_ulog_against_pyulog(name: str, lat: str, alt: str, scale: float, meters: float) -> None:
    track = only(name)
    theirs = ULog(str(outside_file(f"tracks/{name}")), ["vehicle_gps_position"]).data_list[0].data
    fixed = theirs["fix_type"] >= 3
    assert len(track.row) == len(fixed)
    np.testing.assert_array_equal(track.lat_e7[fixed], np.rint(theirs[lat][fixed] * scale))
    np.testing.assert_allclose(track.heights_m[HeightDatum.SEA_LEVEL][fixed], theirs[alt][fixed] * meters)
    np.testing.assert_array_equal(
        track.mono_us, (theirs["timestamp"] - theirs["timestamp"][0]).astype(np.int64)
    )
    assert not track.placed[~fixed].any()
    assert track.utc_us is not None
    jitter = track.utc_us[fixed] - theirs["time_utc_usec"][fixed].astype(np.int64)
    assert np.abs(np.median(jitter)) < 1000


def test_ulog_heights_differ_from_the_ellipsoid_by_the_geoid() -> None:
    """39.95 m at the place of the log, by its own two columns; a mix of units would be thousands off."""
    heights = only("ulog_int_millimetres.ulg").heights_m
    apart = heights[HeightDatum.ELLIPSOID] - heights[HeightDatum.SEA_LEVEL]
    assert np.allclose(apart, 39.95, atol=0.05)


def rows_of(path: Path, *names: str) -> list[Any]:
    with contextlib.redirect_stdout(io.StringIO()):
        log = DFReader.DFReader_binary(str(path), zero_time_base=False)
        found = []
        while (message := log.recv_match(type=list(names))) is not None:
            found.append(message)
        log.close()
    return found


@pytest.mark.filterwarnings("ignore")
def test_dataflash_against_pymavlink() -> None:
    path = outside_file("tracks/dataflash_2017.bin")
    track, theirs = only("dataflash_2017.bin"), rows_of(path, "POS")
    assert [one.TimeUS - theirs[0].TimeUS for one in theirs] == track.mono_us.tolist()
    assert [round(one.Lat * 1e7) for one in theirs] == track.lat_e7.tolist()
    assert [round(one.Lng * 1e7) for one in theirs] == track.lon_e7.tolist()
    for datum, column in ((HeightDatum.SEA_LEVEL, "Alt"), (HeightDatum.HOME, "RelHomeAlt")):
        np.testing.assert_array_equal(track.heights_m[datum], [getattr(one, column) for one in theirs])
    assert track.utc_us is not None
    apart = track.utc_us - np.array([one._timestamp * 1e6 for one in theirs])
    assert np.abs(apart).max() < 20_000, "the day is in 2017, where 18 s are right"


@pytest.mark.filterwarnings("ignore")
def test_dataflash_of_2014_is_two_seconds_later_than_pymavlink_has_it(tmp_path: Path) -> None:
    """Synthetic, week 1773: DFReader takes off 18 s on every day, 16 s are right (IERS Bulletin C 43)."""
    path = tmp_path / "log.bin"
    path.write_bytes(bytes(flight(1773, 522_280_600).out))
    (track,) = read_track(path, TODAY).tracks
    assert track.utc_us is not None
    assert str(track.utc_us.astype("datetime64[us]")[0])[:21] == "2014-01-04T01:04:24.6"
    theirs = rows_of(path, "GPS")[0]
    assert track.utc_us[0] / 1e6 - theirs._timestamp == pytest.approx(2.0, abs=0.01)


@pytest.mark.parametrize(
    "name", ["gpx10_speed", "gpx_all_elevation_zero", "gpx_part_without_time", "gpx_zone_offset"]
)
def test_gpx_against_gpxpy(name: str) -> None:
    ours = read(f"{name}.gpx").tracks
    text = outside_file(f"tracks/{name}.gpx").read_text(encoding="utf-8")
    theirs = [
        [point for segment in track.segments for point in segment.points if point.time is not None]
        for track in gpxpy.parse(text).tracks
    ]
    theirs = [points for points in theirs if points]
    assert [len(track.row) for track in ours] == [len(points) for points in theirs]
    for track, points in zip(ours, theirs, strict=True):
        told = sorted(points, key=lambda point: point.time or datetime.min.replace(tzinfo=UTC))
        assert [round(point.latitude * 1e7) for point in told] == track.lat_e7.tolist()
        assert [round(point.longitude * 1e7) for point in told] == track.lon_e7.tolist()
        assert track.utc_us is not None
        moments = [point.time.timestamp() for point in told if point.time is not None]
        assert [round(moment * 1e6) for moment in moments] == track.utc_us.tolist()
        if HeightDatum.UNKNOWN in track.heights_m:
            assert [point.elevation for point in told] == track.heights_m[HeightDatum.UNKNOWN].tolist()
        else:
            assert {point.elevation for point in told} == {0.0}, "all zero: never measured"


def test_leap_seconds_against_the_time_zone_data() -> None:
    text = files("tzdata").joinpath("zoneinfo/leapseconds").read_text(encoding="utf-8")
    months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
    steps = [
        date(int(year) + (month == "Dec"), 1 if month == "Dec" else 7, 1)
        for year, month in re.findall(
            r"^Leap\s+(\d{4})\s+(Jun|Dec)\s+\d+\s+23:59:60\s+\+", text, re.MULTILINE
        )
    ]
    table = leap_seconds()
    ours = [date.fromisoformat(str(one)[:10]) for one in table.begins_us.astype("datetime64[us]")]
    assert ours[1:] == [day for day in steps if day > date(1980, 1, 6)]
    assert table.seconds.tolist() == list(range(len(ours)))
    expires = re.search(r"#Expires (\d{4})\s+(\w{3})\s+(\d+)", text)
    assert expires is not None
    assert table.expires <= date(int(expires[1]), months.index(expires[2]) + 1, int(expires[3]))
