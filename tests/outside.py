"""What tests need from outside: installed programs."""

import os
import shutil

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
