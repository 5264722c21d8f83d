"""Whether the program has an aircraft and may use it, and what in a sheet was not understood and may matter.

A text that was not understood holds up every yes about its aircraft, registration or person until somebody who knows says
that it does not matter. Saying so releases that very text, and no other.
"""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from airwrit.facts.choices import ServiceStatus
from airwrit.facts.key import Key

SERVICE_STATUS = Key(
    "service_status",
    ServiceStatus,
    "aircraft",
    "service status",
    "Is it in service, out of service, loaned out, retired, sold, destroyed or lost?",
    ("in service or not", "service status"),
)
ACQUIRED_ON = Key(
    "acquired_on",
    date,
    "aircraft",
    "date you got it",
    "When did you get it?",
    ("acquired on", "acquired", "purchased", "purchased on", "purchase date", "bought on", "date acquired"),
    lasting=True,
)
INSPECTION_DUE_ON = Key(
    "inspection_due_on",
    date,
    "aircraft",
    "date its next inspection is due",
    "When is its next inspection due?",
    ("inspection due", "next inspection", "inspection due on"),
)

NOT_UNDERSTOOD: Key[tuple[str, ...]] = Key(
    "not_understood",
    tuple,
    "aircraft",
    "notes about it that we couldn't read",
    "What does this cell say about the aircraft?",
    ("not understood",),
)
DOES_NOT_MATTER: Key[tuple[str, ...]] = Key(
    "does_not_matter",
    tuple,
    "aircraft",
    "notes about it that don't affect its status",
    "Does this text affect whether it may fly?",
    ("does not matter",),
)
PERSON_NOT_UNDERSTOOD: Key[tuple[str, ...]] = Key(
    "person_not_understood",
    tuple,
    "pilot",
    "notes about the person that we couldn't read",
    "What does this cell say about the person?",
    ("not understood",),
)
PERSON_DOES_NOT_MATTER: Key[tuple[str, ...]] = Key(
    "person_does_not_matter",
    tuple,
    "pilot",
    "notes about the person that don't affect their status",
    "Does this text affect whether the person may fly?",
    ("does not matter",),
)
REGISTRATION_NOT_UNDERSTOOD: Key[tuple[str, ...]] = Key(
    "registration_not_understood",
    tuple,
    "registration",
    "notes about the registration that we couldn't read",
    "What does this cell say about the registration?",
    ("registration not understood",),
)
REGISTRATION_DOES_NOT_MATTER: Key[tuple[str, ...]] = Key(
    "registration_does_not_matter",
    tuple,
    "registration",
    "notes about the registration that don't affect its status",
    "Does this text affect whether the registration is good?",
    ("registration does not matter",),
)


class HoldKeys(NamedTuple):
    """The facts that hold up a kind of subject: what was not understood, and which of that does not matter."""

    text: Key[tuple[str, ...]]
    released: Key[tuple[str, ...]]


HOLDS = {
    "aircraft": HoldKeys(NOT_UNDERSTOOD, DOES_NOT_MATTER),
    "person": HoldKeys(PERSON_NOT_UNDERSTOOD, PERSON_DOES_NOT_MATTER),
    "registration": HoldKeys(REGISTRATION_NOT_UNDERSTOOD, REGISTRATION_DOES_NOT_MATTER),
}
"""By kind of subject."""

GONE = (
    ServiceStatus.LOANED_OUT,
    ServiceStatus.RETIRED,
    ServiceStatus.SOLD,
    ServiceStatus.DESTROYED,
    ServiceStatus.LOST,
    ServiceStatus.RETURNED,
)
"""What an aircraft is that the program does not have to fly."""

SERVICE_KEYS = (SERVICE_STATUS, ACQUIRED_ON, INSPECTION_DUE_ON, NOT_UNDERSTOOD, DOES_NOT_MATTER)
PERSON_HOLD_KEYS = (PERSON_NOT_UNDERSTOOD, PERSON_DOES_NOT_MATTER)
REGISTRATION_HOLD_KEYS = (REGISTRATION_NOT_UNDERSTOOD, REGISTRATION_DOES_NOT_MATTER)
