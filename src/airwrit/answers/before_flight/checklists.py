"""The program's own checklists for a flight, by model and edition, and its risk assessment; what nobody ticked is unknown.

Ticks name the checklist by a digest of its model, edition and lines, so that ticks for another edition count for nothing.
A line may name facts of the flight in brackets, like `Lights on [lights_lit=yes]`: a tick confirms them. A risk assessment
lists hazards before and after what was done about them, who approved it, and until when.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from datetime import date
from hashlib import sha256
from typing import NamedTuple, TypeVar

from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.plan import PLANNED, FlightPlan
from airwrit.base.days import parse_day
from airwrit.base.errors import AirwritError, UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.flight_choices import Likelihood, Severity
from airwrit.facts.keys.aircraft import MODEL
from airwrit.facts.keys.flights.planning import (
    CHECKLIST_EDITION,
    CHECKLIST_LINES,
    CHECKLIST_MODEL,
    CHECKLIST_TICKED,
    RISK_APPROVAL_ENDS,
    RISK_APPROVED_BY,
)
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import FLIGHT_TABLES, KEYS, folded, id_of
from airwrit.intake.typed.reply import read_reply

Word = TypeVar("Word", Likelihood, Severity)
BETWEEN = "|"
_MOST_HAZARDS, _LONGEST = 40, 300
_FORM = 'write it like "Wires along the road | possible, fatal | observer at the pole | unlikely, fatal"'


class Risk(NamedTuple):
    """How likely something is, and how bad it would be."""

    likelihood: Likelihood
    severity: Severity


class Hazard(NamedTuple):
    """What can go wrong, the risk before and after, and what was done between."""

    what: str
    before: Risk
    done: str
    after: Risk

    @property
    def line(self) -> str:
        """The hazard as it is typed."""
        before, after = (f"{one.likelihood.value}, {one.severity.value}" for one in (self.before, self.after))
        return f" {BETWEEN} ".join((self.what, before, self.done, after))


class RiskAssessment(NamedTuple):
    """The hazards, who approved them ("" where nobody did), and the last day the approval holds, if it has one."""

    hazards: tuple[Hazard, ...]
    approved_by: str
    approval_ends: date | None
    verdict: Verdict
    """met where it is approved through the end of the flight, else unknown"""


def hazards_typed(lines: Iterable[str]) -> tuple[Hazard, ...]:
    """The hazards of some lines, empty ones left out. UsageError says which line isn't one."""
    found = tuple(_hazard(line) for line in lines if line.strip())
    if len(found) > _MOST_HAZARDS:
        raise UsageError(
            f"there are more than {_MOST_HAZARDS} hazards", where="hazards", do="put some of them together"
        )
    return found


def _hazard(line: str) -> Hazard:
    parts = [" ".join(part.split()) for part in line.split(BETWEEN)]
    if len(parts) != 4 or not all(parts) or len(line) > _LONGEST or ";" in line:
        raise UsageError(f"{line.strip()[:60]!r} isn't a hazard", where="hazards", do=_FORM)
    what, before, done, after = parts
    return Hazard(what, _risk(before), done, _risk(after))


def _risk(text: str) -> Risk:
    likelihood, _, severity = text.partition(",")
    return Risk(_word(Likelihood, likelihood), _word(Severity, severity))


def _word(kind: type[Word], text: str) -> Word:
    try:
        return kind(text.strip().casefold())
    except ValueError:
        raise UsageError(
            f"{text.strip()[:40]!r} isn't one of the words we know",
            where="hazards",
            do=f"use {', '.join(kind)}",
        ) from None


def assessment_of(plan: FlightPlan, told: Iterable[Known]) -> RiskAssessment | None:
    """The assessment of a plan by what was told with it; None where no hazard is named."""
    if not plan.hazards:
        return None
    said = {item.statement.key: str(item.statement.value) for item in told}
    by, ends = said.get(RISK_APPROVED_BY.name, ""), said.get(RISK_APPROVAL_ENDS.name)
    last = None if ends is None else parse_day(ends)
    holds = bool(by) and (last is None or plan.ends.astimezone(plan.zone.info).date() <= last)
    return RiskAssessment(
        hazards_typed(plan.hazards.split(";")), by, last, Verdict.MET if holds else Verdict.UNKNOWN
    )


KIND = "checklist"
_BETWEEN = re.compile(r"[\n;]")
_TICKED = re.compile(r"\((?P<digest>[0-9a-f]{12})\): (?P<numbers>[\d, ]*)")
_NAMES = re.compile(r"\[([a-z_0-9]+)(?: *= *([^\]]+))?\]")
_SPAN = re.compile(r"(\d{1,4})(?:\s*-\s*(\d{1,4}))?")
ALL = "all"


class ChecklistLine(NamedTuple):
    """A line of a checklist: its number among all lines to tick for the flight, its text, and the facts a tick confirms."""

    number: int
    text: str
    confirms: tuple[Statement, ...] = ()


class Checklist(NamedTuple):
    """A checklist that applies to a flight: name, model ("" for all), edition ("" where none is on file), its lines."""

    name: str
    model: str
    edition: str
    lines: tuple[ChecklistLine, ...]

    @property
    def digest(self) -> str:
        """What ticks are for: these very lines of this edition, in 12 letters."""
        lines = (
            " ".join((line.text, *(f"{key}={value}" for _, key, value, *_ in line.confirms)))
            for line in self.lines
        )
        told = "\n".join((self.name, self.model, self.edition, *lines))
        return sha256(told.encode()).hexdigest()[:12]


class ChecklistFound(NamedTuple):
    """A checklist with the numbers of the lines that are ticked; whether ticks were for other lines or another edition."""

    checklist: Checklist
    ticked: frozenset[int]
    has_changed: bool = False

    @property
    def left(self) -> int:
        """How many lines nobody ticked."""
        return len(self.checklist.lines) - len(self.ticked)

    @property
    def verdict(self) -> Verdict:
        """Met where every line is ticked; else unknown."""
        return Verdict.UNKNOWN if self.left else Verdict.MET


def checklists_for(state: State, aircraft: str) -> tuple[Checklist, ...]:
    """The checklists of the aircraft's model, and those for all models, by name; the lines are numbered through."""
    model = value_held(state, aircraft, MODEL)
    found: list[Checklist] = []
    number = 1
    for subject in sorted(state.subjects(KIND)):
        own, lines = value_held(state, subject, CHECKLIST_MODEL), value_held(state, subject, CHECKLIST_LINES)
        if lines is None or (own is not None and (model is None or folded(own) != folded(model))):
            continue
        texts = [text for part in _BETWEEN.split(lines) if (text := " ".join(part.split()))]
        numbered = tuple(ChecklistLine(at, *_read(text)) for at, text in enumerate(texts, number))
        number += len(numbered)
        edition = value_held(state, subject, CHECKLIST_EDITION) or ""
        found.append(Checklist(id_of(subject), own or "", edition, numbered))
    return tuple(found)


def _read(text: str) -> tuple[str, tuple[Statement, ...]]:
    """A line's text without the facts it names, and those; brackets that name none are text."""
    confirms: list[Statement] = []
    for match in _NAMES.finditer(text):
        found = _fact(match[1], match[2])
        if found is not None:
            confirms.append(found)
            text = text.replace(match[0], "")
    return " ".join(text.split()), tuple(confirms)


def _fact(name: str, said: str | None) -> Statement | None:
    """The fact of a flight that a line names, with its answer or the one that lets a flight go; None where it has none."""
    key, known = KEYS.get(name), confirmations().get(name)
    answer = said or ("" if known is None else known.lets_go)
    if key is None or key.table not in FLIGHT_TABLES or not answer:
        return None
    try:
        return Statement(PLANNED, name, read_reply(key, answer))
    except AirwritError:
        return None


def told_by_ticks(state: State, aircraft: str, told: Iterable[Known]) -> list[Known]:
    """The facts that ticked lines confirm, but for those that were told by themselves."""
    given = list(told)
    names = {item.statement.key for item in given}
    if CHECKLIST_TICKED.name not in names:
        return []
    return [
        Known(one, f"ticked in {found.checklist.name}")
        for found in checklists_found(checklists_for(state, aircraft), given)
        for line in found.checklist.lines
        if line.number in found.ticked
        for one in line.confirms
        if one.key not in names
    ]


def checklists_found(checklists: Iterable[Checklist], told: Iterable[Known]) -> tuple[ChecklistFound, ...]:
    """The checklists with what is ticked, by what was told with the question."""
    texts = [str(item.statement.value) for item in told if item.statement.key == CHECKLIST_TICKED.name]
    ticks: dict[str, set[int]] = {}
    for text in texts:
        for match in _TICKED.finditer(text):
            numbers = {int(part) for part in match["numbers"].split(",") if part.strip()}
            ticks.setdefault(match["digest"], set()).update(numbers)
    return tuple(_found(one, ticks) for one in checklists)


def _found(one: Checklist, ticks: dict[str, set[int]]) -> ChecklistFound:
    places = ticks.get(one.digest, set())
    mine = frozenset(line.number for place, line in enumerate(one.lines, 1) if place in places)
    return ChecklistFound(one, mine, bool(ticks) and one.digest not in ticks)


def ticks_told(checklists: Collection[Checklist], numbers: Collection[int]) -> str:
    """The ticked lines as a fact of the flight: each checklist with its edition, digest and the places of its lines."""
    return "; ".join(_ticks_of(checklists, numbers))


def _ticks_of(checklists: Iterable[Checklist], numbers: Collection[int]) -> Iterator[str]:
    for one in checklists:
        places = [str(place) for place, line in enumerate(one.lines, 1) if line.number in numbers]
        if places:
            edition = f", edition {one.edition}" if one.edition else ""
            yield f"{one.name}{edition} ({one.digest}): {', '.join(places)}"


def ticks_typed(typed: Iterable[str], checklists: Iterable[Checklist]) -> frozenset[int]:
    """The numbers of lines typed as 1-5,7 or all. UsageError for what names no line."""
    known = {line.number for one in checklists for line in one.lines}
    found: set[int] = set()
    for part in (part.strip() for text in typed for part in text.split(",")):
        if part.casefold() == ALL:
            found |= known
            continue
        match = _SPAN.fullmatch(part)
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
        span = set(range(first, last + 1))
        if not span or not span <= known:
            lines = (
                f"lines 1 to {len(known)}" if known else "no lines: no checklist is on file for this model"
            )
            raise UsageError(f"the checklist has no line {part!r}", where="tick", do=f"there are {lines}")
        found |= span
    return frozenset(found)
