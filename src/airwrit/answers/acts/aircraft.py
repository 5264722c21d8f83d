"""Acts of an aircraft: it comes, goes, changes hands, is marked, weighed and equipped."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from airwrit.answers.acts.act import Act, ActField, ActInput, refused
from airwrit.facts.choices import HeldUnder, MarkPlace, RemoteIdWay
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    AIRFRAME_SERIAL,
    BASE_WEIGHT,
    DECLARATION_ACCEPTED,
    DESTROYED_ON,
    EXPORTED_ON,
    HOLDER,
    IS_REGISTERED,
    LISTED_SERIAL,
    LOST_ON,
    MAKER,
    MARK_LEGIBLE,
    MARK_PLACE,
    MARK_TEXT,
    MODEL,
    OWNER,
    PART_NAME,
    PART_OF,
    PART_SCALE_ERROR,
    PART_WEIGHT,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    REMOTE_ID_WAY,
    SCALE_ERROR,
    SOLD_ON,
    SOLD_UNDER,
    SOLD_UNDER_ON,
    TAKEOFF_WEIGHT,
    USED_FOR,
    WEIGHED_ON,
)
from airwrit.facts.keys.event import BACK_ON, CHANGE_OF, CHANGED_ON, FILED_ON, HELD_UNDER, WHAT_CHANGED
from airwrit.facts.keys.registration import CHANGE_FILED_ON
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import subject_named

_BOUGHT: dict[str, Key[Any]] = {
    key.name: key
    for key in (
        OWNER,
        MAKER,
        MODEL,
        AIRFRAME_SERIAL,
        USED_FOR,
        TAKEOFF_WEIGHT,
        REMOTE_ID_WAY,
        REMOTE_ID_SERIAL,
        DECLARATION_ACCEPTED,
        HOLDER,
    )
}
_HELD = (HOLDER, HELD_UNDER, BACK_ON)
FILED = ActField("filed", question="Did you file the change with the registry the same day?")


def _bought(told: ActInput) -> Iterator[Statement]:
    """A registration ends when the aircraft changes hands. The old registration is no longer valid."""
    owner = told.held(OWNER)
    for name, key in _BOUGHT.items():
        yield from told.told(name, key)
    new = not told.state.held.get(told.subject)
    if new or (owner is not None and owner != told.get("owner")) or told.speaks(SOLD_ON):
        yield from _old_number(told)
        yield told.says(IS_REGISTERED, False)
        yield from told.ends(REGISTRATION, LISTED_SERIAL, SOLD_ON, LOST_ON, HELD_UNDER, BACK_ON)
        if not told.get("holder"):
            yield from told.ends(HOLDER)


def _old_number(told: ActInput) -> Iterator[Statement]:
    """The number it was sold under and the day, so that canceling that registration is not lost sight of."""
    number = told.held(SOLD_UNDER) or told.held(REGISTRATION)
    if number is not None:
        sold: date = told.held(SOLD_UNDER_ON) or told.held(SOLD_ON) or told.on
        yield told.says(SOLD_UNDER, number)
        yield told.says(SOLD_UNDER_ON, sold)


def _sold(told: ActInput) -> Iterator[Statement]:
    """The buyer is kept as who has it: whether a buyer may register is for the buyer to answer."""
    yield told.says(SOLD_ON, told.on)
    yield from told.ends(OWNER, HELD_UNDER, BACK_ON)
    yield from told.told("to", HOLDER) or told.ends(HOLDER)


def _lost(told: ActInput) -> Iterator[Statement]:
    yield told.says(LOST_ON, told.on)
    yield from told.ends(*_HELD)


def _found(told: ActInput) -> Iterator[Statement]:
    if not told.speaks(LOST_ON):
        raise refused(f"nothing on file says {told.subject} was lost on {told.on}", "check `airwrit history`")
    yield from told.ends(LOST_ON)
    yield from told.told("holder", HOLDER)


def _destroyed(told: ActInput) -> Iterator[Statement]:
    yield told.says(DESTROYED_ON, told.on)
    yield from told.ends(*_HELD)


def _exported(told: ActInput) -> Iterator[Statement]:
    yield told.says(EXPORTED_ON, told.on)
    yield from told.ends(*_HELD)


def _lent(told: ActInput) -> Iterator[Statement]:
    yield from _handed(told, HeldUnder.LOAN)


def _leased(told: ActInput) -> Iterator[Statement]:
    yield from told.told("owner", OWNER)
    yield from _handed(told, HeldUnder.LEASE)


def _handed(told: ActInput, under: HeldUnder) -> Iterator[Statement]:
    back = told.get("back_on")
    if back is not None and back < told.on:
        raise refused(
            f"the return date {back} is before the start date {told.on}", "fix one of the two dates"
        )
    yield from told.told("to", HOLDER)
    yield told.says(HELD_UNDER, under)
    yield from told.told("back_on", BACK_ON) or told.ends(BACK_ON)


def _given_back(told: ActInput) -> Iterator[Statement]:
    if not told.speaks(HELD_UNDER):
        raise refused(
            f"nothing on file says {told.subject} was on loan or leased on {told.on}",
            "check `airwrit history`",
        )
    yield from told.told("holder", HOLDER) or told.ends(HOLDER)
    yield from told.ends(HELD_UNDER, BACK_ON)


def _handed_on(told: ActInput) -> Iterator[Statement]:
    yield from told.told("to", HOLDER)


def _marked(told: ActInput) -> Iterator[Statement]:
    number, place = told.get("text"), told.get("place")
    if place is not MarkPlace.NOT_MARKED and number is None and told.held(REGISTRATION) is None:
        raise refused(
            f"no registration number is on file for {told.subject}",
            "register it first, or enter the number on it as text=NUMBER",
        )
    yield told.says(MARK_PLACE, place)
    yield from told.told("text", MARK_TEXT) or told.ends(MARK_TEXT)
    yield from told.told("legible", MARK_LEGIBLE) or told.ends(MARK_LEGIBLE)


def changed(told: ActInput, registration: str, what: str) -> Iterator[Statement]:
    """That a detail of a registration changed, and that it was filed where that was told."""
    event = told.event("change", f"{what} of {registration}")
    yield told.says(CHANGE_OF, registration, event)
    yield told.says(CHANGED_ON, told.on, event)
    yield told.says(WHAT_CHANGED, what, event)
    if told.get("filed"):
        yield told.says(FILED_ON, told.on, event)
        yield told.says(CHANGE_FILED_ON, told.on, subject_named("registration", registration))


def _serial_changed(told: ActInput, aircraft: str) -> Iterator[Statement]:
    """The serial on the application changed with what broadcasts; nothing to tell where nothing is registered."""
    number = told.held(REGISTRATION, aircraft)
    if number is not None and told.held(IS_REGISTERED, aircraft) is not False:
        yield from changed(told, number, f"Remote ID serial for {aircraft.partition('/')[2]}")


def _module_fitted(told: ActInput) -> Iterator[Statement]:
    yield told.says(REMOTE_ID_WAY, RemoteIdWay.MODULE)
    yield from told.told("serial", REMOTE_ID_SERIAL)
    yield from told.told("declaration_accepted", DECLARATION_ACCEPTED) or told.ends(DECLARATION_ACCEPTED)
    yield from _serial_changed(told, told.subject)
    if told.get("filed") and told.held(REGISTRATION) is not None:
        yield from told.told("serial", LISTED_SERIAL)


def _module_moved(told: ActInput) -> Iterator[Statement]:
    """What broadcasts leaves one aircraft and comes to another; the listing follows only where it was filed."""
    serial, other = told.held(REMOTE_ID_SERIAL), subject_named("aircraft", told.get("to"))
    if serial is None or told.held(REMOTE_ID_WAY) is not RemoteIdWay.MODULE:
        raise refused(
            f"no Remote ID module is on file for {told.subject} on {told.on}",
            "to add one, use `fit_module`",
        )
    if other == told.subject:
        raise refused("the module is already on that aircraft", "enter a different aircraft in to=")
    accepted = told.held(DECLARATION_ACCEPTED)
    yield from told.ends(REMOTE_ID_SERIAL, DECLARATION_ACCEPTED)
    yield told.says(REMOTE_ID_WAY, RemoteIdWay.NONE)
    yield told.says(REMOTE_ID_WAY, RemoteIdWay.MODULE, other)
    yield told.says(REMOTE_ID_SERIAL, serial, other)
    if accepted is not None:
        yield told.says(DECLARATION_ACCEPTED, accepted, other)
    else:
        yield from told.ends(DECLARATION_ACCEPTED, subject=other)
    yield from _listing_moved(told, serial, other)


def _listing_moved(told: ActInput, serial: str, other: str) -> Iterator[Statement]:
    if told.held(REGISTRATION) is not None and told.held(REGISTRATION) == told.held(REGISTRATION, other):
        if told.get("filed"):
            yield told.says(LISTED_SERIAL, serial, other)
        return
    yield from _serial_changed(told, told.subject)
    yield from _serial_changed(told, other)
    if told.get("filed"):
        yield from told.ends(LISTED_SERIAL)
        yield told.says(LISTED_SERIAL, serial, other)


def _equipment_changed(told: ActInput) -> Iterator[Statement]:
    """A weighing of the whole counts for what was on it then: it ends where parts change and nobody weighed again."""
    if not told.values:
        raise refused("you didn't say what changed", "name the part you added or removed, or the new weight")
    name, off = told.get("part_on"), told.get("part_off")
    if told.get("takeoff_weight_g") is not None:
        yield from told.told("takeoff_weight_g", TAKEOFF_WEIGHT)
        yield from told.told("scale_error_g", SCALE_ERROR) or told.ends(SCALE_ERROR)
        yield told.says(WEIGHED_ON, told.on)
    elif name is not None or off is not None:
        yield from told.ends(TAKEOFF_WEIGHT)
        if not told.speaks(BASE_WEIGHT):
            yield from told.ends(SCALE_ERROR, WEIGHED_ON)
    if name is not None:
        part = subject_named("part", f"{told.name} {name}")
        yield told.says(PART_OF, told.name, part)
        yield told.says(PART_NAME, name, part)
        yield from told.told("part_weight_g", PART_WEIGHT, part)
        yield from told.told("part_scale_error_g", PART_SCALE_ERROR, part)
    if off is not None:
        yield from _part_off(told, subject_named("part", off))


def _part_off(told: ActInput, part: str) -> Iterator[Statement]:
    if told.held(PART_OF, part) != told.name:
        raise refused(
            f"nothing on file says {part} was on {told.subject} on {told.on}", "check `airwrit history`"
        )
    yield from told.ends(PART_OF, subject=part)


_BACK = ActField("back_on", BACK_ON)

AIRCRAFT_ACTS: tuple[Act, ...] = (
    Act(
        "buy",
        "aircraft",
        "you buy or receive an aircraft",
        (
            ActField("owner", OWNER, required=True, may_be_new=True),
            *(
                ActField(name, key, may_be_new=key is MODEL)
                for name, key in _BOUGHT.items()
                if key is not OWNER
            ),
        ),
        _bought,
        follows=("sell", "give_back", "find"),
        may_be_new=True,
    ),
    Act(
        "mark",
        "aircraft",
        "its registration number is put on it",
        (
            ActField("place", MARK_PLACE, required=True),
            ActField("text", MARK_TEXT, "What number is written on it, read off the aircraft?"),
            ActField("legible", MARK_LEGIBLE),
        ),
        _marked,
    ),
    Act(
        "fit_module",
        "aircraft",
        "add a Remote ID broadcast module",
        (
            ActField(
                "serial", REMOTE_ID_SERIAL, "Which serial number does the module broadcast?", required=True
            ),
            ActField("declaration_accepted", DECLARATION_ACCEPTED),
            FILED,
        ),
        _module_fitted,
        follows=("buy", "borrow", "move_module"),
    ),
    Act(
        "move_module",
        "aircraft",
        "its broadcast module moves to another aircraft",
        (
            ActField("to", PART_OF, "Which aircraft gets the module?", required=True),
            ActField(
                "filed", question="Did you move the serial number to the other registration the same day?"
            ),
        ),
        _module_moved,
        follows=("buy", "fit_module"),
    ),
    Act(
        "change_equipment",
        "aircraft",
        "add or remove a part, or weigh it again",
        (
            ActField("part_on", PART_NAME, "Which part was put on?"),
            ActField("part_weight_g", PART_WEIGHT),
            ActField("part_scale_error_g", PART_SCALE_ERROR, "How far off may the scale be for the part?"),
            ActField("part_off", PART_NAME, "Which part was taken off?", links_to="part"),
            ActField("takeoff_weight_g", TAKEOFF_WEIGHT, "What does it weigh now, with everything on it?"),
            ActField("scale_error_g", SCALE_ERROR),
        ),
        _equipment_changed,
        follows=("buy",),
    ),
    Act(
        "sell",
        "aircraft",
        "it is sold or given away",
        (ActField("to", HOLDER, "Who has it now?"),),
        _sold,
        follows=("buy", "find", "give_back"),
    ),
    Act(
        "lose",
        "aircraft",
        "it is lost",
        (),
        _lost,
        follows=("buy", "give_back"),
    ),
    Act(
        "find",
        "aircraft",
        "a lost aircraft is found",
        (ActField("holder", HOLDER),),
        _found,
        follows=("lose",),
    ),
    Act(
        "destroy",
        "aircraft",
        "it is destroyed or scrapped",
        (),
        _destroyed,
        follows=("buy", "find", "give_back"),
    ),
    Act(
        "export",
        "aircraft",
        "it is exported",
        (),
        _exported,
        follows=("buy", "find", "give_back"),
    ),
    Act(
        "lend",
        "aircraft",
        "you lend it to someone",
        (ActField("to", HOLDER, "Who borrows it?", required=True), _BACK),
        _lent,
        follows=("buy", "find", "give_back"),
    ),
    Act(
        "lease",
        "aircraft",
        "you lease it to someone",
        (
            ActField("to", HOLDER, "Who leases it?", required=True),
            ActField("owner", OWNER, "Who owns it, if that isn't on file?", may_be_new=True),
            _BACK,
        ),
        _leased,
        follows=("buy", "find", "give_back"),
        may_be_new=True,
    ),
    Act(
        "borrow",
        "aircraft",
        "you borrow it from its owner",
        (
            ActField("owner", OWNER, required=True, may_be_new=True),
            ActField("to", HOLDER, "Who has it now?", required=True),
            ActField("used_for", USED_FOR),
            _BACK,
        ),
        lambda told: (*told.told("owner", OWNER), *told.told("used_for", USED_FOR), *_lent(told)),
        follows=("give_back",),
        may_be_new=True,
    ),
    Act(
        "hand_on",
        "aircraft",
        "someone else in the program keeps it",
        (ActField("to", HOLDER, "Who keeps it now?", required=True),),
        _handed_on,
        follows=("buy", "find", "give_back"),
    ),
    Act(
        "give_back",
        "aircraft",
        "a loaned or leased aircraft comes back",
        (ActField("holder", HOLDER),),
        _given_back,
        follows=("lend", "lease", "borrow"),
    ),
)
"""The acts of an aircraft itself; those of its registration stand with the registrations."""
