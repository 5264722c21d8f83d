"""Many sites at once: for each point of a list the number of the facility map, and every volume over it on a day."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

import numpy as np

from airwrit.airspace.areas import AreaFacts, Areas
from airwrit.airspace.here import AreasTouched, layers_on, times_of
from airwrit.airspace.holding import index_of
from airwrit.airspace.hours import ActiveState
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import HeightBand, Reach, shared
from airwrit.airspace.pages import NO_CELL, pages_of
from airwrit.answers.airspace.at import MapAnswer, answers_all, is_sure
from airwrit.answers.airspace.at_words import layer_of_day, words
from airwrit.answers.airspace.question import span_typed
from airwrit.answers.document import CAUTION, SCOPE_OF_AIRSPACE, Json
from airwrit.base.errors import BadPlace, UnreadableFile
from airwrit.base.places import Place, read_place
from airwrit.base.verdict import Verdict
from airwrit.geo.footprint import Floats
from airwrit.sky.zones import zone_of

MOST_SITES, MOST_BYTES = 200_000, 50_000_000
_NAME, _LATITUDE, _LONGITUDE = ("name", "site"), ("latitude", "lat"), ("longitude", "lon", "long", "lng")


class Site(NamedTuple):
    """A point of a list, and what it is called there."""

    name: str
    place: Place


class SiteAnswer(NamedTuple):
    """A site with what the facility map says of it, and the volumes over it that its heights may reach that day."""

    site: Site
    answer: MapAnswer
    lowest_ft: int | None
    volumes: tuple[tuple[AreaKind, AreaFacts], ...]


class SitesAnswer(NamedTuple):
    """The sites, and the layers that were looked at."""

    on: date
    height_ft: float
    sites: tuple[SiteAnswer, ...]
    layers: tuple[AreasTouched, ...]


def sites_in(path: Path) -> list[Site]:
    """The sites of a comma-separated list with a line of names. UnreadableFile says which line is no place."""
    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise UnreadableFile("the file is larger than 50 MB", where=path.name, do="split the list")
    rows = csv.reader(io.StringIO(data.decode("utf-8-sig", errors="replace"), newline=""))
    try:
        names = [name.strip().lower() for name in next(rows, [])]
        columns = [
            next((names.index(one) for one in wanted if one in names), None)
            for wanted in (_LATITUDE, _LONGITUDE)
        ]
        if columns[0] is None or columns[1] is None:
            raise UnreadableFile(
                "the list has no columns named latitude and longitude",
                where=path.name,
                do="put these names in its first line",
            )
        title = next((names.index(one) for one in _NAME if one in names), None)
        found = [(number, row) for number, row in enumerate(rows, 2) if any(row)]
    except csv.Error as error:
        raise UnreadableFile(
            f"we can't read it as a list ({error})", where=path.name, do="save it as .csv again"
        ) from None
    if len(found) > MOST_SITES:
        raise UnreadableFile(
            f"the file has {len(found):,} sites", where=path.name, do=f"use at most {MOST_SITES:,} at once"
        )
    return [_site(path, number, row, (columns[0], columns[1]), title) for number, row in found]


def _site(path: Path, number: int, row: Sequence[str], columns: tuple[int, int], title: int | None) -> Site:
    cells = [row[column] if column < len(row) else "" for column in columns]
    try:
        place = read_place(f"{cells[0]}, {cells[1]}")
    except BadPlace as fault:
        raise UnreadableFile(fault.what, where=f"{path.name} line {number}", do=fault.do) from None
    name = row[title] if title is not None and title < len(row) else ""
    return Site(name.strip() or f"line {number}", place)


def sites_answer(folder: Path, sites: Sequence[Site], on: date, height_ft: float) -> SitesAnswer:
    """What the editions in force on a day say of each site, from the ground up to a height."""
    layers = layers_on(folder, on, whole=True)
    latitudes, longitudes = (
        np.array([site.place[axis] for site in sites], dtype=np.float64) for axis in (0, 1)
    )
    numbers = np.full(len(sites), np.iinfo(np.int16).max, dtype=np.int16)
    volumes: list[list[tuple[AreaKind, AreaFacts]]] = [[] for _ in sites]
    for layer in layers:
        if layer.edition is None:
            continue
        _look_at(layer.edition.areas, layer.day.kind, (latitudes, longitudes), volumes)
        if len(layer.edition.grid.keys):
            found = pages_of(layer.edition.grid).lowest_ft(latitudes, longitudes)
            numbers = np.where(found == NO_CELL, numbers, np.minimum(numbers, found))
    sure = all(is_sure(layer) for layer in layers if layer.day.kind is AreaKind.GRID)
    return SitesAnswer(
        on,
        height_ft,
        tuple(
            _answer(site, int(number), over, on, height_ft, sure=sure)
            for site, number, over in zip(sites, numbers, volumes, strict=True)
        ),
        tuple(layers),
    )


def _look_at(
    areas: Areas,
    kind: AreaKind,
    places: tuple[Floats, Floats],
    volumes: list[list[tuple[AreaKind, AreaFacts]]],
) -> None:
    held = index_of(areas).holding(*places)
    facts = {area: areas.facts_of(area) for area in np.unique(held.areas).tolist()}
    for point, area in zip(held.points.tolist(), held.areas.tolist(), strict=True):
        volumes[point].append((kind, facts[area]))


def _answer(
    site: Site, number: int, over: list[tuple[AreaKind, AreaFacts]], on: date, height_ft: float, *, sure: bool
) -> SiteAnswer:
    odd = [facts.number_ft for kind, facts in over if kind is AreaKind.GRID and facts.number_ft is not None]
    lowest = min([number, *odd])
    answer = MapAnswer.HIGHEST if lowest else MapAnswer.ZERO
    if not sure:
        answer = MapAnswer.UNKNOWN
    elif lowest == np.iinfo(np.int16).max:
        answer = MapAnswer.NO_CELL
    zones = zone_of(site.place).infos
    span = span_typed(on, "", "", zones[0])
    met = [
        (kind, facts)
        for kind, facts in over
        if kind is not AreaKind.GRID
        and shared(facts.floor, facts.ceiling, HeightBand(0.0, height_ft), None).reach
        in (Reach.IN, Reach.CANT_TELL)
        and times_of(facts, span, zones).state is not ActiveState.NOT
    ]
    known = answer in (MapAnswer.HIGHEST, MapAnswer.ZERO)
    return SiteAnswer(site, answer, lowest if known else None, tuple(met))


def sites_json(answer: SitesAnswer) -> Json:
    """The document: each site with its number and its volumes, and the editions."""
    return {
        "question": "airspace sites",
        "scope": SCOPE_OF_AIRSPACE,
        "on": answer.on.isoformat(),
        "height_ft": answer.height_ft,
        "verdict": verdict_of_sites(answer).value,
        "sites": [
            {
                "name": one.site.name,
                **one.site.place._asdict(),
                "map": one.answer.value,
                "lowest_ft": one.lowest_ft,
                "volumes": [
                    {"kind": kind.value, "name": facts.name, "type": facts.type}
                    for kind, facts in one.volumes
                ],
            }
            for one in answer.sites
        ],
        "says": [said for layer in answer.layers for said in layer_of_day(layer)],
        "notes": [words()["note"]["sites"], words()["note"]["look"]],
        "caution": CAUTION,
    }


def verdict_of_sites(answer: SitesAnswer) -> Verdict:
    """Met where every layer could answer for the day; else unknown."""
    return Verdict.MET if answers_all(answer.layers) else Verdict.UNKNOWN
