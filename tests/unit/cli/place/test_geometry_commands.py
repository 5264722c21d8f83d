"""`airwrit height-near-tower` and `airwrit line-of-sight` as a user meets them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.unit.cli.command import run

TOWER = (
    "height-near-tower",
    "36.0542,",
    "-79.9792",
    "--area",
    "36.0542, -79.9792 within 350 ft",
    "--height",
    "1600",
)


@pytest.mark.parametrize(
    ("more", "code", "says"),
    [
        (("--top", "1200", "--uncontrolled"), 0, "because of the structure"),
        (("--top", "1200"), 3, "Is the airspace controlled?"),
        (
            ("--top", "1200", "--controlled"),
            1,
            "Don't fly. This is controlled airspace, and you entered no authorization.",
        ),
        (("--top-above-sea", "2429", "--ground", "1229", "--uncontrolled"), 0, "because of the structure"),
        (("--top", "1000", "--uncontrolled"), 1, "too high"),
        ((), 2, ""),
        (("--top-above-sea", "2429"), 2, ""),
    ],
)
def test_structure(tmp_path: Path, more: tuple[str, ...], code: int, says: str) -> None:
    done = run(tmp_path, *TOWER, *more)
    assert done.returncode == code
    assert says in " ".join(done.stdout.split())


def test_line_of_sight(tmp_path: Path) -> None:
    sight = ("line-of-sight", "40.5,", "-105.5", "--area", "40.51, -105.5 within 50 m", "--height", "100")
    done = run(tmp_path, *sight, "--size", "350 mm")
    assert done.returncode == 3
    assert "Your own eyes decide" in done.stdout
    far = run(tmp_path, *sight, "--visibility", "0.5 sm", "--json")
    assert far.returncode == 1
    assert json.loads(far.stdout)["code"] == "too_far"
    bad = run(tmp_path, "line-of-sight", "40.5,", "-105.5", "--area", "40.51, -105.5", "--height", "100")
    assert (bad.returncode, "Add its radius" in bad.stderr) == (2, True)


@pytest.mark.parametrize(
    "words",
    [
        (*TOWER, "--top", "-50"),
        (*TOWER, "--top", "1200", "--position-error", "-1"),
        ("over-people", "--speed", "-5"),
        ("terrain", "at", "40.5,", "-105.5", "--radius", "-5"),
        ("terrain", "at", "40.5,", "-105.5", "--height", "99999999 km"),
    ],
)
def test_what_cant_be_meant(tmp_path: Path, words: tuple[str, ...]) -> None:
    done = run(tmp_path, *words)
    assert done.returncode == 2
    assert "below zero" in done.stderr or "can't be right" in done.stderr
