"""The process that reads a file's bytes, apart from ours: bytes on stdin, JSON on stdout, nothing else.

A damaged file can crash or hang a reader; here that ends this process only.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from typing import Any

from airwrit.intake.reader.limits import Fault, Limits

if sys.platform != "win32":
    import resource

Reader = Callable[..., dict[str, Any]]
"""Takes bytes, limits, and whatever more it is asked, as texts."""


def run(reader: Reader) -> int:
    """0 when JSON was written, be it sheets or a fault; limits come as the first argument, a JSON list; then what is asked."""
    limits = Limits(*json.loads(sys.argv[1]))
    confine(limits)
    try:
        told = reader(sys.stdin.buffer.read(), limits, *sys.argv[2:])
    except Fault as fault:
        told = {"fault": [fault.what, fault.do]}
    sys.stdout.write(json.dumps(told, separators=(",", ":")))
    return 0


def confine(limits: Limits) -> None:
    """Bound this process's memory and processor time, where the platform can; the parent's clock bounds it everywhere."""
    if sys.platform == "win32":
        return
    for what, most, spare in (
        (resource.RLIMIT_AS, limits.memory_bytes, 0),
        (resource.RLIMIT_CPU, limits.seconds, 1),  # the end at the hard limit would not tell its cause
        (resource.RLIMIT_CORE, 0, 0),
    ):
        _, hard = resource.getrlimit(what)
        top = most + spare if hard == resource.RLIM_INFINITY else min(most + spare, hard)
        resource.setrlimit(what, (min(most, top), top))
