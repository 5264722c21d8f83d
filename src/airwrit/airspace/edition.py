"""An edition: what the files of one day say, read once, and kept as one file that never changes.

The file is a zip of numpy arrays without pickled objects; `meta` is JSON in UTF-8.
"""

from __future__ import annotations

import hashlib
import io
import json
import tomllib
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from airwrit.airspace.areas import AreaFacts, Areas, packed
from airwrit.airspace.cells import read_cells
from airwrit.airspace.geojson import MOST_BYTES, Feature, GeoDocument, features_of, open_geojson
from airwrit.airspace.grid import Grid, grid_of, told_twice
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import HeightLimit, Reference
from airwrit.airspace.problems import UNPLACED, FeatureFault, FeatureProblem
from airwrit.airspace.volumes import read_volumes
from airwrit.base.errors import UnreadableFile, UsageError

FORM = 1


class EditionSource(NamedTuple):
    """A file that an edition was read from, by its name and the digest of its bytes."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Edition:
    """What one or more files of a day say, under the name of a layer."""

    kind: AreaKind
    layer: str
    on: date
    sources: tuple[EditionSource, ...]
    grid: Grid
    areas: Areas
    problems: tuple[FeatureProblem, ...]

    @property
    def has_gaps(self) -> bool:
        """Whether something of it has no place, so that nothing is sure anywhere."""
        return any(problem.fault in UNPLACED for problem in self.problems)


@cache
def field_names() -> dict[str, Any]:
    """What the fields of published files are called."""
    return tomllib.loads(Path(__file__).with_name("fields.toml").read_text(encoding="utf-8"))


def read_edition(paths: Sequence[Path], kind: AreaKind | None, layer: str | None, on: date) -> Edition:
    """The edition that GeoJSON files make up. UnreadableFile or UsageError says why one can't be taken."""
    documents: list[GeoDocument] = []
    sources: list[EditionSource] = []
    for path in paths:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        sources.append(EditionSource(path.name, hashlib.sha256(data).hexdigest()))
        documents.append(open_geojson(path, data))
    features = chain.from_iterable(map(features_of, documents))
    first = next(features, None)
    kind = kind or _kind_of(first, paths[0])
    empty = Edition(kind, layer or kind.value, on, tuple(sources), grid_of([]), packed([]), ())
    every = chain(() if first is None else (first,), features)
    read = (_with_cells if kind is AreaKind.GRID else _with_volumes)(empty, every)
    problems = _of_documents(documents, is_empty=first is None)
    return replace(read, problems=read.problems + problems)


def _with_cells(edition: Edition, features: Iterable[Feature]) -> Edition:
    read = read_cells(features, field_names())
    if read.effective is not None and read.effective > edition.on:
        raise UsageError(
            f"the map takes effect on {read.effective}, after {edition.on}",
            where="--edition",
            do=f"give --edition {read.effective}",
        )
    twice = [
        FeatureProblem(FeatureFault.TWO_NUMBERS, f"cell {place}", f"{low} and {high} ft")
        for place, low, high in told_twice(read.cells)
    ]
    return replace(
        edition,
        grid=grid_of(read.cells),
        areas=packed(read.areas),
        problems=(*read.problems, *twice),
    )


def _with_volumes(edition: Edition, features: Iterable[Feature]) -> Edition:
    areas, problems = read_volumes(features, field_names())
    return replace(edition, areas=packed(areas), problems=tuple(problems))


def _of_documents(documents: list[GeoDocument], *, is_empty: bool) -> tuple[FeatureProblem, ...]:
    """Problems of whole files: nothing in them, or every one cut short by the server it came from."""
    found = []
    if is_empty:
        found.append(FeatureProblem(FeatureFault.NO_CONTENT, documents[0].path.name))
    if all(document.is_cut_short for document in documents):
        found.append(FeatureProblem(FeatureFault.CUT_SHORT, documents[-1].path.name))
    return tuple(found)


def _kind_of(first: Feature | None, path: Path) -> AreaKind:
    """The kind that the fields of the first feature tell."""
    fields = {} if first is None else first.fields
    if "CEILING" in fields and "UPPER_VAL" not in fields:
        return AreaKind.GRID
    if "UPPER_VAL" in fields and "TYPE_CODE" in fields:
        return AreaKind.CLASS if fields["TYPE_CODE"] == "CLASS" else AreaKind.SPECIAL
    raise UsageError(
        "its fields don't tell what it holds", where=str(path), do="give --kind grid, class, special or own"
    )


def as_bytes(edition: Edition) -> bytes:
    """The file of an edition."""
    meta = {
        "form": FORM,
        "kind": edition.kind.value,
        "layer": edition.layer,
        "on": edition.on.isoformat(),
        "sources": edition.sources,
        "problems": edition.problems,
        "off": edition.grid.off,
        "areas": edition.areas.facts,
        "sizes": edition.areas.sizes,
    }
    held = io.BytesIO()
    np.savez_compressed(
        held,
        meta=np.frombuffer(json.dumps(meta).encode("utf-8"), dtype=np.uint8),
        keys=edition.grid.keys,
        numbers_ft=edition.grid.numbers_ft,
        points=edition.areas.points,
        boxes=edition.areas.boxes,
    )
    return held.getvalue()


def from_file(path: Path) -> Edition:
    """The edition of a file. UnreadableFile where it is damaged, or of a newer form."""
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as held:
            meta = json.loads(held["meta"].tobytes())
            if meta["form"] != FORM:
                raise UnreadableFile(
                    "was written by a newer airwrit", where=str(path), do="use that one, or import again"
                )
            tables = {name: held[name] for name in ("keys", "numbers_ft", "points", "boxes")}
        return Edition(
            AreaKind(meta["kind"]),
            str(meta["layer"]),
            date.fromisoformat(meta["on"]),
            tuple(EditionSource(*one) for one in meta["sources"]),
            Grid(tables["keys"], tables["numbers_ft"], int(meta["off"])),
            Areas(
                tuple(map(_facts, meta["areas"])),
                tuple(tuple(map(tuple, size)) for size in meta["sizes"]),
                tables["points"],
                tables["boxes"],
            ),
            tuple(map(_problem, meta["problems"])),
        )
    except (ValueError, KeyError, TypeError, zipfile.BadZipFile, EOFError, zipfile.LargeZipFile) as error:
        raise UnreadableFile(
            f"is damaged: {type(error).__name__}",
            where=str(path),
            do="delete it and import the edition again",
        ) from None


def _facts(held: list[Any]) -> AreaFacts:
    name, kind, floor, ceiling, number, hours, problems = held
    return AreaFacts(
        name, kind, _limit(floor), _limit(ceiling), number, hours, tuple(map(_problem, problems))
    )


def _limit(held: list[Any]) -> HeightLimit:
    return HeightLimit(int(held[0]), Reference(held[1]))


def _problem(held: list[Any]) -> FeatureProblem:
    return FeatureProblem(FeatureFault(held[0]), *held[1:])
