"""Our own process: its collector of circles, switched in one place; and how another of our own Python is begun."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_rested = False


@contextmanager
def paused() -> Iterator[None]:
    """The collector off meanwhile, where it is on: for work that makes many values, and circles too that have to go later."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@contextmanager
def resting() -> Iterator[None]:
    """The collector at rest meanwhile. What there is at the end it never looks through again; it goes when nobody needs it.

    For work that makes many values that hold no circles. Circles left since the last such work are collected first: kept
    from the collector they would never go. Inside another, or where the collector is off, it changes nothing.
    """
    global _rested  # noqa: PLW0603 - the collector is one for the whole process
    if not gc.isenabled():
        yield
        return
    if _rested:
        gc.collect()  # only what was made since; the first time that would be every module
    _rested = True
    gc.freeze()
    with paused():
        try:
            yield
        finally:
            gc.freeze()


_START = "import sys; sys.path[:] = sys.argv.pop(1).split(chr(10)); "


def python_apart(code: str, *arguments: str) -> list[str]:
    """The command that runs `code` in a process of its own, with `arguments` in `sys.argv[1:]`."""
    paths = "\n".join(part for part in sys.path if Path(part).is_absolute() and "\n" not in part)
    return [sys.executable, "-I", "-S", "-c", _START + code, paths, *arguments]
