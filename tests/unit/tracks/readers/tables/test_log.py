"""Tables: what is asked and never assumed, mappings kept and found again, and how people write numbers, places and times.

All tables are synthetic.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.readers.reading import LogAnswers
from airwrit.tracks.readers.tables.columns import (
    CsvColumn,
    CsvMapping,
    MappedColumn,
    key_of_headings,
    mapping_of_toml,
    mapping_toml,
)
from airwrit.tracks.track import HeightDatum, TimeSource, Track, TrackDoubt
from tests.unit.tracks.logs import ANSWERS, counts, only, read, utc

HEAD = "time_utc,latitude,longitude,altitude_msl_ft"
ROWS = "2026-06-01 12:00:00,44.27,-71.3,1000\n2026-06-01 12:00:01,44.28,-71.3,1010\n"


def mapped(
    folder: Path,
    text: str | bytes,
    answers: LogAnswers = ANSWERS,
    zone: str = "UTC",
    decimal: str = ".",
    **told: str,
) -> Track:
    """The track of a table; `told` gives a column its heading and unit, as heading|unit."""
    columns = []
    for name, one in told.items():
        heading, _, unit = one.partition("|")
        datum = HeightDatum.TAKEOFF if name == "height" else None
        columns.append(MappedColumn(heading, CsvColumn(name), unit, datum))
    headings = tuple(one.heading for one in columns)
    mapping = CsvMapping(headings, tuple(columns), zone, decimal)
    return only(read(folder, text, replace(answers, mapping=mapping)))


def test_what_heights_are_measured_from_is_not_asked_where_it_was_said(tmp_path: Path) -> None:
    """With one open column alone; of two, nobody can tell which is meant."""
    told = replace(ANSWERS, heights_from=HeightDatum.TAKEOFF)
    text = f"{HEAD.replace('altitude_msl_ft', 'alt_ft')}\n{ROWS}"
    assert [one.asks for one in read(tmp_path, text).questions] == ["datum"]
    assert only(read(tmp_path, text, told)).heights_m[HeightDatum.TAKEOFF][0] == pytest.approx(304.8)
    two = (
        text.replace("alt_ft", "alt_ft,height_ft").replace("1000\n", "1000,7\n").replace("1010\n", "1010,8\n")
    )
    assert [one.asks for one in read(tmp_path, two, told).questions] == ["datum", "datum"]


def test_headings_that_say_everything_need_no_question(tmp_path: Path) -> None:
    reading = read(tmp_path, f"{HEAD}\n{ROWS}")
    assert reading.questions == ()
    assert only(reading).heights_m[HeightDatum.SEA_LEVEL][0] == pytest.approx(304.8)
    assert utc(only(reading)) == ["2026-06-01T12:00:00.000", "2026-06-01T12:00:01.000"]
    assert only(reading).row.tolist() == [2, 3]


@pytest.mark.parametrize(
    ("head", "asks", "about"),
    [
        ("time,latitude,longitude,altitude_msl_ft", "zone", ""),
        ("time_utc,latitude,longitude,altitude_msl", "unit", "altitude_msl"),
        ("time_utc,latitude,longitude,altitude_ft", "datum", "altitude_ft"),
        ("time_utc,latitude,longitude,alt_rel_ft", "datum", "alt_rel_ft"),
        ("time_utc,place,longitude,altitude_msl_ft", "column", "latitude"),
        ("moment,latitude,longitude,altitude_msl_ft", "column", "time"),
    ],
)
def test_what_headings_do_not_say_is_asked(tmp_path: Path, head: str, asks: str, about: str) -> None:
    reading = read(tmp_path, f"{head}\n{ROWS}")
    assert reading.tracks == ()
    assert [(one.asks, one.about) for one in reading.questions] == [(asks, about)]


def test_the_order_of_day_and_month_is_asked_unless_a_day_shows_it(tmp_path: Path) -> None:
    text = "time_utc,latitude,longitude\n{}/2026 12:00:00,44.27,-71.3\n"
    assert [one.asks for one in read(tmp_path, text.format("6/1")).questions] == ["time_form"]
    assert utc(only(read(tmp_path, text.format("6/13"))))[0] == "2026-06-13T12:00:00.000"
    assert utc(only(read(tmp_path, text.format("13/6"))))[0] == "2026-06-13T12:00:00.000"


@pytest.mark.parametrize(
    ("heading", "value", "asks"),
    [
        ("timestamp_ms", "1780315200000", []),
        ("Time (s)", "1780315200.5", []),
        ("time_us", f"{1_780_315_200_000_000}", []),
        ("timestamp", "1780315200000", ["time_form", "zone"]),
        ("Time (s)", "86400", ["date"]),
        ("timestamp_ms", "86400", ["time_form", "zone"]),
    ],
)
def test_a_time_since_1970_is_known_by_its_unit_and_its_size(
    tmp_path: Path, heading: str, value: str, asks: list[str]
) -> None:
    """With the unit in the heading, over thirty years since anything is since 1970. Without the unit it is asked."""
    reading = read(tmp_path, f"{heading},latitude,longitude\n{value},44.27,-71.3\n")
    assert [one.asks for one in reading.questions] == asks
    if not asks:
        assert utc(only(reading))[0].startswith("2026-06-01T12:00:00")


def test_a_stated_accuracy_is_a_standard_deviation(tmp_path: Path) -> None:
    """2.45 of them hold 95 % of places, 1.96 of heights, as in the binary logs; none, or 0, is not known."""
    head = "time_utc,latitude,longitude,altitude_msl_m,horizontal_accuracy_m,vertical_accuracy_m"
    rows = "".join(
        f"2026-06-01T12:00:0{at}Z,44.27,-71.3,300,{off},{off}\n" for at, off in enumerate(("2", "0", ""))
    )
    track = only(read(tmp_path, f"{head}\n{rows}"))
    for whose, told in ((TrackDoubt.HORIZONTAL, 4.9), (TrackDoubt.VERTICAL, 3.92)):
        assert track.doubt_m[whose].tolist() == pytest.approx([told, np.nan, np.nan], nan_ok=True)


@pytest.mark.parametrize("head", ["local time,utc time", "utc time,local time"])
def test_of_two_clocks_the_one_in_utc_is_taken(tmp_path: Path, head: str) -> None:
    """An hour of local time needs a zone, and may be wrong by one; UTC beside it needs none."""
    times = {"local time": "2026-06-01 08:00:0{at}", "utc time": "2026-06-01 12:00:0{at}"}
    row = ",".join(times[name] for name in head.split(","))
    rows = "".join(f"{row.format(at=at)},44.27,-71.3\n" for at in range(3))
    reading = read(tmp_path, f"{head},latitude,longitude\n{rows}")
    assert reading.questions == ()
    assert utc(only(reading))[0] == "2026-06-01T12:00:00.000"


@pytest.mark.parametrize(
    ("utcs", "first", "told"),
    [
        ("|2026-06-01T13:10:01Z|", "2026-06-01T13:10:00.000", ["70 minutes"]),
        ("|2026-06-01T11:58:01Z|", "2026-06-01T11:58:00.000", ["2 minutes"]),
        ("|2026-06-01T12:00:31Z|", "2026-06-01T12:00:00.000", []),
        ("||", "2026-06-01T12:00:00.000", []),
        ("2026-06-01T13:10:01Z||2026-06-01T13:20:01Z", "2026-06-01T12:00:00.000", []),
    ],
)
def test_a_clock_that_is_off_is_set_by_a_few_values_in_utc(
    tmp_path: Path, utcs: str, first: str, told: list[str]
) -> None:
    """The log's clock says 8:00 in New York, 12:00 UTC. What says now this and now that sets nothing."""
    rows = "".join(f"2026-06-01 08:00:0{at},{said},44.27,-71.3\n" for at, said in enumerate(utcs.split("|")))
    text = f"time,gps utc,latitude,longitude\n{rows}"
    track = only(read(tmp_path, text, replace(ANSWERS, zone="America/New_York")))
    assert utc(track)[0] == first
    assert [one.detail for one in track.problems if one.code == "utc_beside"] == told


def test_a_month_by_its_name_and_missing_places_ask_nothing(tmp_path: Path) -> None:
    text = "time utc,latitude,longitude\n01-Jun-2026 12:00:00,44.27,-71.3\n01-Jun-2026 12:00:01,N/A,N/A\n"
    track = only(read(tmp_path, text))
    assert (utc(track)[0], track.placed.tolist()) == ("2026-06-01T12:00:00.000", [True, False])


def test_a_mapping_is_kept_as_toml_and_found_again_by_headings(tmp_path: Path) -> None:
    headings = ("When", 'Lat "N"', "Lon", "Höhe \x7f")
    columns = (
        MappedColumn("When", CsvColumn.TIME, "iso"),
        MappedColumn('Lat "N"', CsvColumn.LATITUDE, "deg"),
        MappedColumn("Lon", CsvColumn.LONGITUDE, "deg"),
        MappedColumn("Höhe \x7f", CsvColumn.HEIGHT, "m", HeightDatum.HOME),
    )
    mapping = CsvMapping(headings, columns, "America/Denver", ",")
    assert mapping_of_toml(mapping_toml(mapping), "kept") == mapping
    assert key_of_headings(("WHEN ", 'lat  "n"')) == key_of_headings(("when", 'Lat "N"'))
    kept = mapping_of_toml(
        'headings = ["WHEN", "y", "x", "h"]\nzone = "UTC"\n'
        '[[columns]]\nheading = "WHEN"\nis = "time"\nunit = "iso"\n'
        '[[columns]]\nheading = "y"\nis = "latitude"\nunit = "deg"\n'
        '[[columns]]\nheading = "x"\nis = "longitude"\nunit = "deg"\n'
        '[[columns]]\nheading = "h"\nis = "height"\nunit = "ft"\nfrom = "takeoff"\n',
        "kept",
    )
    reading = read(tmp_path, f"when,Y,X,H\n{ROWS}", replace(ANSWERS, saved=(kept,)))
    assert list(only(reading).heights_m) == [HeightDatum.TAKEOFF]


@pytest.mark.parametrize(
    "text",
    [
        "headings = 3",
        'headings = ["a"]\ncolumns = [{heading = "b", is = "time"}]',
        'headings = ["a"]\ncolumns = [{heading = "a", is = "weather"}]',
        'headings = ["a"]\ncolumns = [{heading = "a", is = "time", more = 1}]',
        "[[",
    ],
)
def test_a_mapping_that_breaks_its_form_is_refused(text: str) -> None:
    with pytest.raises(UnreadableFile, match="mapping"):
        mapping_of_toml(text, "kept.toml")


def test_decimal_commas_semicolons_and_a_byte_order_mark(tmp_path: Path) -> None:
    text = "t;y;x;h\n2026-06-01T12:00:00Z;44,27;-71,3;1.234,5\n"
    for data in (b"\xef\xbb\xbf" + text.encode(), text.encode("utf-16")):
        track = mapped(
            tmp_path, data, decimal=",", time="t|iso", latitude="y|deg", longitude="x|deg", height="h|m"
        )
        assert track.heights_m[HeightDatum.TAKEOFF].tolist() == [1234.5]
        assert track.lat_e7.tolist() == [442700000]


def test_empty_cells_and_words_are_missing_and_never_zero(tmp_path: Path) -> None:
    text = "t,y,x,h\n2026-06-01T12:00:00Z,44.27,-71.3,N/A\n2026-06-01T12:00:01Z,,,\n2026-06-01T12:00:02Z,44.27,-71.3,high\n"
    track = mapped(tmp_path, text, time="t|iso", latitude="y|deg", longitude="x|deg", height="h|m")
    assert track.heights_m == {}
    assert track.placed.tolist() == [True, False, True]
    assert counts(track)["number"] == 1


@pytest.mark.parametrize(
    ("form", "lat", "lon"),
    [
        ("dms", "44°16'12\"N", "71°18'00\"W"),
        ("dms", "44 16 12", "-71 18 0"),
        ("degE7", "442700000", "-713000000"),
        ("ddmm", "4416.2N", "07118.0W"),
    ],
)
def test_ways_to_write_a_place(tmp_path: Path, form: str, lat: str, lon: str) -> None:
    text = (
        f"t|y|x\n2026-06-01T12:00:00Z|{lat}|{lon}\n".replace('"', '""')
        .replace("|", '"|"')
        .replace("\n", '"\n"')
    )
    track = mapped(tmp_path, f'"{text}'[:-1], time="t|iso", latitude=f"y|{form}", longitude=f"x|{form}")
    assert (track.lat_e7[0], track.lon_e7[0]) == (442700000, -713000000)


def test_hemispheres_in_columns_of_their_own(tmp_path: Path) -> None:
    text = "t,y,ns,x,ew\n2026-06-01T12:00:00Z,44.27,N,71.3,W\n"
    track = mapped(
        tmp_path, text, time="t|iso", latitude="y|deg", longitude="x|deg", north_south="ns", east_west="ew"
    )
    assert track.lon_e7.tolist() == [-713000000]


@pytest.mark.parametrize(
    ("form", "value"),
    [
        ("unix_s", "1780315200"),
        ("unix_ms", "1780315200000"),
        ("unix_us", f"{1_780_315_200_000_000}"),
        ("unix_ns", f"{1_780_315_200_000_000_000}"),
        ("excel_days", "46174.5"),
        ("mdy", "6/1/2026 12:00:00 PM"),
        ("dmy", "01.06.2026 12:00:00"),
        ("ymd", "2026/06/01 12:00"),
        ("iso", "01-Jun-2026 12:00:00"),
        ("iso", "June 1 2026 12:00 PM"),
    ],
)
def test_ways_to_write_a_time(tmp_path: Path, form: str, value: str) -> None:
    text = f"t,y,x\n{value},44.27,-71.3\n"
    track = mapped(tmp_path, text, time=f"t|{form}", latitude="y|deg", longitude="x|deg")
    assert utc(track) == ["2026-06-01T12:00:00.000"]


def test_gps_weeks_and_a_time_since_start(tmp_path: Path) -> None:
    weeks = mapped(
        tmp_path,
        "w,s,y,x\n2421,43218,44.27,-71.3\n0,1,44.27,-71.3\n",
        gps_week="w",
        gps_seconds="s|s",
        latitude="y|deg",
        longitude="x|deg",
    )
    assert utc(weeks) == ["2026-05-31T12:00:00.000"]
    assert counts(weeks)["no_time"] == 1
    since = mapped(
        tmp_path,
        "s,y,x\n0.5,44.27,-71.3\n1.5,44.27,-71.3\n",
        elapsed="s|s",
        latitude="y|deg",
        longitude="x|deg",
    )
    assert (since.mono_us.tolist(), since.utc_us, since.time_from) == ([0, 1_000_000], None, TimeSource.NONE)


def test_a_day_beside_a_time_of_day_and_one_that_is_told(tmp_path: Path) -> None:
    both = mapped(
        tmp_path,
        "d,t,y,x\n6/1/2026,12:00:00,44.27,-71.3\n",
        date="d|mdy",
        time_of_day="t",
        latitude="y|deg",
        longitude="x|deg",
    )
    assert utc(both) == ["2026-06-01T12:00:00.000"]
    rows = "".join(f"{time},44.27,-71.3\n" for time in ("23:59:58", "23:59:59", "00:00:00", "00:00:01"))
    told = replace(ANSWERS, day=date(2026, 6, 1))
    night = mapped(tmp_path, f"t,y,x\n{rows}", told, time_of_day="t", latitude="y|deg", longitude="x|deg")
    assert utc(night)[2:] == ["2026-06-02T00:00:00.000", "2026-06-02T00:00:01.000"]


def test_one_bad_row_is_no_next_day(tmp_path: Path) -> None:
    times = ["14:00:00", "01:00:00", "14:00:01", *(f"14:00:{at:02}" for at in range(2, 30))]
    rows = "".join(f"{time},44.27,-71.3\n" for time in times)
    told = replace(ANSWERS, day=date(2026, 6, 1))
    track = mapped(tmp_path, f"t,y,x\n{rows}", told, time_of_day="t", latitude="y|deg", longitude="x|deg")
    assert utc(track)[0] == "2026-06-01T14:00:00.000"
    assert utc(track)[-1] == "2026-06-01T14:00:29.000"
    assert {"clock_backwards": 1, "clock_outlier": 1}.items() <= counts(track).items()


def test_a_zone_that_nobody_knows_and_an_hour_that_is_there_twice(tmp_path: Path) -> None:
    text = "t,y,x\n2026-11-01T01:30:00,44.27,-71.3\n"
    unknown = mapped(tmp_path, text, zone="unknown", time="t|iso", latitude="y|deg", longitude="x|deg")
    assert unknown.utc_us is None
    twice = mapped(tmp_path, text, zone="America/New_York", time="t|iso", latitude="y|deg", longitude="x|deg")
    assert twice.utc_us is None
    assert "hour_twice" in counts(twice)


def test_headings_in_two_lines_and_again_after_a_restart(tmp_path: Path) -> None:
    text = "time_utc,latitude,longitude,altitude msl\n,deg,deg,ft\n"
    reading = read(tmp_path, f"{text}{ROWS}{text}{ROWS.replace('12:00', '13:00')}")
    assert reading.questions == ()
    track = only(reading)
    assert track.heights_m[HeightDatum.SEA_LEVEL][0] == pytest.approx(304.8)
    assert track.segment is not None
    assert len(set(track.segment.tolist())) == 2
    assert counts(track)["repeated_header"] >= 1


def test_text_that_is_no_table_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="table"):
        read(tmp_path, "dear reader\nnothing here\n")


def test_tabs_part_columns_and_commas_part_thousands(tmp_path: Path) -> None:
    """1,204 could be a decimal comma: without another number that tells, it is asked."""
    head = "time_utc\tlatitude\tlongitude\taltitude_msl_ft\n"
    rows = "".join(f"2026-06-01T12:00:0{at}Z\t44.27\t-71.3\t1,20{at}\n" for at in range(3))
    track = only(read(tmp_path, head + rows))
    assert track.heights_m[HeightDatum.SEA_LEVEL].tolist() == pytest.approx(
        [(1200 + at) * 0.3048 for at in range(3)]
    )
