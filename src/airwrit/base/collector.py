"""Python's collector of circles, kept from looking through very many values that hold none."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def resting() -> Iterator[None]:
    """The collector at rest meanwhile. What there is at the end it never looks through again; it goes when nobody needs it.

    For work that makes many values that hold no circles. Circles left since the last such work are collected first: kept
    from the collector they would never go. Inside another, or where the collector is off, it changes nothing.
    """
    if not gc.isenabled():
        yield
        return
    if gc.get_freeze_count():
        gc.collect()  # only what was made since; the first time that would be every module
    gc.freeze()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()
