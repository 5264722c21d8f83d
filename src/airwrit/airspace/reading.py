"""Editions out of files: what each file is, of which kind, and everything in it as cells of the grid or as areas."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

from airwrit.airspace.areas import packed
from airwrit.airspace.cells import read_cells
from airwrit.airspace.edition import Edition, EditionSource
from airwrit.airspace.grid import grid_of, told_twice
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.problems import FeatureFault, FeatureProblem
from airwrit.airspace.readers.airports import effective_of_row
from airwrit.airspace.readers.features import Feature
from airwrit.airspace.readers.files import FeatureFile, bytes_of_file, open_features
from airwrit.airspace.volumes import read_volumes
from airwrit.base.errors import UsageError


@cache
def field_names() -> dict[str, Any]:
    """What the fields of published files are called."""
    return tomllib.loads(Path(__file__).with_name("fields.toml").read_text(encoding="utf-8"))


def read_edition(paths: Sequence[Path], kind: AreaKind | None, layer: str | None, on: date) -> Edition:
    """The edition that files make up. UnreadableFile or UsageError says why one can't be taken."""
    files: list[FeatureFile] = []
    sources: list[EditionSource] = []
    for path in paths:
        data = bytes_of_file(path)
        sources.append(EditionSource(path.name, hashlib.sha256(data).hexdigest()))
        files.append(open_features(path, data, field_names()["zones"]))
    features = chain.from_iterable(file.features for file in files)
    first = next(features, None)
    kind = kind or files[0].kind or _kind_of(first, paths[0])
    _check_day(on, [file.effective for file in files] + [None if first is None else effective_of_row(first)])
    empty = Edition(
        kind, layer or kind.value.replace("_", "-"), on, tuple(sources), grid_of([]), packed([]), ()
    )
    every = chain(() if first is None else (first,), features)
    read = (_with_cells if kind is AreaKind.GRID else _with_volumes)(empty, every)
    return replace(read, problems=read.problems + _of_files(files, is_empty=first is None))


def _check_day(on: date, told: Iterable[date | None]) -> None:
    """UsageError where a file says that it takes effect later than the edition would."""
    latest = max((day for day in told if day is not None), default=on)
    if latest > on:
        raise UsageError(
            f"the data takes effect {latest}, but you asked to add it from {on}",
            where="--edition",
            do=f"use --edition {latest}",
        )


def _with_cells(edition: Edition, features: Iterable[Feature]) -> Edition:
    read = read_cells(features, field_names())
    _check_day(edition.on, [read.effective])
    twice = [
        FeatureProblem(FeatureFault.TWO_NUMBERS, f"cell {place}", f"{low} and {high} ft")
        for place, low, high in told_twice(read.cells)
    ]
    return replace(
        edition, grid=grid_of(read.cells), areas=packed(read.areas), problems=(*read.problems, *twice)
    )


def _with_volumes(edition: Edition, features: Iterable[Feature]) -> Edition:
    areas, problems = read_volumes(features, edition.kind, field_names())
    return replace(edition, areas=packed(areas), problems=tuple(problems))


def _of_files(files: list[FeatureFile], *, is_empty: bool) -> tuple[FeatureProblem, ...]:
    """Problems of whole files: nothing in them, or every one cut short by the server it came from."""
    found = []
    if is_empty:
        found.append(FeatureProblem(FeatureFault.NO_CONTENT, files[0].name))
    if all(file.is_cut_short() for file in files):
        found.append(FeatureProblem(FeatureFault.CUT_SHORT, files[-1].name))
    return tuple(found)


_KINDS_BY_FIELDS = (
    (("CEILING", "UNIT"), AreaKind.GRID),
    (("FLOOR", "CEILING", "PROPONENT"), AreaKind.SECURITY),
    (("FLOOR", "CEILING", "FACILITY"), AreaKind.SECURITY),
    (("SERVCITY", "IDENT"), AreaKind.AIRPORT),
    (("STATUS_CODE", "OPENING_ON"), AreaKind.STADIUM),
)
"""Fields that only one published layer has, as far as they are known."""


def _kind_of(first: Feature | None, path: Path) -> AreaKind:
    """The kind that the fields of the first feature tell."""
    fields = {} if first is None else first.fields
    if "UPPER_VAL" in fields and "TYPE_CODE" in fields:
        return AreaKind.CLASS if fields["TYPE_CODE"] == "CLASS" else AreaKind.SPECIAL
    for names, kind in _KINDS_BY_FIELDS:
        if fields.keys() >= set(names):
            return kind
    raise UsageError(
        "we can't tell from its fields what is in the file",
        where=str(path),
        do=f"add --kind with one of these: {', '.join(one.value for one in AreaKind if one is not AreaKind.NOTICE)}",
    )
