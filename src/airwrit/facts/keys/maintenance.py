"""Keys of keeping aircraft fit: defects, maintenance done, service bulletins, and how an aircraft is set up."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from airwrit.facts.choices import FactChoice
from airwrit.facts.key import Key


class LostLinkAction(FactChoice):
    """What an aircraft does by itself when it loses its control link."""

    RETURN = "return home"
    LAND = "land"
    HOVER = "hover"
    CONTINUE = "go on with the mission", "continue the mission"


class BulletinAbout(StrEnum):
    """What a service bulletin is about."""

    AIRCRAFT = "aircraft"
    BATTERY = "battery"


FIRMWARE = Key(
    "firmware",
    str,
    "aircraft",
    "firmware version",
    "Which firmware version is on it?",
    ("firmware", "firmware version"),
)
RETURN_HEIGHT = Key(
    "return_height_ft",
    Decimal,
    "aircraft",
    "return-to-home height",
    "What height is set for return to home?",
    ("return to home height", "rth height", "return height"),
    unit="ft",
)
HEIGHT_LIMIT_SET = Key(
    "height_limit_set_ft",
    Decimal,
    "aircraft",
    "height limit set in the aircraft",
    "What height limit is set in the aircraft?",
    ("height limit", "height limit set", "max height set"),
    unit="ft",
)
LOST_LINK_ACTION = Key(
    "lost_link_action",
    LostLinkAction,
    "aircraft",
    "what it does when the link is lost",
    "What does it do when the control link is lost: return home, land, hover or continue the mission?",
    ("lost link action", "lost link", "failsafe"),
)

DEFECT_OF = Key(
    "defect_of",
    str,
    "defect",
    "aircraft with the defect",
    "Which aircraft has the defect?",
    ("defect of", "aircraft"),
    links_to="aircraft",
    lasting=True,
)
DEFECT = Key(
    "defect",
    str,
    "defect",
    "defect",
    "What is wrong with it?",
    ("defect", "what is wrong"),
    lasting=True,
)
DEFECT_COMPONENT = Key(
    "defect_component",
    str,
    "defect",
    "component with the defect",
    "Which component is it?",
    ("component", "defect component"),
)
DEFECT_FOUND_ON = Key(
    "defect_found_on",
    date,
    "defect",
    "date or time the defect was found",
    "When was the defect found?",
    ("found on", "defect found on"),
    instants=True,
)
DEFECT_FOUND_BY = Key(
    "defect_found_by",
    str,
    "defect",
    "who found the defect",
    "Who found the defect?",
    ("found by", "defect found by"),
)
DEFECT_GROUNDS = Key(
    "defect_grounds",
    bool,
    "defect",
    "whether the defect grounds the aircraft",
    "Does the defect ground the aircraft until it is fixed?",
    ("grounds", "grounds the aircraft"),
)
RETURNED_ON = Key(
    "returned_on",
    date,
    "defect",
    "date or time the aircraft was returned to service",
    "When was the aircraft returned to service?",
    ("returned to service on", "returned on"),
    instants=True,
)
RETURNED_BY = Key(
    "returned_by",
    str,
    "defect",
    "who returned the aircraft to service",
    "Who returned the aircraft to service?",
    ("returned to service by", "returned by"),
    links_to="person",
)

MAINTENANCE_OF = Key(
    "maintenance_of",
    str,
    "maintenance",
    "aircraft worked on",
    "Which aircraft was worked on?",
    ("maintenance of", "aircraft"),
    links_to="aircraft",
    lasting=True,
)
MAINTENANCE_BATTERY = Key(
    "maintenance_battery",
    str,
    "maintenance",
    "battery worked on",
    "Which battery was worked on?",
    ("maintenance battery", "battery"),
    links_to="battery",
    lasting=True,
)
TASK = Key(
    "task",
    str,
    "maintenance",
    "maintenance task",
    "Which task was it?",
    ("task", "maintenance task"),
    lasting=True,
)
MAINTENANCE_DONE_ON = Key(
    "maintenance_done_on",
    date,
    "maintenance",
    "date the work was done",
    "When was the work done?",
    ("done on", "maintenance date"),
)
MAINTENANCE_DONE_BY = Key(
    "maintenance_done_by",
    str,
    "maintenance",
    "who did the work",
    "Who did the work?",
    ("done by", "technician", "mechanic"),
)
WORK_DONE = Key(
    "work_done",
    str,
    "maintenance",
    "work done",
    "What was done?",
    ("work done", "what was done"),
)
HOURS_READ = Key(
    "hours_read_h",
    Decimal,
    "maintenance",
    "flight hours read off the aircraft",
    "How many flight hours did the aircraft itself show?",
    ("hours read", "hours at work", "flight hours"),
    unit="h",
)
PART_CHANGED = Key(
    "part_changed",
    str,
    "maintenance",
    "part that was changed",
    "Which part was changed?",
    ("part changed", "part"),
)
SERIAL_OUT = Key(
    "serial_out",
    str,
    "maintenance",
    "serial number of the part taken out",
    "What is the serial number of the part taken out?",
    ("serial out", "serial removed"),
    digits=True,
)
SERIAL_IN = Key(
    "serial_in",
    str,
    "maintenance",
    "serial number of the part put in",
    "What is the serial number of the part put in?",
    ("serial in", "serial installed"),
    digits=True,
)
FIRMWARE_BEFORE = Key(
    "firmware_before",
    str,
    "maintenance",
    "firmware version before",
    "Which firmware version was on it before?",
    ("firmware before",),
)
FIRMWARE_AFTER = Key(
    "firmware_after",
    str,
    "maintenance",
    "firmware version after",
    "Which firmware version is on it now?",
    ("firmware after",),
)
FIXES_DEFECT = Key(
    "fixes_defect",
    str,
    "maintenance",
    "defect the work fixed",
    "Which defect did the work fix?",
    ("fixes defect", "defect"),
    links_to="defect",
)
DOES_BULLETIN = Key(
    "does_bulletin",
    str,
    "maintenance",
    "service bulletin the work carried out",
    "Which service bulletin did the work carry out?",
    ("does bulletin", "bulletin"),
    links_to="bulletin",
)
CHECK_FLIGHT_NEEDED = Key(
    "check_flight_needed",
    bool,
    "maintenance",
    "whether a functional check flight is needed after it",
    "Does the work need a functional check flight?",
    ("check flight needed",),
)
CHECK_FLIGHT_ON = Key(
    "check_flight_on",
    date,
    "maintenance",
    "date of the functional check flight",
    "When was the functional check flight?",
    ("check flight on", "check flight", "functional check flight"),
)
CHECK_FLIGHT_PASSED = Key(
    "check_flight_passed",
    bool,
    "maintenance",
    "whether the functional check flight was passed",
    "Did it pass the functional check flight?",
    ("check flight passed", "check flight result"),
)
WORK_RETURNED_ON = Key(
    "work_returned_on",
    date,
    "maintenance",
    "date or time the aircraft was returned to service after the work",
    "When was the aircraft returned to service after the work?",
    ("returned to service on", "returned on"),
    instants=True,
)
WORK_RETURNED_BY = Key(
    "work_returned_by",
    str,
    "maintenance",
    "who returned the aircraft to service after the work",
    "Who returned the aircraft to service after the work?",
    ("returned to service by", "returned by"),
    links_to="person",
)

BULLETIN_ABOUT = Key(
    "bulletin_about",
    BulletinAbout,
    "bulletin",
    "whether the service bulletin is about aircraft or batteries",
    "Is the bulletin about aircraft or about batteries?",
    ("bulletin about", "about"),
    lasting=True,
)
BULLETIN_MODEL = Key(
    "bulletin_model",
    str,
    "bulletin",
    "model the service bulletin is about",
    "Which model is the bulletin about?",
    ("bulletin model", "model"),
    links_to="model",
    lasting=True,
)
BULLETIN_SERIALS = Key(
    "bulletin_serials",
    str,
    "bulletin",
    "serial numbers the bulletin is about, commas between them",
    "Which serial numbers is the bulletin about, or all?",
    ("bulletin serials", "serials", "serial numbers"),
    digits=True,
)
BULLETIN_SAYS = Key(
    "bulletin_says",
    str,
    "bulletin",
    "what the service bulletin asks for",
    "What does the bulletin ask you to do?",
    ("bulletin says", "what to do", "action"),
)
BULLETIN_ISSUED_ON = Key(
    "bulletin_issued_on",
    date,
    "bulletin",
    "date the service bulletin was issued",
    "When was the bulletin issued?",
    ("issued on", "bulletin date"),
)
BULLETIN_DUE_ON = Key(
    "bulletin_due_on",
    date,
    "bulletin",
    "last day to do what the service bulletin asks",
    "By when does the bulletin ask for it to be done?",
    ("due on", "by when", "bulletin due"),
)

SETTING_KEYS: tuple[Key[Any], ...] = (FIRMWARE, RETURN_HEIGHT, HEIGHT_LIMIT_SET, LOST_LINK_ACTION)
DEFECT_KEYS: tuple[Key[Any], ...] = (
    DEFECT_OF,
    DEFECT,
    DEFECT_COMPONENT,
    DEFECT_FOUND_ON,
    DEFECT_FOUND_BY,
    DEFECT_GROUNDS,
    RETURNED_ON,
    RETURNED_BY,
)
MAINTENANCE_KEYS: tuple[Key[Any], ...] = (
    MAINTENANCE_OF,
    MAINTENANCE_BATTERY,
    TASK,
    MAINTENANCE_DONE_ON,
    MAINTENANCE_DONE_BY,
    WORK_DONE,
    HOURS_READ,
    PART_CHANGED,
    SERIAL_OUT,
    SERIAL_IN,
    FIRMWARE_BEFORE,
    FIRMWARE_AFTER,
    FIXES_DEFECT,
    DOES_BULLETIN,
    CHECK_FLIGHT_NEEDED,
    CHECK_FLIGHT_ON,
    CHECK_FLIGHT_PASSED,
    WORK_RETURNED_ON,
    WORK_RETURNED_BY,
)
BULLETIN_KEYS: tuple[Key[Any], ...] = (
    BULLETIN_ABOUT,
    BULLETIN_MODEL,
    BULLETIN_SERIALS,
    BULLETIN_SAYS,
    BULLETIN_ISSUED_ON,
    BULLETIN_DUE_ON,
)
