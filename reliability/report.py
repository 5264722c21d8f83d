"""Run everything here at its full length and write docs/reliability.md from what was found.

python reliability/report.py FOLDER [SEED]

FOLDER keeps what each run printed, and the commit that it was run on; a run that is there already is not made again. SEED is
for the runs of the common seed; one that was made again with another keeps its own.
"""

from __future__ import annotations

import platform
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "reliability.md"
SEED = 20261125


class Run(NamedTuple):
    """A script, how often it does what it does, what its run is about, the seed where it is not the common one.

    `again` is how often it does so once more, and with which seed.
    """

    script: str
    times: int
    title: str
    seed: int = SEED
    again: tuple[int, int] = (0, 0)


RUNS = (
    Run("kill_while_writing", 1000, "Killed while writing and importing"),
    Run("power_loss", 3000, "Power cut"),
    Run("disk_full", 300, "Disk full, file or folder read-only"),
    Run("forgery", 60, "Forged"),
    Run("damage", 1000, "Damaged", 20261201),
    Run("evidence", 100, "Evidence removed, changed or planted", 20270117),
    Run("taking_out", 40, "Erased on request", 20270203, (20, 20270417)),
    Run("mutation", 2000, "Small changes to the law's code", 20270601),
    Run("damaged_logs", 200_000, "Damaged flight logs", 20261202),
)
_HEAD = """# Reliability of the ledger, and of the tests of the law

This page says how we tried to break the ledger and the tests of the law, and what happened. It is written by
`python reliability/report.py FOLDER`. Every run has its seed, so that you can repeat it. The tests run short versions of those
about the ledger.

Run on {machine}, {python}, SQLite {sqlite}.
"""
_TAIL = """
These runs don't show a disk that says it saved what it didn't, memory that forgets, or someone who rewrites the
whole log when nobody noted its head elsewhere. Against the last, note the head that `airwrit check-records` prints, or
mail a checkpoint.
"""


def told(run: Run, folder: Path, seed: int) -> list[str]:
    """The sentences that the runs of a script printed, now or earlier, each with the commit it was of."""
    found = [_told(run.script, run.times, seed, folder / f"{run.script}.log")]
    times, other = run.again
    return [*found, _told(run.script, times, other, folder / f"{run.script}-{other}.log")] if times else found


def _told(script: str, times: int, seed: int, log: Path) -> str:
    """What one run printed, and the commit it was of. RuntimeError when it failed."""
    if not log.exists():
        command = [sys.executable, str(Path(__file__).parent / f"{script}.py"), str(times), str(seed)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode != 0:
            raise RuntimeError(f"{script} failed:\n{done.stderr}")
        log.write_text(done.stdout, encoding="utf-8")
        log.with_suffix(".commit").write_text(_commit(), encoding="ascii")
    lines = log.read_text(encoding="utf-8").splitlines()
    if len(lines) != 1 or not lines[0].startswith("seed "):
        raise RuntimeError(f"{log.name} does not hold one sentence of a run that went well")
    commit = log.with_suffix(".commit").read_text(encoding="ascii").strip()
    return f"{lines[0]}. Run on commit {commit}"


def _commit() -> str:
    """The commit that is checked out."""
    done = subprocess.run(["git", "rev-parse", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=True)
    return done.stdout


def page(sentences: dict[str, list[str]]) -> str:
    """The page, by the title of each run and its sentences."""
    python = f"{platform.python_implementation()} {platform.python_version()}"
    machine = f"{platform.system()} {platform.machine()}"
    parts = [_HEAD.format(machine=machine, python=python, sqlite=sqlite3.sqlite_version)]
    parts += [
        f"\n## {title}\n{chr(10).join(f'{_wrapped(one)}{chr(10)}' for one in told)}"
        for title, told in sentences.items()
    ]
    return "".join([*parts, "\n## What stays open", _TAIL])


def _wrapped(sentence: str) -> str:
    """A sentence as text that begins large and ends with a point, in lines that fit."""
    lines = [""]
    for word in f"{sentence[0].upper()}{sentence[1:]}.".split():
        if len(lines[-1]) + len(word) > 126:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return "\n".join(lines)


def main() -> None:
    """Run what was not run yet, and write the page."""
    folder = Path(sys.argv[1])
    folder.mkdir(exist_ok=True)
    seeds = {run: int(sys.argv[2]) if len(sys.argv) > 2 else run.seed for run in RUNS}
    PAGE.write_text(page({run.title: told(run, folder, seeds[run]) for run in RUNS}), encoding="utf-8")
    sys.stdout.write(f"wrote {PAGE.relative_to(ROOT)}\n")


if __name__ == "__main__":
    main()
