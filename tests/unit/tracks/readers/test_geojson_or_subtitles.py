"""GeoJSON with times, and subtitles with telemetry. All files are synthetic."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.path import path_of
from airwrit.tracks.track import HeightDatum, TimeSource
from tests.unit.tracks.logs import ANSWERS, counts, only, read, utc

POINTS = [[-71.3, 44.27, 300.0], [-71.3, 44.28], [-71.3, 44.29, 302.0]]
TIMES = [f"2026-06-01T12:00:0{at}Z" for at in range(3)]


def feature(properties: dict[str, Any], coordinates: Any = POINTS, kind: str = "LineString") -> str:
    geometry = {"type": kind, "coordinates": coordinates}
    told = {"type": "Feature", "properties": properties, "geometry": geometry}
    return json.dumps({"type": "FeatureCollection", "features": [told]})


@pytest.mark.parametrize(
    "properties",
    [
        {"coordTimes": TIMES},
        {"coordinateProperties": {"times": TIMES}},
        {"coordinateProperties": {"times": [1_780_315_200_000 + at * 1000 for at in range(3)]}},
        {"coordTimes": [1_780_315_200 + at for at in range(3)]},
        {"coordTimes": [1_780_315_200.0 + at for at in range(3)]},
        {"coordTimes": [f"{1_780_315_200 + at}" for at in range(3)]},
        {"coordTimes": [(1_780_315_200 + at) * 1_000_000 for at in range(3)]},
    ],
)
def test_both_conventions(tmp_path: Path, properties: dict[str, Any]) -> None:
    track = only(read(tmp_path, feature(properties)))
    assert utc(track) == [f"2026-06-01T12:00:0{at}.000" for at in range(3)]
    heights = track.heights_m[HeightDatum.UNKNOWN].tolist()
    assert (heights[0], heights[2], str(heights[1])) == (300.0, 302.0, "nan")
    assert counts(track)["heights_unnamed"] == 2


def test_numbers_that_give_no_date_are_no_times(tmp_path: Path) -> None:
    """Seconds from the start of the flight are in no unit since 1970."""
    told = feature({"coordTimes": [0, 1, 2]})
    with pytest.raises(UnreadableFile, match="time"):
        read(tmp_path, told)


def test_several_lines_are_stretches(tmp_path: Path) -> None:
    later = [time.replace("12:", "13:") for time in TIMES]
    told = feature({"coordTimes": [TIMES, later]}, [POINTS, POINTS], "MultiLineString")
    track = only(read(tmp_path, told))
    assert track.segment is not None
    assert track.segment.tolist() == [0, 0, 0, 1, 1, 1]


def test_lists_of_unequal_length_do_not_pair_up(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="2 times, 3 places"):
        read(tmp_path, feature({"coordTimes": TIMES[:2]}))
    with pytest.raises(UnreadableFile, match="no line with a time"):
        read(tmp_path, feature({}))
    with pytest.raises(UnreadableFile, match="damaged"):
        read(tmp_path, "{" * 100_000)


@pytest.mark.parametrize("sign", ["", "\x1e"])
def test_a_feature_on_each_line(tmp_path: Path, sign: str) -> None:
    """A GeoJSON text sequence (RFC 8142), and the same without its sign; one broken line refuses the whole."""
    lines = [
        json.dumps(
            {
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": place},
                "properties": {"Time": time},
            }
        )
        for place, time in zip(POINTS, TIMES, strict=True)
    ]
    track = only(read(tmp_path, "".join(f"{sign}{line}\n" for line in lines)))
    assert utc(track) == [f"2026-06-01T12:00:0{at}.000" for at in range(3)]
    with pytest.raises(UnreadableFile, match="damaged"):
        read(tmp_path, "\n".join([lines[0], lines[1][:-9], lines[2]]))


def test_points_of_one_feature_with_their_times(tmp_path: Path) -> None:
    track = only(read(tmp_path, feature({"coordTimes": TIMES}, kind="MultiPoint")))
    assert len(track.row) == 3


def cue(at: int, video: str, text: str) -> str:
    return f"{at}\n{video} --> {video}\n{text}\n\n"


def subtitles(rows: int = 3, clock: str = "2026-06-01 12:00:0{at}.000") -> str:
    place = "[latitude: 44.27000{at}] [longitude: -71.300000] [rel_alt: {at}.5 abs_alt: 30{at}.0]"
    return "".join(
        cue(at + 1, f"00:00:0{at},000", f'<font size="28">{clock}\n{place}</font>'.format(at=at))
        for at in range(rows)
    )


def test_a_clock_without_zone_is_asked_for_and_then_taken(tmp_path: Path) -> None:
    reading = read(tmp_path, subtitles())
    assert only(reading).utc_us is None
    assert "zone" in {question.asks for question in reading.questions}
    told = only(read(tmp_path, subtitles(), replace(ANSWERS, zone="America/New_York")))
    assert utc(told)[0] == "2026-06-01T16:00:00.000"
    assert told.heights_m[HeightDatum.TAKEOFF].tolist() == [0.5, 1.5, 2.5]
    assert told.heights_m[HeightDatum.UNKNOWN].tolist() == [300, 301, 302]


def test_the_unit_of_a_height_counts_also_before_a_date(tmp_path: Path) -> None:
    text = "lat: 44.27 lon: -71.3 alt: 100 ft 2026-06-01 12:00:00Z"
    assert only(read(tmp_path, cue(1, "00:00:00", text))).heights_m[HeightDatum.UNKNOWN][0] == pytest.approx(
        30.48
    )


def test_web_subtitles_and_places_by_hemisphere(tmp_path: Path) -> None:
    """WebVTT (W3C) with its own first line, and times without hours."""
    text = "WEBVTT - made\n\n" + "".join(
        f"00:0{at}.000 --> 00:0{at}.900\n{place} AGL 1{at}.0 ft 2026-06-01 12:00:0{at}Z\n\n"
        for at, place in enumerate(("N44.2700 W71.3000", "44.2701N 71.3000W", "44.2702° N, 71.3000° W"))
    )
    reading = read(tmp_path, text)
    track = only(reading)
    assert utc(track) == [f"2026-06-01T12:00:0{at}.000" for at in range(3)]
    assert track.lat_e7.tolist() == [442700000, 442701000, 442702000]
    assert track.lon_e7.tolist() == [-713000000] * 3
    assert track.heights_m[HeightDatum.UNKNOWN].tolist() == pytest.approx([3.048, 3.3528, 3.6576])
    assert reading.problems == ()
    south = cue(1, "00:00:00", "S12.0000 E130.5000") + cue(2, "00:00:01", "S12.0000 E130.5001")
    assert only(read(tmp_path, south)).lat_e7.tolist() == [-120000000] * 2


def test_a_day_is_needed_where_the_text_has_none(tmp_path: Path) -> None:
    text = subtitles(clock="12:00:0{at}")
    reading = read(tmp_path, text)
    assert only(reading).time_from is TimeSource.VIDEO
    assert only(reading).utc_us is None
    assert "date" in {question.asks for question in reading.questions}
    told = only(read(tmp_path, text, replace(ANSWERS, day=date(2026, 6, 1), zone="UTC")))
    assert utc(told)[0] == "2026-06-01T12:00:00.000"


def test_cues_that_repeat_are_counted_and_hovering_goes_on(tmp_path: Path) -> None:
    text = "[latitude: 44.27] [longitude: -71.3] [rel_alt: 5.0]"
    cues = "".join(cue(at + 1, f"00:00:{at // 25:02},{at % 25 * 40:03}", text) for at in range(100))
    reading = read(tmp_path, cues)
    assert len(only(reading).row) == 4
    assert [(str(one.code), one.rows) for one in reading.problems] == [("repeated_rows", 96)]


def test_cues_that_break_the_form_are_counted_and_blanks_are_missing(tmp_path: Path) -> None:
    text = (
        cue(1, "00:00:00", "GPS (-71.3000, 44.2700, 15), D 1.0m, H 20.10m")
        + cue(2, "00:00:01.5", "GPS (-71.3001, 44.2700, 15), D 1.0m, H --.-m")
        + "3\nnonsense\n\n"
    )
    reading = read(tmp_path, text)
    heights = only(reading).heights_m[HeightDatum.UNKNOWN]
    assert (heights[0], str(heights[1])) == (20.1, "nan")
    assert only(reading).lon_e7.tolist() == [-713000000, -713001000]
    assert [(str(one.code), one.rows) for one in reading.problems] == [("rejected_cues", 1)]


@pytest.mark.parametrize("kind", [["LineString"], {}, None, 7])
def test_a_geometry_of_no_kind_is_refused(tmp_path: Path, kind: Any) -> None:
    with pytest.raises(UnreadableFile, match="no line"):
        read(tmp_path, feature({"coordTimes": TIMES}, kind=kind))


@pytest.mark.parametrize(
    ("pair", "lat", "turned"),
    [
        ("-98.5000, 38.4000, 15", 384000000, False),
        ("38.4000, -98.5000, 15", 384000000, True),
        ("8.5000, 47.3000, 15", 473000000, False),
        ("151.2000, -33.8000, 15", -338000000, False),
    ],
)
def test_two_numbers_without_a_word(tmp_path: Path, pair: str, lat: int, turned: bool) -> None:
    """Longitude first, as the best known writers have it, unless only the other order lies in the United States."""
    reading = read(
        tmp_path, "".join(cue(at + 1, f"00:00:0{at},000", f"GPS ({pair}) H {at}.0m") for at in range(3))
    )
    assert only(reading).lat_e7.tolist() == [lat] * 3
    assert ("latitude_first" in {str(one.code) for one in reading.problems}) is turned


def test_a_video_started_again_is_a_stretch_of_its_own(tmp_path: Path) -> None:
    text = "".join(
        cue(at + 1, f"00:00:0{at % 4},000", f"[latitude: 44.27000{at}] [longitude: -71.3] [rel_alt: {at}.0]")
        for at in range(8)
    )
    track = only(read(tmp_path, text))
    assert track.lat_e7.tolist() == [442700000 + 10 * at for at in range(8)]
    assert track.mono_us.tolist() == [at * 1_000_000 for at in range(8)]
    assert track.segment is not None
    assert track.segment.tolist() == [0, 0, 0, 0, 1, 1, 1, 1]
    assert counts(track)["video_restarted"] == 1


def test_a_line_over_the_date_line_stays_on_its_side(tmp_path: Path) -> None:
    points = [[179.9999, 51.9, 10.0], [-179.9999, 51.9, 11.0], [-179.9998, 51.9, 12.0]]
    track = only(read(tmp_path, feature({"coordTimes": TIMES}, points)))
    assert track.lon_e7.tolist() == [1799999000, -1799999000, -1799998000]
    assert path_of(track).length_m == pytest.approx(3 * 6.87, abs=0.1)


@pytest.mark.parametrize("key", ["time", "timestamp", "datetime"])
def test_points_with_a_time_each_are_a_track(tmp_path: Path, key: str) -> None:
    points = [
        {"type": "Feature", "properties": {key: time}, "geometry": {"type": "Point", "coordinates": place}}
        for place, time in zip(POINTS, TIMES, strict=True)
    ]
    track = only(read(tmp_path, json.dumps({"type": "FeatureCollection", "features": points})))
    assert utc(track) == [f"2026-06-01T12:00:0{at}.000" for at in range(3)]
    with pytest.raises(UnreadableFile, match="no points with times"):
        read(tmp_path, json.dumps({"type": "FeatureCollection", "features": points[:1]}))


@pytest.mark.parametrize(
    ("clock", "first"),
    [
        ("2026-06-01T12:00:0{at}Z", "2026-06-01T12:00:00.000"),
        ("2026-06-01 12:00:0{at}.000 UTC", "2026-06-01T12:00:00.000"),
        ("UTC: 2026-06-01 12:00:0{at}", "2026-06-01T12:00:00.000"),
        ("2026-06-01T12:00:0{at}-05:00", "2026-06-01T17:00:00.000"),
        ("2026-06-01 12:00:0{at}", "2026-06-01T17:00:00.000"),
    ],
)
def test_a_zone_in_the_text_outweighs_the_one_that_was_told(tmp_path: Path, clock: str, first: str) -> None:
    track = only(read(tmp_path, subtitles(clock=clock), replace(ANSWERS, zone="America/Chicago")))
    assert utc(track)[0] == first


@pytest.mark.parametrize(
    ("height", "meters"),
    [
        ("rel_alt: 100.5", "100.5"),
        ("rel_alt: 100.5m", "100.5"),
        ("rel_alt=328.5ft", f"{328.5 * 0.3048}"),
        ("rel_alt: 328 feet", f"{328 * 0.3048}"),
        ("rel_alt: 12 fathoms", "nan"),
    ],
)
def test_a_height_is_in_the_unit_behind_it(tmp_path: Path, height: str, meters: str) -> None:
    text = "".join(cue(at + 1, f"00:00:0{at}", f"LAT 44.27000{at} LON -71.3 {height}") for at in range(3))
    track = only(read(tmp_path, text))
    found = track.heights_m.get(HeightDatum.TAKEOFF)
    assert ("nan" if found is None else str(found[0])) == meters
    unnamed = only(read(tmp_path, text.replace("rel_alt", "alt"))).heights_m.get(HeightDatum.UNKNOWN)
    assert ("nan" if unnamed is None else str(unnamed[0])) == meters
