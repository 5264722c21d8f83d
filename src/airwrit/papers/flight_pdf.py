"""A planned flight on paper: the answer, the map, when and how high, what is confirmed and left, inspection and briefing."""

from __future__ import annotations

import re

from markupsafe import Markup

from airwrit.answers.before_flight.answer import FlightAnswer
from airwrit.answers.before_flight.changes import Change
from airwrit.answers.before_flight.check import Clause, FlightCheck, fact_of
from airwrit.answers.before_flight.checklists import ChecklistFound
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.risks import Hazard
from airwrit.answers.before_flight.view import (
    WhoText,
    approval_text,
    around_lines,
    authority_lines,
    change_text,
    checklist_text,
    checklist_title,
    clause_text,
    groups_of,
    height_lines,
    marks_of,
    plan_text,
    risk_text,
    side_text,
    times_lines,
    watch_lines,
    who_texts,
    whole_text,
    words,
)
from airwrit.answers.document import CAUTION, SCOPE_OF_FLIGHT
from airwrit.answers.drawings.flight_map import map_of, part_marks
from airwrit.answers.drawings.side import side_of
from airwrit.answers.drawings.side_view import SideView
from airwrit.answers.drawings.site_map import SiteMap
from airwrit.base.sentences import with_days
from airwrit.law import wording
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


def flight_pdf(
    answer: FlightAnswer, site: SiteMap, side: SideView, name: str = "", *, paper: str = "letter"
) -> bytes:
    """The sheet as PDF: the same answer gives the same bytes."""
    plan = answer.check.plan
    day = plan.starts.astimezone(plan.zone.info).date()
    return pdf_of(TEMPLATE, sheet_words(answer, site, side, name) | {"paper": paper_name(paper)}, day)


def sheet_words(answer: FlightAnswer, site: SiteMap, side: SideView, name: str) -> Json:
    """All that the sheet says, with its drawings, for the paper and the phone alike."""
    check = answer.check
    plan = check.plan
    day = plan.starts.astimezone(plan.zone.info).date()
    said = words()
    fix = said["groups"]["not_met"]
    groups = [
        {"title": title, "rows": [_clause(one) for one in clauses]} for title, clauses in groups_of(check)
    ]
    return {
        "title": printable(f"Flight {name}".strip(), 110),
        "program": "airwrit",
        "day": with_days(day.isoformat()),
        "foot": printable(f"flight {name}".strip(), 110),
        "scope": SCOPE_OF_FLIGHT,
        "caution": CAUTION,
        "late": late_reading(day),
        "says": printable(whole_text(check), 200),
        "plan": printable(plan_text(plan), 400),
        "watch": [printable(line, 400) for line in watch_lines(check)],
        "map": _svg(map_of(site, part_marks(marks_of(answer.heights)))),
        "side": _svg(side_of(side)),
        "side_says": printable(side_text(side), 400),
        "who": [_who(one) for one in who_texts(check)],
        "times": [printable(one, 300) for one in times_lines(answer.stretches, plan)[:8]],
        "height": [printable(line, 300) for line in height_lines(answer.heights)],
        "authority": [printable(line, 300) for line in authority_lines(check)],
        "around": [printable(line, 700) for line in around_lines(check)],
        "confirm": [
            {"asks": printable(one.asks, 200), "look": printable(one.look, 200)}
            for one in (confirmations()[fact_of(need)] for need in check.owed)
        ],
        "holds": said["confirm"]["holds"],
        "fix": [one for one in groups if one["title"] == fix],
        "rules": [one for one in groups if one["title"] != fix],
        "approval": "" if check.risks is None else printable(approval_text(check.risks), 200),
        "hazards": [] if check.risks is None else [_hazard(one) for one in check.risks.hazards],
        "checklists": [_checklist(one) for one in check.checklists],
        "changes": [_change(one, check) for one in answer.changes],
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


def _change(change: Change, check: FlightCheck) -> Json:
    told = change_text(change, check)
    return {
        "sign": told.verdict.value,
        "says": printable(with_days(told.says), 300),
        "then": printable(told.then, 300),
        "takes": told.takes,
        "lead": told.lead,
    }


def _hazard(one: Hazard) -> Json:
    return {
        "what": printable(one.what, 200),
        "before": risk_text(one.before),
        "done": printable(one.done, 200),
        "after": risk_text(one.after),
    }


def _checklist(found: ChecklistFound) -> Json:
    lines = [
        {"says": printable(line.text, 200), "ticked": line.number in found.ticked}
        for line in found.checklist.lines
    ]
    return {"title": printable(f"{checklist_title(found)}: {checklist_text(found)}", 200), "lines": lines}


def _clause(clause: Clause) -> Json:
    return {
        "sign": clause.verdict.value,
        "rule": printable(clause.finding.rule.name.replace("_", " "), 60),
        "says": printable(with_days(clause_text(clause)), 400),
        "cites": printable(wording.section(clause.finding), 80),
    }
