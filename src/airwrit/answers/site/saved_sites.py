"""Saved sites: areas that the program flies at again, by name, with their ground, takeoff point and notes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.base.errors import UsageError
from airwrit.facts.keys.flights.planning import SITE_AREA, SITE_GROUND, SITE_NOTES, SITE_TAKEOFF
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import folded, id_of, kind_of, subject_named

KIND = "saved_site"
_MOST_NAMES = 12


class SavedSite(NamedTuple):
    """A site on record: its name, its area as text, the highest ground in feet, the takeoff point and notes, "" where none."""

    name: str
    area: str
    ground_ft: str = ""
    takeoff: str = ""
    notes: str = ""


def saved_sites(known: Iterable[Known]) -> Mapping[str, SavedSite]:
    """The sites on record by name; one without an area is none."""
    mine = [item for item in known if kind_of(item.statement.subject) == KIND]
    answered = {number for item in mine for number in item.answers}
    told: dict[str, dict[str, str]] = {}
    for item in mine:
        subject, key, value = item.statement[:3]
        if item.number not in answered and value is not None:
            told.setdefault(id_of(subject), {})[key] = str(value)
    return {
        name: SavedSite(
            name,
            facts[SITE_AREA.name],
            facts.get(SITE_GROUND.name, ""),
            facts.get(SITE_TAKEOFF.name, ""),
            facts.get(SITE_NOTES.name, ""),
        )
        for name, facts in sorted(told.items())
        if SITE_AREA.name in facts
    }


def site_named(name: str, known: Iterable[Known]) -> SavedSite:
    """The site that a name means. UsageError names those on record."""
    sites = saved_sites(known)
    found = sites.get(name) or next((one for one in sites.values() if folded(one.name) == folded(name)), None)
    if found is None:
        names = ", ".join(list(sites)[:_MOST_NAMES]) or "none on record"
        raise UsageError(f"no saved site is called {name!r}", where="site", do=f"the saved sites are {names}")
    return found


def site_saving(held: OnRecord, site: SavedSite, by: str) -> Difference:
    """What saving a site would do; one of that name is changed by it. UsageError without a name."""
    if not site.name.strip():
        raise UsageError("the place has no name", where="site_name", do="enter one, like North Field")
    subject = subject_named(KIND, site.name.strip())
    told = (
        (SITE_AREA, site.area),
        (SITE_GROUND, site.ground_ft),
        (SITE_TAKEOFF, site.takeoff),
        (SITE_NOTES, site.notes),
    )
    statements = tuple(Statement(subject, key.name, said) for key, said in told if said)
    return saying_by_hand(held, HandEntry(statements, corrects=True), by)
