"""The planned flights of a day: each checked against what is on record now, and what is wanted in two places at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.before_flight.answer import FlightAnswer, flight_answer
from airwrit.answers.before_flight.check import FlightCheck, flight_check
from airwrit.answers.before_flight.plan import Booking, plan_json
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import InTwoPlaces, SavedFlight, flights_on, in_two_places
from airwrit.answers.before_flight.surroundings import look_around
from airwrit.answers.before_flight.view import moment_text, whole_text, words
from airwrit.answers.document import CAUTION, SCOPE_OF_FLIGHT, Json
from airwrit.answers.drawings.side_view import SideView, side_view
from airwrit.answers.drawings.site_map import SiteMap, site_map
from airwrit.base.errors import AirwritError, UsageError
from airwrit.base.verdict import Verdict, worst_of
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import id_of


class PlannedFlight(NamedTuple):
    """A planned flight with the answer of now; `trouble` is why there is none."""

    saved: SavedFlight
    check: FlightCheck | None
    trouble: str = ""

    @property
    def verdict(self) -> Verdict:
        """That of the answer; unknown where there is none."""
        return Verdict.UNKNOWN if self.check is None else self.check.verdict

    @property
    def says(self) -> str:
        """The answer in a line, and what changed since it was given."""
        if self.check is None:
            return self.trouble
        said, then = whole_text(self.check), self.saved.answer
        changed = then not in ("", self.check.whole.value)
        return f"{said} {words()['day']['changed'].format(then=words()['whole'][then])}" if changed else said

    @property
    def left(self) -> int:
        """How many things the pilot has yet to confirm."""
        return 0 if self.check is None else self.check.left


class FlightSheet(NamedTuple):
    """What is carried of a planned flight: its whole answer with the drawings; `trouble` is why there is none."""

    flight: str
    answer: FlightAnswer | None
    site: SiteMap | None
    side: SideView | None
    trouble: str = ""


class FlightDay(NamedTuple):
    """A day's planned flights by takeoff, and what two of them want at the same time."""

    on: date
    flights: tuple[PlannedFlight, ...]
    clashes: tuple[InTwoPlaces, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of all flights; not met where something is wanted twice."""
        found = {one.verdict for one in self.flights}
        return worst_of(found | {Verdict.NOT_MET} if self.clashes else found)


def flight_day(day: date, known: Sequence[Known], program: Program, folder: Path | None) -> FlightDay:
    """The planned flights of a day, each judged again. `program` is all that is on record besides them."""
    saved = flights_on(known, day)
    program = replace(program, booked=[Booking(one.subject, one.plan) for one in saved])
    return FlightDay(day, tuple(_judged(one, program, folder) for one in saved), in_two_places(saved))


MOST_SHEETS = 12
"""Flight sheets in one pack: each adds some 30 kB to the file for the phone, and some 50 kB to the paper."""


def flight_sheets(
    day: date, pilot: str, known: Sequence[Known], program: Program, folder: Path | None
) -> tuple[FlightSheet, ...]:
    """The sheets of a pilot's planned flights of a day, by takeoff. `program` is all that is on record besides them.

    UsageError where there are more than a pack holds.
    """
    saved = flights_on(known, day)
    mine = [one for one in saved if one.plan.pilot == pilot]
    if len(mine) > MOST_SHEETS:
        raise UsageError(f"{len(mine)} flights are planned that day, and a pack holds up to {MOST_SHEETS}")
    program = replace(program, booked=[Booking(one.subject, one.plan) for one in saved])
    return tuple(_sheet(one, program, folder) for one in mine)


def _sheet(saved: SavedFlight, program: Program, folder: Path | None) -> FlightSheet:
    try:
        answer = flight_answer(saved.plan, _program_for(saved, program), folder, None, 1, lambda: program)
        site = site_map(answer.check.plan, folder)
        return FlightSheet(saved.subject, answer, site, side_view(answer.check, site, folder))
    except AirwritError as fault:
        return FlightSheet(saved.subject, None, None, None, f"{fault.what}; {fault.do}")


def sheet_json(sheet: FlightSheet) -> Json:
    """A flight sheet in short: the flight, its answer, how much is left to confirm."""
    check = None if sheet.answer is None else sheet.answer.check
    return {
        "flight": sheet.flight,
        "verdict": Verdict.UNKNOWN.value if check is None else check.verdict.value,
        "says": sheet.trouble if check is None else whole_text(check),
        "to_confirm": 0 if check is None else check.left,
    }


def release_text(saved: SavedFlight) -> str:
    """Who released a planned flight and when, why against the answer, and that it was saved anew since."""
    said, release = words()["release"], saved.release
    if release is None:
        return said["none"]
    at = "" if release.at is None else moment_text(release.at, saved.plan)
    found = [said["by"].format(by=release.by, at=at)]
    if release.against:
        found.append(said["against"].format(reason=release.against.rstrip(".")))
    if saved.is_outdated:
        found.append(said["outdated"])
    return " ".join(found)


def clash_text(clash: InTwoPlaces) -> str:
    """What two planned flights want at the same time."""
    return words()["day"]["twice"].format(
        what=id_of(clash.what), one=id_of(clash.one), other=id_of(clash.other)
    )


def day_json(day: FlightDay) -> Json:
    """The day as a document."""
    return {
        "question": "planned_flights",
        "scope": SCOPE_OF_FLIGHT,
        "on": day.on.isoformat(),
        "verdict": day.verdict.value,
        "flights": [_flight(one) for one in day.flights],
        "in_two_places": [{**one._asdict(), "says": clash_text(one)} for one in day.clashes],
        "problems": [],
        "caution": CAUTION,
    }


def _flight(one: PlannedFlight) -> Json:
    return {
        "flight": one.saved.subject,
        "plan": plan_json(one.saved.plan),
        "verdict": one.verdict.value,
        "whole": None if one.check is None else one.check.whole.value,
        "saved_answer": one.saved.answer or None,
        "says": one.says,
        "to_confirm": one.left,
        "released_by": None if one.saved.release is None else one.saved.release.by,
        "release": release_text(one.saved),
        "confirm_again": list(one.saved.outdated),
    }


def _program_for(saved: SavedFlight, program: Program) -> Program:
    """What bears on a planned flight: what is on record around it, what was confirmed with it, and the other flights."""
    others = [one for one in program.booked if one.flight != saved.subject]
    return replace(program.around(*saved.plan.subjects), told=saved.told, booked=others)


def _judged(saved: SavedFlight, program: Program, folder: Path | None) -> PlannedFlight:
    near = _program_for(saved, program)
    try:
        return PlannedFlight(saved, flight_check(saved.plan, near, look_around(saved.plan, folder, None)))
    except AirwritError as fault:
        return PlannedFlight(saved, None, f"{fault.what}; {fault.do}")
