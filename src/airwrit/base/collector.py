"""Python's collector of circles, kept from looking through very many values that hold none."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def resting() -> Iterator[None]:
    """The collector at rest meanwhile; it never looks through what there is at the end again, which goes when nobody needs it.

    For work that makes many values that hold no circles. Inside another, or where the collector is off, it changes nothing.
    """
    if not gc.isenabled():
        yield
        return
    gc.freeze()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()
