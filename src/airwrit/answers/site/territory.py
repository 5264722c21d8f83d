"""The areas of your own rules, such as the territory of a policy: which area a rule means, and a flight held against it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

from airwrit.answers.site.area import lies_in
from airwrit.answers.site.pasted_area import read_any_area
from airwrit.base.errors import BadFact, BadHouseFile
from airwrit.base.verdict import Outcome, Verdict
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.planning import SITE_AREA
from airwrit.facts.keys.program import TERRITORY_HOLDS, TERRITORY_MARGIN, TERRITORY_OF
from airwrit.facts.state import Held, State
from airwrit.facts.vocabulary import folded, id_of
from airwrit.geo.footprint import Footprint, apart_m, margin_m
from airwrit.house.rows import HouseRow
from airwrit.house.rules import House, row_of, rows_with_area
from airwrit.law.rule import Rule

_M_PER_FT = Decimal("0.3048")
_FARTHEST_M = 100_000.0
"""How far off an area a flight is, is worked out up to here."""
_FACTS = Mapping[Key[Any], Held]


def area_of_rule(row: HouseRow, state: State) -> Footprint | None:
    """The area that a row means; None where the saved site it names is not on file. BadHouseFile for what is no area."""
    (told,) = row.values
    text = _area_of_site(told, state) if row.of == "site" else told
    return None if text is None else _area_read(row, text)


def check_areas(house: House) -> None:
    """Nothing, where every area typed in house rules can be read. BadHouseFile names the rule of the first that can't."""
    for row in rows_with_area(house):
        _area_read(row, row.values[0])


def _area_read(row: HouseRow, text: str) -> Footprint:
    try:
        return _read(text)
    except BadFact as fault:
        raise BadHouseFile(fault.what, where=f"rule {row.name!r}, area", do=fault.do) from fault


@lru_cache(maxsize=64)
def _read(text: str) -> Footprint:
    return read_any_area(text)


def _area_of_site(name: str, state: State) -> str | None:
    for subject in state.subjects("saved_site"):
        held = state.held[subject].get(SITE_AREA)
        if folded(id_of(subject)) == folded(name) and held is not None and held.why is None:
            return str(held.value)
    return None


def territories_of(
    flight: str, area: str, house: Iterable[Rule], state: State
) -> Iterator[tuple[str, _FACTS]]:
    """What each rule about an area comes to, as a subject of its own: whether it holds the flight, and how far its edge is."""
    for rule in house:
        row = row_of(rule)
        if row is None or row.kind != "inside_area":
            continue
        whole, origin = area_of_rule(row, state), (f"the area of {rule.name}",)
        if whole is not None:
            part = _read(area)
            found = lies_in(part, whole)
            values = {TERRITORY_OF: id_of(flight), **_found(found, part, whole)}
            yield f"territory/{rule.name}", {key: Held(value, None, origin) for key, value in values.items()}


def _found(found: Outcome, part: Footprint, whole: Footprint) -> dict[Key[Any], bool | Decimal]:
    if found.verdict is Verdict.UNKNOWN:
        return {}
    holds = found.verdict is Verdict.MET
    far = margin_m(whole, part) if holds else min(apart_m(whole, part, _FARTHEST_M), _FARTHEST_M) or None
    margin = {} if far is None else {TERRITORY_MARGIN: round(Decimal(far) / _M_PER_FT, 1)}
    return {TERRITORY_HOLDS: holds, **margin}
