"""A short run of reliability/damaged_logs.py; the long one is told of in docs/reliability.md."""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest


def test_damaged_logs_are_read_or_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(Path(__file__).parents[3] / "reliability")
    _, counts, wrong = importlib.import_module("damaged_logs").run(800, 7)
    assert wrong == []
    assert sum(counts.values()) == 800
    read = {name.split()[0] for name in counts if name.endswith("read")}
    assert read >= {"csv", "dataflash", "geojson", "gpx", "kml", "subtitles", "telemetry", "ulog"}


def test_a_stopped_run_goes_on_where_it_was(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.syspath_prepend(Path(__file__).parents[3] / "reliability")
    damaged_logs = importlib.import_module("damaged_logs")
    monkeypatch.setattr(damaged_logs, "KEPT_EACH", 20)
    whole = damaged_logs.run(60, 7)
    damaged_logs.run(40, 7, tmp_path / "kept.json")
    assert damaged_logs.run(60, 7, tmp_path / "kept.json") == whole
