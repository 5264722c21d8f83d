"""Flights of a span of days as reports count them, and the events beside them: incidents, near misses and defects."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from airwrit.answers.reports.report import CellKind, ReportCell, ReportColumn, ReportTable
from airwrit.base.days import When, day_of
from airwrit.base.sentences import counted
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import DESTROYED_ON, EXPORTED_ON, LOST_ON, SOLD_ON
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import DEFECT_SEEN, FLOWN_FOR, FLOWN_ON, LANDINGS, MINUTES, says_no_defect
from airwrit.facts.keys.incident import HAPPENED_ON, INCIDENT_AIRCRAFT, NARRATIVE, NEAR_MISS
from airwrit.facts.keys.maintenance import DEFECT, DEFECT_FOUND_ON, DEFECT_OF
from airwrit.facts.keys.person import HAS_LEFT, LEFT_ON
from airwrit.facts.keys.service import ACQUIRED_ON
from airwrit.facts.same_flight import FlightOnRecord, possible_doubles
from airwrit.facts.state import Held, State, value_among, value_held
from airwrit.facts.vocabulary import id_of

TENTH = Decimal("0.1")


class FlownFlight(NamedTuple):
    """A flight that was made; its aircraft and pilot are "" where not on file, as its defect is where none was seen."""

    subject: str
    when: When
    aircraft: str
    pilot: str
    minutes: Decimal | None
    landings: Decimal | None
    use: UsedFor | None
    defect: str

    @property
    def day(self) -> date:
        """The day it was made."""
        return day_of(self.when)


class ProgramEvent(NamedTuple):
    """An event of a report: its day, what it was, the aircraft ("" where not on file), and what is written of it."""

    day: date
    what: str
    aircraft: str
    says: str


@dataclass(frozen=True, slots=True)
class FlownSpan:
    """All flights from a first to a last day, in order, and the events; of flights without a day the aircraft, "" for none."""

    first: date
    last: date
    flights: tuple[FlownFlight, ...]
    events: tuple[ProgramEvent, ...]
    undated: tuple[str, ...]

    @property
    def notes(self) -> tuple[str, ...]:
        """What is missing, in sentences."""
        return tuple(_notes(self))

    def since(self, first: date) -> FlownSpan:
        """The same from a later day on."""
        return self._between(first, self.last)

    def until(self, last: date) -> FlownSpan:
        """The same up to an earlier day."""
        return self._between(self.first, last)

    def _between(self, first: date, last: date) -> FlownSpan:
        return replace(
            self,
            first=first,
            last=last,
            flights=tuple(one for one in self.flights if first <= one.day <= last),
            events=tuple(one for one in self.events if first <= one.day <= last),
        )

    def many(self, what: str) -> int:
        """How many events of a kind there were."""
        return sum(one.what == what for one in self.events)


INCIDENT, NEAR, DEFECT_FOUND = "incident", "near miss", "defect"


def flown_in(state: State, first: date, last: date) -> FlownSpan:
    """The flights and events on record of a span of days, both ends counted."""
    flights, undated = [], []
    for subject in state.subjects("flight"):
        held = state.held[subject]
        if not any(key in held for key in (FLOWN_ON, MINUTES, LANDINGS)):
            continue  # a flight that is planned or asked about, not one of a log
        when = value_among(held, FLOWN_ON)
        if when is None:
            undated.append(value_among(held, FLIGHT_AIRCRAFT) or "")
        elif first <= day_of(when) <= last:
            flights.append(_flight(subject, held, when))
    flights.sort(key=lambda one: (one.day, one.subject))
    events = sorted(_events(state, flights, first, last))
    return FlownSpan(first, last, tuple(flights), tuple(events), tuple(undated))


def _flight(subject: str, held: Mapping[Key[Any], Held], when: When) -> FlownFlight:
    defect = value_among(held, DEFECT_SEEN) or ""
    return FlownFlight(
        subject,
        when,
        value_among(held, FLIGHT_AIRCRAFT) or "",
        value_among(held, FLIGHT_PILOT) or "",
        value_among(held, MINUTES),
        value_among(held, LANDINGS),
        value_among(held, FLOWN_FOR),
        "" if says_no_defect(defect) else defect,
    )


def _events(state: State, flights: Iterable[FlownFlight], first: date, last: date) -> Iterator[ProgramEvent]:
    for incident in state.subjects("incident"):
        when = value_held(state, incident, HAPPENED_ON)
        if when is not None and first <= day_of(when) <= last:
            what = NEAR if value_held(state, incident, NEAR_MISS) is True else INCIDENT
            aircraft = value_held(state, incident, INCIDENT_AIRCRAFT) or ""
            says = value_held(state, incident, NARRATIVE) or id_of(incident)
            yield ProgramEvent(day_of(when), what, aircraft, says)
    for defect in state.subjects("defect"):
        found = value_held(state, defect, DEFECT_FOUND_ON)
        if found is not None and first <= day_of(found) <= last:
            aircraft = value_held(state, defect, DEFECT_OF) or ""
            says = value_held(state, defect, DEFECT) or id_of(defect)
            yield ProgramEvent(day_of(found), DEFECT_FOUND, aircraft, says)
    for one in flights:
        if one.defect:
            yield ProgramEvent(one.day, DEFECT_FOUND, one.aircraft, one.defect)


def _notes(span: FlownSpan) -> Iterator[str]:
    no_minutes = sum(one.minutes is None for one in span.flights)
    no_landings = sum(one.landings is None for one in span.flights)
    unnamed = sum(not (one.aircraft and one.pilot) for one in span.flights)
    for many, what in (
        (no_minutes, "without minutes. The hours are at least that many"),
        (no_landings, "without landings. The landings are at least that many"),
        (unnamed, "without an aircraft or a pilot. Counted only where we know"),
        (len(span.undated), "without a date, on no day counted"),
    ):
        if many:
            yield f"{counted(many, 'flight')} {what}."
    logged = [
        FlightOnRecord(one.subject, one.aircraft, one.pilot, one.when, one.minutes)
        for one in span.flights
        if one.aircraft and one.pilot
    ]
    if doubles := len(possible_doubles(logged)):
        yield f"{counted(doubles, 'flight')} may be on record twice. `airwrit flight-hours` names them."


class FlownSums(NamedTuple):
    """Sums of flights: how many, their minutes and landings as far as known, and how many tell none."""

    flights: int
    minutes: Decimal
    landings: Decimal
    without_minutes: int
    without_landings: int

    @property
    def hours(self) -> Decimal | None:
        """The minutes as hours, to a tenth; None where flights were made and none tells its minutes."""
        return None if self.minutes_known is None else (self.minutes / 60).quantize(TENTH)

    @property
    def minutes_known(self) -> Decimal | None:
        """The minutes; None where flights were made and none tells its own."""
        return None if 0 < self.flights == self.without_minutes else self.minutes

    @property
    def landings_known(self) -> Decimal | None:
        """The landings; None where flights were made and none tells its own."""
        return None if 0 < self.flights == self.without_landings else self.landings

    @property
    def in_words(self) -> str:
        """Hours and landings in words, with what is missing of them."""
        hours = _at_least(self.hours, "hours", self.without_minutes)
        landings = _at_least(self.landings_known, "landings", self.without_landings)
        return f"{hours} and {landings}"


def _at_least(amount: Decimal | None, what: str, missing: int) -> str:
    if amount is None:
        return f"{what} not on file"
    return f"{'at least ' if missing else ''}{amount:,f} {what}"


def sums_of(flights: Iterable[FlownFlight]) -> FlownSums:
    """The sums of some flights."""
    mine = list(flights)
    return FlownSums(
        len(mine),
        sum((one.minutes or Decimal(0) for one in mine), Decimal(0)),
        sum((one.landings or Decimal(0) for one in mine), Decimal(0)),
        sum(one.minutes is None for one in mine),
        sum(one.landings is None for one in mine),
    )


def sums_by(flights: Iterable[FlownFlight], named: Callable[[FlownFlight], Any]) -> Mapping[Any, FlownSums]:
    """The sums of flights by what names them."""
    lots: dict[Any, list[FlownFlight]] = defaultdict(list)
    for one in flights:
        lots[named(one)].append(one)
    return {name: sums_of(mine) for name, mine in lots.items()}


NOTHING_FLOWN = FlownSums(0, Decimal(0), Decimal(0), 0, 0)
SUM_COLUMNS = (
    ReportColumn("flights", "Flights", CellKind.COUNT),
    ReportColumn("minutes", "Minutes", CellKind.AMOUNT),
    ReportColumn("hours", "Hours", CellKind.AMOUNT),
    ReportColumn("landings", "Landings", CellKind.AMOUNT),
)


def sum_cells(sums: FlownSums) -> tuple[ReportCell, ...]:
    """The cells of `SUM_COLUMNS`."""
    return sums.flights, sums.minutes_known, sums.hours, sums.landings_known


def events_table(span: FlownSpan) -> ReportTable:
    """Every event of a span."""
    columns = (
        ReportColumn("day", "Day", CellKind.DAY),
        ReportColumn("what", "What"),
        ReportColumn("aircraft", "Aircraft"),
        ReportColumn("says", "On record"),
    )
    rows = tuple((one.day, one.what, one.aircraft or None, one.says) for one in span.events)
    return ReportTable("events", "Incidents, near misses and defects", columns, rows, empty="None on record.")


_GONE = (SOLD_ON, DESTROYED_ON, LOST_ON, EXPORTED_ON)


def aircraft_between(state: State, first: date, last: date) -> tuple[str, ...]:
    """The names of aircraft that the program had on some day of a span, as far as is on file."""
    found = []
    for subject in state.subjects("aircraft"):
        got = value_held(state, subject, ACQUIRED_ON)
        ends = [day_of(end) for key in _GONE if (end := value_held(state, subject, key)) is not None]
        if (
            state.held[subject]
            and not (got is not None and got > last)
            and not any(end < first for end in ends)
        ):
            found.append(id_of(subject))
    return tuple(found)


def people_between(state: State, first: date) -> tuple[str, ...]:
    """The names of people who had not left before a day."""
    found = []
    for subject in state.subjects("person"):
        left = value_held(state, subject, LEFT_ON)
        gone = value_held(state, subject, HAS_LEFT) is True if left is None else left < first
        if state.held[subject] and not gone:
            found.append(id_of(subject))
    return tuple(found)
