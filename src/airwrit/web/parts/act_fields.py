"""The fields of an act as a form shows them, what is wrong with what was filled in, and the thought that it makes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.act import Act
from airwrit.answers.acts.catalog import ActRequest, FieldShown
from airwrit.base.days import parse_day
from airwrit.base.errors import BadFact, UsageError
from airwrit.base.sentences import sentence
from airwrit.facts.key import YES_NO, value_of
from airwrit.facts.vocabulary import subject_named

DAY, NAME = "day", "name"
_LISTED = 60
_UNITS = {"g": "grams", "lb": "pounds", "ft": "feet"}


class FieldForm(NamedTuple):
    """A field as the form shows it: its name, question, widget, and what may be chosen."""

    name: str
    asks: str
    widget: str
    choices: tuple[str, ...]
    required: bool
    hint: str


def names_of(act: Act) -> tuple[str, ...]:
    """The names of all fields of an act's form."""
    return (NAME, DAY, *(field.name for field in act.fields))


def suggested(fields: tuple[FieldShown, ...]) -> dict[str, str]:
    """What the fields hold before anybody types."""
    told = {one.field.name: one.suggestion for one in fields if one.suggestion is not None}
    return {
        name: ("yes" if one else "no") if isinstance(one, bool) else str(one) for name, one in told.items()
    }


def thought_of(act: Act, subject: str, values: Mapping[str, str]) -> ActRequest:
    """The act as filled in. ValueError on a day that is none."""
    told = {field.name: values[field.name] for field in act.fields if values.get(field.name)}
    return ActRequest(
        act.name, subject or subject_named(act.about, values.get(NAME, "")), told, parse_day(values[DAY])
    )


def wrong_in(act: Act, subject: str, values: Mapping[str, str]) -> dict[str, str]:
    """What is wrong with each field by itself."""
    wrong: dict[str, str] = {}
    if not subject and not values.get(NAME):
        wrong[NAME] = f"enter the name of the {act.about}"
    try:
        parse_day(values.get(DAY, ""))
    except ValueError:
        wrong[DAY] = "enter the date it happened, like 2026-05-31"
    for field in act.fields:
        text = values.get(field.name, "")
        if not text and field.required:
            wrong[field.name] = f"we need this: {field.asks[:1].lower()}{field.asks[1:]}"
        elif text and not field.names and field.key is not None:
            try:
                value_of(field.key, YES_NO.get(text.lower(), text) if field.kind is bool else text)
            except BadFact as fault:
                wrong[field.name] = f"we can't use {text[:60]!r}. {sentence(fault.do)}"
    return wrong


def field_at_fault(act: Act, fault: UsageError | BadFact) -> str:
    """The field of the form that a fault is about; empty for the whole."""
    return next((field.name for field in act.fields if field.name == fault.field), "")


def field_shown(one: FieldShown) -> FieldForm:
    """A field with the widget that fits it."""
    field, choices = one.field, tuple(one.choices)
    if field.kind is bool:
        widget = "radios"
    elif field.names:
        widget = "select" if choices and len(choices) <= _LISTED and not field.may_be_new else "text"
    elif field.words:
        widget = "select"
    else:
        widget = "date" if field.kind is date else "number" if field.unit else "text"
    hint = f"in {_UNITS.get(field.unit, field.unit)}" if field.unit else ""
    return FieldForm(field.name, field.asks, widget, choices[:500], field.required, hint)
