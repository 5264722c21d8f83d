"""Python's collector of circles, kept from looking through very many values that hold none: the one place that switches it."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

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
