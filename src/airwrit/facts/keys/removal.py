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
    "the record that has to stay, as kind/name; `all` for the whole ledger",
    "Which record has to stay?",
)
HOLD_KIND = Key(
    "hold_kind",
    HoldKind,
    "hold",
    "what kind of hold it is",
    "Is it for an incident, records of a reported accident, litigation, or public-records retention?",
)
HOLD_SET_BY = Key(
    "hold_set_by",
    str,
    "hold",
    "the person who set the hold",
    "Who sets the hold?",
)
HOLD_WHY = Key(
    "hold_why",
    str,
    "hold",
    "why the record has to stay",
    "Why does the record have to stay?",
)
HOLD_RELEASED_BY = Key(
    "hold_released_by",
    str,
    "hold",
    "the person who released the hold",
    "Who releases the hold?",
)
HOLD_RELEASED_WHY = Key(
    "hold_released_why",
    str,
    "hold",
    "why the hold was released",
    "Why is the hold released?",
)

REQUEST_ABOUT = Key(
    "request_about",
    str,
    "request",
    "whose private facts, or which entries, were to be taken out",
    "Whose private facts, or which entries, are to be taken out?",
)
REQUEST_ASKED_BY = Key(
    "request_asked_by",
    str,
    "request",
    "the person who asked for it",
    "Who asked for it?",
)
REQUEST_APPROVED_BY = Key(
    "request_approved_by",
    str,
    "request",
    "the person who approved it",
    "Who approved it?",
)
REQUEST_WHY = Key(
    "request_why",
    str,
    "request",
    "why it was taken out",
    "Why is it taken out?",
)
REQUEST_ENTRIES = Key(
    "request_entries",
    str,
    "request",
    "the entries whose text was taken out, by their numbers",
    "Which entries were taken out?",
    digits=True,
)

FILE_TAKEN_OUT = Key(
    "file_taken_out",
    str,
    "file",
    "the request by which the bytes of a kept file were taken out",
    "By which request were its bytes taken out?",
    digits=True,
)
FILE_CALLED = Key(
    "file_called",
    str,
    "file",
    "what the file was called, where its name does not hold what was taken out",
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
