"""Planned flights on the page: those of the day shown with their answers of now, and one as the fields of its form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.plan import all_known
from airwrit.answers.before_flight.check import standing_of
from airwrit.answers.before_flight.checklists import checklists_for, checklists_found
from airwrit.answers.before_flight.day import clash_text, flight_day
from airwrit.answers.before_flight.plan import FlightPlan, place_text
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import SavedFlight, saved_flight, without_plans
from airwrit.answers.before_flight.typed import HALF_AN_HOUR, PlanTyped, crew_of_last
from airwrit.answers.before_flight.view import confirmed_text, plan_text
from airwrit.base.errors import AirwritError, UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.facts.keys.flights.planning import CHECKLIST_TICKED, RISK_APPROVAL_ENDS, RISK_APPROVED_BY
from airwrit.facts.statement import EntryPlace
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import held_now

CONFIRM = "c-"
"""Begins the name of a field in which something is confirmed."""
TICK = "t-"
"""Begins the name of a field in which a line of a checklist is ticked."""
_WORDS = {True: "yes", False: "no"}


class PlannedRow(NamedTuple):
    """A planned flight as the page lists it: its verdict, name, address, plan, answer, and how much is left to confirm."""

    verdict: Verdict
    name: str
    path: str
    plan: str
    says: str
    left: int
    again: bool


class PlannedDay(NamedTuple):
    """The planned flights of a day, and what is wanted twice."""

    on: date
    flights: tuple[PlannedRow, ...]
    clashes: tuple[str, ...]


def planned_on(visit: Visit, on: date) -> PlannedDay:
    """The planned flights of a day, each checked against what is on record now."""
    known = list(all_known(held_now(visit.desk)))
    report = visit.desk.standing(visit.asked).report
    spoiled = [pair for problem in report.problems for pair in problem.spoils]
    program = Program(without_plans(known), report.known_at, visit.desk.house().rules, (), spoiled)
    day = flight_day(on, known, program, visit.desk.ledger.parent / "airspace")
    rows = [
        PlannedRow(
            one.verdict,
            id_of(one.saved.subject),
            visit.link("/before-flight", flight=id_of(one.saved.subject)),
            plan_text(one.saved.plan),
            one.says,
            one.left,
            bool(one.saved.outdated),
        )
        for one in day.flights
    ]
    return PlannedDay(on, tuple(rows), tuple(map(clash_text, day.clashes)))


def plan_typed(said: Mapping[str, str]) -> PlanTyped:
    """The plan as its fields say it; the end is minutes after the takeoff, or a clock time of the day."""
    day, end = said.get("day", ""), said.get("end", "")
    return PlanTyped(
        said.get("place", ""),
        said.get("radius", ""),
        f"{day} {said.get('start', '')}",
        end if end.startswith("+") else f"{day} {end}",
        said.get("height", ""),
        said.get("aircraft", ""),
        said.get("pilot", ""),
        said.get("for", ""),
        said.get("ground", ""),
        takeoff=said.get("takeoff", ""),
        packs=said.get("packs", ""),
        structure=said.get("structure", ""),
        structure_top=said.get("structure_top", ""),
        site=said.get("site", ""),
        hazards=said.get("hazards", ""),
        configuration=said.get("configuration", ""),
    )


def fields_of(saved: SavedFlight, program: Program) -> dict[str, str]:
    """A planned flight as the fields of the form; `program` holds the checklists of its aircraft."""
    plan, info = saved.plan, saved.plan.zone.info
    start, end = plan.starts.astimezone(info), plan.ends.astimezone(info)
    fields = {
        "name": id_of(saved.subject),
        "place": plan.area,
        "day": start.date().isoformat(),
        "start": f"{start:%H:%M}",
        "end": f"{end:%H:%M}",
        "height": f"{plan.height_ft.normalize():f}",
        "aircraft": plan.aircraft,
        "pilot": plan.pilot,
        "for": "" if plan.use is None else plan.use.value,
        "site": plan.place_name,
        "takeoff": "" if plan.takeoff is None else place_text(plan.takeoff),
        "packs": ", ".join(plan.packs),
        "configuration": plan.configuration,
        **_structure(plan),
        "hazards": "\n".join(line.strip() for line in plan.hazards.split(";")),
        "ground": "" if plan.ground_ft is None else f"{plan.ground_ft.normalize():f}",
    }
    lists = checklists_for(standing_of(plan, program).state, plan.aircraft)
    ticks = {
        f"{TICK}{number}": found.checklist.digest
        for found in checklists_found(lists, saved.told)
        for number in found.ticked
    }
    risk = {RISK_APPROVED_BY.name: "approved_by", RISK_APPROVAL_ENDS.name: "approved_until"}
    told = {
        CONFIRM + one.statement.key: _typed(one.statement.value)
        for one in saved.told
        if one.statement.key not in {CHECKLIST_TICKED.name, *risk}
    }
    told |= {
        risk[one.statement.key]: str(one.statement.value) for one in saved.told if one.statement.key in risk
    }
    return fields | told | ticks


def _structure(plan: FlightPlan) -> dict[str, str]:
    """The structure beside a flight as its fields: where it is, or how far from it the flight gets at most."""
    beside = plan.structure
    if beside is None:
        return {}
    far = f"{beside.distance_ft.normalize():f} ft"
    where = far if beside.place is None else place_text(beside.place)
    return {"structure": where, "structure_top": f"{beside.top_ft.normalize():f}"}


def _typed(raw: Raw) -> str:
    return _WORDS[raw] if isinstance(raw, bool) else str(raw)


def call_out(visit: Visit, aircraft: Sequence[str], pilots: Sequence[str]) -> dict[str, str]:
    """What a call-out would be asked: takeoff now, for half an hour, with the crew of the flight put on record last.

    Only those who may be chosen are filled in; where there is one aircraft or one pilot alone, it is that one.
    """
    crew = crew_of_last(list(all_known(held_now(visit.desk))))
    found = {"start": "now", "end": HALF_AN_HOUR} if visit.asked.is_today else {}
    offered = (("aircraft", "aircraft", aircraft, crew.aircraft), ("pilot", "person", pilots, crew.pilot))
    for field, kind, mine, last in offered:
        named = mine[0] if len(mine) == 1 else subject_named(kind, last) if last else ""
        if named in mine:
            found[field] = named
    return found


def takeoff_from_now(visit: Visit, said: Mapping[str, str]) -> dict[str, str]:
    """The day and the clock time there of a takeoff told as "now" or "+30 min": what is confirmed holds for that time."""
    typed = plan_typed(said)._replace(start=said.get("start", ""))
    at = typed.from_now(visit.desk.clock())
    if at is None:
        return {}
    try:
        typed = typed.at_site(all_known(held_now(visit.desk))) if typed.site else typed
        local = at.astimezone(typed.zone.info)
    except AirwritError:
        return {}  # the place is asked for first, at its field
    return {"day": local.date().isoformat(), "start": f"{local:%H:%M}"}


def confirmed_by(visit: Visit, name: str, plan: FlightPlan) -> dict[str, str]:
    """Who confirmed each fact of a planned flight on record and when; none of another plan than the one on record."""
    try:
        saved = saved_flight(list(all_known(held_now(visit.desk))), name) if name else None
    except UsageError:
        return {}
    if saved is None or saved.plan.digest != plan.digest:
        return {}
    found = {}
    with visit.desk.opened() as book:
        for item in saved.told:
            entry = book.entry(item.origin.entry) if isinstance(item.origin, EntryPlace) else None
            if entry is not None:
                found[item.statement.key] = confirmed_text(entry.by, item.recorded_at, plan)
    return found
