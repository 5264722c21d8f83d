"""Work on an event loop of its own: a browser that another test opened may keep one running in this thread."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

Result = TypeVar("Result")


def result_of(work: Coroutine[Any, Any, Result]) -> Result:
    """What the coroutine returns, or the error it raises; run in a thread of its own."""
    with ThreadPoolExecutor(max_workers=1) as pool:
        return pool.submit(asyncio.run, work).result()
