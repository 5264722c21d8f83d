"""Names across all sheets: a link typed in other case or spacing is led to the one subject it can mean."""

from __future__ import annotations

from typing import NamedTuple

from airwrit.facts.vocabulary import folded


class Resolved(NamedTuple):
    """The name a link points at, and the remark due when it was typed otherwise."""

    name: str
    note: str = ""


class Names:
    """The names seen, by kind of subject; those of a subject's own table are told first, then links ask."""

    def __init__(self) -> None:
        self._exact: dict[str, set[str]] = {}
        self._alike: dict[tuple[str, str], list[str]] = {}
        self._linked: set[tuple[str, str]] = set()

    def add(self, kind: str, name: str) -> str:
        """Keep a name; the name it differs from only in case or spaces, if there is one, else an empty text."""
        exact = self._exact.setdefault(kind, set())
        if name in exact:
            return ""
        exact.add(name)
        alike = self._alike.setdefault((kind, folded(name)), [])
        alike.append(name)
        return alike[0] if len(alike) > 1 else ""

    def knows(self, kind: str, name: str) -> bool:
        """True when a name of that kind was told, in exactly this form."""
        return name in self._exact.get(kind, ())

    def lacks(self, kind: str, name: str) -> bool:
        """True when sheets told names of that kind, and this one stands only in a link."""
        told = len(self._exact.get(kind, ())) > sum(other == kind for other, _ in self._linked)
        return told and (kind, name) in self._linked

    def resolved(self, kind: str, name: str) -> Resolved:
        """The name a link means: itself, or the only one that differs in case or spaces alone. A new name is kept."""
        if self.knows(kind, name):
            return Resolved(name)
        alike = self._alike.get((kind, folded(name)), [])
        if len(alike) == 1:
            return Resolved(alike[0], f"read as {alike[0]!r}, which other cells say")
        if not alike:
            self.add(kind, name)
            self._linked.add((kind, name))
        return Resolved(name)
