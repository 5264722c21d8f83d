"""What tests need from outside: files in ../shared/data, beside the checkout, that may not be copied; installed programs."""

import os
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
OUTSIDE = ROOT.parent / "shared" / "data"


def outside_file(name: str, folder: Path = OUTSIDE) -> Path:
    """The path of `name`. Where it is missing the test fails under CI=true and is skipped elsewhere, by name."""
    path = folder / name
    if path.exists():
        return path
    missing = f"../shared/data/{name} is not here: put the outside file there to run this check"
    if os.environ.get("CI") == "true":
        pytest.fail(missing)
    pytest.skip(missing)


def outside_program(*names: str) -> str:
    """The path of the first of these programs that is installed. Without any: fails under CI=true, is skipped elsewhere."""
    found = next((path for path in map(shutil.which, names) if path), None)
    if found is not None:
        return found
    missing = f"{names[0]} is not installed: `python3 start.py test` says how to get it"
    if os.environ.get("CI") == "true":
        pytest.fail(missing)
    pytest.skip(missing)
