"""Reports, an incident's answer and the day's answer of a great program, with its maintenance and without.

Out of 10,000 aircraft, 2,000 people and 100,000 flights, with batteries, defects, work, courses, incidents and house rules on
all of them. Every figure is time of the processor; each report is asked once, the incident five times. The answer is judged
of the same aircraft, people and flights, first without and then with all that keeps them fit to fly. Beside the reports stands
a plain loop that adds up minutes by aircraft. States are at hand, as a ledger or a page has them; two days of a job are judged.

python benchmarks/bench_upkeep.py [AIRCRAFT PEOPLE FLIGHTS]
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from airwrit.answers.due.deadlines import deadlines_of
from airwrit.answers.incident.decision import decided
from airwrit.answers.incident.told import incident_json
from airwrit.answers.reports.board import board_report
from airwrit.answers.reports.catalog import ReportAsked, report_of_state
from airwrit.answers.reports.inventory import ListedItem, inventory_report
from airwrit.answers.reports.job_check import (
    FieldJob,
    client_report,
    contractor_report,
    named_on,
)
from airwrit.answers.reports.report import ProgramReport, report_document
from airwrit.answers.standing.standing import Standing, standing
from airwrit.answers.standing.today import today_of
from airwrit.answers.upkeep.batteries import batteries_of
from airwrit.answers.upkeep.maintenance import maintenance_of
from airwrit.answers.upkeep.training import training_of
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import folded
from airwrit.house.rules import house_rules
from airwrit.law.rule import Rule

sys.path.insert(0, str(Path(__file__).parent))
from bench_standing import NOW, aircraft_facts, person_facts

ON = NOW.date()
SIZE = (10_000, 2_000, 100_000)
MOST_REPORT_S, MOST_INCIDENT_S, MOST_TIMES = 3.0, 0.3, 2.0
HOUSE = """document = "Manual"
[[rule]]
name = "propellers"
about = "aircraft"
kind = "used_since"
task = "propellers"
of = "hours"
limit = 50
clause = "1"
[[rule]]
name = "pack_cycles"
about = "battery"
kind = "at_most"
key = "cycles_read"
limit = 300
clause = "2"
[[rule]]
name = "recent_landings"
about = "person"
kind = "count_in_days"
of = "landings"
limit = 3
within = 90
clause = "3"
[[rule]]
name = "night_course"
about = "person"
kind = "trained"
courses = ["Night flying"]
limit = 24
unit = "calendar month"
clause = "4"
bears = "papers"
"""
Told = tuple[str, str, Raw]
T = TypeVar("T")


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """What some work gives, and how long it took."""
    start = time.process_time()
    found = work()
    return found, time.process_time() - start


def program(aircraft: int, people: int) -> Iterator[Told]:
    """Aircraft and people with their papers."""
    yield "owner/Program", "owner_kind", "corporation"
    yield "owner/Program", "organized_in_us", True
    yield "owner/Program", "based_and_used_in_us", True
    for number in range(aircraft):
        yield from aircraft_facts(number, people)
    for number in range(people):
        yield from person_facts(number)


def flown(aircraft: int, people: int, flights: int) -> Iterator[Told]:
    """Flights over two years, with minutes, landings and a pack."""
    for number in range(flights):
        flight, plane = f"flight/F{number}", number % aircraft
        yield flight, "flight_aircraft", f"A{plane}"
        yield flight, "flight_pilot", f"P{number * 7 % people}"
        yield flight, "flown_on", str(ON - timedelta(days=number * 13 % 730))
        yield flight, "minutes", str(5 + number % 40)
        yield flight, "landings", str(1 + number % 4)
        yield flight, "packs", f"B{plane}a" if number % 3 else f"B{plane}a, B{plane}b"


def upkeep(aircraft: int, people: int) -> Iterator[Told]:
    """What keeps them fit to fly: two packs and two works for each aircraft, a defect of every fifth, a course of everybody."""
    for number in range(aircraft):
        for letter in "ab":
            pack = f"battery/B{number}{letter}"
            yield pack, "battery_model", "Sarvo pack"
            yield pack, "paired_aircraft", f"A{number}"
            yield pack, "cycles_read", str(number % 290)
            yield pack, "cycles_read_on", str(ON - timedelta(days=400))
            yield pack, "capacity_new_mah", "5000"
            yield pack, "capacity_measured_mah", str(3600 + number % 1400)
        for place, days in enumerate((300, 20)):
            work = f"maintenance/M{number} {place}"
            yield work, "maintenance_of", f"A{number}"
            yield work, "task", "propellers"
            yield work, "maintenance_done_on", str(ON - timedelta(days=days))
            yield work, "work_returned_on", str(ON - timedelta(days=days))
            yield work, "work_returned_by", f"P{number % people}"
        if number % 5 == 0:
            defect = f"defect/D{number}"
            yield defect, "defect_of", f"A{number}"
            yield defect, "defect", "loose arm"
            yield defect, "defect_found_on", str(ON - timedelta(days=number % 200))
            yield defect, "defect_grounds", number % 10 == 0
        if number % 200 == 0:
            yield from incident(number)
    for number in range(people):
        course = f"course/C{number}"
        yield course, "course_of", f"P{number}"
        yield course, "course", "Night flying"
        yield course, "course_on", str(ON - timedelta(days=number % 900))
    yield "bulletin/S-1", "bulletin_about", "battery"
    yield "bulletin/S-1", "bulletin_model", "Sarvo pack"
    yield "bulletin/S-1", "bulletin_serials", "all"
    yield "bulletin/S-1", "bulletin_says", "check the latch"
    yield "bulletin/S-1", "bulletin_due_on", str(ON + timedelta(days=20))


def incident(number: int) -> Iterator[Told]:
    """An incident with all that is asked first."""
    subject = f"incident/I{number}"
    yield subject, "happened_on", str(ON - timedelta(days=1 + number % 600))
    yield subject, "happened_time", "14:40"
    yield subject, "incident_zone", "America/Denver"
    yield subject, "incident_aircraft", f"A{number}"
    yield subject, "incident_under", "Part 107"
    yield subject, "anyone_hurt", "nobody"
    yield subject, "damaged_property", "property apart from the aircraft"
    yield subject, "repair_cost_usd", "501"
    yield subject, "total_loss", False
    yield subject, "cause", "none of these"


def state(told: list[Known], on: date = ON) -> State:
    """How things stand."""
    return state_of(told, on, NOW)


def known(told: Iterator[Told]) -> list[Known]:
    """Statements out of facts."""
    return [Known(Statement(*one)) for one in told]


def day(told: list[Known], house: tuple[Rule, ...]) -> Standing:
    """The day's answer, laid out as Today and Deadlines show it."""
    found = standing(told, ON, NOW, house=house)
    today_of(found)
    deadlines_of(found)
    return found


def plain_loop(of: State) -> dict[str, Decimal]:
    """Minutes by aircraft, by one loop over the state."""
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for subject in of.subjects("flight"):
        held = {key.name: one.value for key, one in of.held[subject].items()}
        sums[held["flight_aircraft"]] += held["minutes"]
    return sums


def reports(
    told: list[Known], whole: Standing, house: tuple[Rule, ...]
) -> Iterator[tuple[str, Callable[[], ProgramReport]]]:
    """Every report, over a state that stands as a page or command has it."""
    of = whole.report.state
    asked = ReportAsked(month="2026-10", year="2026", aircraft="A5")
    for name in ("month", "year", "insurer", "aircraft-hours"):
        yield name, lambda name=name: report_of_state(name, of, asked, ON)  # type: ignore[misc]
    yield "board", lambda: board_report(whole)
    job, then = (
        FieldJob(ON, ON + timedelta(days=4), ("A5", "A6"), ("P3", "P4")),
        state(told, ON + timedelta(days=4)),
    )

    def of_job(make: Callable[..., ProgramReport]) -> ProgramReport:
        named, only = named_on(of, job)
        days = [standing(one, one.on, NOW, house=house, only=only) for one in (of, then)]
        return make(named, days)

    yield "client", lambda: of_job(client_report)
    yield "contractor", lambda: of_job(contractor_report)
    lists = [
        ListedItem(f"row {number}", f"A{number}", (folded(f"A{number}"),), damaged=False)
        for number in range(len(whole.rows))
    ]
    yield "inventory", lambda: inventory_report(of, ON, lists, lists[::2])


def main() -> int:
    """Print a table; 1 when something takes longer than it may."""
    aircraft, people, flights = (int(one) for one in sys.argv[1:4]) if len(sys.argv) > 3 else SIZE
    house = house_rules(HOUSE, "house.toml")
    base = known(iter([*program(aircraft, people), *flown(aircraft, people, flights)]))
    full = base + known(upkeep(aircraft, people))
    slow = []
    _, without = timed(lambda: day(base, ()))
    whole, with_all = timed(lambda: day(full, house))
    print(f"{aircraft:,} aircraft, {people:,} people, {flights:,} flights; {len(full):,} statements")
    print(f"the day's answer without upkeep and house rules  {without:6.2f} s")
    print(
        f"the day's answer with all of it                  {with_all:6.2f} s, {with_all / without:.2f} times"
    )
    slow += [] if with_all <= MOST_TIMES * without else ["the day's answer"]
    _, loop = timed(lambda: plain_loop(whole.report.state))
    print(f"a plain loop over the flights                    {loop:6.2f} s")
    for name, make in reports(full, whole, house):
        _, took = timed(lambda make=make: report_document(make()))  # type: ignore[misc]
        print(f"report {name:41} {took:6.2f} s, {took / loop:.1f} times the loop")
        slow += [] if took <= MOST_REPORT_S else [name]
    for name, ask in (
        ("batteries", batteries_of),
        ("maintenance", maintenance_of),
        ("training", training_of),
    ):
        _, took = timed(lambda ask=ask: ask(whole))  # type: ignore[misc]
        print(f"{name:48} {took:6.2f} s")
    now = datetime(2026, 12, 2, 12, tzinfo=UTC)
    took = min(
        timed(lambda: incident_json(decided(whole.report.state, "incident/I200", now)))[1] for _ in range(5)
    )
    print(f"an incident's answer                             {took:6.3f} s")
    slow += [] if took <= MOST_INCIDENT_S else ["incident"]
    print(f"too slow: {', '.join(slow)}" if slow else "all within their limits")
    return int(bool(slow))


if __name__ == "__main__":
    sys.exit(main())
