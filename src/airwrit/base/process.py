"""How another process of our own Python is begun: with the same folders of modules, and nothing else of its surroundings."""

from __future__ import annotations

import sys
from pathlib import Path

_START = "import sys; sys.path[:] = sys.argv.pop(1).split(chr(10)); "


def python_apart(code: str, *arguments: str) -> list[str]:
    """The command that runs `code` in a process of its own, with `arguments` in `sys.argv[1:]`."""
    paths = "\n".join(part for part in sys.path if Path(part).is_absolute() and "\n" not in part)
    return [sys.executable, "-I", "-S", "-c", _START + code, paths, *arguments]
