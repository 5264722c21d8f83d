"""Acts of a registration: had, renewed, told of a change, cancelled; and the representative of an organization."""

from __future__ import annotations

from collections.abc import Iterator

from airwrit.answers.acts.act import Act, ActField, ActInput, refused
from airwrit.answers.acts.aircraft import FILED, changed
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.aircraft import (
    APPLIED_ON,
    IS_REGISTERED,
    LISTED_SERIAL,
    OWNER,
    PART_OF,
    REGISTRATION,
    REMOTE_ID_SERIAL,
)
from airwrit.facts.keys.event import CHANGE_OF, CHANGED_ON, FILED_ON
from airwrit.facts.keys.registration import (
    CANCELLED_ON,
    CHANGE_FILED_ON,
    EXPIRES_ON,
    ISSUED_ON,
    REGISTERED_TO,
    REGISTRATION_KIND,
    REGISTRY_LOGIN_HOLDER,
    RENEWAL_FILED_ON,
    RENEWED_ON,
    REPRESENTATIVE,
)
from airwrit.facts.state import Facts
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law.aircraft.renewal import expiry_if_renewed
from airwrit.law.parameters import Law


def _registered(told: ActInput) -> Iterator[Statement]:
    """A certificate on file already, such as a recreational one over several aircraft, keeps its own days."""
    number = subject_named("registration", told.get("number"))
    fresh = not told.state.held.get(number)
    kind = told.get("kind") or told.held(REGISTRATION_KIND, number)
    if kind is None:
        raise refused(
            f"you didn't say what kind of registration {id_of(number)} is",
            "add kind=, one of: " + ", ".join(RegistrationKind),
            field="kind",
        )
    yield from told.told("number", REGISTRATION)
    yield told.says(IS_REGISTERED, True)
    yield from told.told("listed_serial", LISTED_SERIAL) or told.ends(LISTED_SERIAL)
    yield from told.ends(APPLIED_ON)
    yield from told.told("kind", REGISTRATION_KIND, number)
    if fresh:
        yield told.says(ISSUED_ON, told.on, number)
    yield from _expiry(told, number)
    yield from told.told("registered_to", REGISTERED_TO, number)
    yield from told.told("representative", REPRESENTATIVE, number)


def _expiry(told: ActInput, registration: str) -> list[Statement]:
    expiry = told.get("expires_on")
    if expiry is not None and expiry <= told.on:
        raise refused(
            f"it would expire {expiry}, which isn't after it starts {told.on}", "fix one of the two dates"
        )
    return told.told("expires_on", EXPIRES_ON, registration)


def _renewed(told: ActInput) -> Iterator[Statement]:
    """The expiry written down before is that of the term renewed: the new one that is told or worked out takes its place.

    Where the day of issue is on file the new one follows from that and the renewal, and nothing is written down.
    """
    part_47 = told.held(REGISTRATION_KIND) is RegistrationKind.PART_47
    if part_47 and told.get("expires_on") is None:
        raise refused(
            "we can't work out when a Part 47 registration expires",
            "enter expires_on= as printed on the certificate",
        )
    yield told.says(RENEWED_ON, told.on)
    yield from _expiry(told, told.subject) or _worked_out(told) or told.ends(EXPIRES_ON)
    yield from told.ends(RENEWAL_FILED_ON)
    if part_47:
        yield from told.ends(ISSUED_ON)


def _worked_out(told: ActInput) -> list[Statement]:
    """The expiry that the renewal gives, where no day of issue is on file to tell it by."""
    if told.held(REGISTRATION_KIND) is RegistrationKind.PART_47 or told.held(ISSUED_ON) is not None:
        return []
    expiry = expiry_if_renewed(Facts(told.state, told.subject), Law(told.on))
    return [] if expiry is None else [told.says(EXPIRES_ON, expiry)]


def _cancelled(told: ActInput) -> Iterator[Statement]:
    yield told.says(CANCELLED_ON, told.on)


def _filed(told: ActInput) -> Iterator[Statement]:
    aircraft, serial = told.get("aircraft"), told.get("listed_serial")
    if (aircraft is None) != (serial is None):
        raise refused("a serial number belongs to one aircraft", "enter both aircraft= and listed_serial=")
    yield told.says(CHANGE_FILED_ON, told.on)
    for event in told.state.holding(CHANGE_OF, told.name):
        day = told.held(CHANGED_ON, event)
        if day is not None and day <= told.on and not told.speaks(FILED_ON, event):
            yield told.says(FILED_ON, told.on, event)
    if serial is not None:
        yield told.says(LISTED_SERIAL, serial, subject_named("aircraft", aircraft))


def _login(told: ActInput) -> Iterator[Statement]:
    yield from told.told("to", REGISTRY_LOGIN_HOLDER)


def _representative(told: ActInput) -> Iterator[Statement]:
    """Every registration in the organization's name gets the new representative, each with a change to be filed."""
    numbers = [id_of(one) for one in told.state.holding(REGISTERED_TO, told.name)]
    if not numbers:
        raise refused(
            f"no registration in {told.name}'s name is on file on {told.on}",
            "register an aircraft first, or choose a different owner",
        )
    for number in numbers:
        subject = subject_named("registration", number)
        if told.held(REPRESENTATIVE, subject) != told.get("to"):
            yield from told.told("to", REPRESENTATIVE, subject)
            yield from changed(told, number, "representative")
    if told.get("login"):
        yield from told.told("to", REGISTRY_LOGIN_HOLDER)


_EXPIRES = ActField("expires_on", EXPIRES_ON)

REGISTRATION_ACTS: tuple[Act, ...] = (
    Act(
        "register",
        "aircraft",
        "it is registered, or added to a registration on file",
        (
            ActField("number", REGISTRATION, required=True, may_be_new=True),
            ActField("kind", REGISTRATION_KIND),
            ActField("registered_to", REGISTERED_TO, may_be_new=True, suggests=OWNER),
            ActField("representative", REPRESENTATIVE, may_be_new=True),
            ActField("listed_serial", LISTED_SERIAL, suggests=REMOTE_ID_SERIAL),
            _EXPIRES,
        ),
        _registered,
        follows=("buy",),
    ),
    Act("renew", "registration", "it is renewed", (_EXPIRES,), _renewed),
    Act(
        "file_change",
        "registration",
        "every change so far is filed with the registry",
        (
            ActField("aircraft", PART_OF, "Which aircraft is the serial number listed for?"),
            ActField("listed_serial", LISTED_SERIAL, "What Remote ID serial number is listed for it now?"),
        ),
        _filed,
        follows=("move_module", "fit_module", "register"),
    ),
    Act("cancel", "registration", "it is canceled", (), _cancelled),
    Act(
        "change_representative",
        "owner",
        "someone else becomes the organization's representative",
        (
            ActField(
                "to", REPRESENTATIVE, "Who represents the organization now?", required=True, may_be_new=True
            ),
            ActField("login", question="Does the new person have the FAA login too?"),
            FILED,
        ),
        _representative,
    ),
    Act(
        "change_login",
        "owner",
        "someone else gets the FAA login",
        (ActField("to", REGISTRY_LOGIN_HOLDER, "Who has the login now?", required=True, may_be_new=True),),
        _login,
    ),
)
"""The acts of a registration, and of the organization that holds one."""
