"""Carry: what a pilot carries on a day, chosen here and saved as one file for the phone or as a paper."""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import urlencode

from airwrit.answers.acts.plan import all_known
from airwrit.answers.before_flight.day import FlightSheet, flight_sheets
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import without_plans
from airwrit.answers.carry.findings import Carried
from airwrit.answers.carry.pack import MOST_AIRCRAFT, Pack, carry_json, carry_pack
from airwrit.answers.standing.headline import Headline
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.view import Warned, offered, warned_of
from airwrit.base.errors import UsageError
from airwrit.facts.vocabulary import id_of
from airwrit.papers.carry_page import carry_page
from airwrit.papers.carry_pdf import carry_pdf
from airwrit.papers.typeset import PAPERS
from airwrit.web.server.forms import Typed
from airwrit.web.server.trouble import Refused, plain
from airwrit.web.server.visit import Answer, Download, Visit
from airwrit.web.server.workspace import held_now

PILOT, AIRCRAFT, CALL, PAPER = "pilot", "aircraft", "call", "paper"
KINDS = ("html", "pdf")
_WHAT = "carry pack"
_LONGEST = 200
_SHOWN = 2_000


@dataclass(frozen=True, slots=True)
class PackChoice:
    """An aircraft that may be taken along, and how it stands."""

    name: str
    headline: Headline
    chosen: bool


@dataclass(frozen=True, slots=True)
class CarryPage:
    """The whole page; without `pack` only the questions."""

    form: Typed
    pilots: tuple[str, ...]
    aircraft: tuple[PackChoice, ...]
    most: int
    papers: tuple[str, ...]
    pack: Pack | None
    lines: tuple[Carried, ...]
    warned: tuple[Warned, ...]
    """who and what is not OK that day, said before the pack is saved"""
    html_at: str
    pdf_at: str


def show(visit: Visit) -> Answer:
    """The choice of pilot, aircraft and day; once made, how they stand and the files to save."""
    answer = visit.desk.standing(visit.asked)
    values = {name: visit.query.get(name, "")[:_LONGEST] for name in (PILOT, CALL, PAPER)}
    pack, wrong = None, {}
    if values[PILOT]:
        try:
            pack = _pack(visit, answer)
        except UsageError as fault:
            wrong[PILOT if fault.where == "PILOT" else AIRCRAFT] = fault.says
    view = _view(visit, answer, Typed(values, wrong), pack)
    title = f"Pilot papers: {values[PILOT][:80]}" if pack else "Pilot papers"
    return view.form.sheet("pilot_papers.html", title, view, lambda: _twin(view))


def save(visit: Visit) -> Answer:
    """The pack as a file: HTML for the phone, or a PDF. UsageError where it cannot be made, Refused on another kind."""
    kind = visit.named["kind"]
    if kind not in KINDS:
        raise Refused(plain(404, visit.path))
    pack = _pack(visit, visit.desk.standing(visit.asked))
    saved = visit.desk.clock().astimezone()
    stem = f"carry-{_plain(id_of(pack.pilot.subject))}-{pack.on}"
    if kind == "pdf":
        paper = visit.query.get(PAPER, "")
        made = carry_pdf(pack, saved, _sheets(visit, pack), paper=paper if paper in PAPERS else PAPERS[0])
        return Download(f"{stem}.pdf", "application/pdf", made, _WHAT, pack.about)
    return Download(
        f"{stem}.html",
        "application/octet-stream",
        carry_page(pack, saved, _sheets(visit, pack)),
        _WHAT,
        pack.about,
    )


def _pack(visit: Visit, answer: Standing) -> Pack:
    """The pack that an address asks for. UsageError where there is none such."""
    whom = visit.query.get(CALL, "").strip()[:_LONGEST]
    return carry_pack(answer, visit.query.get(PILOT, ""), tuple(visit.chosen.get(AIRCRAFT, ())), whom or None)


def _sheets(visit: Visit, pack: Pack) -> tuple[FlightSheet, ...]:
    """The flight sheets of what the pilot has planned on the day, by what is on record now."""
    known = list(all_known(held_now(visit.desk)))
    spoiled = [pair for problem in pack.report.problems for pair in problem.spoils]
    program = Program(without_plans(known), pack.known_at, visit.desk.house().rules, (), spoiled)
    return flight_sheets(pack.on, pack.pilot.subject, known, program, visit.desk.ledger.parent / "airspace")


def _view(visit: Visit, answer: Standing, form: Typed, pack: Pack | None) -> CarryPage:
    ticked = set(visit.chosen.get(AIRCRAFT, ()))
    rows = sorted(answer.rows, key=lambda row: row.subject)
    pilots, here = set(offered(answer, "person")), set(offered(answer, "aircraft"))
    carried = [(name, value) for name, value in visit.asked.carried().items()]
    asked = [(name, form.values[name]) for name in (PILOT, CALL, PAPER) if form.values[name]]
    asked += [(AIRCRAFT, name) for name in visit.chosen.get(AIRCRAFT, ())]
    query = urlencode([*carried, *asked])
    return CarryPage(
        form,
        tuple(id_of(row.subject) for row in rows if row.subject in pilots),
        tuple(
            PackChoice(id_of(row.subject), row.headline, id_of(row.subject) in ticked)
            for row in rows
            if row.subject in here
        )[:_SHOWN],
        MOST_AIRCRAFT,
        PAPERS,
        pack,
        () if pack is None else (pack.pilot, *pack.aircraft),
        () if pack is None else warned_of(answer, (one.subject for one in (pack.pilot, *pack.aircraft))),
        f"/pilot-papers/html?{query}",
        f"/pilot-papers/pdf?{query}",
    )


def _twin(view: CarryPage) -> object:
    if view.pack is not None:
        return carry_json(view.pack)
    return {
        "question": "carry",
        "pilots": list(view.pilots),
        "aircraft": [one.name for one in view.aircraft],
        "wrong": dict(view.form.wrong),
    }


def _plain(name: str) -> str:
    """A name as part of a file's name."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "pilot"
