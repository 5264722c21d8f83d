"""Keys of which the program alone says something: of files that were imported."""

from __future__ import annotations

from airwrit.facts.key import Key

ROWS_UNREAD = Key(
    "rows_unread",
    int,
    "file",
    "how many rows of the file could not be read",
    "How many rows of the file could not be read?",
)

OWN_KEYS = (ROWS_UNREAD,)


def file_subject(sha256: str) -> str:
    """The name of a file as a subject: by the hash of its bytes, never by its own name."""
    return f"file/{sha256}"
