"""An area that somebody types: a notice with its own text, an area of the program's own, a FRIA, a fixed site."""

from __future__ import annotations

import hashlib
import json
import re
from datetime import date, datetime
from typing import NamedTuple

from airwrit.airspace.areas import Area, AreaFacts, packed
from airwrit.airspace.edition import Edition, EditionSource
from airwrit.airspace.grid import grid_of
from airwrit.airspace.hours import WeeklyHours, read_hours
from airwrit.airspace.kinds import TYPED_KINDS, AreaKind
from airwrit.airspace.limits import OPEN, HeightLimit, is_upside_down, typed_limit
from airwrit.airspace.reading import field_names
from airwrit.airspace.shelf import Shelved
from airwrit.answers.airspace.question import footprint_typed, places_typed
from airwrit.base.errors import UsageError
from airwrit.base.sentences import day_words
from airwrit.sky.zones import Zone, instant_at, zone_of

MOST_TEXT = 5_000


class TypedArea(NamedTuple):
    """What somebody typed of an area; left out, a floor is the ground, a ceiling and a time have no end."""

    kind: AreaKind
    name: str
    where: str
    on: date
    radius_ft: float = 0.0
    is_area: bool = False
    floor: str = ""
    ceiling: str = ""
    begins: str = ""
    ends: str = ""
    hours: str = ""
    text: str = ""
    layer: str = ""


def edition_typed(typed: TypedArea) -> Edition:
    """The edition that holds the area alone. UsageError or BadPlace for what can't be meant: nothing typed is guessed at."""
    if typed.kind not in TYPED_KINDS:
        raise UsageError(
            f"{typed.kind.value} isn't something you can add by typing",
            where="kind",
            do=f"use one of {', '.join(one.value for one in TYPED_KINDS)}",
        )
    name = " ".join(typed.name.split())
    if not name or not name.isprintable() or len(name) > 200:
        raise UsageError("we can't use that name", where="name", do="enter one of at most 200 characters")
    places = places_typed(typed.where)
    footprint = footprint_typed(places, typed.radius_ft, is_area=typed.is_area)
    zone = zone_of(places[0])
    begins, ends = (
        _instant(text, zone, where) for text, where in ((typed.begins, "--begins"), (typed.ends, "--ends"))
    )
    if begins is not None and ends is not None and ends <= begins:
        raise UsageError("the end is before the start", where="--ends", do="enter a later end")
    floor, ceiling = _limits(typed)
    facts = AreaFacts(
        name,
        "typed",
        floor,
        ceiling,
        hours=typed.hours,
        weekly=_hours(typed.hours),
        begins=begins,
        ends=ends,
        text=_printable(typed.text),
    )
    told = json.dumps(typed, default=str).encode("utf-8")
    source = EditionSource(f"typed: {name}", hashlib.sha256(told).hexdigest())
    layer = typed.layer or layer_named(name)
    return Edition(
        typed.kind, layer, typed.on, (source,), grid_of([]), packed([Area(facts, (footprint,))]), ()
    )


def edition_ended(last: Shelved, on: date) -> Edition:
    """An edition of a typed layer that holds nothing more from a day on. UsageError for a layer that was not typed."""
    if last.kind not in TYPED_KINDS:
        raise UsageError(
            f"the layer {last.layer!r} has {last.kind.value} data, which you can't end by hand",
            where="layer",
            do="import a newer edition of it",
        )
    if on <= last.on:
        raise UsageError(
            f"its last edition is dated {day_words(last.on)}", where="--edition", do="use a later date"
        )
    source = EditionSource(f"ended: {last.layer}", hashlib.sha256(f"{last.layer} {on}".encode()).hexdigest())
    return Edition(last.kind, last.layer, on, (source,), grid_of([]), packed([]), ())


def layer_named(name: str) -> str:
    """A name for a layer out of the name of its area."""
    found = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40].strip("-")
    if not found:
        raise UsageError(
            f"{name!r} can't be made into a layer name",
            where="--layer",
            do="enter one with lowercase letters",
        )
    return found


def _limits(typed: TypedArea) -> tuple[HeightLimit, HeightLimit]:
    floor = typed_limit(typed.floor, field_names(), floor=True) if typed.floor else OPEN
    ceiling = typed_limit(typed.ceiling, field_names(), floor=False) if typed.ceiling else OPEN
    if is_upside_down(floor, ceiling) and ceiling != OPEN:
        raise UsageError(
            "the floor is above the ceiling", where="--floor", do="enter the lower one as the floor"
        )
    return floor, ceiling


def _hours(text: str) -> tuple[WeeklyHours, ...]:
    found = read_hours(text) if text else ()
    if found is None:
        raise UsageError(
            f"{text!r} aren't hours we can use",
            where="--hours",
            do='write them like "0800-1800 MON-FRI; 0900-1300 SAT", with Z for UTC, or leave them out',
        )
    return found


def _instant(text: str, zone: Zone, where: str) -> datetime | None:
    return instant_at(text, zone, where) if text else None


def _printable(text: str) -> str:
    if len(text) > MOST_TEXT:
        raise UsageError(
            f"the text has {len(text):,} characters", where="--text", do=f"use at most {MOST_TEXT:,}"
        )
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
