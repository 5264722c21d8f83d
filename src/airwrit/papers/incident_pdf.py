"""An incident on paper: whom to notify by when, and a page for each report with what it asks."""

from __future__ import annotations

from airwrit.answers.document import CAUTION, SCOPE_OF_INCIDENT
from airwrit.answers.incident.decision import IncidentAnswer, Must, words
from airwrit.answers.incident.moment import instant_words
from airwrit.answers.incident.reports import IncidentReport, reports_of
from airwrit.answers.incident.told import Row, headline, rows_of, title_of
from airwrit.base.days import day_of
from airwrit.base.sentences import with_days
from airwrit.law.parameters import late_reading
from airwrit.papers.typeset import Json, paper_name, pdf_of, printable

TEMPLATE = "incident.typ"
_SIGNS = {Must.LATE: "not_met", Must.DONE: "met", Must.NO: "not_applicable", Must.CHOICE: "not_applicable"}


def reports_pdf(answer: IncidentAnswer, *, paper: str = "letter") -> bytes:
    """The worksheet as PDF: the same answer gives the same bytes."""
    day = day_of(answer.state.on)
    asked = instant_words(answer.moment.local(answer.now))
    data: Json = {
        "title": printable(f"Incident {title_of(answer)}".strip(), 110),
        "program": "airwrit",
        "day": "",
        "paper": paper_name(paper),
        "foot": printable(f"incident, as of {asked}", 110),
        "scope": SCOPE_OF_INCIDENT,
        "caution": CAUTION,
        "late": late_reading(day),
        "says": list(headline(answer)),
        "first": words()["first"],
        "keep": words()["keep"],
        "notices": [_notice(row) for row in rows_of(answer)],
        "reports": [_report(one) for one in reports_of(answer)],
    }
    return pdf_of(TEMPLATE, data, day)


def _notice(row: Row) -> Json:
    return {
        "sign": _SIGNS.get(row.must, "unknown"),
        "must": row.word,
        "who": row.who,
        "what": printable(row.what, 120),
        "actor": row.actor,
        "by_when": row.by_when,
        "left": row.left,
        "says": printable(with_days(" ".join(part for part in (row.says, row.do) if part)), 400),
        "cites": printable(row.cites, 80),
    }


def _report(one: IncidentReport) -> Json:
    return {
        "title": one.title,
        "cites": one.cites,
        "source": one.source,
        "fields": [
            {"asks": field.asks, "held": printable(field.held, 1200) if field.held else None}
            for field in one.fields
        ],
    }
