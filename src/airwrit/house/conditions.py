"""What each kind of house row asks: one function a kind, three-valued like the law's; a missing fact is never a yes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any, NamedTuple

from airwrit.base.days import When, add_days, add_months, day_of, end_of_calendar_months, whole_years_between
from airwrit.base.measured import WEIGHT_UNITS_G, Measured, compared, exact, scaled
from airwrit.base.verdict import Margin, Outcome, Undecided, Verdict, Why, days_left
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    DESTROYED_ON,
    EXPORTED_ON,
    LOST_ON,
    MODEL,
    OWNER,
    REGISTRATION,
    SOLD_ON,
    TAKEOFF_WEIGHT,
)
from airwrit.facts.keys.equipment import (
    BATTERY_RETIRED_ON,
    BATTERY_SHIPPED_ON,
    CAPACITY_MEASURED,
    CYCLES_READ,
)
from airwrit.facts.keys.flights.airspace import FLIGHT_WAIVER
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import (
    DEFECT_RELEASED_BY,
    DEFECT_RELEASED_ON,
    FLOWN_ON,
    LANDINGS,
    MINUTES,
    PACKS,
)
from airwrit.facts.keys.incident import AIRCRAFT_RELEASED_BY, AIRCRAFT_RELEASED_ON, INCIDENT_AIRCRAFT
from airwrit.facts.keys.maintenance import (
    DEFECT_OF,
    MAINTENANCE_BATTERY,
    MAINTENANCE_DONE_ON,
    MAINTENANCE_OF,
    RETURNED_BY,
    RETURNED_ON,
    TASK,
    WORK_RETURNED_BY,
    WORK_RETURNED_ON,
)
from airwrit.facts.keys.paper import COVERS_AIRCRAFT, COVERS_ALL, COVERS_PERSON, GRANTED_ON, PAPER_KIND
from airwrit.facts.keys.person import (
    COMPLETED_ON,
    COURSE,
    COURSE_OF,
    COURSE_ON,
    COURSE_PASSED,
    EVENT_KIND,
    EVENT_OF,
)
from airwrit.facts.same_flight import FlightOnRecord, possible_doubles
from airwrit.facts.state import Facts
from airwrit.facts.vocabulary import TABLES, id_of
from airwrit.house.rows import CALENDAR_MONTH, DAY, PERCENT, SAME_MODEL, HouseRow
from airwrit.house.territory import in_states, inside_area, inside_box
from airwrit.law.aircraft.battery import battery_cycles, capacity_left
from airwrit.law.aircraft.duty import happened
from airwrit.law.aircraft.weight import weight_as_flown_g
from airwrit.law.flight.light import is_night
from airwrit.law.holder.paper import last_day, not_granted
from airwrit.law.parameters import Law
from airwrit.law.rule import met, no_duty, not_met, unknown

_FOLDED_ENDS = " .,"


def judged(row: HouseRow, facts: Facts, law: Law) -> Outcome:
    """What a row finds of a subject: nothing where it is not in force, is for another use, or does not cover the subject."""
    if (row.start is not None and law.day < row.start) or (row.until is not None and law.day >= row.until):
        return no_duty("not_in_force")
    if row.use is not None and facts.use is not row.use:
        return no_duty("other_use")
    if row.scope and not _covers(row, facts):
        return no_duty("out_of_scope")
    try:
        outcome = CHECKS[row.kind](row, facts, law)
    except Undecided as gap:
        outcome = Outcome(Verdict.UNKNOWN, gap.about, gap.why)
    if outcome.verdict is not Verdict.MET and _is_gone(row, facts):
        return no_duty("gone")
    return outcome


_ENDS: Mapping[str, tuple[Key[date], ...]] = {
    "aircraft": (SOLD_ON, DESTROYED_ON, EXPORTED_ON, LOST_ON),
    "battery": (BATTERY_RETIRED_ON, BATTERY_SHIPPED_ON),
}


def _is_gone(row: HouseRow, facts: Facts) -> bool:
    """Whether the aircraft or battery was sold, retired or lost by that day, so that nobody flies it any more."""
    return any(happened(facts, key) is not None for key in _ENDS.get(row.about, ()))


def _covers(row: HouseRow, facts: Facts) -> bool:
    """Whether every condition of the scope holds. One known not to hold settles it; else the first gap is raised.

    A flight that names no waiver uses none, as the law has it.
    """
    gap: Undecided | None = None
    for key, values in row.scope:
        try:
            if key is FLIGHT_WAIVER and facts.on_file(key) is None:
                return False
            if not _is_among(_fact(row, facts, key), values):
                return False
        except Undecided as undecided:
            gap = gap or undecided
    if gap is not None:
        raise gap
    return True


def _fact(row: HouseRow, facts: Facts, key: Key[Any]) -> Any:
    """The subject's own fact, or that of the registration or the owner an aircraft points at. Undecided on a gap."""
    return _holder(row, facts, key)[key]


def _holder(row: HouseRow, facts: Facts, key: Key[Any]) -> Facts:
    kind = TABLES[key.table]
    if kind == row.about:
        return facts
    return facts.linked(REGISTRATION if kind == "registration" else OWNER)


def _is_among(value: Any, values: Iterable[Any]) -> bool:
    """Whether a value is one of those named; texts are compared without case, spaces and a point at the end."""
    folded = _folded(value)
    return any(folded == _folded(each) for each in values)


def _folded(value: Any) -> Any:
    if type(value) is not str:
        return value
    return "".join(value.casefold().split()).rstrip(_FOLDED_ENDS)


def _named(row: HouseRow) -> Key[Any]:
    if row.key is None:
        raise Undecided(Why.MISSING, "nothing_asked")
    return row.key


def _one_of(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    value = _fact(row, facts, _named(row))
    told = "yes" if value is True else "no" if value is False else str(value)
    if _is_among(value, row.values) is (row.kind == "one_of"):
        return met("allowed", value=told)
    return not_met("not_allowed", value=told)


def _bounded(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    value, least = _measured(row, facts), row.kind == "at_least"
    if not least:
        return compared(value, row.limit, row.unit, limit_itself=True)
    turned = compared(Measured(-value.best, -value.high, -value.low), -row.limit, row.unit, limit_itself=True)
    return turned._replace(value=value.best)


def _measured(row: HouseRow, facts: Facts) -> Measured:
    """The number a row bounds, in the row's unit: a weight with its doubt, an age in whole years, or the plain number."""
    key = _named(row)
    if key is CYCLES_READ:
        found = battery_cycles(facts)
        if not found.high and not facts.has(CYCLES_READ):
            raise Undecided(Why.MISSING, CYCLES_READ.name)
        return found
    if key is CAPACITY_MEASURED and row.unit == PERCENT:
        return capacity_left(facts)
    if key is TAKEOFF_WEIGHT:
        return scaled(weight_as_flown_g(facts), WEIGHT_UNITS_G[row.unit])
    value = _fact(row, facts, key)
    if isinstance(value, date):
        return exact(Decimal(whole_years_between(day_of(value), day_of(facts.on))))
    return exact(value / WEIGHT_UNITS_G[row.unit] if row.unit in WEIGHT_UNITS_G else value)


def _within_days(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    done, on = _done_on(row, facts), day_of(facts.on)
    if done is None:
        return unknown(Why.MISSING, "never_done")
    last = _last_day_of(done, int(row.limit), row.unit)
    if done > on:
        return unknown(Why.MISSING, "to_come", value=done)
    if on > last:
        return not_met("lapsed", value=last, margin=days_left(last, on))
    return met("recent", value=last, due_on=last, holds_until=last, margin=days_left(last, on))


def _done_on(row: HouseRow, facts: Facts) -> date | None:
    """The day a row goes by: that of its fact, or the last one up to today on which its task was done; None where never."""
    if not row.task:
        return day_of(_fact(row, facts, _named(row)))
    on = day_of(facts.on)
    works = facts.linking(MAINTENANCE_BATTERY if row.about == "battery" else MAINTENANCE_OF)
    days = [work[MAINTENANCE_DONE_ON] for work in works if _is_among(work[TASK], (row.task,))]
    return max((day for day in days if day <= on), default=None)


@lru_cache(maxsize=1 << 14)
def _last_day_of(done: date, limit: int, unit: str) -> date:
    """The last good day; the end of the calendar where it lies beyond it."""
    try:
        return end_of_calendar_months(done, limit) if unit == CALENDAR_MONTH else add_days(done, limit)
    except (OverflowError, ValueError):
        return date.max


def _before_days(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    day, on = day_of(_fact(row, facts, _named(row))), day_of(facts.on)
    last = _first_day_before(day, int(row.limit), row.unit)
    done = None if row.done is None else _holder(row, facts, row.done).on_file(row.done)
    if done is not None and day_of(done) <= on:
        done_on = day_of(done)
        return met("done", value=done_on) if done_on <= last else not_met("too_late", value=last)
    if on <= last:
        return met("in_time", value=last, due_on=last, holds_until=last, margin=days_left(last, on))
    return not_met("too_late", value=last, margin=days_left(last, on))


def _first_day_before(day: date, limit: int, unit: str) -> date:
    try:
        return add_days(day, -limit) if unit == DAY else add_months(day, -limit)
    except (OverflowError, ValueError):
        return date.min


class _Counted(NamedTuple):
    """Days with how many happened on each, those that may be counted twice apart, how many may have happened besides.

    `any_on_file` says whether anything at all is on file.
    """

    sure: list[tuple[date, Decimal]]
    twice: list[tuple[date, Decimal]]
    perhaps: bool
    any_on_file: bool


def _count_in_days(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    on = day_of(facts.on)
    first = _first_day_before(on, row.within, DAY)
    if row.about == "flight":
        if _is_logged(facts):
            return no_duty("flown")
        model = facts.linked(FLIGHT_AIRCRAFT)[MODEL] if row.model == SAME_MODEL else ""
        counted = _counted(row, facts.linked(FLIGHT_PILOT), model)
    else:
        counted = _counted(row, facts, row.model)
    inside = sorted(((day, many) for day, many in counted.sure if first < day <= on), reverse=True)
    sure = sum((many for _, many in inside), Decimal(0))
    twice = sum((many for day, many in counted.twice if first < day <= on), Decimal(0))
    margin = Margin(sure - row.limit, row.of, sure - row.limit, sure - row.limit)
    if sure >= row.limit:
        last = add_days(_day_of_last_needed(inside, row.limit), row.within - 1)
        return met("enough", value=sure, due_on=last, holds_until=last, margin=margin)
    if counted.perhaps:
        return unknown(Why.MISSING, "day_not_known", value=sure)
    if not counted.any_on_file:
        return unknown(Why.MISSING, "none_on_file", value=sure)
    if sure + twice >= row.limit:
        return unknown(Why.CONFLICT, "counted_twice", value=sure + twice)
    return not_met("too_few", value=sure, margin=margin)


def _day_of_last_needed(inside: Iterable[tuple[date, Decimal]], limit: Decimal) -> date:
    """Going back from the latest, the day on which the count reaches the limit: when it drops out, it is too few."""
    total = Decimal(0)
    for day, many in inside:
        total += many
        if total >= limit:
            return day
    return date.min


def _counted(row: HouseRow, facts: Facts, model: str) -> _Counted:
    """What is on file of a person's trainings, flights or landings; of flights only those with a model, where one is named."""
    sure: list[tuple[date, Decimal]] = []
    flights: list[tuple[Facts, When, Decimal]] = []
    perhaps, on_file = False, False
    training = row.of == "training"
    for one in facts.linking(EVENT_OF if training else FLIGHT_PILOT):
        try:
            if not training and not _is_logged(one):
                continue
            on_file = True
            if training and row.values and one[EVENT_KIND] not in row.values:
                continue
            if model and not _is_among(one.linked(FLIGHT_AIRCRAFT)[MODEL], (model,)):
                continue
            when = one[COMPLETED_ON if training else FLOWN_ON]
            many = Decimal(1) if training else _many(row, one)
        except Undecided:
            perhaps = True
        else:
            sure.append((day_of(when), many))
            flights.append((one, when, many))
    twice = [] if training else _twice(flights, facts)
    for each in twice:
        sure.remove(each)
    return _Counted(sure, twice, perhaps, on_file)


def _is_logged(flight: Facts) -> bool:
    """Whether a flight was flown: one that is planned, or only asked about, has neither a day nor what was flown."""
    return any(flight.has(key) for key in (FLOWN_ON, MINUTES, LANDINGS))


def _many(row: HouseRow, flight: Facts) -> Decimal:
    """What a flight adds to a count: itself, its landings, or its hours. Undecided where it does not say."""
    if row.of == "landings":
        return flight[LANDINGS]
    return flight[MINUTES] / 60 if row.of == "hours" else Decimal(1)


def _used_since(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    """How much an aircraft was flown since a day: flights of that day itself may have come before or after it."""
    done, on = _done_on(row, facts), day_of(facts.on)
    if done is None:
        return unknown(Why.MISSING, "never_done")
    if done > on:
        return unknown(Why.MISSING, "to_come", value=done)
    sure, that_day, gaps = Decimal(0), Decimal(0), False
    for flight in facts.linking(PACKS if row.about == "battery" else FLIGHT_AIRCRAFT):
        try:
            if not _is_logged(flight):
                continue
            flown = day_of(flight[FLOWN_ON])
            if not done <= flown <= on:
                continue
            many = _many(row, flight)
        except Undecided:
            gaps = True
            continue
        if flown == done:
            that_day += many
        else:
            sure += many
    used = Measured(sure, sure, sure + that_day)
    outcome = compared(used, row.limit, row.of, limit_itself=True)
    if gaps and outcome.verdict is not Verdict.NOT_MET:
        return unknown(Why.MISSING, "flights_incomplete", value=sure)
    return outcome


def _twice(flights: Sequence[tuple[Facts, When, Decimal]], pilot: Facts) -> list[tuple[date, Decimal]]:
    """Of flights that may be one all but the one with the least in it, which still counts."""
    days = Counter(day_of(when) for _, when, _ in flights)
    alike = {one.subject: (one, when, many) for one, when, many in flights if days[day_of(when)] > 1}
    logged = []
    for one, when, _ in alike.values():
        try:
            aircraft, minutes = one.on_file(FLIGHT_AIRCRAFT), one.on_file(MINUTES)
        except Undecided:
            continue
        if aircraft is not None:
            logged.append(FlightOnRecord(one.subject, aircraft, id_of(pilot.subject), when, minutes))
    together: dict[str, list[str]] = {}
    for double in possible_doubles(logged):
        together.setdefault(double.one, [double.one]).append(double.other)
    apart = [sorted(mine, key=lambda subject: alike[subject][2])[1:] for mine in together.values()]
    return [(day_of(alike[subject][1]), alike[subject][2]) for mine in apart for subject in mine]


def _trained(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    """Whether the person passed one of the courses named, and not longer ago than the limit where there is one."""
    on, days, gap = day_of(facts.on), [], False
    for course in facts.linking(COURSE_OF):
        try:
            if not _is_among(course[COURSE], row.values) or course.on_file(COURSE_PASSED) is False:
                continue
            days.append(course[COURSE_ON])
        except Undecided:
            gap = True
    done = max((day for day in days if day <= on), default=None)
    if done is None:
        return unknown(Why.MISSING, "day_not_known" if gap else "not_on_file")
    if not row.limit:
        return met("trained", value=done)
    last = _last_day_of(done, int(row.limit), row.unit)
    if on <= last:
        return met("current", value=last, due_on=last, holds_until=last, margin=days_left(last, on))
    if gap:
        return unknown(Why.MISSING, "day_not_known")
    return not_met("lapsed", value=last, margin=days_left(last, on))


class _Return(NamedTuple):
    """A return to service: its day, and who made it (None: nobody is named)."""

    day: date
    by: str | None


def _returned_by(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    """Whether the last return to service of an aircraft was made by somebody named; all of that day count."""
    on = day_of(facts.on)
    found = [one for link, back, by in _RETURNS for one in _returns(facts.linking(link, back), back, by)]
    past = [one for one in found if one.day <= on]
    if not past:
        return no_duty("never_returned")
    last = max(one.day for one in past)
    strange = [one for one in past if one.day == last and not (one.by and _is_among(one.by, row.values))]
    named = next((one.by for one in strange if one.by), None)
    if named is not None:
        return not_met("not_allowed", value=f"{named} ({last})")
    return unknown(Why.MISSING, "nobody_named", value=last) if strange else met("allowed", value=last)


_RETURNS: tuple[tuple[Key[str], Key[date], Key[str]], ...] = (
    (DEFECT_OF, RETURNED_ON, RETURNED_BY),
    (MAINTENANCE_OF, WORK_RETURNED_ON, WORK_RETURNED_BY),
    (FLIGHT_AIRCRAFT, DEFECT_RELEASED_ON, DEFECT_RELEASED_BY),
    (INCIDENT_AIRCRAFT, AIRCRAFT_RELEASED_ON, AIRCRAFT_RELEASED_BY),
)
"""How a return to service is told, by what it was made after."""


def _returns(events: Iterable[Facts], back: Key[date], by: Key[str]) -> Iterator[_Return]:
    """The returns to service after some events."""
    for event in events:
        when = event.on_file(back)
        if when is not None:
            yield _Return(day_of(when), event.on_file(by))


def _required(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    _fact(row, facts, _named(row))
    return met("on_file")


def _covered_by(row: HouseRow, facts: Facts, law: Law) -> Outcome:
    """Covered by a paper of a kind named that is in term; which papers there are is a closed-world reading."""
    on, ended, gap = day_of(facts.on), None, False
    best: date | None = None
    for paper in _covering(row, facts):
        try:
            if paper[PAPER_KIND] not in row.values or not_granted(paper) is not None:
                continue
            last, granted = last_day(paper, law), paper.on_file(GRANTED_ON)
        except Undecided:
            gap = True
            continue
        if granted is not None and on < granted:
            continue
        if on <= last:
            best = last if best is None else max(best, last)
        else:
            ended = last if ended is None else max(ended, last)
    if best is not None:
        return met("in_term", value=best, holds_until=best, margin=days_left(best, on))
    if ended is None or gap:
        return unknown(Why.MISSING, "none_on_file")
    return not_met("none_in_term", value=ended, margin=days_left(ended, on))


def _covering(row: HouseRow, facts: Facts) -> Iterable[Facts]:
    """The papers that name the subject, and those that cover the whole program."""
    link = COVERS_AIRCRAFT if row.about == "aircraft" else COVERS_PERSON
    return facts.linking(link, for_all=COVERS_ALL)


def _by_day(row: HouseRow, facts: Facts, law: Law) -> Outcome:  # noqa: ARG001 - every kind is asked alike
    """Whether a flight is not at night, as 14 CFR 1.1 has it: after evening and before morning civil twilight."""
    return not_met("by_night") if is_night(facts) else met("by_day")


CHECKS: Mapping[str, Callable[[HouseRow, Facts, Law], Outcome]] = {
    "one_of": _one_of,
    "not_one_of": _one_of,
    "at_least": _bounded,
    "at_most": _bounded,
    "within_days": _within_days,
    "before_days": _before_days,
    "count_in_days": _count_in_days,
    "used_since": _used_since,
    "required": _required,
    "covered_by": _covered_by,
    "trained": _trained,
    "returned_by": _returned_by,
    "inside_box": lambda row, facts, _: inside_box(row.values, facts),
    "in_states": lambda row, facts, _: in_states(row.values, facts),
    "inside_area": lambda row, facts, _: inside_area(row.name, facts),
    "by_day": _by_day,
}
