"""The risk assessment of a planned flight: hazards before and after what was done about them, who approved it, until when.

A hazard is a line: what can go wrong | how likely, how bad | what was done | how likely, how bad then.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple, TypeVar

from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.base.days import parse_day
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.flight_choices import Likelihood, Severity
from airwrit.facts.keys.flights.planning import RISK_APPROVAL_ENDS, RISK_APPROVED_BY
from airwrit.facts.statement import Known

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
