"""DataFlash: clock, weeks, factors, instances, missing receivers, junk and broken ends. All logs are synthetic."""

from __future__ import annotations

import struct
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.track import HeightDatum, TimeSource
from tests.unit.tracks.dataflash import Log, flight, gps
from tests.unit.tracks.logs import ANSWERS, counts, only, read, utc


def test_a_flight(tmp_path: Path) -> None:
    track = only(read(tmp_path, bytes(flight().out), name="anything.txt"))
    assert track.time_from is TimeSource.GPS_WEEK
    assert track.heights_m[HeightDatum.SEA_LEVEL].tolist() == [300.0 + at for at in range(10)]
    assert track.mono_us.tolist() == [at * 200_000 for at in range(10)]
    assert track.lat_e7[3] == 442700003
    assert utc(track)[0] == "2026-06-03T11:59:42.000"


@pytest.mark.parametrize(
    ("week", "ms", "expected"),
    [
        # 2014-01-04 is week 1773 day 6: the offset was 16 s (IERS Bulletin C 43, leap second of 2012-06-30)
        (1773, 522_280_600, "2014-01-04T01:04:24.600"),
        # 2016-01-04 is week 1878 day 1: 17 s (Bulletin C 49)
        (1878, 86_417_000, "2016-01-04T00:00:00.000"),
        # 2018-01-01 is week 1982 day 1: 18 s (Bulletin C 52)
        (1982, 86_418_000, "2018-01-01T00:00:00.000"),
    ],
)
def test_leap_seconds_are_those_of_the_day(tmp_path: Path, week: int, ms: int, expected: str) -> None:
    assert utc(only(read(tmp_path, bytes(flight(week, ms).out))))[0] == expected


def test_week_0_is_a_receiver_that_does_not_know_the_week(tmp_path: Path) -> None:
    log = flight(week=0)
    for at in range(10, 20):
        gps(log, at, 2421, 302_400_000 + at * 200)
    track = only(read(tmp_path, bytes(log.out)))
    assert utc(track)[0] == "2026-06-03T11:59:42.000"
    assert counts(track)["utc_derived"] == 10
    unknown = only(read(tmp_path, bytes(flight(week=0).out)))
    assert unknown.utc_us is None
    assert counts(unknown)["no_date"] == 10


def test_a_week_cut_to_ten_bits_is_offered_as_a_repair_and_not_made(tmp_path: Path) -> None:
    track = only(read(tmp_path, bytes(flight(week=2421 - 1024).out)))
    assert track.utc_us is None
    assert counts(track)["weeks_lost"] == 10


def test_rows_without_fix_are_no_place_and_have_no_height(tmp_path: Path) -> None:
    log = flight()
    gps(log, 10, 2421, 302_402_000, status=1)
    track = only(read(tmp_path, bytes(log.out)))
    assert counts(track)["no_fix"] == 1
    assert not track.placed[10]
    assert track.heights_m[HeightDatum.SEA_LEVEL][10] != track.heights_m[HeightDatum.SEA_LEVEL][10]


def test_places_without_any_receiver_have_heights_and_no_date(tmp_path: Path) -> None:
    log = Log()
    log.form(180, "POS", "QLLfff", "TimeUS,Lat,Lng,Alt,RelHomeAlt,RelOriginAlt")
    for at in range(5):
        log.add("POS", at * 100_000, 442700000, -713000000, 300.0 + at, float(at), at + 1.0)
    track = only(read(tmp_path, bytes(log.out)))
    assert track.utc_us is None
    assert track.heights_m[HeightDatum.HOME].tolist() == [0, 1, 2, 3, 4]
    assert {"no_gps", "no_date"} <= counts(track).keys()


def test_the_factor_of_a_field_takes_the_place_of_its_types(tmp_path: Path) -> None:
    log = flight()
    log.out += struct.pack(
        "<BBBBB4s16s64s", 0xA3, 0x95, 0x80, 201, 44, b"FMTU", b"QBNN", b"TimeUS,FmtType,UnitIds,MultIds"
    )
    log.out += struct.pack("<BBBBB4s16s64s", 0xA3, 0x95, 0x80, 202, 20, b"MULT", b"Qbd", b"TimeUS,Id,Mult")
    log.out += struct.pack("<BBBQbd", 0xA3, 0x95, 202, 0, ord("A"), 0.1)
    log.out += struct.pack("<BBBQB16s16s", 0xA3, 0x95, 201, 0, 130, b"s---------", b"F-------A0")
    track = only(read(tmp_path, bytes(log.out)))
    assert track.heights_m[HeightDatum.SEA_LEVEL][0] == pytest.approx(3000.0)


def test_two_receivers_are_told_apart_and_the_better_one_is_taken(tmp_path: Path) -> None:
    log = Log()
    log.form(130, "GPS", "QBBIHLLe", "TimeUS,I,Status,GMS,GWk,Lat,Lng,Alt")
    for at in range(6):
        log.add("GPS", at * 200_000, 0, 1, 0, 0, 0, 0, 0)
        log.add("GPS", at * 200_000, 1, 3, 302_400_000 + at * 200, 2421, 442700000, -713000000, 30000)
    track = only(read(tmp_path, bytes(log.out)))
    assert track.placed.all()
    assert len(track.row) == 6
    assert counts(track)["other_receiver"] == 1


def test_junk_between_messages_and_a_broken_end(tmp_path: Path) -> None:
    whole = flight().out
    size = (len(whole) - 89) // 10
    cut = bytes(whole[: 89 + 4 * size]) + b"\xa3\x95\x82junk\xa3" * 3 + bytes(whole[89 + 4 * size : -5])
    track = only(read(tmp_path, cut))
    assert len(track.row) == 9
    assert {"damaged", "cut_short"} <= counts(track).keys()


def test_a_raw_stream_is_refused_by_what_it_lacks(tmp_path: Path) -> None:
    packet = b"\xfe\x09\x00\x01\x01\x00" + bytes(9) + b"\x12\x34"
    with pytest.raises(UnreadableFile, match="no timestamps"):
        read(tmp_path, packet * 50, name="flight.bin")


def test_a_log_without_places_is_refused(tmp_path: Path) -> None:
    log = Log()
    log.form(139, "BARO", "Qf", "TimeUS,Alt")
    log.add("BARO", 1, 2.0)
    with pytest.raises(UnreadableFile, match="no aircraft position"):
        read(tmp_path, bytes(log.out))


def test_memory_that_was_never_written_is_no_damage(tmp_path: Path) -> None:
    track = only(read(tmp_path, bytes(flight().out) + b"\xff" * 4096))
    assert "damaged" not in counts(track)


def test_behind_the_end_of_the_table_the_times_are_in_doubt(tmp_path: Path) -> None:
    later = replace(ANSWERS, today=date(2028, 1, 1))
    track = only(read(tmp_path, bytes(flight(week=2421 + 60).out), later))
    assert [one.detail for one in track.problems if one.code == "leap_seconds_expired"] == ["2027-06-28"]


def test_a_row_with_a_clock_far_off_is_left_out(tmp_path: Path) -> None:
    log = flight()
    log.add("GPS", 2**49, 3, 302_402_000, 2421, 12, 80, 442700000, -713000000, 30000, 1.5)
    gps(log, 10, 2421, 302_402_000)
    track = only(read(tmp_path, bytes(log.out)))
    assert len(track.row) == 11
    assert counts(track)["clock_outlier"] == 1
    assert utc(track)[-1] == "2026-06-03T11:59:44.000"


def test_events_say_when_it_was_on_the_ground(tmp_path: Path) -> None:
    log = flight()
    log.form(13, "EV", "QB", "TimeUS,Id")
    log.add("EV", 5_500_000, 28)
    log.add("EV", 6_300_000, 18)
    track = only(read(tmp_path, bytes(log.out)))
    assert track.on_ground is not None
    assert track.on_ground.tolist() == [-1, -1, -1, 0, 0, 0, 0, 1, 1, 1]


def test_a_clock_of_a_signed_type_is_read(tmp_path: Path) -> None:
    log = Log()
    log.form(130, "GPS", "eBIHBcLLef", "TimeMS,Status,GMS,GWk,NSats,HDop,Lat,Lng,Alt,Spd")
    for at in range(10):
        row = (at * 200, 3, 302_400_000 + at * 200, 2421, 12, 80, 442700000, -713000000, 30_000, 1.0)
        log.add("GPS", *row)
    track = only(read(tmp_path, bytes(log.out)))
    assert track.mono_us.tolist() == [at * 200_000 for at in range(10)]


def test_the_columns_of_2014_are_read(tmp_path: Path) -> None:
    """Status, TimeMS and Week, where TimeMS is the time of the week and T the clock since start; heights above home beside."""
    log = Log()
    log.form(130, "GPS", "BIHBcLLeeEefI", "Status,TimeMS,Week,NSats,HDop,Lat,Lng,RelAlt,Alt,Spd,GCrs,VZ,T")
    for at in range(10):
        log.add(
            "GPS",
            3,
            302_400_000 + at * 200,
            1800,
            9,
            120,
            442700000 + at,
            -713000000,
            at * 100,
            30000 + at * 100,
            150,
            0,
            0,
            5_000 + at * 200,
        )
    track = only(read(tmp_path, bytes(log.out)))
    assert track.mono_us.tolist() == [at * 200_000 for at in range(10)]
    assert track.heights_m[HeightDatum.SEA_LEVEL].tolist() == [300.0 + at for at in range(10)]
    assert track.heights_m[HeightDatum.HOME].tolist() == [float(at) for at in range(10)]
    assert utc(track)[0] == "2014-07-09T11:59:44.000", "GPS week 1800, noon of Wednesday, less 16 seconds"
