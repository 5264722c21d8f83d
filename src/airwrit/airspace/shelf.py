"""The folder of editions: what is on file, and which edition of a layer is in force on a day."""

from __future__ import annotations

import re
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

from airwrit.airspace.edition import Edition
from airwrit.airspace.kinds import AreaKind, kinds
from airwrit.airspace.store import as_bytes, from_file
from airwrit.base.errors import UsageError
from airwrit.base.whole_files import write_whole

TAIL = ".airspace"
_LAYER = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")
_NAME = re.compile(
    r"(?P<layer>[a-z0-9][a-z0-9-]{0,39})_(?P<kind>[a-z_]+)_(?P<on>\d{4}-\d{2}-\d{2})\.airspace"
)


class Shelved(NamedTuple):
    """An edition on file, by what the name of its file tells."""

    path: Path
    layer: str
    kind: AreaKind
    on: date


class ShelfState(StrEnum):
    """Whether a layer can answer for a day."""

    CURRENT = "current"
    OLD = "old"
    MISSING = "missing"
    DAMAGED = "damaged"


class ForDay(NamedTuple):
    """A layer on a day: the edition that was in force last, if any, and whether it still was."""

    kind: AreaKind
    layer: str
    state: ShelfState
    edition: Shelved | None


def shelve(folder: Path, edition: Edition) -> tuple[Path, bool]:
    """Keep an edition; its file, and whether it is new. UsageError where that day's edition of the layer says otherwise."""
    if not _LAYER.fullmatch(edition.layer):
        raise UsageError(
            f"{edition.layer!r} can't be a layer name",
            where="--layer",
            do="use lowercase letters, digits and hyphens",
        )
    path = folder / f"{edition.layer}_{edition.kind.value}_{edition.on}{TAIL}"
    folder.mkdir(parents=True, exist_ok=True)
    try:
        write_whole(path, as_bytes(edition), private=False, new=True)
    except FileExistsError:
        if from_file(path).sources != edition.sources:
            raise UsageError(
                f"a different edition of {edition.on} is already on file, and an edition can't be changed",
                where=path.name,
                do="use another --layer name for these files. Both will count",
            ) from None
        return path, False
    return path, True


def shelved(folder: Path) -> list[Shelved]:
    """The editions on file, by layer and day. A file with another name is none."""
    found = []
    for path in sorted(folder.glob(f"*{TAIL}")):
        named = _NAME.fullmatch(path.name)
        if named and named["kind"] in list(AreaKind):
            found.append(
                Shelved(path, named["layer"], AreaKind(named["kind"]), date.fromisoformat(named["on"]))
            )
    return found


def for_day(folder: Path, day: date) -> list[ForDay]:
    """Each layer with its edition for a day. A kind that a flight needs is missing without one; any other just isn't there."""
    editions = shelved(folder)
    found: list[ForDay] = []
    for kind, facts in kinds().items():
        layers = sorted({one.layer for one in editions if one.kind is kind})
        for layer in layers:
            state = _of_layer(kind, layer, [one for one in editions if one[1:3] == (layer, kind)], day)
            if facts.needed or state.edition is not None:
                found.append(state)
        if not layers and facts.needed:
            found.append(ForDay(kind, kind.value, ShelfState.MISSING, None))
    return found


def _of_layer(kind: AreaKind, layer: str, editions: list[Shelved], day: date) -> ForDay:
    begun = [one for one in editions if one.on <= day]
    if not begun:
        return ForDay(kind, layer, ShelfState.MISSING, None)
    latest = max(begun, key=lambda one: one.on)
    ends = kinds()[kind].ends(latest.on)
    return ForDay(
        kind, layer, ShelfState.OLD if ends is not None and day >= ends else ShelfState.CURRENT, latest
    )
