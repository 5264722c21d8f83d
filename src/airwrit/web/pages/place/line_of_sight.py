"""What geometry tells of sight: how far, how large the aircraft looks, whether the ground hides it. Nothing is kept."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.document import SCOPE_OF_SIGHT
from airwrit.answers.site.sight import (
    SightAsked,
    assumptions,
    sight_json,
    sight_of,
    sight_sentences,
)
from airwrit.base.verdict import Verdict
from airwrit.web.parts.place_fields import PlaceFields
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST = 2_000


@dataclass(frozen=True, slots=True)
class SightPage:
    """The page: the form, and the answer with what was taken for granted, where all was given."""

    form: Typed
    verdict: Verdict | None = None
    says: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def show(visit: Visit) -> Answer:
    """The form; with its fields in the address the answer."""
    fields = PlaceFields({name: text.strip()[:_LONGEST] for name, text in visit.query.items()})
    asked = _asked(fields) if any(fields.said.get(name) for name in ("pilot", "area")) else None
    form = Typed(fields.said, fields.wrong)
    if asked is None:
        page = SightPage(form)
        return form.sheet(
            "line_of_sight.html",
            "Line of sight",
            page,
            lambda: form.unanswered("line_of_sight", SCOPE_OF_SIGHT),
        )
    answer = sight_of(visit.desk.ledger.parent / "terrain", asked)
    page = SightPage(form, answer.verdict, tuple(sight_sentences(answer)), tuple(assumptions()))
    return PageSheet("line_of_sight.html", "Line of sight", page, lambda: sight_json(answer))


def _asked(fields: PlaceFields) -> SightAsked | None:
    """What is asked; None, with what is wrong noted at the fields, where it can't be read."""
    pilot, area, height = fields.place("pilot"), fields.area("area"), fields.meters("height")
    size, visibility = fields.meters("size"), fields.meters("visibility")
    fields.need("pilot", "area", "height")
    if fields.wrong or pilot is None or area is None or height is None:
        return None
    return SightAsked(pilot, area, height, size, visibility)
