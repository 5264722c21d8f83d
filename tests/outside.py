"""Files from outside that may not be copied into the project; they lie in ../shared/data, beside the checkout."""

import os
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
