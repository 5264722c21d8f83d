"""Training and practice: each course of the training plan by person, with its gaps, and how recently each model was flown."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.standing.standing import Standing
from airwrit.answers.upkeep.view import SOON, UpkeepAnswer, UpkeepRow, UpkeepSection, against, by_gravity
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import counted
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import MODEL
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_ON, LANDINGS, MINUTES
from airwrit.facts.keys.person import COURSE, COURSE_FOR_PAPER, COURSE_OF, COURSE_ON, COURSE_PASSED, ROLE
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import folded, id_of, subject_named
from airwrit.house.rules import row_of
from airwrit.law.holder.pilot import RECENCY_RULE
from airwrit.law.rule import Finding

COUNTED_DAYS = 90
"""The span in which takeoffs and landings are counted. Source: common practice, no source."""
MOST_SHOWN = 12
"""So many rows of a section are shown of everybody; the rest is folded, and of one person nothing is."""
_UNTRAINED = ("not_on_file", "lapsed", "none_on_file", "too_few")


def training_of(standing: Standing, name: str = "") -> UpkeepAnswer:
    """The training plan and practice of everybody on record, or of one. UsageError where nobody has the name."""
    state = standing.report.state
    people = [row.subject for row in standing.rows if row.subject.startswith("person/")]
    if name:
        wanted = folded(name.removeprefix("person/"))
        people = [one for one in people if folded(id_of(one)) == wanted]
        if not people:
            raise UsageError(f"nobody is named {name!r}", where="training", do="see `airwrit today`")
    chosen = set(people)
    found = [f for f in standing.report.counted if f.subject in chosen and _is_of_plan(f)]
    most = None if name else MOST_SHOWN
    sections = (
        _plan_section([_plan_row(standing, finding) for finding in found], day_of(state.on), most),
        _shortened(
            "Practice by model",
            ("Model", f"Landings in {COUNTED_DAYS} days", "Hours in all", "Last flown"),
            tuple(_practice(state, people)),
            most,
        ),
        _shortened("Courses on record", ("Course", "On", "For"), tuple(_courses(state, people)), most),
    )
    gaps = sum(f.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN) for f in found)
    planned = any(row_of(f.rule) is not None for f in found)
    say = (
        f"{counted(gaps, 'gap')} in the training of {counted(len(people), 'person', 'people')}."
        if people
        else "Nobody is on record."
    )
    notes = (
        ()
        if planned
        else ("You have no training plan yet. Add rules of the kind `trained` to your house rules.",)
    )
    return UpkeepAnswer(
        "training", "Training", standing, say, tuple(one for one in sections if one.every), notes
    )


def _plan_section(plan: list[UpkeepRow], on: date, most: int | None) -> UpkeepSection:
    """The plan by person: gaps and what ends soon first; what is in order folded, unless one person is asked about."""
    asks = [row for row in plan if most is None or row.verdict is not Verdict.MET or _ends_soon(row, on)]
    shown = by_gravity(asks)[:most]
    later = tuple(row for row in plan if row not in shown)
    gaps = sum(row.verdict is not Verdict.MET for row in later)
    among = f", {counted(gaps, 'gap')} among them" if gaps else ""
    says = f"{len(later)} more{among}" if later else ""
    return UpkeepSection(
        "Training plan", ("Role", "Asked for", "Good through"), shown, by_gravity(later), says
    )


def _ends_soon(row: UpkeepRow, on: date) -> bool:
    """Whether the last good day of a row comes within 90 days."""
    through = row.values["holds_until"]
    return through is not None and date.fromisoformat(through) <= on + SOON


def _shortened(
    title: str, headings: tuple[str, ...], rows: tuple[UpkeepRow, ...], most: int | None
) -> UpkeepSection:
    """A section whose further rows are folded, unless one person is asked about."""
    later = () if most is None else rows[most:]
    return UpkeepSection(title, headings, rows[:most], later, f"{len(later)} more" if later else "")


def _is_of_plan(finding: Finding) -> bool:
    """Whether a finding tells of a course, of practice or of the law's recurrent training, and asks for something."""
    row = row_of(finding.rule)
    of_plan = finding.rule is RECENCY_RULE or (row is not None and row.kind in ("trained", "count_in_days"))
    return of_plan and finding.verdict is not Verdict.NOT_APPLICABLE


def _plan_row(standing: Standing, finding: Finding) -> UpkeepRow:
    row, outcome = row_of(finding.rule), finding.outcome
    asked = "recurrent training" if row is None else row.name.replace("_", " ")
    through = outcome.holds_until.isoformat() if outcome.holds_until is not None else ""
    return UpkeepRow(
        finding.subject,
        id_of(finding.subject),
        finding.verdict,
        (value_held(standing.report.state, finding.subject, ROLE) or "", asked, through),
        against((finding,), standing),
        {
            "rule": finding.rule.name,
            "code": outcome.code,
            "gap": outcome.code in _UNTRAINED or finding.verdict is Verdict.UNKNOWN,
            "holds_until": through or None,
        },
    )


class _Practiced(NamedTuple):
    """One flight of a person with a model."""

    day: date
    landings: Decimal | None
    minutes: Decimal | None


def _practice(state: State, people: list[str]) -> Iterator[UpkeepRow]:
    """What each person flew of each model, up to the day."""
    on = day_of(state.on)
    flown: dict[tuple[str, str], list[_Practiced]] = defaultdict(list)
    chosen = set(people)
    for flight in state.subjects("flight"):
        pilot, aircraft = (value_held(state, flight, key) for key in (FLIGHT_PILOT, FLIGHT_AIRCRAFT))
        when = value_held(state, flight, FLOWN_ON)
        if pilot is None or when is None or day_of(when) > on or subject_named("person", pilot) not in chosen:
            continue
        model = value_held(state, subject_named("aircraft", aircraft), MODEL) if aircraft else None
        one = _Practiced(
            day_of(when), value_held(state, flight, LANDINGS), value_held(state, flight, MINUTES)
        )
        flown[subject_named("person", pilot), model or "model not on file"].append(one)
    for (person, model), mine in sorted(flown.items()):
        inside = [one for one in mine if on - timedelta(days=COUNTED_DAYS) < one.day]
        landings = sum((one.landings or Decimal(0) for one in inside), Decimal(0))
        hours = (sum((one.minutes or Decimal(0) for one in mine), Decimal(0)) / 60).quantize(Decimal("0.1"))
        least = ["at least " * any(part is None for part in parts) for parts in _gaps(inside, mine)]
        last = max(one.day for one in mine).isoformat()
        yield UpkeepRow(
            person,
            id_of(person),
            Verdict.NOT_APPLICABLE,
            (model, f"{least[0]}{landings:f}", f"{least[1]}{hours}", last),
            (),
            {"model": model, "landings_in_90_days": str(landings), "hours": str(hours), "last_on": last},
        )


def _gaps(
    inside: list[_Practiced], mine: list[_Practiced]
) -> tuple[list[Decimal | None], list[Decimal | None]]:
    """The landings of the flights in the span, and the minutes of all."""
    return [one.landings for one in inside], [one.minutes for one in mine]


def _courses(state: State, people: list[str]) -> Iterator[UpkeepRow]:
    """The courses on record, newest first."""
    for person in people:
        mine = state.holding(COURSE_OF, id_of(person))
        for one in sorted(mine, key=lambda each: str(value_held(state, each, COURSE_ON)), reverse=True):
            day, passed = value_held(state, one, COURSE_ON), value_held(state, one, COURSE_PASSED)
            paper: str | None = value_held(state, one, COURSE_FOR_PAPER)
            course: str | None = value_held(state, one, COURSE)
            told = f"{course or 'not known'}{' (not passed)' if passed is False else ''}"
            yield UpkeepRow(
                person,
                id_of(person),
                Verdict.NOT_APPLICABLE,
                (told, str(day or "no date"), paper or ""),
                (),
                {"course": told, "on": None if day is None else day.isoformat()},
            )
