"""Files that were sent and not yet kept: held in memory under a name nobody can guess, few of them, for a while."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import NamedTuple

Sent = tuple[tuple[str, bytes], ...]
"""Files as name and bytes."""

MOST_BYTES = 120 * 2**20
"""All files of a tray together; the ones sent first go first."""

KEPT_FOR = timedelta(hours=2)


class Laid(NamedTuple):
    """Files, what was told with them by the names of fields, and when they were laid down."""

    files: Sent
    told: Mapping[str, str]
    at: datetime


@dataclass(slots=True)
class Uploads:
    """Holds what was sent between being shown and being kept. Nothing of it reaches a disk."""

    clock: Callable[[], datetime]
    most_bytes: int = MOST_BYTES
    _laid: OrderedDict[str, Laid] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def lay(self, files: Sequence[tuple[str, bytes]], told: Mapping[str, str]) -> str:
        """Lay files down with what was told; the name under which they are found."""
        name = secrets.token_urlsafe(18)
        with self._lock:
            self._clear()
            self._laid[name] = Laid(tuple(files), dict(told), self.clock())
            while len(self._laid) > 1 and self._weight() > self.most_bytes:
                self._laid.popitem(last=False)
        return name

    def found(self, name: str) -> Laid | None:
        """What was laid down under a name; None when it is gone."""
        with self._lock:
            self._clear()
            return self._laid.get(name)

    def tell(self, name: str, told: Mapping[str, str]) -> Laid | None:
        """The files under a name with something else told; None when they are gone."""
        with self._lock:
            self._clear()
            laid = self._laid.get(name)
            if laid is not None:
                laid = self._laid[name] = laid._replace(told=dict(told))
            return laid

    def drop(self, name: str) -> None:
        """Let go of files."""
        with self._lock:
            self._laid.pop(name, None)

    def _weight(self) -> int:
        return sum(len(data) for laid in self._laid.values() for _, data in laid.files)

    def _clear(self) -> None:
        """Let go of what has lain too long."""
        now = self.clock()
        for name in [name for name, laid in self._laid.items() if now - laid.at > KEPT_FOR]:
            del self._laid[name]
