"""Flown tracks kept in Parquet: whole numbers, differences of neighbors, compressed. Needs pyarrow, of the extra `gis`.

A file holds flights one after another, some to a row group, each with the digest of the log it came from. Places are degrees
times 10,000,000, heights and speeds centimeters, times microseconds. What is missing is the least whole number, and comes back
as missing.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.whole_files import whole_file
from airwrit.tracks.track import HeightDatum, LogFormat, TimeSource, Track, TrackDoubt, TrackProblem

try:
    import pyarrow as pa
    import pyarrow.parquet as pq
except ImportError:  # the extra was left out
    pa = pq = None

TAIL = ".parquet"
_GROUP_SAMPLES = 120_000
_CM = 100.0
_MISSING = np.iinfo(np.int32).min


class ArchivedTracks(NamedTuple):
    """Where flights are in an archive: the file, a row group, and how many samples each flight of it has."""

    path: Path
    group: int


def needs_parquet() -> None:
    """UsageError that says how to get pyarrow, where it is missing."""
    if pq is None:
        raise UsageError(
            "flight archives are Parquet files, and the package that reads them isn't installed",
            where="pyarrow",
            do="install it with: pip install 'airwrit[gis]'",
        )


def keep_tracks(path: Path, tracks: Iterable[Track]) -> int:
    """Write tracks to a new archive, whole or not at all; how many there are. UsageError without pyarrow."""
    needs_parquet()
    count = 0
    with whole_file(path, private=True, new=False) as beside:
        writer = None
        for some in _groups(tracks):
            table = _table(some)
            if writer is None:
                writer = pq.ParquetWriter(
                    beside,
                    table.schema,
                    compression="zstd",
                    compression_level=3,
                    use_dictionary=False,
                    column_encoding=dict.fromkeys(_PACKED, "DELTA_BINARY_PACKED"),
                    write_statistics=False,
                )
            writer.write_table(table)
            count += len(some)
        if writer is None:
            writer = pq.ParquetWriter(beside, _table([]).schema)
        writer.close()
    return count


def digests_in(folder: Path) -> set[str]:
    """The digests of the logs whose tracks the archives of a folder hold."""
    found: set[str] = set()
    for path in sorted(folder.glob(f"*{TAIL}")):
        with pq.ParquetFile(path) as file:
            for at in range(file.metadata.num_row_groups):
                about = file.read_row_group(at, ["flight"], use_threads=False)["flight"].drop_null()
                found |= {json.loads(text)["sha256"] for text in about.to_pylist()}
    return found


def keep_rows(path: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Write rows of plain values as a table, whole or not at all."""
    with whole_file(path, private=True, new=False) as beside:
        pq.write_table(pa.Table.from_pylist(list(rows)), beside, compression="zstd")


def rows_in(path: Path) -> list[dict[str, Any]]:
    """The rows of a table. UnreadableFile for what is none."""
    try:
        with pq.ParquetFile(path) as file:
            found: list[dict[str, Any]] = file.read(use_threads=False).to_pylist()
    except (OSError, pa.ArrowException) as fault:
        raise UnreadableFile(
            "it isn't a Parquet file", where=path.name, do="delete it and check the archive again"
        ) from fault
    return found


def _groups(tracks: Iterable[Track]) -> Iterator[list[Track]]:
    """Tracks by row groups of about as many samples."""
    some: list[Track] = []
    size = 0
    for track in tracks:
        some.append(track)
        size += len(track.mono_us)
        if size >= _GROUP_SAMPLES:
            yield some
            some, size = [], 0
    if some:
        yield some


_HEIGHTS = tuple(f"height_{datum.value}_cm" for datum in HeightDatum)
_DOUBTS = tuple(f"doubt_{kind.value}_cm" for kind in TrackDoubt)
_PACKED = ("t_us", "latitude_e7", "longitude_e7", "speed_cmps", "row", *_HEIGHTS, *_DOUBTS)


def _table(tracks: list[Track]) -> Any:
    """A row group: the samples of some flights, and in the first row of each what is known of it."""
    counts = [len(track.mono_us) for track in tracks]
    about = [_about(track) for track in tracks]
    columns: dict[str, Any] = {
        "flight": pa.array([part for one in map(_once, about, counts) for part in one], pa.string()),
        "t_us": _joined([track.mono_us for track in tracks], np.int64),
        "latitude_e7": _joined([np.where(t.placed, t.lat_e7, _MISSING) for t in tracks], np.int32),
        "longitude_e7": _joined([np.where(t.placed, t.lon_e7, _MISSING) for t in tracks], np.int32),
        "speed_cmps": _joined([_cm(t.speed_mps, len(t.mono_us)) for t in tracks], np.int32),
        "row": _joined([track.row for track in tracks], np.int64),
    }
    for name, datum in zip(_HEIGHTS, HeightDatum, strict=True):
        columns[name] = _joined([_cm(t.heights_m.get(datum), len(t.mono_us)) for t in tracks], np.int32)
    for name, kind in zip(_DOUBTS, TrackDoubt, strict=True):
        columns[name] = _joined([_cm(t.doubt_m.get(kind), len(t.mono_us)) for t in tracks], np.int32)
    columns["segment"] = _joined([_whole(t.segment, len(t.mono_us), 0) for t in tracks], np.int32)
    columns["on_ground"] = _joined([_whole(t.on_ground, len(t.mono_us), -1) for t in tracks], np.int8)
    columns["battery"] = _joined([_cm(t.battery, len(t.mono_us)) for t in tracks], np.int32)
    columns["remote_id"] = _joined([_whole(t.remote_id, len(t.mono_us), -1) for t in tracks], np.int8)
    return pa.table(columns)


def _once(text: str, many: int) -> list[str | None]:
    return [text, *([None] * (many - 1))] if many else []


def _joined(parts: list[NDArray[Any]], kind: type[Any]) -> Any:
    values = np.concatenate(parts).astype(kind) if parts else np.zeros(0, kind)
    return pa.array(values)


def _cm(values: NDArray[np.float64] | None, count: int) -> NDArray[np.int32]:
    """Meters as whole centimeters; what is missing is the least whole number."""
    if values is None:
        return np.full(count, _MISSING, np.int32)
    known = np.isfinite(values)
    found = np.full(count, _MISSING, np.int32)
    found[known] = np.round(values[known] * _CM).astype(np.int32)
    return found


def _whole(values: NDArray[Any] | None, count: int, missing: int) -> NDArray[Any]:
    return np.full(count, missing, np.int32) if values is None else values


def _about(track: Track) -> str:
    """What is known of a flight beside its samples, as JSON."""
    utc = None if track.utc_us is None or not len(track.utc_us) else int(track.utc_us[0] - track.mono_us[0])
    return json.dumps(
        {
            "samples": len(track.mono_us),
            "name": track.name,
            "format": track.format.value,
            "sha256": track.digest,
            "time_from": track.time_from.value,
            "utc_of_zero_us": utc,
            "heights": [datum.value for datum in track.heights_m],
            "doubts": [kind.value for kind in track.doubt_m],
            "has": [name for name in _HAS if getattr(track, name) is not None],
            "satellites": None
            if track.satellites is None or not len(track.satellites)
            else int(np.median(track.satellites)),
            "vehicle": track.vehicle,
            "serials": track.serials,
            "problems": [list(one) for one in track.problems],
        },
        sort_keys=True,
    )


def groups_in(path: Path) -> list[ArchivedTracks]:
    """The row groups of an archive, each to be read by itself. UnreadableFile for what is no archive of ours."""
    needs_parquet()
    try:
        file = pq.ParquetFile(path)
    except (OSError, pa.ArrowException) as fault:
        raise UnreadableFile(
            "it isn't a Parquet file", where=path.name, do="make the archive again"
        ) from fault
    with file:
        if "flight" not in file.schema_arrow.names or "latitude_e7" not in file.schema_arrow.names:
            raise UnreadableFile(
                "the archive has no flights that airwrit saved",
                where=path.name,
                do="make it with airwrit after-flight --archive",
            )
        return [ArchivedTracks(path, at) for at in range(file.metadata.num_row_groups)]


def tracks_in(group: ArchivedTracks) -> Iterator[Track]:
    """The tracks of a row group."""
    with pq.ParquetFile(group.path) as file:
        about = (
            file.read_row_group(group.group, ["flight"], use_threads=False)["flight"].drop_null().to_pylist()
        )
        told = [json.loads(text) for text in about]
        names = _needed(told)
        table = file.read_row_group(group.group, names, use_threads=False)
    columns = {name: table[name].to_numpy() for name in names}
    at = 0
    for one in told:
        part = slice(at, at + int(one["samples"]))
        at = part.stop
        yield _track(one, {name: values[part] for name, values in columns.items()})


def _needed(told: list[dict[str, Any]]) -> list[str]:
    """The columns that any of some flights fills: most of them are empty, and not read."""
    names = ["t_us", "latitude_e7", "longitude_e7", "row"]
    names += sorted({f"height_{datum}_cm" for one in told for datum in one["heights"]})
    names += sorted({f"doubt_{kind}_cm" for one in told for kind in one["doubts"]})
    has = {name for one in told for name in one["has"]}
    return [*names, *(column for name, column in _HAS.items() if name in has)]


_HAS = {
    "speed_mps": "speed_cmps",
    "battery": "battery",
    "remote_id": "remote_id",
    "segment": "segment",
    "on_ground": "on_ground",
}


def _track(about: dict[str, Any], columns: dict[str, NDArray[Any]]) -> Track:
    mono, latitude = columns["t_us"], columns["latitude_e7"]
    utc = about["utc_of_zero_us"]
    has = about["has"]
    satellites = about["satellites"]
    return Track(
        about["name"],
        LogFormat(about["format"]),
        about["sha256"],
        TimeSource(about["time_from"]),
        mono,
        None if utc is None else mono + utc,
        latitude,
        columns["longitude_e7"],
        latitude != _MISSING,
        {HeightDatum(one): _meters(columns[f"height_{one}_cm"]) for one in about["heights"]},
        {TrackDoubt(one): _meters(columns[f"doubt_{one}_cm"]) for one in about["doubts"]},
        columns["row"],
        _meters(columns["speed_cmps"]) if "speed_mps" in has else None,
        _meters(columns["battery"]) if "battery" in has else None,
        columns["remote_id"] if "remote_id" in has else None,
        segment=columns["segment"] if "segment" in has else None,
        on_ground=columns["on_ground"] if "on_ground" in has else None,
        satellites=None if satellites is None else np.full(len(mono), satellites, np.int16),
        vehicle=about["vehicle"],
        serials=tuple(about.get("serials", ())),
        problems=tuple(TrackProblem(*one) for one in about["problems"]),
    )


def _meters(values: NDArray[np.int32]) -> NDArray[np.float64]:
    """Centimeters as meters, NaN where one is missing."""
    found: NDArray[np.float64] = values * np.float64(1 / _CM)
    missing = values == _MISSING
    if missing.any():
        found[missing] = np.nan
    return found
