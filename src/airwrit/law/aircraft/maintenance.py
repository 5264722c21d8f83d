"""Was the aircraft returned to service after each defect, incident and work, and what its maker asks done? 14 CFR 107.15.

Whoever answers for the aircraft says that a defect grounds it, or that it may be flown with it; while nobody has said so, it is
not known. A return to service by somebody who had left by then is taken neither way.

Whether a defect makes an aircraft unsafe is for the pilot in command to say. While nobody has said it, its condition is not
known; so no rule here says that an aircraft is safe, and none that it is not.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from typing import NamedTuple

from airwrit.base.days import Order, When, day_of, order_of
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why, days_left
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import AIRFRAME_SERIAL, MODEL
from airwrit.facts.keys.equipment import BATTERY_MODEL, BATTERY_SERIAL
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.log import (
    DEFECT_RELEASED_BY,
    DEFECT_RELEASED_ON,
    DEFECT_SEEN,
    FLOWN_ON,
    says_no_defect,
)
from airwrit.facts.keys.incident import (
    AIRCRAFT_RELEASED_BY,
    AIRCRAFT_RELEASED_ON,
    HAPPENED_ON,
    INCIDENT_AIRCRAFT,
    NEAR_MISS,
)
from airwrit.facts.keys.maintenance import (
    BULLETIN_ABOUT,
    BULLETIN_DUE_ON,
    BULLETIN_ISSUED_ON,
    BULLETIN_MODEL,
    BULLETIN_SAYS,
    BULLETIN_SERIALS,
    CHECK_FLIGHT_NEEDED,
    CHECK_FLIGHT_ON,
    CHECK_FLIGHT_PASSED,
    DEFECT,
    DEFECT_FOUND_ON,
    DEFECT_GROUNDS,
    DEFECT_OF,
    DOES_BULLETIN,
    FIXES_DEFECT,
    HEIGHT_LIMIT_SET,
    MAINTENANCE_BATTERY,
    MAINTENANCE_DONE_ON,
    MAINTENANCE_OF,
    RETURN_HEIGHT,
    RETURNED_BY,
    RETURNED_ON,
    TASK,
    WORK_RETURNED_BY,
    WORK_RETURNED_ON,
    BulletinAbout,
)
from airwrit.facts.keys.person import HAS_LEFT, LEFT_ON
from airwrit.facts.state import Facts
from airwrit.facts.vocabulary import id_of
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, met, no_duty, not_asked, not_met, unknown
from airwrit.law.shared_parameters import CONDITION, HEIGHT_LIMIT

ALL_SERIALS = "all"
_RANGE = re.compile(r"\s+to\s+")
_NUMBERED = re.compile(r"(.*?)(\d+)")


def had_left(link: Key[str], facts: Facts, at: When) -> bool:
    """Whether the person a fact names had left the program by a moment; False where nothing of the kind is on file."""
    person = facts.linked_on_file(link)
    if person is None:
        return False
    left = person.on_file(LEFT_ON)
    if left is not None:
        return left <= day_of(at)
    return person.on_file(HAS_LEFT) is True


def returned_to_service(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft was returned to service after every defect and all work on record."""
    defects, works = facts.linking(DEFECT_OF), facts.linking(MAINTENANCE_OF)
    looks = [*(_told(_of_defect, one) for one in defects), *(_told(_of_work, one) for one in works)]
    found = [one for one in looks if one is not None]
    if not found:
        return no_duty("nothing_on_file")
    free = not_asked(law, CONDITION)
    return free if free is not None else min(found, key=_gravity)


RETURNED_TO_SERVICE_RULE = Rule("returned_to_service", "aircraft", Bears.FLIGHT, returned_to_service)


def _gravity(outcome: Outcome) -> tuple[bool, bool, bool]:
    """What counts first: what is known to stand in the way, then what is open, then what is flown with."""
    verdict = outcome.verdict
    return verdict is not Verdict.NOT_MET, verdict is not Verdict.UNKNOWN, outcome.code != "flown_with"


def _told(look: Callable[[Facts], Outcome | None], facts: Facts) -> Outcome | None:
    """What a look finds; a gap is unknown."""
    try:
        return look(facts)
    except Undecided as gap:
        return Outcome(Verdict.UNKNOWN, gap.about, gap.why)


def _of_defect(defect: Facts) -> Outcome | None:
    """What a defect comes to; None where it is still to be found."""
    found = defect[DEFECT_FOUND_ON]
    if order_of(found, defect.on) is Order.AFTER:
        return None
    told = f"{defect[DEFECT]} ({day_of(found)})"
    back = _return_of(defect, RETURNED_ON, RETURNED_BY, found, told) or _return_by_work(defect, found, told)
    if back is not None:
        return back
    grounds = defect.on_file(DEFECT_GROUNDS)
    if grounds is None:
        return unknown(Why.MISSING, DEFECT_GROUNDS.name, value=told)
    return not_met("grounded", value=told) if grounds else no_duty("flown_with", value=told)


def _return_by_work(defect: Facts, found: When, told: str) -> Outcome | None:
    """What the work that fixed a defect says of a return to service; None where no work did."""
    for work in defect.linking(FIXES_DEFECT):
        back = _return_of(work, WORK_RETURNED_ON, WORK_RETURNED_BY, found, told)
        if back is not None:
            return back
    return None


def _return_of(facts: Facts, on: Key[date], by: Key[str], since: When, told: str) -> Outcome | None:
    """What a return to service comes to; None where there is none yet."""
    back = facts.on_file(on)
    if back is None:
        return None
    if order_of(back, since) is Order.BEFORE:
        return unknown(Why.CONFLICT, "returned_before", value=told)
    lies = order_of(back, facts.on)
    if lies is Order.AFTER:
        return None
    if lies is Order.DOUBT:
        return unknown(Why.WITHIN_DOUBT, "returned_that_day", value=told)
    if had_left(by, facts, back):
        return unknown(Why.CONFLICT, "returned_by_someone_gone", value=told)
    return no_duty("returned")


def _of_work(work: Facts) -> Outcome | None:
    """What work comes to; None where it is still to be done."""
    done = work[MAINTENANCE_DONE_ON]
    if done > day_of(work.on):
        return None
    told = f"{work[TASK]} ({done})"
    passed = work.on_file(CHECK_FLIGHT_PASSED)
    if passed is False:
        return not_met("check_flight_failed", value=told)
    flown = work.on_file(CHECK_FLIGHT_ON)
    if work.on_file(CHECK_FLIGHT_NEEDED):
        if flown is None or flown > day_of(work.on):
            return unknown(Why.MISSING, CHECK_FLIGHT_ON.name, value=told)
        if passed is None:
            return unknown(Why.MISSING, CHECK_FLIGHT_PASSED.name, value=told)
    back = _return_of(work, WORK_RETURNED_ON, WORK_RETURNED_BY, done, told)
    return unknown(Why.MISSING, WORK_RETURNED_ON.name, value=told) if back is None else back


def bulletins_done(facts: Facts, law: Law) -> Outcome:
    """Whether every service bulletin about the aircraft was carried out, or is not due yet."""
    return _bulletins(facts, law, _OF_AIRCRAFT)


BULLETINS_DONE_RULE = Rule("bulletins_done", "aircraft", Bears.FLIGHT, bulletins_done, lapse="overdue")


def battery_bulletins_done(facts: Facts, law: Law) -> Outcome:
    """Whether every service bulletin about the battery was carried out, or is not due yet."""
    return _bulletins(facts, law, _OF_BATTERY)


BATTERY_BULLETINS_DONE_RULE = Rule(
    "battery_bulletins_done", "battery", Bears.FLIGHT, battery_bulletins_done, lapse="overdue"
)


class _Concerned(NamedTuple):
    """How what a bulletin is about is told: by its model, its serial number, and the work done on it."""

    about: BulletinAbout
    model: Key[str]
    serial: Key[str]
    work: Key[str]


_OF_AIRCRAFT = _Concerned(BulletinAbout.AIRCRAFT, MODEL, AIRFRAME_SERIAL, MAINTENANCE_OF)
_OF_BATTERY = _Concerned(BulletinAbout.BATTERY, BATTERY_MODEL, BATTERY_SERIAL, MAINTENANCE_BATTERY)


def _bulletins(facts: Facts, law: Law, concerned: _Concerned) -> Outcome:
    """The first bulletin overdue; else the first that cannot be told; else the one due first."""
    try:
        model = facts.quietly().linked(concerned.model)
    except Undecided:
        return no_duty("model_not_known")
    found = [
        _told(lambda one: _of_bulletin(one, facts, concerned), one) for one in model.linking(BULLETIN_MODEL)
    ]
    left = [one for one in found if one is not None]
    if any(one.verdict is not Verdict.MET for one in left):
        law.span(CONDITION)
        return min(left, key=_gravity)
    if left:
        return min(left, key=lambda one: one.due_on or date.max)
    return no_duty("done" if found else "nothing_on_file")


def _of_bulletin(bulletin: Facts, facts: Facts, concerned: _Concerned) -> Outcome | None:
    """What a bulletin asks for; None where that is nothing, or nothing more."""
    on, issued = day_of(facts.on), bulletin.on_file(BULLETIN_ISSUED_ON)
    if bulletin[BULLETIN_ABOUT] is not concerned.about or (issued is not None and issued > on):
        return None
    if not _names(bulletin[BULLETIN_SERIALS], facts, concerned.serial):
        return None
    if _is_done(bulletin, facts, concerned):
        return None
    due, told = bulletin[BULLETIN_DUE_ON], f"{id_of(bulletin.subject)}: {bulletin[BULLETIN_SAYS]}"
    if on > due:
        return not_met("overdue", value=due, margin=days_left(due, on))
    return met("to_do", value=told, due_on=due, holds_until=due, margin=days_left(due, on))


def _names(serials: str, facts: Facts, serial: Key[str]) -> bool:
    """Whether a list of serial numbers names that of an aircraft or battery; a list that cannot be read is a gap."""
    if serials.strip().casefold() == ALL_SERIALS:
        return True
    mine = facts[serial]
    return any(_covers(part, mine) for part in serials.split(","))


def _covers(part: str, serial: str) -> bool:
    """Whether one serial number, or a range such as `A100 to A199`, covers a serial number."""
    ends, mine = _RANGE.split(part.strip().casefold()), serial.strip().casefold()
    if len(ends) == 1:
        return ends == [mine]
    numbered = [found for found in map(_NUMBERED.fullmatch, ends) if found is not None]
    if len(ends) != 2 or len(numbered) != 2 or numbered[0][1] != numbered[1][1]:
        raise Undecided(Why.DAMAGED, BULLETIN_SERIALS.name)
    first, last = numbered
    number = _NUMBERED.fullmatch(mine)
    return number is not None and number[1] == first[1] and int(first[2]) <= int(number[2]) <= int(last[2])


def _is_done(bulletin: Facts, facts: Facts, concerned: _Concerned) -> bool:
    """Whether work on record did what the bulletin asks for."""
    name, on = id_of(bulletin.subject), day_of(facts.on)
    return any(
        work[DOES_BULLETIN] == name and work[MAINTENANCE_DONE_ON] <= on
        for work in facts.linking(concerned.work, holding=DOES_BULLETIN)
    )


def height_settings(facts: Facts, law: Law) -> Outcome:
    """Whether the heights set in the aircraft stay within the height limit and within one another."""
    limit, home = facts.on_file(HEIGHT_LIMIT_SET), facts.on_file(RETURN_HEIGHT)
    if limit is not None and limit > law[HEIGHT_LIMIT]:
        return not_met("limit_above", value=limit)
    if home is not None and home > law[HEIGHT_LIMIT]:
        return not_met("return_above", value=home)
    if limit is not None and home is not None and home > limit:
        return not_met("return_above_setting", value=home)
    return no_duty("not_on_file") if limit is None and home is None else no_duty("within")


HEIGHT_SETTINGS_RULE = Rule("height_settings", "aircraft", Bears.PAPERS, height_settings)


def defect_released(facts: Facts, law: Law) -> Outcome:
    """Whether someone signed off every defect and incident of the aircraft."""
    seen = False
    for event in _events(facts):
        if order_of(event.at, facts.on) is Order.AFTER:
            continue
        seen = True
        free = not_asked(law, CONDITION)
        if free is not None:
            return free
        still_open = _open(event)
        if still_open is not None:
            return still_open
    return no_duty("released") if seen else no_duty("none_on_file")


DEFECT_RELEASED_RULE = Rule("defect_released", "aircraft", Bears.FLIGHT, defect_released)


class _Event(NamedTuple):
    """A flight with a defect, or an incident: when it was, in words, the keys of the release after it, its codes' ending."""

    facts: Facts
    at: When
    told: str
    release: Key[date]
    by: Key[str]
    suffix: str


def _events(facts: Facts) -> Iterator[_Event]:
    """The flights of the aircraft in which a defect was seen, then its incidents; near misses are passed over."""
    for flight in _with_a_defect(facts):
        at = flight[FLOWN_ON]
        told = f"{flight[DEFECT_SEEN]} ({day_of(at)})"
        yield _Event(flight, at, told, DEFECT_RELEASED_ON, DEFECT_RELEASED_BY, "")
    for incident in facts.linking(INCIDENT_AIRCRAFT):
        if incident.on_file(NEAR_MISS):
            continue
        at = incident[HAPPENED_ON]
        yield _Event(incident, at, str(day_of(at)), AIRCRAFT_RELEASED_ON, AIRCRAFT_RELEASED_BY, "_incident")


def _with_a_defect(facts: Facts) -> Iterator[Facts]:
    """The flights of the aircraft of which a defect is on file, or something that cannot be read. Others are passed over."""
    for flight in facts.linking(FLIGHT_AIRCRAFT, DEFECT_SEEN):
        said = flight.on_file(DEFECT_SEEN)
        if said is not None and not says_no_defect(said):
            yield flight


def _open(event: _Event) -> Outcome | None:
    """What leaves a defect or an incident open on the day; None when the aircraft was released to fly after it."""
    released = event.facts.on_file(event.release)
    if released is None:
        return unknown(Why.MISSING, event.release.name, value=event.told)
    if order_of(released, event.at) is Order.BEFORE:
        return unknown(Why.CONFLICT, f"released_before_it{event.suffix}", value=event.told)
    lies = order_of(released, event.facts.on)
    if lies is Order.AFTER:
        return unknown(Why.MISSING, f"not_released_yet{event.suffix}", value=event.told)
    if lies is Order.DOUBT:
        return unknown(Why.WITHIN_DOUBT, f"released_that_day{event.suffix}", value=event.told)
    if had_left(event.by, event.facts, released):
        return unknown(Why.CONFLICT, f"released_by_someone_gone{event.suffix}", value=event.told)
    return None
