"""The carry pack on paper: the same content as the file for the phone, without the short form.

The sheets of the planned flights are its last pages."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from airwrit.answers.before_flight.day import FlightSheet
from airwrit.answers.carry.findings import Carried, Fact, RecordToMend, Ruling
from airwrit.answers.carry.law import Sentence
from airwrit.answers.carry.pack import REGISTRATION_LABEL, SERIAL_LABEL, CarriedPaper, Pack
from airwrit.answers.document import CAUTION, SCOPE
from airwrit.base.days import day_of
from airwrit.base.sentences import counted, sentence
from airwrit.base.verdict import Verdict
from airwrit.facts.vocabulary import id_of
from airwrit.law.parameters import late_reading
from airwrit.papers.carry_page import carry_words, is_figures, pack_sheet
from airwrit.papers.typeset import Json, paper_name, pdf_of, printable

TEMPLATE = "carry.typ"


def carry_pdf(
    pack: Pack, saved: datetime, sheets: Sequence[FlightSheet] = (), *, paper: str = "letter"
) -> bytes:
    """The pack as PDF, with flight sheets: the same ones and the same instant give the same bytes."""
    told = {"sheets": [_sheet(one) for one in sheets]}
    return pdf_of(TEMPLATE, carry_data(pack, saved, paper=paper) | told, pack.on)


def carry_data(pack: Pack, saved: datetime, *, paper: str = "letter") -> Json:
    """What the template is filled with."""
    words, day = carry_words(pack, saved), pack.on.isoformat()
    name = printable(words["pilot"], 100)
    carried = [
        Sentence(id_of(one.subject), one.carried, "", "", known=True)
        for one in pack.papers
        if one.carried and one.ruling.verdict is Verdict.MET
    ]
    return {
        "title": "Carry pack",
        "program": "airwrit",
        "day": day,
        "paper": paper_name(paper),
        "foot": printable(f"pilot papers of {name}, {day}, saved {words['saved']}", 110),
        "saved": words["saved"],
        "known_at": words["known_at"],
        "id": pack.id,
        "scope": SCOPE,
        "unread": words["unread"],
        "pilot": name,
        "uses": _uses(pack.pilot),
        "against": [_ruling(one) for one in pack.pilot.against],
        "facts": _facts(pack.pilot.facts),
        "rulings": [_ruling(one) for one in pack.pilot.rulings if not one.of_house],
        "asked": [_said(one) for one in (*pack.asked, *carried)],
        "shown": [_said(one) for one in pack.asked],
        "aircraft": [_aircraft(one) for one in pack.aircraft],
        "papers": [_paper(one) for one in pack.papers],
        "withheld": f"{counted(pack.withheld, 'document')} marked for counsel and not printed."
        if pack.withheld
        else "",
        "records": [_record(one) for one in pack.records],
        "open_records": [_record(one) for one in pack.records if not one.is_owners],
        "house": [_ruling(one, f"{about}: ") for about, one in pack.house],
        "officer": _facts(_officer(pack, words)),
        "whom": pack.whom,
        "happens": [_said(one, dated=True) for one in pack.happens],
        "caution": CAUTION,
        "late": late_reading(day_of(pack.report.on)),
        "sources": printable(", ".join(source.name for source in pack.report.sources), 300),
    }


def _sheet(one: FlightSheet) -> Json:
    """A flight sheet, or why there is none."""
    words = pack_sheet(one)
    return words | {"title": printable(f"Flight {words['name']}", 110), "trouble": sentence(words["trouble"])}


def _officer(pack: Pack, words: Json) -> list[Fact]:
    owners = words["owners"]
    lines = [
        Fact("pilot", words["pilot"], known=True),
        words["certificate"],
        Fact("flies for", owners or "owner not on file", known=bool(owners)),
        Fact("day", pack.on.isoformat(), known=True),
    ]
    return [*lines, Fact("whom to call", pack.whom, known=True)] if pack.whom else lines


def _uses(one: Carried) -> list[Json]:
    return [
        {"use": each.when, "verdict": each.verdict.value, "says": printable(each.says, 300)}
        for each in one.stands
    ]


def _facts(facts: Sequence[Fact]) -> list[Json]:
    return [
        {
            "label": fact.label,
            "value": printable(fact.value, 120),
            "known": fact.known,
            "figures": is_figures(fact),
        }
        for fact in facts
    ]


def _ruling(one: Ruling, about: str = "") -> Json:
    return {
        "verdict": one.verdict.value,
        "use": "" if one.use is None else one.use.value,
        "says": printable(about + one.says, 400),
        "do": sentence(printable(one.do, 300)),
        "cites": printable(one.cites, 300),
    }


def _record(one: RecordToMend) -> Json:
    return _ruling(one.ruling, f"{id_of(one.subject)}: ")


def _said(one: Sentence, *, dated: bool = False) -> Json:
    return {
        "title": printable(one.title, 100),
        "says": printable(one.says, 400),
        "cites": one.dated if dated else one.cites,
        "known": one.known,
    }


def _aircraft(one: Carried) -> Json:
    values = {fact.label: printable(fact.value, 60) for fact in one.facts}
    return {
        "name": printable(id_of(one.subject), 100),
        "headline": sentence(one.headline.value),
        "uses": _uses(one),
        "facts": _facts(one.facts),
        "in_short": [_ruling(each) for each in one.in_short],
        "against": [_ruling(each) for each in (*one.free, *one.against)],
        "registration": values[REGISTRATION_LABEL],
        "serial": values[SERIAL_LABEL],
    }


def _paper(one: CarriedPaper) -> Json:
    carried = Fact(
        "to carry", one.carried or "not entered here. Look at the document itself.", one.carried is not None
    )
    return {
        "name": printable(id_of(one.subject), 100),
        "kind": "kind not on file" if one.kind is None else one.kind.words,
        "ruling": _ruling(one.ruling),
        "also": [_ruling(each) for each in one.also],
        "status": printable(one.status, 300),
        "facts": _facts([*one.facts, carried]),
    }
