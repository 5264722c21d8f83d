"""The process that reads a file's bytes, apart from ours: bytes on stdin, JSON on stdout, nothing else.

A damaged file can crash or hang a reader; here that ends this process only.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from typing import Any

from airwrit.intake.limits import Fault, Limits

if sys.platform != "win32":
    import resource

Reader = Callable[[bytes, Limits], dict[str, Any]]


def run(reader: Reader) -> int:
    """0 when JSON was written, be it sheets or a fault; limits come as the first argument, a JSON list."""
    limits = Limits(*json.loads(sys.argv[1]))
    confine(limits)
    try:
        told = reader(sys.stdin.buffer.read(), limits)
    except Fault as fault:
        told = {"fault": [fault.what, fault.do]}
    sys.stdout.write(json.dumps(told, separators=(",", ":")))
    return 0


def confine(limits: Limits) -> None:
    """Bound this process's memory and processor time, where the platform can; the parent's clock bounds it everywhere."""
    if sys.platform == "win32":
        return
    for what, most in (
        (resource.RLIMIT_AS, limits.memory_bytes),
        (resource.RLIMIT_CPU, limits.seconds),
        (resource.RLIMIT_CORE, 0),
    ):
        _, hard = resource.getrlimit(what)
        top = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(what, (top, top))
