"""The carry pack as one HTML file: no outside request, readable with no network, with the short form for flights in it."""

from __future__ import annotations

import base64
import json
from collections.abc import Sequence
from datetime import datetime
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup, escape

from airwrit.answers.before_flight.day import FlightSheet
from airwrit.answers.carry.findings import Carried, Fact, RecordToMend, unread_text
from airwrit.answers.carry.pack import (
    CERTIFICATE_LABEL,
    OWNER_LABEL,
    REGISTRATION_LABEL,
    SERIAL_LABEL,
    CarriedPaper,
    Pack,
)
from airwrit.answers.document import CAUTION, SCOPE
from airwrit.base.days import day_of
from airwrit.base.sentences import DAY, VERDICT_WORDS, sentence, with_days
from airwrit.facts.vocabulary import id_of
from airwrit.law.parameters import late_reading
from airwrit.papers.flight_pdf import sheet_words
from airwrit.papers.typeset import Json

FOLDER = Path(__file__).parent / "carry"
_NUMBERS = (CERTIFICATE_LABEL, REGISTRATION_LABEL, SERIAL_LABEL, "serial on the registration")


class PackFact(NamedTuple):
    """A fact as the page shows it: numbers to be read sign by sign are set apart."""

    label: str
    value: str
    known: bool
    is_number: bool


def carry_page(pack: Pack, saved: datetime, sheets: Sequence[FlightSheet] = ()) -> bytes:
    """The HTML file of a pack saved at an instant, with flight sheets; the same ones give the same bytes."""
    script, style = _text("qr.js") + _text("form.js"), _text("page.css")
    page: str = _template().render(
        pack=_shown(pack),
        sheets=[_sheet(one) for one in sheets],
        **carry_words(pack, saved),
        style=Markup(style),
        style_hash=_hash(style),
        script=Markup(script),
        script_hash=_hash(script),
        data=_data(pack),
        scope=SCOPE,
        caution=CAUTION,
        late=late_reading(day_of(pack.report.on)),
    )
    return page.encode()


def carry_words(pack: Pack, saved: datetime) -> Json:
    """What the page and the paper say alike beside the pack itself."""
    certificate = next(fact for fact in pack.pilot.facts if fact.label == CERTIFICATE_LABEL)
    owners = (fact for one in pack.aircraft for fact in one.facts if fact.label == OWNER_LABEL and fact.known)
    return {
        "pilot": id_of(pack.pilot.subject),
        "certificate": certificate,
        "owners": ", ".join(dict.fromkeys(fact.value for fact in owners)),
        "saved": saved.isoformat(sep=" ", timespec="minutes"),
        "known_at": pack.known_at.astimezone(saved.tzinfo).isoformat(sep=" ", timespec="minutes"),
        "unread": unread_text(pack.unread),
        "only_use": pack.uses[0].value if len(pack.uses) == 1 else "",
        "pilot_facts": [_fact(fact) for fact in pack.pilot.facts],
    }


def is_figures(fact: Fact) -> bool:
    """Whether a fact is a number to be read sign by sign."""
    return fact.known and fact.label in _NUMBERS


class _Shown(dict[str, Any]):
    """A value with more names than it has itself, for the template."""

    def __getattr__(self, name: str) -> Any:
        return self[name]


def _shown(pack: Pack) -> _Shown:
    return _Shown(
        {name: getattr(pack, name) for name in (*pack._fields, "on", "house", "unread")}
        | {
            "aircraft": [_aircraft(one) for one in pack.aircraft],
            "papers": [_paper(one) for one in pack.papers],
            "pilot": _Shown(
                pack.pilot._asdict() | {"stands": pack.pilot.stands, "against": pack.pilot.against}
            ),
            "records": [_record(one) for one in pack.records],
            "open_records": [_record(one) for one in pack.records if not one.is_owners],
        }
    )


def _fact(fact: Fact) -> PackFact:
    return PackFact(*fact, is_figures(fact))


def _aircraft(one: Carried) -> _Shown:
    facts = {fact.label: fact for fact in one.facts}
    return _Shown(
        one._asdict()
        | {
            "name": id_of(one.subject),
            "told": [_fact(fact) for fact in one.facts],
            "in_short": one.in_short,
            "stands": one.stands,
            "free": one.free,
            "against": one.against,
            "registration": facts[REGISTRATION_LABEL],
            "serial": facts[SERIAL_LABEL],
        }
    )


def _record(one: RecordToMend) -> _Shown:
    return _Shown(one._asdict() | {"name": id_of(one.subject)})


def _paper(one: CarriedPaper) -> _Shown:
    told = [_fact(fact) for fact in one.facts]
    return _Shown(one._asdict() | {"name": id_of(one.subject), "told": told, "status": one.status})


def pack_sheet(one: FlightSheet) -> Json:
    """A flight sheet for the page and the paper alike: all that it says, or `trouble` where there is none."""
    name = id_of(one.flight)
    if one.answer is None or one.site is None or one.side is None:
        return {"name": name, "trouble": one.trouble}
    told = sheet_words(one.answer, one.site, one.side, name)
    return told | {"name": name, "verdict": one.answer.check.verdict.value, "trouble": ""}


def _sheet(one: FlightSheet) -> _Shown:
    """A flight sheet, its drawings as pictures inside the file."""
    told = pack_sheet(one)
    return _Shown(told | {key: _picture(told[key]) for key in ("map", "side") if key in told})


def _picture(svg: str) -> str:
    return f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}"


def _data(pack: Pack) -> Markup:
    """What the short form needs, as JSON that cannot end its element."""
    text = json.dumps({"id": pack.id, "pilot": id_of(pack.pilot.subject)})
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return Markup(text)


@cache
def _text(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")


@cache
def _template() -> Any:
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters |= {"dated": _dated, "sentence": sentence}
    environment.globals["verdicts"] = VERDICT_WORDS
    return environment.from_string(_text("page.html"))


def _dated(text: object) -> Markup:
    """The text, escaped, its days kept on one line each."""
    return Markup(DAY.sub(lambda day: f"<time>{with_days(day[0])}</time>", str(escape(text))))


def _hash(text: str) -> str:
    """A text's digest as a content security policy names it."""
    return f"sha256-{base64.b64encode(sha256(text.encode()).digest()).decode()}"
