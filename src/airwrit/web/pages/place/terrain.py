"""Terrain: the ground under an area by the tiles on file, and a height over it beside the limit. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from airwrit.answers.document import SCOPE_OF_TERRAIN
from airwrit.answers.site.terrain import HeightAbove, TerrainAnswer, TerrainAsked, terrain_of
from airwrit.answers.site.terrain_json import (
    area_words,
    ground_sentences,
    height_sentences,
    notes,
    terrain_json,
    tile_sentence,
)
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict
from airwrit.geo.terrain import tiles_on_file
from airwrit.web.parts.place_fields import PlaceFields
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, Visit

_LONGEST, _LONGEST_PLACES = 100, 20_000


@dataclass(frozen=True, slots=True)
class TerrainPage:
    """The page: the form, the tiles on file, and where a place was asked the heights and the ground."""

    form: Typed
    tiles: tuple[str, ...]
    asked: str = ""
    verdict: Verdict | None = None
    says: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def show(visit: Visit) -> Answer:
    """The form and the tiles on file; with a place in the address the ground there."""
    said = {
        name: text.strip()[: _LONGEST_PLACES if name == "place" else _LONGEST]
        for name, text in visit.query.items()
    }
    folder = visit.desk.ledger.parent / "terrain"
    tiles = tuple(tile_sentence(one) for one in tiles_on_file(folder))
    wrong: dict[str, str] = {}
    asked = _asked(said, visit, wrong) if said.get("place") else None
    answer = None
    if asked is not None:
        try:
            answer = terrain_of(folder, asked)
        except AirwritError as fault:
            wrong[fault.field or "place"] = fault.says
    form = Typed(said, wrong)
    if answer is None:
        view = TerrainPage(form, tiles)
        return form.sheet(
            "terrain.html", "Terrain", view, lambda: form.unanswered("terrain", SCOPE_OF_TERRAIN)
        )
    return form.sheet("terrain.html", "Terrain", _view(form, tiles, answer), lambda: terrain_json(answer))


def _view(form: Typed, tiles: tuple[str, ...], answer: TerrainAnswer) -> TerrainPage:
    says = (*height_sentences(answer), *ground_sentences(answer))
    return TerrainPage(form, tiles, area_words(answer.asked), answer.verdict, says, tuple(notes(answer)))


def _asked(said: Mapping[str, str], visit: Visit, wrong: dict[str, str]) -> TerrainAsked | None:
    """What is asked; None, with what is wrong noted at the fields, where it can't be read."""
    fields = PlaceFields(said, wrong)
    places, takeoff = fields.places("place"), fields.place("takeoff")
    radius, error = (fields.meters(name) for name in ("radius", "height_error"))
    height = fields.meters("height", below_zero=True)
    above = HeightAbove(said["above"]) if said.get("above") in list(HeightAbove) else HeightAbove.GROUND
    if above is HeightAbove.TAKEOFF and height is not None and takeoff is None:
        wrong.setdefault("takeoff", "Give the latitude and longitude of the takeoff point.")
    if wrong or places is None:
        return None
    return TerrainAsked(
        places,
        visit.asked.on,
        radius or 0.0,
        bool(said.get("area")),
        height,
        above,
        error or 0.0,
        takeoff,
    )
