"""What tests need from outside: installed programs, and files that may not be copied into the project."""

import os
import shutil
from pathlib import Path

import pytest


def outside_program(*names: str) -> str:
    """The path of the first of these programs that is installed. Without any: fails under CI=true, is skipped elsewhere."""
    found = next((path for path in map(shutil.which, names) if path), None)
    if found is not None:
        return found
    missing = f"{names[0]} is not installed: `python3 start.py test` says how to get it"
    if os.environ.get("CI") == "true":
        pytest.fail(missing)
    pytest.skip(missing)


def outside_file(name: str) -> Path:
    """A file of the folder that AIRWRIT_OUTSIDE names, else of the one with outside data beside the checkout.

    Without it: fails under CI=true, is skipped elsewhere.
    """
    folder = Path(os.environ.get("AIRWRIT_OUTSIDE", Path(__file__).parents[2] / "shared" / "data"))
    if (folder / name).exists():
        return folder / name
    missing = f"{name} is not in {folder.name}: AIRWRIT_OUTSIDE names the folder that holds it"
    if os.environ.get("CI") == "true":
        pytest.fail(missing)
    pytest.skip(missing)
