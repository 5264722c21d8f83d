"""ULog: fields by their type, resets, clocks, receivers without fix, broken ends.

All logs are synthetic, by the published format.
"""

from __future__ import annotations

import struct
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.track import HeightDatum, TrackDoubt
from tests.unit.tracks.logs import counts, only, read, utc

START_US = 1_780_300_800_000_000  # 2026-06-01T08:00:00Z
CLOCKS = "uint64_t timestamp;uint64_t time_utc_usec;"
OLD = CLOCKS + "int32_t lat;int32_t lon;int32_t alt;float epv;uint8_t fix_type;uint8_t satellites_used;"
NEW = CLOCKS + "double latitude_deg;double longitude_deg;double altitude_msl_m;uint8_t fix_type;"
LOCAL = "uint64_t timestamp;float z;float delta_z;bool z_valid;uint8_t z_reset_counter;"


def message(kind: str, data: bytes) -> bytes:
    return struct.pack("<HB", len(data), ord(kind)) + data


def header(*topics: tuple[str, str], clock_us: int = 0, info: bytes = b"") -> bytes:
    """The head of a log with these topics, numbered in their order."""
    out = bytes.fromhex("554c6f6701123501") + struct.pack("<Q", clock_us) + info
    out += b"".join(message("F", f"{name}:{fields}".encode()) for name, fields in topics)
    return out + b"".join(
        message("A", struct.pack("<BH", 0, at) + name.encode()) for at, (name, _) in enumerate(topics)
    )


def old_row(at: int, fix: int = 3, utc_us: int | None = None) -> bytes:
    told = START_US + at * 200_000 if utc_us is None else utc_us
    values = (1_000_000 + at * 200_000, told, 442700000 + at, -713000000, 300_000 + at * 1000, 2.0, fix, 9)
    return message("D", struct.pack("<HQQiiifBB", 0, *values))


def test_millimeters_and_meters_are_told_by_the_type(tmp_path: Path) -> None:
    old = header(("vehicle_gps_position", OLD)) + b"".join(map(old_row, range(10)))
    rows = b"".join(
        message(
            "D",
            struct.pack(
                "<HQQdddB", 0, 1_000_000 + at * 200_000, START_US + at * 200_000, 44.27, -71.3, 300.0 + at, 3
            ),
        )
        for at in range(10)
    )
    for data in (old, header(("vehicle_gps_position", NEW)) + rows):
        track = only(read(tmp_path, data, name="log.csv"))
        assert track.heights_m[HeightDatum.SEA_LEVEL].tolist() == [300.0 + at for at in range(10)]
        assert utc(track)[0] == "2026-06-01T08:00:00.000"
        assert track.lat_e7[0] == 442700000
    assert only(read(tmp_path, old)).doubt_m[TrackDoubt.VERTICAL][0] == pytest.approx(3.92)


def test_rows_before_the_first_fix_get_their_time_from_later_ones(tmp_path: Path) -> None:
    rows = b"".join(old_row(at, fix=0 if at < 4 else 3, utc_us=0 if at < 4 else None) for at in range(10))
    track = only(read(tmp_path, header(("vehicle_gps_position", OLD)) + rows))
    assert utc(track)[0] == "2026-06-01T08:00:00.000"
    assert {"utc_derived": 4, "no_fix": 4}.items() <= counts(track).items()
    assert track.placed.tolist() == [False] * 4 + [True] * 6


def test_a_clock_that_jumps_once_does_not_move_the_others(tmp_path: Path) -> None:
    rows = b"".join(
        old_row(at, utc_us=START_US + at * 200_000 - (1_000_000 if at == 5 else 0)) for at in range(11)
    )
    assert (
        utc(only(read(tmp_path, header(("vehicle_gps_position", OLD)) + rows)))[5]
        == "2026-06-01T08:00:01.000"
    )


def test_without_utc_the_day_is_not_known_but_for_when_it_was_started(tmp_path: Path) -> None:
    rows = b"".join(old_row(at, utc_us=0) for at in range(3))
    track = only(read(tmp_path, header(("vehicle_gps_position", OLD)) + rows))
    assert track.utc_us is None
    assert "no_date" in counts(track)
    key = b"uint64_t boot_time_utc_us"
    info = message("I", bytes([len(key)]) + key + struct.pack("<Q", START_US))
    booted = only(read(tmp_path, header(("vehicle_gps_position", OLD), info=info) + rows))
    assert utc(booted)[0] == "2026-06-01T08:00:01.000"


def test_a_reset_of_the_estimate_is_no_climb(tmp_path: Path) -> None:
    data = header(("vehicle_gps_position", OLD), ("vehicle_local_position", LOCAL))
    for at in range(10):
        data += old_row(at)
        jumped = at >= 5
        values = (
            1_000_000 + at * 200_000,
            -20.0 if jumped else -10.0,
            -10.0 if jumped else 0.0,
            True,
            int(jumped),
        )
        data += message("D", struct.pack("<HQff?B", 1, *values))
    track = only(read(tmp_path, data))
    assert track.heights_m[HeightDatum.ORIGIN].tolist() == [20.0] * 10
    assert counts(track)["heights_reset"] == 1


def test_a_clock_of_unix_time_is_a_simulator(tmp_path: Path) -> None:
    rows = b"".join(
        message(
            "D",
            struct.pack(
                "<HQQdddB", 0, START_US + at * 200_000, START_US + at * 200_000, 44.27, -71.3, 300.0, 3
            ),
        )
        for at in range(3)
    )
    track = only(read(tmp_path, header(("vehicle_gps_position", NEW)) + rows))
    assert utc(track)[0] == "2026-06-01T08:00:00.000"
    assert "simulated" in counts(track)


def test_dropouts_and_a_broken_end(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = header(("vehicle_gps_position", OLD)) + b"".join(map(old_row, range(5)))
    data += message("O", struct.pack("<H", 250)) + b"".join(map(old_row, range(7, 10))) + old_row(10)[:-4]
    track = only(read(tmp_path, data))
    assert {"missing_part": 1, "cut_short": 1}.items() <= counts(track).items()
    whole = header(("vehicle_gps_position", OLD)) + b"".join(map(old_row, range(5)))
    assert "cut_short" not in counts(only(read(tmp_path, whole)))
    assert len(track.row) >= 8
    assert capsys.readouterr().out == ""


def test_a_log_without_places_or_beyond_reading_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="no aircraft position"):
        read(tmp_path, header(("vehicle_gps_position", OLD)))
    with pytest.raises(UnreadableFile, match="ULog"):
        read(tmp_path, bytes.fromhex("554c6f6701123501") + b"\xff" * 500)


def test_a_message_that_claims_more_than_there_is_before_the_data_ends_it(tmp_path: Path) -> None:
    """A message of no known kind that reaches behind the end: pyulog steps back from the end and would never be done."""
    key = b"char[4] what"
    told = message("I", bytes([len(key)]) + key + b"this") * 1_500
    data = header()[:16] + told + struct.pack("<H", 20_000) + b"a" + bytes(200)
    with pytest.raises(UnreadableFile, match="damaged"):
        read(tmp_path, data)


def test_the_first_version_of_the_format(tmp_path: Path) -> None:
    data = bytearray(header(("vehicle_gps_position", OLD)) + b"".join(map(old_row, range(10))))
    data[7] = 0
    track = only(read(tmp_path, bytes(data)))
    assert track.heights_m[HeightDatum.SEA_LEVEL].tolist() == [300.0 + at for at in range(10)]


@pytest.mark.parametrize("rows", [False, True])
def test_what_was_appended_is_read_or_said_to_be_lost(tmp_path: Path, rows: bool) -> None:
    """Flag bits tell where more was written behind the end. What firmware writes there is read; rows without topic aren't."""
    head, first = header(("vehicle_gps_position", OLD)), b"".join(map(old_row, range(5)))
    flags = struct.Struct("<8s8s3Q")
    whole = len(head) + 3 + flags.size + len(first)
    flag = message("B", flags.pack(bytes(8), b"\x01" + bytes(7), whole, 0, 0))
    key = b"char[4] hard"
    more = b"".join(map(old_row, range(5, 10))) if rows else message("I", bytes([len(key)]) + key + b"none")
    track = only(read(tmp_path, head[:16] + flag + head[16:] + first + more))
    assert track.heights_m[HeightDatum.SEA_LEVEL].tolist() == [300.0 + at for at in range(5)]
    assert ("damaged" in counts(track)) is rows


def test_of_two_receivers_the_first_that_knows_counts_and_that_is_said(tmp_path: Path) -> None:
    """The second instance of a topic has a number of its own (`multi_id`), here without a fix."""
    head = header(("vehicle_gps_position", OLD))
    second = message("A", struct.pack("<BH", 1, 1) + b"vehicle_gps_position")
    rows = b""
    for at in range(10):
        unfixed = old_row(at, fix=0)
        rows += old_row(at) + message("D", struct.pack("<H", 1) + unfixed[5:])
    track = only(read(tmp_path, head + second + rows))
    assert track.placed.all()
    assert len(track.row) == 10
    assert counts(track)["other_receiver"] == 1


def test_a_log_that_says_it_began_long_before_its_data_begins_with_them(tmp_path: Path) -> None:
    data = header(("vehicle_gps_position", OLD), clock_us=0) + b"".join(
        old_row(at) for at in range(5_000, 5_010)
    )
    track = only(read(tmp_path, data))
    assert track.mono_us[0] == 0
    assert track.mono_us[-1] == 1_800_000
