"""`airwrit terrain` as a user meets it: tiles on file, the ground, a height beside the limit, JSON, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

from tests.unit.cli.command import run


def test_from_a_tile_to_an_answer(tmp_path: Path) -> None:
    (tmp_path / "N40W106.hgt").write_bytes(np.full((1201, 1201), 1600, ">i2").tobytes())
    assert "No terrain tile is on file." in run(tmp_path, "terrain", "list").stdout
    assert "N40W106 is now on file." in run(tmp_path, "terrain", "import", "N40W106.hgt").stdout
    assert "was already on file" in run(tmp_path, "terrain", "import", "N40W106.hgt").stdout
    assert "1201 points per side" in run(tmp_path, "terrain", "list").stdout
    done = run(tmp_path, "terrain", "at", "40.5,", "-105.5", "--radius", "1000", "--height", "120 m")
    assert done.returncode == 0
    assert "At most 394 ft (120 m) above ground," in done.stdout
    assert "between 5,249 ft (1,600 m) and 5,249 ft (1,600 m) above sea level" in done.stdout
    high = run(tmp_path, "terrain", "at", "40.5,", "-105.5", "--height", "401")
    assert high.returncode == 1
    assert "Fly lower." in high.stdout
    document = json.loads(run(tmp_path, "terrain", "at", "41.5,", "-105.5", "--json").stdout)
    assert document["verdict"] == "unknown"
    assert document["ground"]["lowest_m"] is None
    assert document["ground"]["missing"] == ["N41W106"]


def test_what_is_refused(tmp_path: Path) -> None:
    (tmp_path / "N40W106.hgt").write_bytes(b"no tile")
    refused = run(tmp_path, "terrain", "import", "N40W106.hgt")
    assert refused.returncode == 2
    assert "doesn't have the size of a tile" in refused.stderr
    told = run(tmp_path, "terrain", "at", "40.5,", "-105.5", "--height", "100", "--above", "takeoff")
    assert told.returncode == 2
    assert "e don't know the takeoff point" in told.stderr
