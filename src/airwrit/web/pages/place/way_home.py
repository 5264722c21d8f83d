"""The way home against the wind, out of a form. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from airwrit.answers.document import SCOPE_OF_HOME
from airwrit.answers.site.way_home import WayHome, home_json, home_lines, way_home, way_typed
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST = 40


@dataclass(frozen=True, slots=True)
class WayHomePage:
    """The page: the form, and the answer where all was given."""

    form: Typed
    verdict: Verdict | None = None
    lines: tuple[str, ...] = ()


def show(visit: Visit) -> Answer:
    """The form; with its fields in the address the answer."""
    said = {name: text.strip()[:_LONGEST] for name, text in visit.query.items()}
    wrong: dict[str, str] = {}
    told = _told(said, wrong) if said.get("airspeed") else None
    if told is None:
        form = Typed({"reserve": "25%", **said}, wrong)
        return form.sheet(
            "way_home.html", "Way home", WayHomePage(form), lambda: form.unanswered("way_home", SCOPE_OF_HOME)
        )
    found = way_home(told)
    page = WayHomePage(Typed(said), found.verdict, tuple(home_lines(told, found)))
    return PageSheet("way_home.html", "Way home", page, lambda: home_json(told, found))


def _told(said: Mapping[str, str], wrong: dict[str, str]) -> WayHome | None:
    try:
        told = way_typed(said)
        way_home(told)
    except AirwritError as fault:
        wrong[fault.where] = fault.says
        return None
    return told
