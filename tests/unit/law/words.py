"""The shipped sentences of the law, all of them at once."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from typing import Any

from airwrit.law.wording import FOLDER


@cache
def texts() -> Mapping[str, Any]:
    """Rule -> code -> says and do, and the gaps by reason. AssertionError when a rule stands in two files."""
    found: dict[str, Any] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        of_file = tomllib.loads(path.read_text(encoding="utf-8"))
        assert found.keys().isdisjoint(of_file), path.name
        found |= of_file
    return found
