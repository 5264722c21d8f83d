"""Keys of which the program alone says something: imported files, the log, duties, what is taken out on request, and holds.

What is taken out on request: who asked, who approved and why; the files that went; the holds that stand in the way. No key
holds what was taken out.
"""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum

from airwrit.facts.key import Key

ROWS_UNREAD = Key(
    "rows_unread",
    int,
    "file",
    "rows of the file we couldn't read",
    "How many rows of the file couldn't be read?",
)

STAMPED_AHEAD_FROM = Key(
    "stamped_ahead_from",
    int,
    "log",
    "first entry dated ahead by a wrong clock",
    "Which entry is the first one with a date from a clock that ran ahead?",
)

COLUMN_HOLDS = Key(
    "column_holds",
    str,
    "column",
    "what columns with this heading contain, as entered",
    "What does this column hold?",
)

MODEL_HOLDS = Key(
    "model_holds",
    str,
    "confirmed_model",
    "what was confirmed as true for every aircraft of this model",
    "What is true for every aircraft of this model?",
)

MODEL_CONFIRMED = Key(
    "model_confirmed",
    str,
    "confirmed_model",
    "who confirmed it for the model, and when",
    "Who confirmed it?",
)

TERRITORY_OF = Key(
    "territory_of",
    str,
    "territory",
    "flight held against the area of a rule of your own",
    "Which flight is held against the area?",
    links_to="flight",
)

TERRITORY_HOLDS = Key(
    "territory_holds",
    bool,
    "territory",
    "whether the whole flight lies in the area of the rule",
    "Does the whole flight lie in the area?",
)

TERRITORY_MARGIN = Key(
    "territory_margin_ft",
    Decimal,
    "territory",
    "least distance between the flight and the edge of the area",
    "How far is the flight from the edge of the area?",
    unit="ft",
)


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
    "whose private facts, or which entries, to remove",
    "Whose private facts, or which entries, do you want to remove?",
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
    "reason for removing it",
    "Why is it removed?",
)
REQUEST_ENTRIES = Key(
    "request_entries",
    str,
    "request",
    "numbers of the entries removed",
    "Which entries were removed?",
    digits=True,
)

FILE_TAKEN_OUT = Key(
    "file_taken_out",
    str,
    "file",
    "request that removed the file",
    "Which request removed the file?",
    digits=True,
)
FILE_CALLED = Key(
    "file_called",
    str,
    "file",
    "name of the file, without what was removed",
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

OWN_KEYS = (
    ROWS_UNREAD,
    STAMPED_AHEAD_FROM,
    COLUMN_HOLDS,
    MODEL_HOLDS,
    MODEL_CONFIRMED,
    TERRITORY_OF,
    TERRITORY_HOLDS,
    TERRITORY_MARGIN,
    *TAKING_KEYS,
)

DUTY_DONE_BY = Key(
    "duty_done_by",
    str,
    "duty",
    "person who does it",
    "Who does it?",
    ("duty done by",),
    links_to="person",
)

DUTY_KEYS = (DUTY_DONE_BY,)


def model_subject(fact: str, model: str) -> str:
    """A fact of aircraft of one model, as a subject."""
    return f"confirmed_model/{fact}: {model}"


def column_subject(table: str, heading: str) -> str:
    """The columns of one heading in tables of one kind, as a subject."""
    return f"column/{table}: {heading}"


def file_subject(sha256: str) -> str:
    """The name of a file as a subject: by the hash of its bytes, never by its own name."""
    return f"file/{sha256}"


def log_subject(name: str) -> str:
    """The log of a ledger as a subject."""
    return f"log/{name}"


def request_subject(number: int) -> str:
    """The name of a request as a subject, by the entry that keeps it."""
    return f"request/{number}"


def hold_subject(number: int) -> str:
    """The name of a hold as a subject, by the entry that set it."""
    return f"hold/{number}"


def digest_of(subject: str) -> str:
    """The SHA-256 in the name of a kept file as a subject."""
    return subject.partition("/")[2]
