"""What no data on file can show: the pilot looks, on the day and at the place, and says so with a name and a time."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.errors import BadFact
from airwrit.facts.key import Key
from airwrit.facts.vocabulary import KEYS


class Confirmation(NamedTuple):
    """A fact that the pilot confirms: what is asked, where to look, the answer the flight needs, its group."""

    key: Key[Any]
    asks: str
    look: str
    lets_go: str
    group: str


@cache
def confirmations() -> Mapping[str, Confirmation]:
    """Every fact that is confirmed for a flight, by its name, in the order of a walk from the desk to the takeoff point."""
    table = tomllib.loads(Path(__file__).with_name("confirmations.toml").read_text(encoding="utf-8"))
    for name in table:
        if name not in KEYS:
            raise BadFact(
                f"there is no fact called {name}", where="confirmations.toml", do="correct the name"
            )
    return {
        name: Confirmation(
            KEYS[name],
            row.get("asks", KEYS[name].question),
            row.get("look", ""),
            row.get("lets_go", ""),
            row["group"],
        )
        for name, row in table.items()
    }


AT_ONCE = ("aircraft", "crew")
"""Groups that a crew may confirm at once: what they have in hand. What is looked up or seen is confirmed by itself."""


def plain_answers(group: str, names: Iterable[str]) -> dict[str, str]:
    """Of some facts those of a group that is confirmed at once and that have one answer with which a flight may go."""
    known = confirmations()
    mine = [name for name in names if group in AT_ONCE and known[name].group == group]
    return {name: known[name].lets_go for name in mine if known[name].lets_go}
