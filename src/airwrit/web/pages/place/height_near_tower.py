"""Height near a tower: how high you may fly next to a tower or building. Nothing is saved."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.document import SCOPE_OF_STRUCTURE
from airwrit.answers.site.structure import (
    StructureAsked,
    feet_of,
    structure_json,
    structure_of,
    structure_sentences,
    top_ft,
)
from airwrit.base.errors import AirwritError
from airwrit.base.measured import with_error
from airwrit.base.verdict import Verdict
from airwrit.web.parts.place_fields import PlaceFields
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST = 2_000
_CONTROLLED = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True)
class StructurePage:
    """The page: the form, and the answer where all was given."""

    form: Typed
    verdict: Verdict | None = None
    says: tuple[str, ...] = ()


def show(visit: Visit) -> Answer:
    """The form; with its fields in the address the answer."""
    fields = PlaceFields({name: text.strip()[:_LONGEST] for name, text in visit.query.items()})
    asked = _asked(fields, visit) if any(fields.said.get(name) for name in ("place", "area")) else None
    form = Typed(fields.said, fields.wrong)
    if asked is None:
        return form.sheet(
            "height_near_tower.html",
            "Height near a tower",
            StructurePage(form),
            lambda: form.unanswered("structure", SCOPE_OF_STRUCTURE),
        )
    answer = structure_of(asked)
    page = StructurePage(form, answer.verdict, tuple(structure_sentences(answer)))
    return PageSheet("height_near_tower.html", "Height near a tower", page, lambda: structure_json(answer))


def _asked(fields: PlaceFields, visit: Visit) -> StructureAsked | None:
    """What is asked; None, with what is wrong noted at the fields, where it can't be read."""
    place, area, height = fields.place("place"), fields.area("area"), fields.meters("height")
    top, authorized = fields.meters("top"), fields.meters("authorized")
    above_sea, ground = (fields.meters(name, below_zero=True) for name in ("top_above_sea", "ground"))
    errors = [feet_of(fields.meters(f"{name}_error") or 0.0) for name in ("top", "height", "position")]
    fields.need("place", "area", "height")
    if fields.wrong or place is None or area is None or height is None:
        return None
    try:
        feet = top_ft(top, above_sea, ground)
    except AirwritError as fault:
        fields.wrong[fault.field] = fault.says
        return None
    return StructureAsked(
        place,
        with_error(feet, errors[0]),
        area,
        with_error(feet_of(height), errors[1]),
        visit.asked.on,
        errors[2],
        _CONTROLLED.get(fields.said.get("controlled", "")),
        None if authorized is None else feet_of(authorized),
    )
