"""A log read in a process of its own: a path and a person's answers in, the reading out, or why it can't be taken."""

from __future__ import annotations

import base64
import json
from datetime import date
from pathlib import Path
from typing import Any

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.tracks.readers.carried import bytes_of_reading
from airwrit.tracks.readers.reading import LogAnswers
from airwrit.tracks.readers.tables.columns import mapping_of_toml, mapping_toml
from airwrit.tracks.reading import read_track
from airwrit.tracks.track import HeightDatum


def read(_data: bytes, _limits: object, asked: str) -> dict[str, Any]:
    """The reading of the log that `asked` names. `usage` tells a wrong call from a bad file."""
    path, answers = json.loads(asked)
    try:
        reading = read_track(Path(path), _answers(answers))
    except (UnreadableFile, UsageError) as fault:
        return {"refused": [fault.what, fault.where, fault.do], "usage": isinstance(fault, UsageError)}
    except OSError as fault:
        return {"refused": [f"it can't be opened ({fault.strerror})", Path(path).name, ""], "usage": False}
    return {"reading": base64.b64encode(bytes_of_reading(reading)).decode("ascii")}


def asked_of(path: Path, answers: LogAnswers) -> str:
    """What `read` is asked for a log."""
    told = {
        "today": answers.today.isoformat(),
        "zone": answers.zone,
        "day": answers.day and answers.day.isoformat(),
        "heights_from": answers.heights_from,
        "vehicle": answers.vehicle,
        "add_weeks": answers.add_weeks,
        "mapping": answers.mapping and mapping_toml(answers.mapping),
        "saved": [mapping_toml(one) for one in answers.saved],
    }
    return json.dumps([str(path.absolute()), told])


def _answers(told: dict[str, Any]) -> LogAnswers:
    return LogAnswers(
        today=date.fromisoformat(told["today"]),
        zone=told["zone"],
        day=told["day"] and date.fromisoformat(told["day"]),
        heights_from=told["heights_from"] and HeightDatum(told["heights_from"]),
        vehicle=told["vehicle"],
        add_weeks=told["add_weeks"],
        mapping=told["mapping"] and mapping_of_toml(told["mapping"], "mapping"),
        saved=tuple(mapping_of_toml(one, "mapping") for one in told["saved"]),
    )
