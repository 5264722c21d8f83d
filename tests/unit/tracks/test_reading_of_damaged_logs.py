"""A short run of reliability/damaged_logs.py; the long one is told of in docs/reliability.md."""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest


def test_damaged_logs_are_read_or_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(Path(__file__).parents[3] / "reliability")
    counts, wrong = importlib.import_module("damaged_logs").run(400, 7)
    assert wrong == []
    assert sum(counts.values()) == 400
    read = {name.split()[0] for name in counts if name.endswith("read")}
    assert read >= {"csv", "dataflash", "geojson", "gpx", "kml", "subtitles", "telemetry", "ulog"}
