"""The authority of a flight in sentences: one view for every face, with a request to type in, and its JSON document."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import ROUND_FLOOR, Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_AUTHORITY, Json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.site.area import contained
from airwrit.answers.site.authority import AuthorityAnswer, FieldFound, Need, PaperFound
from airwrit.base.days import When, day_of
from airwrit.base.measured import METERS
from airwrit.base.sentences import day_words, feet_text
from airwrit.base.verdict import Undecided, Verdict
from airwrit.facts.choices import OperatedUnder
from airwrit.facts.key import Key, raw_of
from airwrit.facts.keys.flights.airspace import (
    AIRSPACE_CLASS,
    AUTHORIZED_HEIGHT,
    CELL_NUMBER,
    CELL_OF,
    FLIGHT_PLACE,
)
from airwrit.facts.keys.flights.authority import (
    AUTHORIZED_ALTITUDE,
    AUTHORIZED_AREA,
    FLIGHT_AREA,
    FLIGHT_ENDS,
    FLIGHT_STARTS,
    GRANTED_BY,
    MITIGATIONS,
    PAPER_CONDITIONS,
    PAPER_CURRENCY,
    PAPER_STATE,
    REQUESTED_ON,
    RULE_READ,
    RULE_SOURCE,
    RULE_TEXT,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT, HEIGHT_AGL
from airwrit.facts.keys.flights.limits import FLIGHT_UNDER
from airwrit.facts.keys.paper import PAPER_NUMBER
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.law import wording
from airwrit.law.flight.waivers import NOT_FOR_HIRE, PART_108, WAIVABLE
from airwrit.law.parameters import Law

_FOOT, _TENTH = Decimal(1), Decimal("0.1")
_HEIGHTS = frozenset(("too_high", "above_altitude", "cant_be_set", "set_too_high", "set_low_enough"))


@cache
def sentences() -> Mapping[str, Mapping[str, str]]:
    """The words of the answer."""
    return tomllib.loads(Path(__file__).with_name("authority.toml").read_text(encoding="utf-8"))


def headline(answer: AuthorityAnswer) -> str:
    """The whole in a sentence or two."""
    said = sentences()["whole"]
    if answer.covering:
        return said["covered"].format(paper=paper_title(answer.covering[0], answer.state))
    if answer.verdict is Verdict.MET:
        return said["not_needed"]
    if answer.verdict is Verdict.NOT_MET:
        return said["not_covered" if answer.granting else "none"]
    if answer.under is OperatedUnder.PUBLIC_COA:
        return said["coa"]
    return said["need_unknown" if answer.need is Need.UNKNOWN else "unknown"]


def under_sentence(answer: AuthorityAnswer) -> str:
    """Under which law the flight is, as told."""
    said = sentences()["under"]
    if answer.under is None:
        return said["open"]
    code = {OperatedUnder.PART_107: "part_107", OperatedUnder.PUBLIC_COA: "coa"}.get(answer.under, "other")
    return said[code].format(law=answer.under.value)


def paper_title(paper: PaperFound, state: State) -> str:
    """The kind and the name of a paper, with its number where there is one."""
    number = value_held(state, paper.subject, PAPER_NUMBER)
    kind, name = f"{paper.kind.value[:1].upper()}{paper.kind.value[1:]}", id_of(paper.subject)
    title = name if name.casefold().startswith(kind.casefold()) else f"{kind} {name}"
    return title if number is None else f"{title} (number {number})"


def paper_sentence(paper: PaperFound) -> str:
    """Whether a paper covers the flight, and else the fields in which it doesn't or can't be told."""
    said = sentences()["paper"]
    if paper.verdict is Verdict.MET:
        return said["covers"]
    bad = [one.field.value for one in paper.fields if one.verdict is Verdict.NOT_MET]
    if bad:
        return said["not"].format(fields=", ".join(bad))
    return said["open"].format(fields=", ".join(one.field.value for one in paper.uncovered))


def field_sentence(found: FieldFound, paper: PaperFound, answer: AuthorityAnswer) -> str:
    """What is found of a field, in a sentence."""
    outcome, state = found.outcome, answer.state
    if found.finding is not None and found.state is not None:
        told = wording.worded(found.finding, found.state)
        return " ".join(filter(None, (told.says, "" if found.verdict is Verdict.MET else told.do)))
    if outcome.code == "authorized":
        height = value_held(state, answer.subject, HEIGHT_AGL)
        by = value_held(state, paper.subject, GRANTED_BY)
        return sentences()["authorized"][found.field.name].format(
            height="" if height is None else both(height), by="" if by is None else f" by {by}"
        )
    said = sentences()["field"]
    key = KEYS.get(outcome.code)
    if key is not None and outcome.why is not None:
        return said[outcome.why.value].format(question=key.question, meaning=key.meaning)
    ceiling = value_held(state, paper.subject, AUTHORIZED_HEIGHT)
    altitude = value_held(state, paper.subject, AUTHORIZED_ALTITUDE)
    asked = value_held(state, paper.subject, REQUESTED_ON)
    most = None if ceiling is None else _whole(ceiling * METERS["ft"])
    return said[outcome.code].format(
        value=both(Decimal(str(outcome.value))) if outcome.code in _HEIGHTS else moment_words(outcome.value),
        ceiling="" if ceiling is None else both(ceiling),
        altitude="" if altitude is None else both(altitude),
        most=most,
        most_ft="" if ceiling is None else _whole(ceiling),
        conditions=value_held(state, paper.subject, PAPER_CONDITIONS) or "",
        currency=value_held(state, paper.subject, PAPER_CURRENCY) or "",
        asked=f" {day_words(asked)}" if asked is not None else "",
    )


def both(feet: Decimal) -> str:
    """A height in feet, with meters behind it."""
    return f"{feet_text(feet)} ft ({feet_text(feet * METERS['ft'])} m)"


def moment_words(told: Any) -> str:
    """A day, or a moment with its UTC, as people write it; another value as it is."""
    if isinstance(told, datetime):
        there = f"{day_words(told.date())}, {told:%H:%M}"
        utc = told.astimezone(UTC)
        return (
            f"{there} UTC" if not told.utcoffset() else f"{there} ({day_words(utc.date())}, {utc:%H:%M} UTC)"
        )
    if isinstance(told, date):
        return day_words(told)
    return "" if told is None else wording.shown(told)


class RequestLine(NamedTuple):
    """A line of a request: what is asked, and what is on file of it, or "" and the question."""

    label: str
    told: str
    question: str


def request_lines(answer: AuthorityAnswer) -> list[RequestLine]:
    """What a request asks, with what is on file of it."""
    said, state, flight = sentences()["request"], answer.state, answer.subject
    asked: tuple[tuple[str, Key[Any]], ...] = (
        ("area", FLIGHT_AREA if value_held(state, flight, FLIGHT_AREA) else FLIGHT_PLACE),
        ("height", HEIGHT_AGL),
        ("start", FLIGHT_STARTS),
        ("end", FLIGHT_ENDS),
        ("airspace", AIRSPACE_CLASS),
        ("under", FLIGHT_UNDER),
        ("aircraft", FLIGHT_AIRCRAFT),
        ("pilot", FLIGHT_PILOT),
        ("mitigations", MITIGATIONS),
    )
    lines = [RequestLine(said[name], _told(state, flight, key), key.question) for name, key in asked]
    numbers = [value_held(state, cell, CELL_NUMBER) for cell in state.holding(CELL_OF, id_of(flight))]
    lowest = min((number for number in numbers if number is not None), default=None)
    lines.insert(5, RequestLine(said["map"], "" if lowest is None else both(lowest), CELL_NUMBER.question))
    return lines


def _told(state: State, flight: str, key: Key[Any]) -> str:
    told = value_held(state, flight, key)
    if told is None:
        return ""
    return both(told) if key.unit == "ft" else moment_words(told)


def waivable_sentences(on: When) -> list[str]:
    """The sections that can be waived on a day; none where its law was not read."""
    law, said = Law(day_of(on)), sentences()["request"]
    try:
        listed, not_for_hire = law[WAIVABLE], law[NOT_FOR_HIRE]
    except Undecided:
        return []
    return [
        said["waivable"].format(sections=", ".join(listed)),
        said["not_for_hire"].format(sections=", ".join(not_for_hire)),
    ]


def rule_notes(answer: AuthorityAnswer) -> list[str]:
    """The land and local rules somebody noted, each with its source and day; not one whose area is surely elsewhere."""
    said, state = sentences()["beside"], answer.state
    found = [
        said["rule"].format(
            text=text,
            source=value_held(state, one, RULE_SOURCE) or said["no_source"],
            read=moment_words(value_held(state, one, RULE_READ)) or said["no_day"],
        )
        for one in state.subjects("paper")
        if (text := value_held(state, one, RULE_TEXT)) is not None and not _is_elsewhere(answer, one)
    ]
    return [*found, said["never" if found else "none"]]


def _is_elsewhere(answer: AuthorityAnswer, note: str) -> bool:
    area, flight = (
        value_held(answer.state, one, key)
        for one, key in ((note, AUTHORIZED_AREA), (answer.subject, FLIGHT_AREA))
    )
    return area is not None and flight is not None and contained(flight, area).code == "outside_area"


def beside_sentences(answer: AuthorityAnswer) -> list[str]:
    """The land and local rules somebody noted; then what else counts and isn't looked at."""
    said, state, found = sentences()["beside"], answer.state, rule_notes(answer)
    law = Law(day_of(state.on))
    try:
        in_force = law[PART_108]
    except Undecided:
        in_force = True
    code = "beyond_sight_open" if in_force else "beyond_sight"
    read = "" if in_force else day_words(law.used[-1].span.read_on)
    return [*found, said[code].format(read=read), said["not_covered"]]


class FieldText(NamedTuple):
    """A field of a paper: its name, verdict and sentence, and what was found."""

    name: str
    verdict: Verdict
    says: str
    found: FieldFound


class PaperText(NamedTuple):
    """A paper with its sentence and every field, and what was found."""

    title: str
    verdict: Verdict
    says: str
    fields: tuple[FieldText, ...]
    found: PaperFound


class AuthorityView(NamedTuple):
    """All that the answer shows: the whole, the law it is under, the papers, a request with its notes, what else counts."""

    says: str
    verdict: Verdict
    under: str
    papers: tuple[PaperText, ...]
    request: tuple[RequestLine, ...]
    track: str
    waivable: tuple[str, ...]
    beside: tuple[str, ...]
    notes: tuple[str, ...]


def authority_view(answer: AuthorityAnswer) -> AuthorityView:
    """What an answer shows, made once for every face."""
    said = sentences()
    return AuthorityView(
        headline(answer),
        answer.verdict,
        under_sentence(answer),
        tuple(_paper_text(paper, answer) for paper in answer.papers),
        tuple(request_lines(answer)),
        said["request"]["track"],
        tuple(waivable_sentences(answer.state.on)),
        tuple(beside_sentences(answer)),
        tuple(said["note"][name] for name in ("one_paper", "map", "look")),
    )


def _paper_text(paper: PaperFound, answer: AuthorityAnswer) -> PaperText:
    fields = (
        FieldText(one.field.value, one.verdict, field_sentence(one, paper, answer), one)
        for one in paper.fields
    )
    return PaperText(
        paper_title(paper, answer.state), paper.verdict, paper_sentence(paper), tuple(fields), paper
    )


def authority_json(answer: AuthorityAnswer) -> Json:
    """The document: the whole, every paper with its fields, a request, and what else counts."""
    state, view = answer.state, authority_view(answer)
    return {
        "question": "authority",
        "scope": SCOPE_OF_AUTHORITY,
        "flight": answer.subject,
        "on": state.on.isoformat(),
        **reading_json(state.on),
        "verdict": view.verdict.value,
        "says": view.says,
        "need": answer.need.value,
        "under": None if answer.under is None else answer.under.value,
        "under_says": view.under,
        "papers": [_paper_json(paper, state) for paper in view.papers],
        "request": [line._asdict() for line in view.request],
        "beside": list(view.beside),
        "waivable": list(view.waivable),
        "notes": list(view.notes),
        "caution": CAUTION,
    }


def _paper_json(told: PaperText, state: State) -> Json:
    paper = told.found
    stage, asked = (
        value_held(state, paper.subject, PAPER_STATE),
        value_held(state, paper.subject, REQUESTED_ON),
    )
    return {
        "subject": paper.subject,
        "kind": paper.kind.value,
        "verdict": told.verdict.value,
        "says": told.says,
        "state": None if stage is None else stage.value,
        "requested_on": None if asked is None else asked.isoformat(),
        "uncovered": [one.field.value for one in paper.uncovered],
        "fields": list(map(_field_json, told.fields)),
    }


def _field_json(told: FieldText) -> Json:
    outcome = told.found.outcome
    return {
        "field": told.name,
        "verdict": told.verdict.value,
        "code": outcome.code,
        "why": None if outcome.why is None else outcome.why.value,
        "value": None if outcome.value is None else str(raw_of(outcome.value)),
        "says": told.says,
    }


def _whole(number: Decimal) -> str:
    return f"{number.quantize(_FOOT, ROUND_FLOOR):,}"
