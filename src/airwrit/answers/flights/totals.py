"""Flights, hours, landings and battery cycles up to a day, by aircraft, pilot and pack; gaps are counted apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.document import ON_RECORDS, Json, instant_text
from airwrit.base.days import Order, When, day_of, order_of
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_ON, LANDINGS, MINUTES, PACKS, packs_named
from airwrit.facts.same_flight import FlightOnRecord, SameFlight, possible_doubles
from airwrit.facts.state import State, value_among


class Total(NamedTuple):
    """What is on record of one aircraft, pilot or pack. Sums are of what is known; `without_...` flights lack it."""

    name: str
    flights: int
    minutes: Decimal
    without_minutes: int
    landings: Decimal
    without_landings: int
    last_on: date | None

    @property
    def hours(self) -> Decimal:
        """The minutes known, as hours to a tenth."""
        return (self.minutes / 60).quantize(Decimal("0.1"))


@dataclass(frozen=True, slots=True)
class Totals:
    """The totals up to `on`; `undated` are flights whose day is not known, `later` how many come after, both left out.

    `doubles` are flights that may be one, counted twice.
    """

    on: When
    aircraft: tuple[Total, ...]
    pilots: tuple[Total, ...]
    packs: tuple[Total, ...]
    flights: int
    undated: tuple[str, ...]
    unnamed: tuple[str, ...]
    later: int
    doubles: tuple[SameFlight, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Met when every flight could be counted in full, and none may be counted twice."""
        counted = (*self.aircraft, *self.pilots)
        gaps = (
            self.undated
            or self.unnamed
            or self.doubles
            or any(t.without_minutes or t.without_landings for t in counted)
        )
        return Verdict.UNKNOWN if gaps or not self.flights else Verdict.MET


@dataclass(slots=True)
class _Sum:
    flights: int = 0
    minutes: Decimal = Decimal(0)
    without_minutes: int = 0
    landings: Decimal = Decimal(0)
    without_landings: int = 0
    days: list[date] = field(default_factory=list)

    def add(self, day: date, minutes: Decimal | None, landings: Decimal | None) -> None:
        """Count one flight."""
        self.flights += 1
        self.days.append(day)
        self.minutes += minutes or 0
        self.without_minutes += minutes is None
        self.landings += landings or 0
        self.without_landings += landings is None


def flight_totals(state: State) -> Totals:
    """The totals of all flights on record up to the day or instant of a state."""
    sums: dict[str, dict[str, _Sum]] = {kind: defaultdict(_Sum) for kind in ("aircraft", "pilot", "pack")}
    undated, unnamed, logged = [], [], []
    flights = later = 0
    for subject in state.subjects("flight"):
        facts = state.held[subject]
        if not any(key in facts for key in (FLOWN_ON, MINUTES, LANDINGS)):
            continue  # a flight that is planned or asked about, not one of a log
        when = value_among(facts, FLOWN_ON)
        if when is None:
            undated.append(subject)
            continue
        if order_of(when, state.on) is Order.AFTER:
            later += 1
            continue
        flights += 1
        aircraft, pilot = value_among(facts, FLIGHT_AIRCRAFT), value_among(facts, FLIGHT_PILOT)
        if aircraft is None or pilot is None:
            unnamed.append(subject)
        packs = packs_named(value_among(facts, PACKS) or "")
        day, minutes, landings = day_of(when), value_among(facts, MINUTES), value_among(facts, LANDINGS)
        if aircraft is not None and pilot is not None:
            logged.append(FlightOnRecord(subject, aircraft, pilot, when, minutes))
        for kind, names in (("aircraft", (aircraft,)), ("pilot", (pilot,)), ("pack", packs)):
            for name in names:
                if name is not None:
                    sums[kind][name].add(day, minutes, landings)
    aircraft_totals, pilots, pack_totals = (_totals(sums[kind]) for kind in ("aircraft", "pilot", "pack"))
    left, doubles = (tuple(undated), tuple(unnamed), later), possible_doubles(logged)
    return Totals(state.on, aircraft_totals, pilots, pack_totals, flights, *left, doubles)


def _totals(sums: Mapping[str, _Sum]) -> tuple[Total, ...]:
    return tuple(
        Total(
            name,
            one.flights,
            one.minutes,
            one.without_minutes,
            one.landings,
            one.without_landings,
            max(one.days, default=None),
        )
        for name, one in sorted(sums.items())
    )


def totals_json(totals: Totals) -> Json:
    """The totals as a document."""
    return {
        "question": "hours",
        "on": instant_text(totals.on),
        "verdict": totals.verdict.value,
        "flights": totals.flights,
        "aircraft": [_json(one) for one in totals.aircraft],
        "pilots": [_json(one) for one in totals.pilots],
        "packs": [_json(one) | {"cycles": one.flights} for one in totals.packs],
        "undated": list(totals.undated),
        "unnamed": list(totals.unnamed),
        "later": totals.later,
        "possible_doubles": [list(double) for double in totals.doubles],
        **ON_RECORDS,
    }


def _json(one: Total) -> Json:
    return {
        "name": one.name,
        "flights": one.flights,
        "minutes": str(one.minutes),
        "flights_without_minutes": one.without_minutes,
        "landings": str(one.landings),
        "flights_without_landings": one.without_landings,
        "last_on": None if one.last_on is None else one.last_on.isoformat(),
    }
