"""A reading as bytes and back, so that a process apart can hand it over: arrays as they are, the rest as JSON. No pickles."""

from __future__ import annotations

import io
import json
from dataclasses import fields
from typing import Any

import numpy as np

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.reading import LogAsks, LogQuestion, Reading
from airwrit.tracks.readers.tables.columns import mapping_of_toml, mapping_toml
from airwrit.tracks.track import HeightDatum, LogFormat, TimeSource, Track, TrackDoubt, TrackProblem

_TEXTS = ("name", "digest", "vehicle")
_MAPS = ("heights_m", "doubt_m")
_ARRAYS = tuple(
    one.name
    for one in fields(Track)
    if one.name not in (*_TEXTS, *_MAPS, "format", "time_from", "problems", "serials")
)


def bytes_of_reading(reading: Reading) -> bytes:
    """A reading as bytes."""
    arrays: dict[str, Any] = {}
    told: dict[str, Any] = {
        "tracks": [_told(track, f"{at}", arrays) for at, track in enumerate(reading.tracks)],
        "problems": reading.problems,
        "questions": reading.questions,
        "mapping": None if reading.mapping is None else mapping_toml(reading.mapping),
    }
    out = io.BytesIO()
    np.savez(out, allow_pickle=False, told=np.frombuffer(json.dumps(told).encode(), dtype=np.uint8), **arrays)
    return out.getvalue()


def _told(track: Track, at: str, arrays: dict[str, Any]) -> dict[str, Any]:
    """What of a track is no array; its arrays go into `arrays`."""
    for name in _ARRAYS:
        if getattr(track, name) is not None:
            arrays[f"{at} {name}"] = getattr(track, name)
    for name in _MAPS:
        for key, values in getattr(track, name).items():
            arrays[f"{at} {name} {key}"] = values
    return {
        **{name: getattr(track, name) for name in _TEXTS},
        "format": track.format,
        "time_from": track.time_from,
        "problems": track.problems,
        "serials": track.serials,
        **{name: list(getattr(track, name)) for name in _MAPS},
    }


def reading_of_bytes(data: bytes) -> Reading:
    """The reading that bytes of `bytes_of_reading` are."""
    with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
        told = json.loads(arrays["told"].tobytes())
        tracks = tuple(_track(one, f"{at}", arrays) for at, one in enumerate(told["tracks"]))
    return Reading(
        tracks,
        _problems(told["problems"]),
        tuple(
            LogQuestion(LogAsks(asks), about, tuple(choices)) for asks, about, choices in told["questions"]
        ),
        None if told["mapping"] is None else mapping_of_toml(told["mapping"], "mapping"),
    )


def _track(told: dict[str, Any], at: str, arrays: Any) -> Track:
    plain: dict[str, Any] = {name: told[name] for name in _TEXTS}
    for name in _ARRAYS:
        plain[name] = arrays[key] if (key := f"{at} {name}") in arrays else None
    return Track(
        **plain,
        format=LogFormat(told["format"]),
        time_from=TimeSource(told["time_from"]),
        heights_m={HeightDatum(key): arrays[f"{at} heights_m {key}"] for key in told["heights_m"]},
        doubt_m={TrackDoubt(key): arrays[f"{at} doubt_m {key}"] for key in told["doubt_m"]},
        problems=_problems(told["problems"]),
        serials=tuple(told["serials"]),
    )


def _problems(told: list[list[Any]]) -> tuple[TrackProblem, ...]:
    return tuple(TrackProblem(TrackFault(code), *more) for code, *more in told)
