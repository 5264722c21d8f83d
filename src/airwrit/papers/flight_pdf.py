"""A planned flight on paper: the answer, the map, when and how high, what is confirmed and left, inspection and briefing."""

from __future__ import annotations

import re
from collections.abc import Iterable

from markupsafe import Markup

from airwrit.answers.before_flight.answer import FlightAnswer
from airwrit.answers.before_flight.flight_view import ChecklistText, ClauseText, HazardText, flight_view
from airwrit.answers.before_flight.view import ChangeText, WhoText, marks_of, side_text, words
from airwrit.answers.document import CAUTION, SCOPE_OF_FLIGHT
from airwrit.answers.drawings.flight_map import map_of, part_marks
from airwrit.answers.drawings.side import side_of
from airwrit.answers.drawings.side_view import SideView
from airwrit.answers.drawings.site_map import SiteMap
from airwrit.base.sentences import with_days
from airwrit.law.parameters import late_reading
from airwrit.papers.typeset import Json, paper_name, pdf_of, printable

TEMPLATE = "flight.typ"
_STYLE = (
    "path,rect{fill:none;stroke:#000}.halo{stroke:#fff;stroke-width:7}.flight{stroke-width:2.75}"
    ".controlled{stroke-width:1.75;stroke-dasharray:8 5}.notice{stroke-width:2}"
    ".other{stroke-width:1.25;stroke-dasharray:2 4}.cell{stroke-width:1;stroke-dasharray:1 4}"
    "text{fill:#000;stroke:none;font:13px 'Atkinson Hyperlegible'}.number,.degrees{text-anchor:middle}.name{font-weight:700}"
    ".county-line{stroke-width:1;stroke-dasharray:14 3 3 3}.county-name{text-anchor:middle;letter-spacing:.06em}"
    ".alone{text-anchor:end}.part{fill:#fff;stroke:#000;stroke-width:1.5}.part-name{text-anchor:middle;font-weight:700}"
    ".ground{stroke-width:1.75}.limit{stroke-dasharray:7 5}.side .flight{stroke-width:3.25}.under{stroke-dasharray:5 4}"
    ".wall{stroke-width:1.75}.hair{stroke:#bbb}.end,.cell-name{text-anchor:end}.mid,.far{text-anchor:middle}.post{stroke-width:2}"
)
_LABEL = re.compile(r' role="img" aria-label="[^"]*"')


def flight_pdf(answer: FlightAnswer, site: SiteMap, side: SideView, name: str = "") -> bytes:
    """The sheet as PDF: the same answer gives the same bytes."""
    plan = answer.check.plan
    day = plan.starts.astimezone(plan.zone.info).date()
    return pdf_of(TEMPLATE, sheet_words(answer, site, side, name) | {"paper": paper_name()}, day)


def sheet_words(answer: FlightAnswer, site: SiteMap, side: SideView, name: str) -> Json:
    """All that the sheet says, with its drawings, for the paper and the phone alike."""
    plan, view, said = answer.check.plan, flight_view(answer), words()
    day = plan.starts.astimezone(plan.zone.info).date()
    return {
        "title": printable(f"Flight {name}".strip(), 110),
        "program": "airwrit",
        "day": with_days(day.isoformat()),
        "foot": printable(f"flight {name}".strip(), 110),
        "scope": SCOPE_OF_FLIGHT,
        "caution": CAUTION,
        "late": late_reading(day),
        "says": printable(view.whole, 200),
        "plan": printable(view.plan, 400),
        "watch": [printable(line, 400) for line in view.watch],
        "map": _svg(map_of(site, part_marks(marks_of(answer.heights)))),
        "side": _svg(side_of(side)),
        "side_says": printable(side_text(side), 400),
        "who": list(map(_who, view.who)),
        "times": [printable(one, 300) for one in view.times[:8]],
        "height": [printable(line, 300) for line in view.height],
        "authority": [printable(line, 300) for line in view.authority],
        "around": [printable(line, 700) for line in view.around],
        "confirm": [
            {"asks": printable(one.asks, 200), "look": printable(one.look, 200)} for one in view.owed
        ],
        "holds": said["confirm"]["holds"],
        "fix": [_group(*view.fix)] if view.fix[1] else [],
        "rules": [_group(*one) for one in view.groups],
        "approval": printable(view.approval, 200),
        "hazards": list(map(_hazard, view.hazards)),
        "checklists": list(map(_checklist, view.checklists)),
        "changes": list(map(_change, view.changes)),
        "briefing": list(said["briefing"].values()),
    }


def _svg(drawing: Markup) -> str:
    """A drawing with its looks inside, black on white, as a picture of its own."""
    drawn = _LABEL.sub("", str(drawing))
    head, rest = drawn.split(">", 1)
    return f'{head} xmlns="http://www.w3.org/2000/svg"><style>{_STYLE}</style>{rest}'


def _who(one: WhoText) -> Json:
    return {
        "sign": one.verdict.value,
        "name": printable(one.name, 80),
        "status": printable(one.status, 80),
        "why": printable(with_days(one.why), 300),
    }


def _change(told: ChangeText) -> Json:
    return {
        "sign": told.verdict.value,
        "says": printable(with_days(told.says), 300),
        "then": printable(told.then, 300),
        "takes": told.takes,
        "lead": told.lead,
    }


def _hazard(one: HazardText) -> Json:
    return {
        "what": printable(one.what, 200),
        "before": one.before,
        "done": printable(one.done, 200),
        "after": one.after,
    }


def _checklist(told: ChecklistText) -> Json:
    lines = [{"says": printable(line.text, 200), "ticked": line.is_ticked} for line in told.lines]
    return {"title": printable(f"{told.title}: {told.says}", 200), "lines": lines}


def _group(title: str, clauses: Iterable[ClauseText]) -> Json:
    return {"title": title, "rows": list(map(_clause, clauses))}


def _clause(told: ClauseText) -> Json:
    return {
        "sign": told.verdict.value,
        "rule": printable(told.name.replace("_", " "), 60),
        "says": printable(with_days(told.says), 400),
        "cites": printable(told.cites, 80),
    }
