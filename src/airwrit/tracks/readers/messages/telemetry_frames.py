"""The packets of a MAVLink telemetry log as columns: each has the recorder's clock in front, eight bytes, highest first.

    byte 0-7   microseconds since 1970      version 1 (FE): length, sequence, system, component, message, payload, checksum
    byte 8     FE or FD                     version 2 (FD): length, flags, flags, sequence, system, component, message (3),
                                            payload without its trailing zeros, checksum, 13 bytes of signature where flagged

The checksum is CRC-16/MCRF4XX over the packet without its first byte, and one more byte that a message's definition gives.
Source: the published MAVLink serialization guide.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.readers.messages.frame_chain import chain

_PIECE = 1 << 24
_STAMP = 8
_LAST_STAMP_BYTE = 0x0E
"""The second byte of the clock until the year 2104; the first is 0."""
_V1, _V2 = 0xFE, 0xFD
_V1_HEAD, _V2_HEAD, _CHECKSUM, _SIGNATURE = 6, 10, 2, 13

Payload = dict[str, NDArray[Any]]


class MavlinkMessage(NamedTuple):
    """A message that is read: its number, the last byte of its checksum, and its fields as a layout of its payload."""

    name: str
    number: int
    extra: int
    layout: np.dtype[Any]


class TelemetryPackets(NamedTuple):
    """The packets of a log in the order of the file, and what is no packet in it."""

    data: NDArray[np.uint8]
    starts: NDArray[np.int64]
    heads: NDArray[np.int64]
    lengths: NDArray[np.int64]
    systems: NDArray[np.uint8]
    components: NDArray[np.uint8]
    messages: NDArray[np.int64]
    junk_bytes: int
    is_cut_short: bool

    def stamps_us(self, packets: NDArray[np.int64]) -> NDArray[np.int64]:
        """The recorder's clock in front of packets."""
        stamps = np.zeros(len(packets), dtype=np.int64)
        for byte in range(_STAMP):
            stamps = stamps << 8 | self.data[self.starts[packets] + byte].astype(np.int64)
        return stamps

    def payloads(self, message: MavlinkMessage) -> tuple[NDArray[np.int64], Payload, int]:
        """The packets of a message with a right checksum, their fields, and how many had a wrong one."""
        packets = np.flatnonzero(self.messages == message.number)
        right = _are_right(self, packets, message.extra)
        kept = packets[right]
        rows = np.zeros((len(kept), message.layout.itemsize), dtype=np.uint8)
        begins = self.starts[kept] + _STAMP + self.heads[kept]
        for byte in range(message.layout.itemsize):
            there = self.lengths[kept] > byte
            rows[there, byte] = self.data[begins[there] + byte]
        told: NDArray[Any] = rows.view(message.layout)[:, 0]
        return kept, {name: told[name] for name in message.layout.names or ()}, len(packets) - len(kept)


@cache
def messages() -> dict[str, MavlinkMessage]:
    """The messages that are read, by name."""
    text = Path(__file__).with_name("mavlink_messages.toml").read_text(encoding="utf-8")
    found = {}
    for one in tomllib.loads(text)["messages"]:
        names, kinds, offsets = zip(*one["fields"], strict=True)
        layout = np.dtype({"names": names, "formats": kinds, "offsets": offsets})
        found[one["name"]] = MavlinkMessage(one["name"], one["number"], one["extra"], layout)
    return found


def packets_of(data: NDArray[np.uint8]) -> TelemetryPackets:
    """The packets of a log; what is between them that is no packet is skipped and counted."""
    starts = _candidates(data)
    first = data[starts + _STAMP]
    flags = data[np.minimum(starts + _STAMP + 2, len(data) - 1)] if len(data) else first
    second = first == _V2
    heads = np.where(second, _V2_HEAD, _V1_HEAD).astype(np.int64)
    lengths = data[np.minimum(starts + _STAMP + 1, max(0, len(data) - 1))].astype(np.int64)
    signature = np.where(second & (flags & 1 == 1), _SIGNATURE, 0)
    ends = starts + _STAMP + heads + lengths + _CHECKSUM + signature
    kept, junk = chain(starts, ends, len(data))
    whole = ends[kept] <= len(data)
    kept = kept[whole]
    starts, heads, lengths, second = starts[kept], heads[kept], lengths[kept], second[kept]
    ids = starts + _STAMP + np.where(second, 5, 3)
    number = data[ids + 2].astype(np.int64)
    high = ids + np.where(second, 3, 2)
    higher = ids + np.where(second, 4, 2)
    number += np.where(second, data[high].astype(np.int64) << 8 | data[higher].astype(np.int64) << 16, 0)
    return TelemetryPackets(
        data, starts, heads, lengths, data[ids], data[ids + 1], number, junk, not whole.all()
    )


def _candidates(data: NDArray[np.uint8]) -> NDArray[np.int64]:
    """Where a packet may begin: a clock of this century with FE or FD behind it."""
    found = [np.zeros(0, dtype=np.int64)]
    for begin in range(0, len(data), _PIECE):
        piece = np.asarray(data[begin : begin + _PIECE + _STAMP])
        if len(piece) <= _STAMP:
            break
        marks = np.flatnonzero((piece[_STAMP:] == _V1) | (piece[_STAMP:] == _V2))
        found.append(marks[(piece[marks] == 0) & (piece[marks + 1] <= _LAST_STAMP_BYTE)] + begin)
    return np.concatenate(found)


def _are_right(packets: TelemetryPackets, which: NDArray[np.int64], extra: int) -> NDArray[np.bool_]:
    """Whether the checksum of each of these packets is right."""
    right = np.zeros(len(which), dtype=np.bool_)
    covered = packets.heads[which] - 1 + packets.lengths[which]
    begins = packets.starts[which] + _STAMP + 1
    for length in np.unique(covered):
        same = np.flatnonzero(covered == length)
        sums = np.full(len(same), 0xFFFF, dtype=np.uint16)
        for byte in range(int(length)):
            sums = _added(sums, packets.data[begins[same] + byte])
        sums = _added(sums, np.full(len(same), extra, dtype=np.uint8))
        at = begins[same] + int(length)
        told = packets.data[at].astype(np.uint16) | packets.data[at + 1].astype(np.uint16) << 8
        right[same] = sums == told
    return right


def _added(sums: NDArray[np.uint16], byte: NDArray[np.uint8]) -> NDArray[np.uint16]:
    added: NDArray[np.uint16] = (sums >> 8) ^ _table()[(sums ^ byte) & 0xFF]
    return added


@cache
def _table() -> NDArray[np.uint16]:
    """CRC-16/MCRF4XX: polynomial 1021 with its bits the other way round."""
    table = np.arange(256, dtype=np.uint16)
    for _ in range(8):
        table = np.where(table & 1, table >> 1 ^ 0x8408, table >> 1).astype(np.uint16)
    return table
