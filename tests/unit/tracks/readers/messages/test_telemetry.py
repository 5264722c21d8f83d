"""Telemetry logs: checksums, signatures, cut zeros, two vehicles, restarts, clocks that disagree.

All logs are synthetic, packed by pymavlink's writer.
"""

from __future__ import annotations

import io
import os
import re
import struct
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.readers.messages.telemetry_frames import messages, packets_of
from airwrit.tracks.track import HeightDatum, TimeSource, Track, TrackDoubt
from tests.unit.tracks.logs import ANSWERS, counts, only, read, utc

os.environ["MAVLINK20"] = "1"
from pymavlink.dialects.v10 import ardupilotmega as first
from pymavlink.dialects.v20 import ardupilotmega as second

START_US = 1_780_300_800_000_000  # 2026-06-01T08:00:00Z


def sender(dialect: Any = second, system: int = 1, component: int = 1, key: bytes | None = None) -> Any:
    mav = dialect.MAVLink(io.BytesIO(), srcSystem=system, srcComponent=component)
    if key is not None:
        mav.signing.secret_key = key
        mav.signing.sign_outgoing = True
    return mav


def stamped(stamp_us: int, message: Any, mav: Any) -> bytes:
    return struct.pack(">Q", stamp_us) + bytes(message.pack(mav))


def place(dialect: Any, boot_ms: int, at: int) -> Any:
    return dialect.MAVLink_global_position_int_message(
        boot_ms, 442700000 + at, -713000000, 300000 + at * 1000, at * 1000, 300, 400, 0, 0
    )


def flight(
    dialect: Any = second,
    system: int = 1,
    rows: int = 10,
    boot_ms: Callable[[int], int] = lambda at: 1000 + at * 200,
    own_us: int | None = START_US,
    key: bytes | None = None,
) -> bytes:
    """Five positions a second, the vehicle's own UTC in front of each where it knows it."""
    mav = sender(dialect, system, key=key)
    out = b""
    for at in range(rows):
        stamp = START_US + at * 200_000
        unix = 0 if own_us is None else own_us + at * 200_000
        out += stamped(stamp, dialect.MAVLink_system_time_message(unix, boot_ms(at)), mav)
        out += stamped(stamp, place(dialect, boot_ms(at), at), mav)
    return out


def agrees(track: Track) -> None:
    assert track.mono_us.tolist() == [at * 200_000 for at in range(10)]
    assert track.heights_m[HeightDatum.SEA_LEVEL].tolist() == [300.0 + at for at in range(10)]
    assert track.heights_m[HeightDatum.HOME].tolist() == [float(at) for at in range(10)]
    assert track.speed_mps is not None
    assert track.speed_mps.tolist() == [5.0] * 10


@pytest.mark.parametrize("dialect", [first, second])
def test_both_versions(tmp_path: Path, dialect: Any) -> None:
    track = only(read(tmp_path, flight(dialect)))
    agrees(track)
    assert track.time_from is TimeSource.FILE_UTC
    assert utc(track)[0] == "2026-06-01T08:00:00.000"


def test_signed_packets(tmp_path: Path) -> None:
    agrees(only(read(tmp_path, flight(key=b"k" * 32))))


def test_the_recorders_clock_is_said_where_it_is_off(tmp_path: Path) -> None:
    track = only(read(tmp_path, flight(own_us=START_US - 10 * 86_400_000_000)))
    assert utc(track)[0] == "2026-05-22T08:00:00.000"
    assert [one.detail for one in track.problems if one.code == "clocks_disagree"] == ["-864000.00 s"]
    alone = only(read(tmp_path, flight(own_us=None)))
    assert alone.time_from is TimeSource.RECORDER_CLOCK
    assert utc(alone)[0] == "2026-06-01T08:00:00.000"


def test_a_packet_with_a_wrong_checksum_is_left_out_and_counted(tmp_path: Path) -> None:
    data = bytearray(flight(first))
    data[-3] ^= 0xFF
    reading = read(tmp_path, bytes(data))
    assert len(only(reading).row) == 9
    assert [one.detail for one in reading.problems] == ["checksum"]


def test_two_vehicles_are_two_tracks_until_one_is_picked(tmp_path: Path) -> None:
    data = flight() + flight(system=7, rows=4)
    reading = read(tmp_path, data)
    assert [(one.vehicle, len(one.row)) for one in reading.tracks] == [("1", 10), ("7", 4)]
    assert reading.questions[0].choices == ("1", "7")
    picked = read(tmp_path, data, replace(ANSWERS, vehicle="7"))
    assert only(picked).vehicle == "7"
    with pytest.raises(UnreadableFile, match="no vehicle 9"):
        read(tmp_path, data, replace(ANSWERS, vehicle="9"))


def test_a_restart_goes_on_by_the_recorders_clock(tmp_path: Path) -> None:
    track = only(read(tmp_path, flight(boot_ms=lambda at: (600_000 if at < 5 else 1000) + at % 5 * 200)))
    assert track.mono_us.tolist() == [at * 200_000 for at in range(10)]
    assert track.segment is not None
    assert track.segment.tolist() == [0] * 5 + [1] * 5
    assert counts(track)["clock_restarted"] == 1


def test_a_clock_of_32_bits_wraps(tmp_path: Path) -> None:
    agrees(only(read(tmp_path, flight(boot_ms=lambda at: (2**32 - 900 + at * 200) % 2**32))))


def test_a_late_packet_is_put_in_its_place(tmp_path: Path) -> None:
    times = [0, 200, 400, 1600, 800, 600, 1000, 1200, 1400, 1800]
    track = only(read(tmp_path, flight(boot_ms=lambda at: 60_000 + times[at])))
    assert track.mono_us.tolist() == [at * 200_000 for at in range(10)]
    assert counts(track)["clock_backwards"] > 0


def test_zeros_that_were_cut_off_are_absent(tmp_path: Path) -> None:
    mav, raw = sender(), second.MAVLink_gps_raw_int_message
    plain = raw(0, 3, 442700000, -713000000, 300000, 100, 100, 50, 0, 255)
    full = raw(0, 3, 442700000, -713000000, 300000, 100, 100, 50, 0, 9, 340000, 1000, 2000)
    without = only(read(tmp_path, flight() + stamped(START_US, plain, mav)))
    assert without.doubt_m == {}
    assert without.satellites is not None
    assert set(without.satellites.tolist()) == {-1}
    told = only(read(tmp_path, stamped(START_US, full, mav) + flight()))
    assert told.doubt_m[TrackDoubt.VERTICAL][0] == pytest.approx(3.92)


def test_remote_id_and_the_place_of_the_pilot(tmp_path: Path) -> None:
    armed = second.MAVLink_open_drone_id_arm_status_message(0, b"")
    nobody = bytes(20)
    pilot = second.MAVLink_open_drone_id_system_message(
        0, 0, nobody, 0, 0, 442600000, -713100000, 1, 0, 0.0, 0.0, 0, 0, 0.0, 0
    )
    data = (
        flight(rows=1)
        + stamped(START_US, armed, sender(component=236))
        + stamped(START_US, pilot, sender(system=255, component=190))
        + flight()
    )
    track = only(read(tmp_path, data))
    assert track.remote_id is not None
    assert track.remote_id.tolist()[-1] == 1
    assert track.pilot_lat_e7 is not None
    assert track.pilot_lat_e7.tolist()[-1] == 442600000


def test_home_that_is_set_anew_is_said(tmp_path: Path) -> None:
    mav = sender()
    homes = b"".join(
        stamped(
            START_US,
            second.MAVLink_home_position_message(442700000, -713000000, alt, 0, 0, 0, [1, 0, 0, 0], 0, 0, 0),
            mav,
        )
        for alt in (300000, 300000, 302000)
    )
    assert counts(only(read(tmp_path, homes + flight())))["home_moved"] == 1


def test_a_log_cut_in_a_packet_and_with_junk(tmp_path: Path) -> None:
    data = flight()
    reading = read(tmp_path, data[:200] + b"\x00\x05junk" + data[200:-7])
    assert {str(one.code) for one in reading.problems} == {"cut_short", "damaged"}
    assert len(only(reading).row) >= 8


def test_layouts_are_those_of_the_published_definitions() -> None:
    for message in messages().values():
        theirs = second.mavlink_map[message.number]
        assert (theirs.msgname, theirs.crc_extra) == (message.name, message.extra)
        sizes = {"b": 1, "B": 1, "h": 2, "H": 2, "i": 4, "I": 4, "f": 4, "Q": 8, "q": 8}
        at, offsets = 0, {}
        names = iter(theirs.ordered_fieldnames)
        for count, kind in re.findall(r"(\d*)([a-zA-Z])", theirs.unpacker.format):
            offsets[next(names)] = at
            at += int(count or 1) * sizes.get(kind, 1)
        for name in message.layout.names or ():
            assert message.layout.fields is not None
            assert message.layout.fields[name][1] == offsets[name], (message.name, name)


def test_every_packet_is_framed() -> None:
    packets = packets_of(np.frombuffer(flight(), dtype=np.uint8))
    assert packets.messages.tolist() == [2, 33] * 10
    assert packets.junk_bytes == 0


def test_other_senders_and_traffic_are_no_track_of_ours(tmp_path: Path) -> None:
    """A ground station's heartbeat, and traffic that the aircraft heard of, are left aside."""
    station = sender(second, system=255, component=190)
    heartbeat = second.MAVLink_heartbeat_message(6, 8, 0, 0, 4, 3)
    traffic = second.MAVLink_adsb_vehicle_message(
        1, 450000000, -720000000, 0, 900_000, 0, 5000, 0, b"N1", 1, 1, 0, 0
    )
    more = stamped(START_US + 100, heartbeat, station) + stamped(START_US + 200, traffic, sender())
    agrees(only(read(tmp_path, more + flight() + more)))


@pytest.mark.parametrize(
    ("time_us", "source"),
    [(START_US + 5_000_000, TimeSource.FILE_UTC), (3_000_000, TimeSource.RECORDER_CLOCK)],
)
def test_the_receivers_time_is_unix_or_since_start_by_its_size(
    tmp_path: Path, time_us: int, source: TimeSource
) -> None:
    mav, out = sender(), b""
    for at in range(10):
        raw = second.MAVLink_gps_raw_int_message(
            time_us + at * 200_000, 3, 442700000 + at, -713000000, 300000 + at * 1000, 80, 80, 500, 0, 12
        )
        out += stamped(START_US + at * 200_000, raw, mav)
    track = only(read(tmp_path, out))
    assert track.time_from is source
    assert utc(track)[0] == (
        "2026-06-01T08:00:05.000" if source is TimeSource.FILE_UTC else "2026-06-01T08:00:00.000"
    )


def test_packets_that_share_a_stamp_go_by_the_aircrafts_clock(tmp_path: Path) -> None:
    """A recorder writes what came together with one stamp: the aircraft's own clock tells the samples apart."""
    mav = sender()
    data = b""
    for at in range(10):
        stamp = START_US + at // 5 * 1_000_000
        data += stamped(
            stamp, second.MAVLink_system_time_message(START_US + at * 200_000, 1000 + at * 200), mav
        )
        data += stamped(stamp, place(second, 1000 + at * 200, at), mav)
    agrees(only(read(tmp_path, data)))
