"""The aircraft's serial number in a log, wherever a format has a place for it. Every log is synthetic."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest
from pymavlink.dialects.v20 import ardupilotmega as second

from airwrit.tracks.archive import groups_in, keep_tracks, tracks_in
from airwrit.tracks.readers.carried import bytes_of_reading, reading_of_bytes
from airwrit.tracks.readers.serials import labeled_serials, named_serials, told_serials
from tests.unit.tracks.dataflash import flight as dataflash
from tests.unit.tracks.logs import only, read
from tests.unit.tracks.readers.messages.test_telemetry import START_US, sender, stamped
from tests.unit.tracks.readers.messages.test_telemetry import flight as telemetry
from tests.unit.tracks.readers.messages.test_ulog import OLD, header, message, old_row

SERIAL = "ZZ9Z7TEST000001"
GPX = (
    '<gpx version="1.1" creator="made" xmlns="http://www.topografix.com/GPX/1/1"><trk><desc>Pump house, S/N: '
    f'{SERIAL}</desc><trkseg><trkpt lat="44.2" lon="-71.3"><time>2026-06-01T08:00:00Z</time></trkpt></trkseg></trk></gpx>'
)
GEOJSON = (
    '{"type": "Feature", "properties": {"coordTimes": ["2026-06-01T08:00:00Z", "2026-06-01T08:00:01Z"], "aircraft_serial": '
    f'"{SERIAL}", "battery_serial": "ZZ9ZBAT00001"}}, "geometry": {{"type": "LineString", "coordinates": [[-71.3, 44.2], '
    "[-71.3, 44.2001]]}}"
).replace("}}}", "}}")
TABLE = (
    "time,latitude,longitude,Aircraft Serial,Battery Serial\n"
    f"2026-06-01T08:00:00Z,44.2,-71.3,{SERIAL},ZZ9ZBAT00001\n"
    f"2026-06-01T08:00:01Z,44.2,-71.3,{SERIAL},ZZ9ZBAT00001\n"
)
SUBTITLES = (
    f"1\n00:00:00,000 --> 00:00:01,000\n2026-06-01 08:00:00.000 [latitude: 44.2] [longitude: -71.3] [serial: {SERIAL}]\n\n"
    "2\n00:00:01,000 --> 00:00:02,000\n2026-06-01 08:00:01.000 [latitude: 44.2001] [longitude: -71.3]\n"
)


def basic_id(serial: str, *, heard_from: bytes = b"", kind: int = 1, system: int = 1) -> bytes:
    """A message with the ID of an aircraft, sent to all."""
    sent = second.MAVLink_open_drone_id_basic_id_message(
        0, 0, list(heard_from.ljust(20, b"\0")), kind, 2, list(serial.encode().ljust(20, b"\0"))
    )
    return stamped(START_US + 50_000, sent, sender(second, system, 236))


def remote_id_ulog() -> bytes:
    """A ULog with a Remote ID message."""
    form = "uint64_t timestamp;uint8_t[20] id_or_mac;uint8_t id_type;uint8_t ua_type;uint8_t[20] uas_id;"
    sent = struct.pack("<HQ20sBB20s", 1, 1_000_000, b"", 1, 2, SERIAL.encode())
    head = header(("vehicle_gps_position", OLD), ("open_drone_id_basic_id", form))
    return head + message("D", sent) + b"".join(map(old_row, range(10)))


def dataflash_with_text() -> bytes:
    """A DataFlash log with a text that names a serial."""
    log = dataflash()
    log.form(131, "MSG", "QZ", "TimeUS,Message")
    log.add("MSG", 5_000_000, b"Frame: QUAD")
    log.add("MSG", 5_000_000, f"Aircraft serial number: {SERIAL}".encode())
    return bytes(log.out)


@pytest.mark.parametrize(
    "data",
    [
        telemetry() + basic_id(SERIAL),
        remote_id_ulog(),
        dataflash_with_text(),
        GPX,
        GEOJSON,
        TABLE,
        SUBTITLES,
    ],
    ids=["telemetry", "ulog", "dataflash", "gpx", "geojson", "csv", "subtitles"],
)
def test_a_serial_in_a_log_is_taken_along(tmp_path: Path, data: bytes | str) -> None:
    reading = read(tmp_path, data)
    assert only(reading).serials == (SERIAL,)
    assert only(reading_of_bytes(bytes_of_reading(reading))).serials == (SERIAL,)
    keep_tracks(tmp_path / "a.parquet", reading.tracks)
    (group,) = groups_in(tmp_path / "a.parquet")
    assert [one.serials for one in tracks_in(group)] == [(SERIAL,)]


def test_ids_of_other_kinds_and_of_aircraft_heard_of_are_not_its_own(tmp_path: Path) -> None:
    session, heard = basic_id("3f2a9c1d", kind=4), basic_id("ZZ9Z7TEST000009", heard_from=b"\x02\x11")
    assert only(read(tmp_path, telemetry() + session + heard)).serials == ()


def test_of_two_vehicles_each_has_its_own(tmp_path: Path) -> None:
    other = "ZZ9Z7TEST000002"
    data = telemetry() + basic_id(SERIAL) + telemetry(system=2) + basic_id(other, system=2)
    assert {one.vehicle: one.serials for one in read(tmp_path, data).tracks} == {
        "1": (SERIAL,),
        "2": (other,),
    }


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (f"SN={SERIAL}", (SERIAL,)),
        (f'serial_no: "{SERIAL}"', (SERIAL,)),
        (f"Serial # {SERIAL}", (SERIAL,)),
        ("serial port: none", ()),
        ("S/N: ABCDEF", ()),
        ("sn: 12", ()),
        ("usn: ZZ9Z7TEST000001", ()),
        (SERIAL, ()),
    ],
)
def test_only_what_a_text_calls_a_serial_number_is_one(text: str, expected: tuple[str, ...]) -> None:
    assert labeled_serials(text) == expected


def test_fields_go_by_their_names_and_blanks_are_none() -> None:
    assert named_serials({"drone_serial": SERIAL, "camera_serial": "X1Y2Z3", "serial": 5}) == (SERIAL,)
    assert told_serials(["", " \0\0", SERIAL, f"{SERIAL} "]) == (SERIAL,)
