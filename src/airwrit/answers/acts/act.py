"""What an act is: a life event with its fields, and the pure function that says what it puts on record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any, TypeVar

from airwrit.base.errors import UsageError
from airwrit.facts.key import Key, raw_of
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import id_of, subject_named

T = TypeVar("T")

YES_OR_NO = ("yes", "no")


@dataclass(frozen=True, slots=True)
class ActField:
    """One thing an act is told: its name, its question, and the key whose kind of value it takes; no key: yes or no.

    `links_to` is the kind of subject that is named, where one is; `may_be_new` allows a subject not on file yet.
    `suggests` is the fact of the act's subject that a form may fill in beforehand; nothing else ever takes it as told.
    """

    name: str
    key: Key[Any] | None = None
    question: str = ""
    required: bool = False
    may_be_new: bool = False
    links_to: str = ""
    suggests: Key[Any] | None = None

    @property
    def kind(self) -> type[Any]:
        """The type of its values."""
        return bool if self.key is None else self.key.kind

    @property
    def unit(self) -> str:
        """The unit a number is given in; empty where there is none."""
        return "" if self.key is None else self.key.unit

    @property
    def asks(self) -> str:
        """The question in plain words: the field's own, else the key's."""
        return self.question or ("" if self.key is None else self.key.question)

    @property
    def names(self) -> str:
        """The kind of subject the field names; empty where it takes a plain value."""
        return self.links_to or ("" if self.key is None else self.key.links_to)

    @property
    def words(self) -> tuple[str, ...]:
        """The closed list of values, where there is one."""
        if self.kind is bool:
            return YES_OR_NO
        return tuple(self.kind) if issubclass(self.kind, StrEnum) else ()


@dataclass(frozen=True, slots=True)
class ActInput:
    """What an act's function sees: how things stood on the day, the subject, the day, and the typed values told."""

    state: State
    subject: str
    on: date
    values: Mapping[str, Any]

    @property
    def name(self) -> str:
        """The subject without its kind."""
        return id_of(self.subject)

    def get(self, field: str) -> Any:
        """The typed value of a field; None when it was left open."""
        return self.values.get(field)

    def held(self, key: Key[T], subject: str = "") -> T | None:
        """What was on file on the day; None for nothing and for what cannot be told."""
        return value_held(self.state, subject or self.subject, key)

    def speaks(self, key: Key[Any], subject: str = "") -> bool:
        """Whether anything at all was on file on the day, even what cannot be told."""
        return key in self.state.held.get(subject or self.subject, {})

    def says(self, key: Key[Any], value: object, subject: str = "") -> Statement:
        """A statement that holds from the day on."""
        return Statement(subject or self.subject, key.name, raw_of(value), self.on)

    def told(self, field: str, key: Key[Any], subject: str = "") -> list[Statement]:
        """What a field says of a key from the day on; nothing when it was left open."""
        value = self.get(field)
        return [] if value is None else [self.says(key, value, subject)]

    def ends(self, *keys: Key[Any], subject: str = "") -> list[Statement]:
        """For each fact on file on the day, that it ended; nothing where there is none to end."""
        return [self.says(key, None, subject) for key in keys if self.speaks(key, subject)]

    def event(self, kind: str, what: str) -> str:
        """The name of an event of this day that is a subject of its own; the same event has the same name."""
        return subject_named(kind, f"{what}, {self.on}")


Makes = Callable[[ActInput], Iterable[Statement]]


@dataclass(frozen=True, slots=True)
class Act:
    """A life event: its name, the kind of subject it is about, what it means, what it asks, and what it puts on record.

    `follows` are the acts it may come after on the same day: it then takes the place of what they said of the same facts.
    Two acts of a day that do not follow each other contradict, as all that is said of the same day does.
    """

    name: str
    about: str
    meaning: str
    fields: tuple[ActField, ...]
    makes: Makes
    follows: tuple[str, ...] = ()
    may_be_new: bool = False

    def field(self, name: str) -> ActField | None:
        """The field of that name."""
        return next((field for field in self.fields if field.name == name), None)


def refused(what: str, do: str, where: str = "", field: str = "") -> UsageError:
    """The error of an act that cannot be."""
    return UsageError(what, where=where, do=do, field=field)
