"""Every package that the code imports is declared, and every one declared is used or named as data."""

from __future__ import annotations

import re
import sys
import tomllib
from importlib.metadata import packages_distributions

from tests.shape.tree import ROOT, SRC, imports, modules

_DATA = {"tzdata", "fontpkg-atkinson-hyperlegible", "fontpkg-literata"}
"""Packages that bring files and are not imported by their own name."""


def _normal(name: str) -> str:
    """A distribution's name in the one form that indexes compare."""
    return re.sub(r"[-_.]+", "-", name).lower()


def declared() -> set[str]:
    """The distributions that pyproject.toml asks for to run, those of its extras among them."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [text for extra in project["optional-dependencies"].values() for text in extra]
    asked = [*project["dependencies"], *extras]
    return {_normal(re.split(r"[<>=!~\[; ]", text, maxsplit=1)[0]) for text in asked}


def imported() -> set[str]:
    """The distributions whose modules the source imports, by the names in its syntax trees."""
    names = {found.name.partition(".")[0] for module in modules(SRC) for found in imports(module)}
    known = packages_distributions()
    others = names - set(sys.stdlib_module_names) - {"airwrit"}
    return {_normal(name) for module in others for name in known.get(module, [module])}


def test_what_is_imported_is_declared() -> None:
    assert imported() - declared() == set()


def test_what_is_declared_is_used() -> None:
    assert declared() - imported() - _DATA == {"python-multipart"}  # Starlette reads forms with it
