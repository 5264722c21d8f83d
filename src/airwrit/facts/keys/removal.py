"""Keys of what is taken out on request: who asked, who approved and why; the files that went; holds that stand in the way.

None of them ever holds what was taken out.
"""

from __future__ import annotations

from enum import StrEnum

from airwrit.facts.key import Key


class HoldKind(StrEnum):
    """Why a record has to stay. Source: 49 CFR 830.10 for a reported accident or incident; the others are common practice."""

    INCIDENT = "incident"
    ACCIDENT_RECORDS = "accident or incident reported to the NTSB"
    LITIGATION = "litigation"
    PUBLIC_RECORDS = "public-records retention"


HOLD_OF = Key(
    "hold_of",
    str,
    "hold",
    "record to keep, as kind/name; `all` for the whole ledger",
    "Which record has to be kept?",
)
HOLD_KIND = Key(
    "hold_kind",
    HoldKind,
    "hold",
    "kind of hold",
    "Is it for an incident, a reported accident, litigation, or public-records retention?",
)
HOLD_SET_BY = Key(
    "hold_set_by",
    str,
    "hold",
    "who set the hold",
    "Who sets the hold?",
)
HOLD_WHY = Key(
    "hold_why",
    str,
    "hold",
    "reason for the hold",
    "Why does the record have to be kept?",
)
HOLD_RELEASED_BY = Key(
    "hold_released_by",
    str,
    "hold",
    "who released the hold",
    "Who releases the hold?",
)
HOLD_RELEASED_WHY = Key(
    "hold_released_why",
    str,
    "hold",
    "reason the hold was released",
    "Why is the hold released?",
)

REQUEST_ABOUT = Key(
    "request_about",
    str,
    "request",
    "whose private facts, or which entries, to take out",
    "Whose private facts, or which entries, do you want to take out?",
)
REQUEST_ASKED_BY = Key(
    "request_asked_by",
    str,
    "request",
    "who asked for it",
    "Who asked for it?",
)
REQUEST_APPROVED_BY = Key(
    "request_approved_by",
    str,
    "request",
    "who approved it",
    "Who approved it?",
)
REQUEST_WHY = Key(
    "request_why",
    str,
    "request",
    "reason for taking it out",
    "Why is it taken out?",
)
REQUEST_ENTRIES = Key(
    "request_entries",
    str,
    "request",
    "numbers of the entries taken out",
    "Which entries were taken out?",
    digits=True,
)

FILE_TAKEN_OUT = Key(
    "file_taken_out",
    str,
    "file",
    "request that took the file out",
    "Which request took the file out?",
    digits=True,
)
FILE_CALLED = Key(
    "file_called",
    str,
    "file",
    "name of the file, without what was taken out",
    "What was the file called?",
)

TAKING_KEYS = (
    HOLD_OF,
    HOLD_KIND,
    HOLD_SET_BY,
    HOLD_WHY,
    HOLD_RELEASED_BY,
    HOLD_RELEASED_WHY,
    REQUEST_ABOUT,
    REQUEST_ASKED_BY,
    REQUEST_APPROVED_BY,
    REQUEST_WHY,
    REQUEST_ENTRIES,
    FILE_TAKEN_OUT,
    FILE_CALLED,
)


def request_subject(number: int) -> str:
    """The name of a request as a subject, by the entry that keeps it."""
    return f"request/{number}"


def hold_subject(number: int) -> str:
    """The name of a hold as a subject, by the entry that set it."""
    return f"hold/{number}"


def digest_of(subject: str) -> str:
    """The SHA-256 in the name of a kept file as a subject."""
    return subject.partition("/")[2]
