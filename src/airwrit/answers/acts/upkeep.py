"""Acts of keeping aircraft and batteries fit: defects, work, returns to service, bulletins, configurations; and courses."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from airwrit.answers.acts.act import Act, ActField, ActInput, refused
from airwrit.base.verdict import Undecided
from airwrit.facts.choices import ServiceStatus
from airwrit.facts.key import Key
from airwrit.facts.keys.equipment import (
    BARE_WEIGHT,
    BATTERY_CHECKED_ON,
    BATTERY_CHEMISTRY,
    BATTERY_CLEARED_BY,
    BATTERY_CLEARED_ON,
    BATTERY_DAMAGE,
    BATTERY_DAMAGED_ON,
    BATTERY_ENERGY,
    BATTERY_MODEL,
    BATTERY_RETIRED_ON,
    BATTERY_RETIRED_WHY,
    BATTERY_SERIAL,
    BATTERY_SHIPPED_ON,
    BATTERY_SHIPPED_TO,
    BATTERY_SINCE,
    BATTERY_WEIGHT,
    CAPACITY_MEASURED,
    CAPACITY_MEASURED_ON,
    CAPACITY_NEW,
    CHARGE_READ_ON,
    CONFIGURATION_BATTERY,
    CONFIGURATION_OF,
    CONFIGURATION_SCALE_ERROR,
    CONFIGURATION_WEIGHED_ON,
    CONFIGURATION_WEIGHT,
    CYCLES_READ,
    CYCLES_READ_ON,
    MODEL_KEYS,
    PAIRED_AIRCRAFT,
    PAYLOAD,
    PAYLOAD_WEIGHT,
    STORAGE_CHARGE,
    SWELLING,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.log import (
    DEFECT_RELEASED_BY,
    DEFECT_RELEASED_ON,
    DEFECT_SEEN,
    says_no_defect,
)
from airwrit.facts.keys.incident import (
    AIRCRAFT_RELEASED_BY,
    AIRCRAFT_RELEASED_ON,
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
    DEFECT_COMPONENT,
    DEFECT_FOUND_BY,
    DEFECT_FOUND_ON,
    DEFECT_GROUNDS,
    DEFECT_OF,
    DOES_BULLETIN,
    FIRMWARE,
    FIRMWARE_AFTER,
    FIRMWARE_BEFORE,
    FIXES_DEFECT,
    HEIGHT_LIMIT_SET,
    HOURS_READ,
    LOST_LINK_ACTION,
    MAINTENANCE_BATTERY,
    MAINTENANCE_DONE_BY,
    MAINTENANCE_DONE_ON,
    MAINTENANCE_OF,
    PART_CHANGED,
    RETURN_HEIGHT,
    RETURNED_BY,
    RETURNED_ON,
    SERIAL_IN,
    SERIAL_OUT,
    TASK,
    WORK_DONE,
    WORK_RETURNED_BY,
    WORK_RETURNED_ON,
)
from airwrit.facts.keys.person import COURSE, COURSE_BY, COURSE_FOR_PAPER, COURSE_OF, COURSE_ON, COURSE_PASSED
from airwrit.facts.keys.service import SERVICE_STATUS
from airwrit.facts.state import Facts
from airwrit.facts.statement import Statement
from airwrit.law.aircraft.maintenance import had_left


def _fields(*keys: Key[Any], new: tuple[Key[Any], ...] = ()) -> tuple[ActField, ...]:
    """A field for each key, by the key's name and question; `new` may name what is not on file yet."""
    return tuple(ActField(key.name, key, may_be_new=key in new) for key in keys)


def _tells(told: ActInput, *keys: Key[Any], subject: str = "") -> Iterator[Statement]:
    """What the fields of some keys say, each of its own key."""
    for key in keys:
        yield from told.told(key.name, key, subject)


def _defect_found(told: ActInput) -> Iterator[Statement]:
    defect = told.event("defect", f"{told.name} {told.get(DEFECT.name)}")
    yield told.says(DEFECT_OF, told.name, defect)
    yield told.says(DEFECT_FOUND_ON, told.on, defect)
    yield from _tells(told, DEFECT, DEFECT_COMPONENT, DEFECT_FOUND_BY, DEFECT_GROUNDS, subject=defect)


_OF_WORK = (
    TASK,
    WORK_DONE,
    MAINTENANCE_DONE_BY,
    HOURS_READ,
    PART_CHANGED,
    SERIAL_OUT,
    SERIAL_IN,
    FIRMWARE_AFTER,
    FIXES_DEFECT,
    DOES_BULLETIN,
    CHECK_FLIGHT_NEEDED,
    WORK_RETURNED_BY,
)


def _maintained(told: ActInput) -> Iterator[Statement]:
    """Work on the aircraft; who returns it to service the same day may be said with it."""
    work = told.event("maintenance", f"{told.name} {told.get(TASK.name)}")
    yield told.says(MAINTENANCE_OF, told.name, work)
    yield told.says(MAINTENANCE_DONE_ON, told.on, work)
    yield from _tells(told, *_OF_WORK, subject=work)
    if told.get(WORK_RETURNED_BY.name) is not None:
        yield told.says(WORK_RETURNED_ON, told.on, work)
    if told.get(FIRMWARE_AFTER.name) is not None:
        before = told.held(FIRMWARE)
        if before not in (None, told.get(FIRMWARE_AFTER.name)):
            yield told.says(FIRMWARE_BEFORE, before, work)
        yield told.says(FIRMWARE, told.get(FIRMWARE_AFTER.name))


def _check_flown(told: ActInput) -> Iterator[Statement]:
    """The functional check flight of every work on the aircraft that still needs one."""
    works = [
        work
        for work in told.state.holding(MAINTENANCE_OF, told.name)
        if told.held(CHECK_FLIGHT_NEEDED, work) and told.held(CHECK_FLIGHT_PASSED, work) is not True
    ]
    if not works:
        raise refused(
            f"no work on file for {told.name} needs a check flight",
            "log the work first with `log_maintenance`",
        )
    for work in works:
        yield told.says(CHECK_FLIGHT_ON, told.on, work)
        yield from _tells(told, CHECK_FLIGHT_PASSED, subject=work)


def _returned(told: ActInput) -> Iterator[Statement]:
    """The return closes every defect and every work that is still open, and ends a time out of service."""
    by, on = told.get(RETURNED_BY.name), told.on
    open_now = list(_left_open(told))
    out = told.held(SERVICE_STATUS) is ServiceStatus.OUT_OF_SERVICE
    if not open_now and not out:
        raise refused(
            f"nothing on file keeps {told.name} out of service on {on}", "check `airwrit maintenance`"
        )
    for subject, returned_on, returned_by in open_now:
        yield told.says(returned_on, on, subject)
        yield told.says(returned_by, by, subject)
    if out:
        yield told.says(SERVICE_STATUS, ServiceStatus.IN_SERVICE)


def _left_open(told: ActInput) -> Iterator[tuple[str, Key[date], Key[str]]]:
    """What nobody returned the aircraft to service from, or only somebody who had left by then."""
    for link, returned_on, returned_by in (
        (DEFECT_OF, RETURNED_ON, RETURNED_BY),
        (MAINTENANCE_OF, WORK_RETURNED_ON, WORK_RETURNED_BY),
        (FLIGHT_AIRCRAFT, DEFECT_RELEASED_ON, DEFECT_RELEASED_BY),
        (INCIDENT_AIRCRAFT, AIRCRAFT_RELEASED_ON, AIRCRAFT_RELEASED_BY),
    ):
        for subject in told.state.holding(link, told.name):
            if _asks_for_a_return(told, link, subject) and not _is_returned(
                told, subject, returned_on, returned_by
            ):
                yield subject, returned_on, returned_by


def _asks_for_a_return(told: ActInput, link: Key[str], subject: str) -> bool:
    """Whether an event of the aircraft keeps it out of service: not a flight without a defect, and no near miss."""
    if link is FLIGHT_AIRCRAFT:
        return not says_no_defect(told.held(DEFECT_SEEN, subject) or "none")
    return link is not INCIDENT_AIRCRAFT or told.held(NEAR_MISS, subject) is not True


def _is_returned(told: ActInput, subject: str, on: Key[date], by: Key[str]) -> bool:
    """Whether a return is on file that was not made by somebody who had left."""
    if not told.speaks(on, subject):
        return False
    returned = told.held(on, subject)
    try:
        return returned is None or not had_left(by, Facts(told.state, subject), returned)
    except Undecided:
        return True


def _battery_came(told: ActInput) -> Iterator[Statement]:
    yield from _tells(told, *_OF_BATTERY)
    if told.get(CYCLES_READ.name) is not None:
        yield told.says(CYCLES_READ_ON, told.on)
    yield from _once(told, BATTERY_SINCE)


def _once(told: ActInput, key: Key[date]) -> Iterator[Statement]:
    """The day of the act, where no other is on file."""
    if not told.speaks(key):
        yield told.says(key, told.on)


_OF_BATTERY = (
    BATTERY_MODEL,
    BATTERY_SERIAL,
    BATTERY_CHEMISTRY,
    CAPACITY_NEW,
    BATTERY_ENERGY,
    PAIRED_AIRCRAFT,
    CYCLES_READ,
    BATTERY_WEIGHT,
)
_READ = (
    (CAPACITY_MEASURED, CAPACITY_MEASURED_ON),
    (CYCLES_READ, CYCLES_READ_ON),
    (STORAGE_CHARGE, CHARGE_READ_ON),
)


def _battery_checked(told: ActInput) -> Iterator[Statement]:
    yield told.says(BATTERY_CHECKED_ON, told.on)
    yield from _tells(told, SWELLING)
    for key, on in _READ:
        if told.get(key.name) is not None:
            yield from _tells(told, key)
            yield told.says(on, told.on)


def _battery_damaged(told: ActInput) -> Iterator[Statement]:
    yield told.says(BATTERY_DAMAGED_ON, told.on)
    yield from _tells(told, BATTERY_DAMAGE)
    yield from told.ends(BATTERY_CLEARED_ON, BATTERY_CLEARED_BY)


def _battery_cleared(told: ActInput) -> Iterator[Statement]:
    if not told.speaks(BATTERY_DAMAGED_ON):
        raise refused(f"nothing on file says {told.name} was damaged by {told.on}", "check `airwrit battery`")
    yield told.says(BATTERY_CLEARED_ON, told.on)
    yield from _tells(told, BATTERY_CLEARED_BY)


def _battery_retired(told: ActInput) -> Iterator[Statement]:
    yield told.says(BATTERY_RETIRED_ON, told.on)
    yield from _tells(told, BATTERY_RETIRED_WHY)
    yield from told.ends(PAIRED_AIRCRAFT)


def _battery_shipped(told: ActInput) -> Iterator[Statement]:
    yield told.says(BATTERY_SHIPPED_ON, told.on)
    yield from _tells(told, BATTERY_SHIPPED_TO)


def _battery_back(told: ActInput) -> Iterator[Statement]:
    if not told.speaks(BATTERY_SHIPPED_ON):
        raise refused(f"nothing on file says {told.name} was shipped by {told.on}", "check `airwrit battery`")
    yield from told.ends(BATTERY_SHIPPED_ON, BATTERY_SHIPPED_TO)


def _battery_serviced(told: ActInput) -> Iterator[Statement]:
    work = told.event("maintenance", f"{told.name} {told.get(TASK.name)}")
    yield told.says(MAINTENANCE_BATTERY, told.name, work)
    yield told.says(MAINTENANCE_DONE_ON, told.on, work)
    yield from _tells(told, TASK, WORK_DONE, MAINTENANCE_DONE_BY, DOES_BULLETIN, subject=work)


def _weighed(told: ActInput) -> Iterator[Statement]:
    yield from _tells(told, *_OF_CONFIGURATION)
    if told.get(CONFIGURATION_WEIGHT.name) is not None:
        yield told.says(CONFIGURATION_WEIGHED_ON, told.on)


_OF_CONFIGURATION = (
    CONFIGURATION_OF,
    CONFIGURATION_BATTERY,
    PAYLOAD,
    CONFIGURATION_WEIGHT,
    CONFIGURATION_SCALE_ERROR,
    BARE_WEIGHT,
    PAYLOAD_WEIGHT,
)
_OF_BULLETIN = (BULLETIN_ABOUT, BULLETIN_MODEL, BULLETIN_SERIALS, BULLETIN_SAYS, BULLETIN_DUE_ON)
_SETTINGS = (HEIGHT_LIMIT_SET, RETURN_HEIGHT, LOST_LINK_ACTION)


def _bulletin_came(told: ActInput) -> Iterator[Statement]:
    yield from _tells(told, *_OF_BULLETIN)
    yield from _once(told, BULLETIN_ISSUED_ON)


def _course_done(told: ActInput) -> Iterator[Statement]:
    event = told.event("course", f"{told.get(COURSE.name)} of {told.name}")
    yield told.says(COURSE_OF, told.name, event)
    yield told.says(COURSE_ON, told.on, event)
    yield from _tells(told, COURSE, COURSE_PASSED, COURSE_BY, COURSE_FOR_PAPER, subject=event)


def _required(*keys: Key[Any], new: tuple[Key[Any], ...] = ()) -> tuple[ActField, ...]:
    return tuple(ActField(key.name, key, required=True, may_be_new=key in new) for key in keys)


_ANYBODY = (RETURNED_BY, WORK_RETURNED_BY, BATTERY_CLEARED_BY)
"""Who may be an outside shop that is not on record as a person."""

UPKEEP_ACTS: tuple[Act, ...] = (
    Act(
        "find_defect",
        "aircraft",
        "a defect is found on it",
        (*_required(DEFECT, DEFECT_GROUNDS), *_fields(DEFECT_COMPONENT, DEFECT_FOUND_BY)),
        _defect_found,
    ),
    Act(
        "log_maintenance",
        "aircraft",
        "work is done on it",
        (*_required(TASK), *_fields(*_OF_WORK[1:], new=_ANYBODY)),
        _maintained,
        follows=("find_defect",),
    ),
    Act(
        "fly_check",
        "aircraft",
        "a functional check flight after work",
        _required(CHECK_FLIGHT_PASSED),
        _check_flown,
        follows=("log_maintenance",),
    ),
    Act(
        "return_to_service",
        "aircraft",
        "it is returned to service",
        _required(RETURNED_BY, new=_ANYBODY),
        _returned,
        follows=("find_defect", "log_maintenance", "fly_check"),
    ),
    Act(
        "change_settings",
        "aircraft",
        "its heights and lost-link action are set",
        _fields(*_SETTINGS),
        lambda told: _tells(told, *_SETTINGS),
    ),
    Act(
        "add_battery",
        "battery",
        "a battery goes into service",
        _fields(*_OF_BATTERY, new=(BATTERY_MODEL,)),
        _battery_came,
        may_be_new=True,
    ),
    Act(
        "check_battery",
        "battery",
        "a battery is looked over or measured",
        (*_required(SWELLING), *_fields(CAPACITY_MEASURED, CYCLES_READ, STORAGE_CHARGE)),
        _battery_checked,
        follows=("add_battery",),
    ),
    Act(
        "damage_battery", "battery", "a battery is found damaged", _required(BATTERY_DAMAGE), _battery_damaged
    ),
    Act(
        "clear_battery",
        "battery",
        "a damaged battery is checked and cleared to fly",
        _required(BATTERY_CLEARED_BY, new=_ANYBODY),
        _battery_cleared,
        follows=("damage_battery",),
    ),
    Act(
        "pair_battery",
        "battery",
        "a battery is kept for another aircraft",
        _required(PAIRED_AIRCRAFT),
        lambda told: _tells(told, PAIRED_AIRCRAFT),
        follows=("add_battery",),
    ),
    Act(
        "service_battery",
        "battery",
        "work is done on a battery",
        (*_required(TASK), *_fields(WORK_DONE, MAINTENANCE_DONE_BY, DOES_BULLETIN)),
        _battery_serviced,
    ),
    Act("ship_battery", "battery", "a battery is shipped", _required(BATTERY_SHIPPED_TO), _battery_shipped),
    Act(
        "receive_battery",
        "battery",
        "a shipped battery comes back",
        (),
        _battery_back,
        follows=("ship_battery",),
    ),
    Act(
        "retire_battery",
        "battery",
        "a battery is retired",
        _required(BATTERY_RETIRED_WHY),
        _battery_retired,
        follows=("add_battery", "pair_battery"),
    ),
    Act(
        "weigh_configuration",
        "configuration",
        "an aircraft with its battery and payload",
        (*_required(CONFIGURATION_OF), *_fields(*_OF_CONFIGURATION[1:])),
        _weighed,
        may_be_new=True,
    ),
    Act(
        "describe_model",
        "model",
        "what is true of every aircraft of a model",
        _fields(*MODEL_KEYS),
        lambda told: _tells(told, *MODEL_KEYS),
        may_be_new=True,
    ),
    Act(
        "receive_bulletin",
        "bulletin",
        "a maker sends a service bulletin",
        _required(*_OF_BULLETIN, new=(BULLETIN_MODEL,)),
        _bulletin_came,
        may_be_new=True,
    ),
    Act(
        "complete_course",
        "person",
        "someone completes a course of your training plan",
        (*_required(COURSE, COURSE_PASSED), *_fields(COURSE_BY, COURSE_FOR_PAPER)),
        _course_done,
    ),
)
