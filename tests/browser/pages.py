"""Every page that a browser opens in the tests. A new page joins by a line here."""

from __future__ import annotations

from typing import NamedTuple


class Shown(NamedTuple):
    """A page: the name of its test, its address, and the words its heading begins with."""

    name: str
    path: str
    heading: str


PAGES: tuple[Shown, ...] = (
    Shown("standing", "/standing", "Standing"),
    Shown("standing_past", "/standing?on=2025-03-14", "Standing"),
    Shown("law", "/law", "Law"),
    Shown("rule", "/law/marked_outside", "Marked outside"),
    Shown("no_such_page", "/no-such-page", "No such page"),
)
