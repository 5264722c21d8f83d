"""Seconds from start to answer of one `airwrit which-registration` with a facts file, beside an empty Python in the same run.

python benchmarks/bench_ask.py [RUNS]
"""

from __future__ import annotations

import platform
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

RUNS = 15
LIMIT_S = 0.3
FACTS = """on = 2026-11-25
[aircraft]
used_for = "work"
takeoff_weight = "900 g"
[owner]
name = "Tarn & Fell Land Services"
owner_kind = "corporation"
organized_in_us = true
based_and_used_in_us = true
"""
ASK = "from airwrit.cli.main import main; main()"


def seconds(*command: str) -> tuple[float, float]:
    """Wall clock and processor seconds of one whole process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(command, check=False, capture_output=True)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print the medians, and their ratio to an empty Python, the two taken by turns."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else RUNS
    with tempfile.TemporaryDirectory() as folder:
        facts = Path(folder) / "facts.toml"
        facts.write_text(FACTS, encoding="utf-8")
        asked, empty = [], []
        for _ in range(runs):
            empty.append(seconds(sys.executable, "-c", "pass"))
            asked.append(seconds(sys.executable, "-c", ASK, "check-scenario", str(facts)))
    wall, processor = median(one[0] for one in asked), median(one[1] for one in asked)
    least = min(one[0] for one in asked)
    bare, bare_processor = median(one[0] for one in empty), median(one[1] for one in empty)
    print(f"Python {platform.python_version()}, {runs} runs, median (least) seconds")
    print(
        f"airwrit check-scenario FACTS  {wall:.3f} ({least:.3f})   processor {processor:.3f}   limit {LIMIT_S}"
    )
    print(f"empty Python       {bare:.3f}   processor {bare_processor:.3f}")
    print(f"ratio              {wall / bare:.1f}   processor {processor / bare_processor:.1f}")


if __name__ == "__main__":
    main()
