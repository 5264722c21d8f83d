"""The faces of the page, out of their installed packages, cut to the signs of Latin text so that a page stays light."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files

_FACES = {
    "text.ttf": ("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Regular.ttf"),
    "text-bold.ttf": ("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Bold.ttf"),
}


@cache
def font_files() -> Mapping[str, bytes]:
    """The fonts by the names under which they are served."""
    return {name: (files(package) / "files" / file).read_bytes() for name, (package, file) in _FACES.items()}
