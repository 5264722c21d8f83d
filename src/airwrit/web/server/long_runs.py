"""Long work that goes on while pages are shown: one run after the other, what was found so far, and what stopped it."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from airwrit.base.errors import AirwritError

_KEPT = 4


@dataclass(slots=True)
class LongRun:
    """A run: what it is of, how many items it has to go through, what it found so far, and whether it ended and how."""

    name: str
    about: Any
    total: int
    found: list[Any] = field(default_factory=list)
    is_done: bool = False
    stopped: str = ""
    """why it stopped before its end"""
    is_wanted: bool = True


@dataclass(slots=True)
class LongRuns:
    """The last runs by names nobody can guess; of those let go the work stops with the item it is at."""

    _runs: OrderedDict[str, LongRun] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _working: threading.Lock = field(default_factory=threading.Lock)

    def start(self, about: Any, total: int, items: Iterable[Any]) -> str:
        """Begin to go through items in the background, once the run before is done; the name of the run."""
        run = LongRun(secrets.token_urlsafe(18), about, total)
        with self._lock:
            self._runs[run.name] = run
            while len(self._runs) > _KEPT:
                self._runs.popitem(last=False)[1].is_wanted = False
        threading.Thread(target=self._work, args=(run, items), daemon=True).start()
        return run.name

    def named(self, name: str) -> LongRun | None:
        """The run of a name; None when it is gone."""
        with self._lock:
            return self._runs.get(name)

    def _work(self, run: LongRun, items: Iterable[Any]) -> None:
        with self._working:
            run.stopped = "something unexpected happened"
            try:
                for item in items if run.is_wanted else ():
                    run.found.append(item)
                    if not run.is_wanted:
                        break
                run.stopped = ""
            except (AirwritError, OSError) as fault:
                run.stopped = fault.says if isinstance(fault, AirwritError) else str(fault.strerror)
            finally:
                run.is_done = True
