"""Which facts never change, so that another value of the same file can only correct the first one.

The day on which something happened, the serial, maker and model, the number of a certificate, and everything said of a
flight, a test or training, or an incident: it was so, or it was said wrongly. Everything else may change with time.
"""

from __future__ import annotations

from airwrit.facts.vocabulary import kind_of

EVENTS = frozenset(("flight", "training", "incident", "change", "confirmation"))
"""Kinds of subject that happen once: nothing said of them changes."""

LASTING = frozenset(
    (
        "maker",
        "model",
        "airframe_serial",
        "applied_on",
        "acquired_on",
        "sold_on",
        "lost_on",
        "destroyed_on",
        "exported_on",
        "registration_kind",
        "issued_on",
        "cancelled_on",
        "revoked_on",
        "owner_born_on",
        "owner_died_on",
        "citizenship_lost_on",
        "certificate_number",
        "temporary_issued_on",
        "born_on",
        "left_on",
        "part_of",
        "part_name",
        "paper_kind",
        "paper_number",
        "granted_on",
        "fria_recognized_on",
    )
)
"""Names of the other facts that never change."""


def is_lasting(subject: str, key: str) -> bool:
    """Whether another value of this fact can only be a correction."""
    return key in LASTING or kind_of(subject) in EVENTS
