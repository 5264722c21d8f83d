"""Which day or moment a file of facts asks about."""

from __future__ import annotations

from collections.abc import Iterable

from airwrit.base.days import When, parse_when
from airwrit.facts.keys.flights.log import FLOWN_ON
from airwrit.facts.statement import Known
from airwrit.intake.typed.facts_file import FactsFile


def when_asked(facts: FactsFile, otherwise: When) -> When:
    """The day that the file names, else that of the only flight it tells of, else `otherwise`."""
    return parse_when(facts.on) if facts.on is not None else _flown(facts.known) or otherwise


def _flown(known: Iterable[Known]) -> When | None:
    days = {str(item.statement.value) for item in known if item.statement.key == FLOWN_ON.name}
    return parse_when(days.pop()) if len(days) == 1 else None
