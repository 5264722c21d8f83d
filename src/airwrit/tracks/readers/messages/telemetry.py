"""MAVLink telemetry logs: one track for each vehicle whose position is in the log; other senders are left aside.

The samples are the vehicle's own estimate (GLOBAL_POSITION_INT), on its clock since start; where it was started again, the
recorder's clock says how much later. UTC is what the vehicle says (SYSTEM_TIME, else its receiver); the recorder's clock is
taken only where there is neither. Where both are there and differ, that is a problem. `alt_ellipsoid`, `h_acc` and `v_acc` of 0
are absent: MAVLink 2 cuts zeros off. ARM_STATUS good to arm counts as Remote ID on.
"""

from __future__ import annotations

from typing import Any, BinaryIO, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.messages.joining import held, offset_of
from airwrit.tracks.readers.messages.telemetry_frames import Payload, TelemetryPackets, messages, packets_of
from airwrit.tracks.readers.numbers import HORIZONTAL_95, VERTICAL_95, floats
from airwrit.tracks.readers.reading import LogAnswers, LogAsks, LogFile, LogQuestion, Reading
from airwrit.tracks.readers.samples import Samples, noted, track_of
from airwrit.tracks.readers.serials import told_serials
from airwrit.tracks.readers.utc import SECOND_US
from airwrit.tracks.track import HeightDatum, TimeSource, Track, TrackDoubt, TrackProblem

_ESTIMATE, _RECEIVER = "GLOBAL_POSITION_INT", "GPS_RAW_INT"
_FIXED = 3
_WRAP_MS, _RESTART_MS = 2**32, 30_000
_UNIX_US = 10**15
_AGREE_US = 2 * SECOND_US
_UNKNOWN_SATELLITES, _UNKNOWN_SPEED = 255, 65_535
_IN_AIR = (2, 3, 4)
_SERIAL_NUMBER = 1


class _Told(NamedTuple):
    """What a message said in the whole log: its packets and their fields."""

    packets: NDArray[np.int64]
    fields: Payload

    def of(self, where: NDArray[np.bool_]) -> _Told:
        """Those of its packets that are marked."""
        return _Told(self.packets[where], {name: values[where] for name, values in self.fields.items()})


class _Vehicle(NamedTuple):
    """One vehicle of a log: its system and component, its messages, and the clock since start at each packet with one."""

    log: TelemetryPackets
    system: int
    told: dict[str, _Told]
    ticks: NDArray[np.int64]
    ticks_us: NDArray[np.int64]
    restarts: NDArray[np.int64]

    def clock_us(self, packets: NDArray[np.int64]) -> NDArray[np.int64]:
        """The vehicle's clock at packets: that of the last packet with one, and what the recorder's clock went on since."""
        if not len(self.ticks):
            return self.log.stamps_us(packets)
        last = np.clip(np.searchsorted(self.ticks, packets, side="right") - 1, 0, None)
        since = self.log.stamps_us(packets) - self.log.stamps_us(self.ticks[last])
        return self.ticks_us[last] + since


def read_telemetry(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """A track for each vehicle of a log. UnreadableFile where no vehicle says its position."""
    data = np.asarray(np.memmap(file, dtype=np.uint8, mode="r"))
    packets = packets_of(data)
    told, wrong = {}, 0
    for name, message in messages().items():
        kept, fields, bad = packets.payloads(message)
        told[name] = _Told(kept, fields)
        wrong += bad
    vehicles = _vehicles(packets, told)
    if not vehicles:
        raise log.refused("the telemetry log has no aircraft position")
    names = tuple(str(one.system) for one in vehicles)
    if answers.vehicle is not None:
        vehicles = [one for one in vehicles if str(one.system) == answers.vehicle]
        if not vehicles:
            raise log.refused(f"the log has no vehicle {answers.vehicle}", f"pick one of {', '.join(names)}")
    tracks: list[Track] = []
    for one in vehicles:
        part = f"vehicle {one.system}" if len(names) > 1 else ""
        track = track_of(_samples(one), log, answers, part, str(one.system))
        tracks += [] if track is None else [track]
    if not tracks:
        raise log.refused("no position in the telemetry log has a time")
    asked = (LogQuestion(LogAsks.VEHICLE, "", names),) if len(names) > 1 and answers.vehicle is None else ()
    return Reading(tuple(tracks), tuple(_of_file(packets, wrong, len(names))), asked)


def _of_file(packets: TelemetryPackets, wrong: int, vehicles: int) -> list[TrackProblem]:
    """Problems of the log as a whole."""
    problems = []
    if packets.is_cut_short:
        problems.append(TrackProblem(TrackFault.CUT_SHORT, 1))
    if packets.junk_bytes:
        problems.append(TrackProblem(TrackFault.DAMAGED, 0, -1, f"{packets.junk_bytes} bytes"))
    if wrong:
        problems.append(TrackProblem(TrackFault.DAMAGED, wrong, -1, "checksum"))
    if vehicles > 1:
        problems.append(TrackProblem(TrackFault.OTHER_VEHICLE, vehicles))
    return problems


def _vehicles(log: TelemetryPackets, told: dict[str, _Told]) -> list[_Vehicle]:
    """The systems that say a position, each by the component of it that says the most."""
    found = []
    placed = np.concatenate([told[_ESTIMATE].packets, told[_RECEIVER].packets])
    systems = np.unique(log.systems[placed])
    is_alone = len(systems) == 1
    for system in systems:
        base = _base_of(log, told, int(system))
        packets = told[base].packets
        packets = packets[log.systems[packets] == system]
        component = np.argmax(np.bincount(log.components[packets]))
        ours = {
            name: one.of((log.systems[one.packets] == system) & _is_own(log, one, name, int(component)))
            for name, one in told.items()
        }
        meant = told["OPEN_DRONE_ID_SYSTEM"]
        ours["OPEN_DRONE_ID_SYSTEM"] = meant.of(np.isin(meant.fields["target_system"], (0, system)))
        named = told["OPEN_DRONE_ID_BASIC_ID"]
        to_all = (named.fields["target_system"] == 0) & (is_alone | (log.systems[named.packets] == system))
        ours["OPEN_DRONE_ID_BASIC_ID"] = named.of(to_all | (named.fields["target_system"] == system))
        found.append(_Vehicle(log, int(system), ours, *_ticks(log, ours)))
    return found


def _base_of(log: TelemetryPackets, told: dict[str, _Told], system: int) -> str:
    estimates = told[_ESTIMATE].packets
    return _ESTIMATE if (log.systems[estimates] == system).any() else _RECEIVER


def _is_own(log: TelemetryPackets, told: _Told, name: str, component: int) -> NDArray[np.bool_]:
    """Whether packets are the autopilot's own; what batteries and Remote ID say comes from components of their own."""
    if name in {_ESTIMATE, _RECEIVER, "SYSTEM_TIME", "HOME_POSITION", "EXTENDED_SYS_STATE", "SYS_STATUS"}:
        own: NDArray[np.bool_] = log.components[told.packets] == component
        return own
    return np.ones(len(told.packets), dtype=np.bool_)


def _ticks(
    log: TelemetryPackets, told: dict[str, _Told]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Packets with the vehicle's clock, that clock as one that goes on over restarts, and the packets of restarts."""
    clocked = [told[_ESTIMATE], told["SYSTEM_TIME"]]
    packets = np.concatenate([one.packets for one in clocked])
    boot_ms = np.concatenate([one.fields["time_boot_ms"].astype(np.int64) for one in clocked])
    order = np.argsort(packets, kind="stable")
    packets, boot_ms = packets[order], boot_ms[order]
    steps = np.diff(boot_ms, prepend=boot_ms[:1])
    wrapped = steps < -_WRAP_MS // 2
    boot_us = (boot_ms + np.cumsum(wrapped) * _WRAP_MS) * 1000
    fell = np.flatnonzero((steps < -_RESTART_MS) & ~wrapped)
    restarts = np.array([at for at in fell if _stays(boot_us, int(at))], dtype=np.int64)
    stamps = log.stamps_us(packets)
    for at in restarts:
        boot_us[at:] += boot_us[at - 1] - boot_us[at] + max(0, int(stamps[at] - stamps[at - 1]))
    return packets, boot_us, packets[restarts]


def _stays(boot_us: NDArray[np.int64], at: int) -> bool:
    """Whether a clock that fell goes on from there; a packet that came late is followed by the old clock."""
    return at + 1 >= len(boot_us) or abs(int(boot_us[at + 1] - boot_us[at])) < abs(
        int(boot_us[at + 1] - boot_us[at - 1])
    )


def _samples(vehicle: _Vehicle) -> Samples:
    estimate = vehicle.told[_ESTIMATE]
    samples = _of_estimate(vehicle, estimate) if len(estimate.packets) else _of_receiver(vehicle)
    samples = samples.having(**_states(vehicle, samples.clock_us))
    samples = samples.having(serials=_serials(vehicle))
    return _dated(vehicle, samples).noting(_homes(vehicle), _restarts(vehicle))


def _of_estimate(vehicle: _Vehicle, told: _Told) -> Samples:
    fields = told.fields
    ticks = dict(zip(vehicle.ticks.tolist(), vehicle.ticks_us.tolist(), strict=True))
    clock = np.array([ticks[packet] for packet in told.packets.tolist()], dtype=np.int64)
    heights = {
        HeightDatum.SEA_LEVEL: fields["alt"] / 1000.0,
        HeightDatum.HOME: fields["relative_alt"] / 1000.0,
    }
    return _begun(vehicle, told, clock, heights).having(
        speed_mps=np.hypot(floats(fields["vx"]), floats(fields["vy"])) / 100.0
    )


def _of_receiver(vehicle: _Vehicle) -> Samples:
    """The receiver's own word, where the vehicle says no estimate, on the recorder's clock or the vehicle's."""
    told = vehicle.told[_RECEIVER]
    fields = told.fields
    fixed = fields["fix_type"] >= _FIXED
    speed = floats(fields["vel"])
    samples = _begun(
        vehicle,
        told,
        vehicle.clock_us(told.packets),
        {HeightDatum.SEA_LEVEL: np.where(fixed, fields["alt"] / 1000.0, np.nan)},
    ).having(speed_mps=np.where(speed < _UNKNOWN_SPEED, speed / 100.0, np.nan))
    samples.lat_deg[~fixed] = np.nan
    samples.lon_deg[~fixed] = np.nan
    return samples.noting(noted(TrackFault.NO_FIX, ~fixed, samples.row))


def _begun(
    vehicle: _Vehicle,
    told: _Told,
    clock_us: NDArray[np.int64],
    heights: dict[HeightDatum, NDArray[np.float64]],
) -> Samples:
    return Samples(
        clock_us=clock_us,
        timed=np.ones(len(clock_us), dtype=np.bool_),
        time_from=TimeSource.NONE,
        utc_less_clock_us=None,
        lat_deg=floats(told.fields["lat"]) / 1e7,
        lon_deg=floats(told.fields["lon"]) / 1e7,
        row=vehicle.log.starts[told.packets],
        heights_m=heights,
        segment=np.searchsorted(vehicle.restarts, told.packets, side="right").astype(np.int32),
    )


def _dated(vehicle: _Vehicle, samples: Samples) -> Samples:
    """With UTC by the vehicle, else by the recorder's clock; where the two are apart, that is said."""
    packets = vehicle.ticks if len(vehicle.ticks) else vehicle.told[_RECEIVER].packets
    recorder = offset_of(vehicle.clock_us(packets), vehicle.log.stamps_us(packets))
    own = _own_utc(vehicle)
    if own is None:
        return samples if recorder is None else samples.with_utc(recorder.us, TimeSource.RECORDER_CLOCK)
    samples = samples.with_utc(own, TimeSource.FILE_UTC)
    apart = 0 if recorder is None else own - recorder.us
    if abs(apart) <= _AGREE_US:
        return samples
    detail = f"{apart / SECOND_US:.2f} s"
    return samples.noting(TrackProblem(TrackFault.CLOCKS_DISAGREE, len(samples.row), -1, detail))


def _own_utc(vehicle: _Vehicle) -> int | None:
    """What to add to the vehicle's clock for UTC, by its own word; 0 and times since start are none."""
    for name, field in (("SYSTEM_TIME", "time_unix_usec"), (_RECEIVER, "time_usec")):
        told = vehicle.told[name]
        utc = told.fields[field]
        known = (utc > _UNIX_US) & (utc < 2**60)
        if name == _RECEIVER:
            known &= told.fields["fix_type"] >= _FIXED
        found = offset_of(vehicle.clock_us(told.packets[known]), utc[known].astype(np.int64))
        if found is not None:
            return found.us
    return None


def _states(vehicle: _Vehicle, at: NDArray[np.int64]) -> dict[str, Any]:
    """What else is known at the times of the samples: receiver, battery, ground, Remote ID, pilot."""
    found: dict[str, Any] = {}
    gps = vehicle.told[_RECEIVER]
    if len(gps.packets):
        found |= _of_gps(gps.fields, vehicle.clock_us(gps.packets), at)
    found["battery"] = _battery(vehicle, at)
    landed = vehicle.told["EXTENDED_SYS_STATE"]
    if len(landed.packets):
        state = landed.fields["landed_state"]
        on_ground = np.where(state == 1, 1, np.where(np.isin(state, _IN_AIR), 0, -1)).astype(np.int8)
        found["on_ground"] = held(at, vehicle.clock_us(landed.packets), on_ground, -1)
    armed = vehicle.told["OPEN_DRONE_ID_ARM_STATUS"]
    if len(armed.packets):
        is_good = (armed.fields["status"] == 0).astype(np.int8)
        found["remote_id"] = held(at, vehicle.clock_us(armed.packets), is_good, -1)
    pilot = vehicle.told["OPEN_DRONE_ID_SYSTEM"]
    if len(pilot.packets):
        lat = floats(pilot.fields["operator_latitude"]) / 1e7
        lon = floats(pilot.fields["operator_longitude"]) / 1e7
        unknown = (lat == 0) & (lon == 0)
        clock = vehicle.clock_us(pilot.packets)
        found["pilot_lat_deg"] = held(at, clock, np.where(unknown, np.nan, lat), np.nan)
        found["pilot_lon_deg"] = held(at, clock, np.where(unknown, np.nan, lon), np.nan)
    return found


def _of_gps(fields: Payload, clock: NDArray[np.int64], at: NDArray[np.int64]) -> dict[str, Any]:
    """Fix, satellites and stated accuracies of the receiver; zeros in its newer fields are absent."""
    satellites = np.where(
        fields["satellites_visible"] == _UNKNOWN_SATELLITES, -1, fields["satellites_visible"].astype(np.int16)
    )
    doubts = {}
    for whose, name, scale in (
        (TrackDoubt.HORIZONTAL, "h_acc", HORIZONTAL_95),
        (TrackDoubt.VERTICAL, "v_acc", VERTICAL_95),
    ):
        values = floats(fields[name]) / 1000.0 * scale
        if values.any():
            doubts[whose] = held(at, clock, np.where(values > 0, values, np.nan), np.nan)
    return {
        "fix": held(at, clock, fields["fix_type"].astype(np.int8), -1),
        "satellites": held(at, clock, satellites.astype(np.int16), -1),
        "doubt_m": doubts,
    }


def _serials(vehicle: _Vehicle) -> tuple[str, ...]:
    """The serial numbers that its Remote ID sends; IDs heard from others have a sender of theirs."""
    told = vehicle.told["OPEN_DRONE_ID_BASIC_ID"]
    own = told.of((told.fields["id_type"] == _SERIAL_NUMBER) & (told.fields["id_or_mac"] == b""))
    return told_serials(one.decode("ascii", "replace") for one in own.fields["uas_id"].tolist())


def _battery(vehicle: _Vehicle, at: NDArray[np.int64]) -> NDArray[np.float64] | None:
    """What remains of the first battery; -1 is not known."""
    status = vehicle.told["BATTERY_STATUS"]
    if len(status.packets):
        status = status.of(status.fields["id"] == status.fields["id"].min())
    for told in (status, vehicle.told["SYS_STATUS"]):
        values = floats(told.fields["battery_remaining"])
        known = (values >= 0) & (values <= 100)
        if known.any():
            return held(at, vehicle.clock_us(told.packets), np.where(known, values / 100.0, np.nan), np.nan)
    return None


def _homes(vehicle: _Vehicle) -> TrackProblem | None:
    """How often home was set anew, which moves heights above home."""
    fields = vehicle.told["HOME_POSITION"].fields
    places = np.stack(
        [fields[name].astype(np.int64) for name in ("latitude", "longitude", "altitude")], axis=1
    )
    moves = int(np.count_nonzero(np.any(np.diff(places, axis=0) != 0, axis=1))) if len(places) else 0
    return TrackProblem(TrackFault.HOME_MOVED, moves) if moves else None


def _restarts(vehicle: _Vehicle) -> TrackProblem | None:
    count = len(vehicle.restarts)
    first = int(vehicle.log.starts[vehicle.restarts[0]]) if count else -1
    return TrackProblem(TrackFault.CLOCK_RESTARTED, count, first) if count else None
