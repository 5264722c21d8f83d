"""Which fact a column holds, by its heading: exactly, or nearly where only one is near; a tie stays unknown."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, NamedTuple

from airwrit.base.measured import CAPACITY_UNITS_MAH, WEIGHT_UNITS_G
from airwrit.facts.choices import EventKind
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import AIRCRAFT_KEYS, PART_KEYS
from airwrit.facts.keys.equipment import BATTERY_KEYS
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLIGHT_LOG_KEYS
from airwrit.facts.keys.paper import PAPER_KEYS
from airwrit.facts.keys.person import PERSON_KEYS, TRAINING_KEYS
from airwrit.facts.keys.registration import OWNER_KEYS, REGISTRATION_KEYS
from airwrit.facts.statement import FilePlace
from airwrit.intake.cell.dates import DAY_FIRST, MONTH_FIRST, DateOrder
from airwrit.intake.cell.value import tables

_HEADING_UNITS = frozenset((*WEIGHT_UNITS_G, *CAPACITY_UNITS_MAH))
_SHORTEST, _LONGEST = 4, 60
"""Letters of a heading that may be near a known one; more are a sentence."""
NEAR = 0.88
"""How alike a heading has to be to a known one, from 0 to 1, to count as meant."""

TABLES: dict[str, tuple[Key[Any], ...]] = {
    "aircraft": AIRCRAFT_KEYS + REGISTRATION_KEYS + OWNER_KEYS,
    "remote_id": tuple(key for key in AIRCRAFT_KEYS if key.table == "remote_id"),
    "part": PART_KEYS,
    "registration": REGISTRATION_KEYS
    + tuple(key for key in AIRCRAFT_KEYS if key.name in ("listed_serial", "used_for")),
    "person": PERSON_KEYS,
    "training": TRAINING_KEYS,
    "owner": OWNER_KEYS,
    "paper": PAPER_KEYS,
    "flight": (FLIGHT_PILOT, FLIGHT_AIRCRAFT, *FLIGHT_LOG_KEYS),
    "battery": BATTERY_KEYS,
}
"""Kinds of table with the keys their columns may hold; the best known first, which decides a tie between kinds."""

_ROLES = {
    "aircraft": (),
    "remote_id": ("valid_from", "valid_until"),
    "part": (),
    "registration": ("aircraft",),
    "person": ("first_name", "last_name"),
    "training": (),
    "owner": (),
    "paper": (),
    "flight": (),
    "battery": (),
}
ID, IGNORE, WEIGHT, ASK = "id", "ignore", "weight", "ask"
EVENT = "event: "
"""Meanings of columns that are no keys; a test or training is `event: ` with its kind, `ask` not understood yet."""

_ALSO = {"person": frozenset({"registration", "expires_on"})}
"""Meanings beside those of the template: a person's own aircraft may stand in their row."""
OF_READING = frozenset({"count", "remarks", "person_status", "is_canceled"})
"""Meanings that the reader looks through for words that may matter."""

_BARE_IN_AIRCRAFT = ("kind", "type of owner", "kind of owner", "owner type", "legal form", "date", "rep")
_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_SIGNS = re.compile(r"[_:*?!.\"“”]+")
_DASHES = re.compile(r"[‐-―−]")


class Heading(NamedTuple):
    """A heading in the form it is compared in, with the unit and the order of dates it tells."""

    text: str
    unit: str = ""
    order: DateOrder | None = None


@dataclass(frozen=True, slots=True)
class Match:
    """What a heading means: a key or a special meaning, "" when unknown; how that was found; the known heading it met.

    `why` tells why it has to be asked, `perhaps` what it might be.
    """

    meaning: str
    how: str
    heading: str = ""
    why: str = ""
    perhaps: str = ""


UNKNOWN = Match("", "unknown")


class Column(NamedTuple):
    """What a column was read as: `how` is exact, near, mapping or unknown; the five from `table` on are what a mapping keeps.

    `why` tells why a column has to be asked about, "" where it is understood or has no meaning here.
    """

    sheet: FilePlace
    place: str
    heading: str
    key: str
    how: str
    note: str = ""
    table: str = ""
    name: str = ""
    saved_as: str = ""
    meaning: str = ""
    dates: DateOrder | None = None
    why: str = ""
    example: str = ""


@lru_cache(maxsize=20_000)
def heading_of(text: str) -> Heading:
    """The heading without its brackets, unit and ornaments, its short forms spelled out."""
    lowered = _DASHES.sub("-", text.casefold())
    inside = [found.strip() for found in _BRACKETS.findall(lowered)]
    order = next((order for order in map(_order_in, inside) if order), None)
    unit = next((found.rstrip(".") for found in inside if found.rstrip(".") in _HEADING_UNITS), "")
    words = _SIGNS.sub(" ", _BRACKETS.sub(" ", lowered)).replace(",", " ").split()
    if not unit and len(words) == 1 and words[0] in WEIGHT_UNITS_G:
        unit = words[0]
    if not unit and len(words) > 1 and words[-1] in WEIGHT_UNITS_G:
        unit = words.pop()
        if len(words) > 1 and words[-1] == "in":
            words.pop()
    units = {word.rstrip(".") for word in words} & WEIGHT_UNITS_G.keys()
    if not unit and len(units) == 1:
        (unit,) = units
    expand = tables()["expand"]
    return Heading(" ".join(expand.get(word, word) for word in words), unit, order)


def _order_in(text: str) -> DateOrder | None:
    letters = re.sub(r"[^a-z]", "", text)
    if re.fullmatch(r"m+d+y+", letters):
        return MONTH_FIRST
    return DAY_FIRST if re.fullmatch(r"d+m+y+", letters) else None


@cache
def known_headings(table: str) -> dict[str, str]:
    """Every heading a kind of table knows, in the form it is compared in, with its meaning; those of ids first."""
    found = dict.fromkeys(id_headings(table), ID)
    words = tables()
    for name, headings in words["extra"].get(table, {}).items():
        _add(found, name, headings)
    for key in TABLES[table]:
        bare = _BARE_IN_AIRCRAFT if table == "aircraft" and key in OWNER_KEYS + REGISTRATION_KEYS else ()
        _add(found, key.name, (key.name, *(heading for heading in key.headings if heading not in bare)))
    if table == "person":
        for kind, headings in words["events"].items():
            _add(found, EVENT + EventKind(kind).value, headings)
    for role in _ROLES[table]:
        _add(found, role, words["roles"][role])
    for heading in ("weight", "mass"):
        if found.get(heading) == "takeoff_weight_g":
            found[heading] = WEIGHT
    return found


def _add(found: dict[str, str], meaning: str, headings: Iterable[str]) -> None:
    for heading in headings:
        found.setdefault(heading_of(heading).text, meaning)


@cache
def id_headings(table: str) -> tuple[str, ...]:
    """The headings that name the row's own subject, best first."""
    return tuple(heading_of(heading).text for heading in tables()["ids"][table])


@lru_cache(maxsize=20_000)
def match_of(text: str, table: str) -> Match:
    """What a heading means in a kind of table."""
    found = exact_match_of(text, table)
    return _near(heading_of(text).text, known_headings(table)) if found is UNKNOWN else found


def exact_match_of(text: str, table: str) -> Match:
    """What a heading means in a kind of table, where it is one of those known."""
    heading = heading_of(text).text
    known = known_headings(table)
    return Match(known[heading], "exact", heading) if heading in known else UNKNOWN


def _near(heading: str, known: dict[str, str]) -> Match:
    if not _SHORTEST <= len(heading) <= _LONGEST:
        return UNKNOWN
    close = difflib.get_close_matches(heading, known, n=4, cutoff=NEAR)
    if not close:
        return UNKNOWN
    best = difflib.SequenceMatcher(None, close[0], heading).ratio()
    meanings = {
        known[other]
        for other in close
        if difflib.SequenceMatcher(None, other, heading).ratio() >= best - 0.001
    }
    return Match(meanings.pop(), "near", close[0]) if len(meanings) == 1 else UNKNOWN


@cache
def meanings_of(table: str) -> frozenset[str]:
    """What a mapping may say of a column in a kind of table."""
    own = frozenset(known_headings(table).values()) | _ALSO.get(table, frozenset())
    return own | {ID, IGNORE, ASK} | OF_READING
