"""A place as typed behind a command, where a longitude may look like an option."""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.base.errors import UsageError
from airwrit.base.places import Place, read_place

NEGATIVE_NUMBERS = {"ignore_unknown_options": True}
"""Settings of a command whose argument may begin with a minus."""


def typed_place(parts: Sequence[str], command: str) -> Place:
    """The place of the words of an argument. UsageError for an option that there isn't, BadPlace for no place."""
    return read_place(typed_words(parts, command))


def typed_words(parts: Sequence[str], command: str) -> str:
    """The words of an argument as one text. UsageError for an option that there isn't."""
    option = next((part for part in parts if part.startswith("--")), None)
    if option is not None:
        raise UsageError(f"there is no option called {option}", do=f"see `airwrit {command} --help`")
    return " ".join(parts)
