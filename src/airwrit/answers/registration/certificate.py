"""The registration of an aircraft as it stands: its certificate, its term, when it may be renewed, and what that gives."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.standing.json import finding_json
from airwrit.base.days import day_of
from airwrit.base.verdict import Undecided
from airwrit.facts.choices import RegistrationKind, UsedFor
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.registration import (
    CANCELLED_ON,
    EXPIRES_ON,
    ISSUED_ON,
    REGISTERED_TO,
    REGISTRATION_KIND,
    RENEWED_ON,
    REPRESENTATIVE,
    REVOKED_ON,
)
from airwrit.facts.state import Facts, State, value_held
from airwrit.facts.vocabulary import subject_named
from airwrit.law.aircraft.duty import kind_of
from airwrit.law.aircraft.renewal import (
    NEW_EXPIRY_RULE,
    REGISTRATION_IN_TERM_RULE,
    RENEWAL_WINDOW_RULE,
    Window,
    part_47_window,
    term_of,
    window_before,
)
from airwrit.law.parameters import Law
from airwrit.law.rule import Finding, judge

SHOWN = (
    REGISTRATION_KIND,
    ISSUED_ON,
    EXPIRES_ON,
    RENEWED_ON,
    REGISTERED_TO,
    REPRESENTATIVE,
    CANCELLED_ON,
    REVOKED_ON,
)
"""The facts of a certificate that are told one by one."""

_ASKED = (REGISTRATION_IN_TERM_RULE, RENEWAL_WINDOW_RULE, NEW_EXPIRY_RULE)


class Certificate(NamedTuple):
    """A certificate: its subject and number, the day its term ends, the days to renew, the findings, who else is under it.

    `ends_on` and `window` are None where they cannot be told.
    """

    subject: str
    number: str
    ends_on: date | None
    window: Window | None
    findings: tuple[Finding, ...]
    shared_with: tuple[str, ...]


def certificate_of(state: State, aircraft: str) -> Certificate | None:
    """The certificate that an aircraft stands under on the day; None where no number is on file."""
    number = value_held(state, aircraft, REGISTRATION)
    if number is None:
        return None
    subject, day = subject_named("registration", number), day_of(state.on)
    ends_on, window = _term(Facts(state, subject), Law(day))
    return Certificate(
        subject,
        number,
        ends_on,
        window,
        tuple(judge(rule, state, aircraft, UsedFor.WORK, day) for rule in _ASKED),
        tuple(other for other in state.holding(REGISTRATION, number) if other != aircraft),
    )


def _term(certificate: Facts, law: Law) -> tuple[date | None, Window | None]:
    try:
        expiry = term_of(certificate, law).expiry
        if kind_of(certificate) is RegistrationKind.PART_47:
            return expiry, part_47_window(expiry, law)
        return expiry, window_before(expiry, law)
    except Undecided:
        return None, None


def certificate_json(certificate: Certificate, state: State) -> Json:
    """A certificate as part of a document."""
    window = certificate.window
    return {
        "registration": certificate.number,
        "ends_on": None if certificate.ends_on is None else certificate.ends_on.isoformat(),
        "renewal_opens_on": None if window is None else window.opens.isoformat(),
        "renewal_closes_on": None if window is None else window.closes.isoformat(),
        "findings": [finding_json(finding, state) for finding in certificate.findings],
        "shared_with": list(certificate.shared_with),
    }
