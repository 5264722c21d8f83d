"""Keys of which the program alone says something: of imported files, of the log itself, and of takings out (`takings`)."""

from __future__ import annotations

from airwrit.facts.key import Key
from airwrit.facts.keys.removal import TAKING_KEYS

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
    "first entry stamped by a clock that ran ahead",
    "Which entry is the first that a fast clock stamped?",
)

COLUMN_HOLDS = Key(
    "column_holds",
    str,
    "column",
    "what columns of this heading hold, as somebody said",
    "What does this column hold?",
)

MODEL_HOLDS = Key(
    "model_holds",
    str,
    "confirmed_model",
    "what holds for aircraft of this model, as somebody confirmed",
    "What holds for this model?",
)

MODEL_CONFIRMED = Key(
    "model_confirmed",
    str,
    "confirmed_model",
    "who confirmed it for the model, and when",
    "Who confirmed it?",
)

OWN_KEYS = (ROWS_UNREAD, STAMPED_AHEAD_FROM, COLUMN_HOLDS, MODEL_HOLDS, MODEL_CONFIRMED, *TAKING_KEYS)


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
