"""A short run of the killing; the long one is reliability/kill_while_writing.py."""

from __future__ import annotations

import importlib.util
from pathlib import Path

SCRIPT = Path(__file__).parents[3] / "reliability" / "kill_while_writing.py"


def test_nothing_acknowledged_is_lost_to_a_kill(tmp_path: Path) -> None:
    spec = importlib.util.spec_from_file_location("kill_while_writing", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    found = script.run(8, 1, tmp_path, 20.0)
    assert found.kills >= 2
    assert found.acknowledged >= found.kills
