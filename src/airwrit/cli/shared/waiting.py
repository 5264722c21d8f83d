"""A bar on the terminal while something takes its time: from a second on, on stderr, and gone when it is done."""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread

from airwrit.cli.console import clean

_AFTER_S, _EVERY_S = 1.0, 0.1
_WIDTH, _BLOCK = 24, 6


@contextmanager
def waiting(what: str) -> Iterator[None]:
    """Show that it is still at work, and for how long it has been; nothing where nobody watches a terminal."""
    if not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield
        return
    done = Event()
    watcher = Thread(target=_show, args=(what, done), daemon=True)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()


def _show(what: str, done: Event) -> None:
    begun = time.monotonic()
    if done.wait(_AFTER_S):
        return
    step = 0
    while not done.wait(_EVERY_S):
        sys.stderr.write("\r" + bar_line(what, step, time.monotonic() - begun) + "\x1b[K")
        sys.stderr.flush()
        step += 1
    sys.stderr.write("\r\x1b[K")
    sys.stderr.flush()


def bar_line(what: str, step: int, seconds: float) -> str:
    """The bar at a step of its way to and fro, what is done, and minutes and seconds so far; cut to the terminal."""
    free = _WIDTH - _BLOCK
    place = free - abs(step % (2 * free) - free)
    bar = f"[{'-' * place}{'=' * _BLOCK}{'-' * (free - place)}]"
    line = f"{bar} {int(seconds // 60)}:{int(seconds % 60):02} {clean(what)}"
    return line[: shutil.get_terminal_size().columns - 1]
