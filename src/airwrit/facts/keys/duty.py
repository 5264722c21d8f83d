"""The key of who does a kind of duty in the program."""

from __future__ import annotations

from airwrit.facts.key import Key

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
