"""Steps, papers and cautions of the way that fits: chosen from `steps.toml` by what holds of the aircraft."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.asking.questions import span_named
from airwrit.answers.registration.way import Ways
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import OwnerKind, RegistrationKind, RemoteIdWay, UsedFor
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION, REMOTE_ID_WAY, USED_FOR
from airwrit.facts.keys.flights.flight import EDUCATIONAL
from airwrit.facts.keys.registration import FILER_OLD_ENOUGH, OWNER_KIND, REGISTRATION_KIND
from airwrit.facts.state import State, value_held
from airwrit.law.aircraft.remote_id import REMOTE_ID_WAY_RULE
from airwrit.law.holder.owner import OLD_ENOUGH_TO_FILE_RULE
from airwrit.law.holder.ways import Decision, RegistrationWay
from airwrit.law.parameters import hearsay
from airwrit.law.rule import Finding

PART_48 = (RegistrationWay.RECREATIONAL, RegistrationWay.PERSON, RegistrationWay.ORGANIZATION)
REGISTERED_WAYS = (*PART_48, RegistrationWay.PART_47)
_CHILD = ("older_person", "too_young")


class AnswerLine(NamedTuple):
    """Something said, with its section, how sure the reading is ("" where none of ours stands behind it), and its hearsay."""

    says: str
    cites: str
    confidence: str = ""
    hearsay: str = ""


class AskStep(NamedTuple):
    """One step: its number, what to do, the numbers of the steps that come first, and its section."""

    number: int
    do: str
    after: tuple[int, ...]
    cites: str


@cache
def words() -> Mapping[str, Any]:
    """The shipped words of the answer."""
    return tomllib.loads(Path(__file__).with_name("steps.toml").read_text(encoding="utf-8"))


def decision_text(decision: Decision) -> str:
    """A decision in one line: the way, or what is still possible."""
    short: Mapping[str, str] = words()["short"]
    if decision.way is not None:
        sure = "" if decision.verdict is Verdict.MET else " (the only option left, but we can't be sure)"
        filer = ", if someone 13 or older files"
        return short[decision.way.value] + (filer if decision.waits_for_filer else sure)
    if not decision.left:
        return "no way to register it in the US"
    return "still possible: " + "; ".join(short[way.value] for way in decision.left)


def what_holds(
    ways: Ways, way: RegistrationWay | None, state: State, findings: Iterable[Finding]
) -> frozenset[str]:
    """The names of what holds of the aircraft, by which words are chosen."""
    subject = ways.subject
    use = value_held(state, subject, USED_FOR)
    owner, number = value_held(state, subject, OWNER), value_held(state, subject, REGISTRATION)
    kind = None if owner is None else value_held(state, f"owner/{owner}", OWNER_KIND)
    certificate = None if number is None else value_held(state, f"registration/{number}", REGISTRATION_KIND)
    rid = next((f for f in findings if f.subject == subject and f.rule is REMOTE_ID_WAY_RULE), None)
    binds = rid is not None and rid.verdict is not Verdict.NOT_APPLICABLE
    codes = {f.outcome.code for f in findings if f.rule is OLD_ENOUGH_TO_FILE_RULE}
    holding = {
        "work": use in (UsedFor.WORK, UsedFor.BOTH),
        "recreation": use in (UsedFor.RECREATION, UsedFor.BOTH),
        "purpose_unknown": use is None,
        "light": way is RegistrationWay.NONE and ways.findings[RegistrationWay.NONE].outcome.code == "light",
        "registered_way": way in REGISTERED_WAYS,
        "part_48": way in PART_48,
        "part_47": way is RegistrationWay.PART_47,
        "foreign": way is RegistrationWay.RECOGNITION,
        "remote_id": binds and way is not RegistrationWay.NONE,
        "no_remote_id": value_held(state, subject, REMOTE_ID_WAY)
        in (RemoteIdWay.NONE, RemoteIdWay.ADS_B_OUT),
        "child": bool(codes & set(_CHILD)),
        "filer_unknown": FILER_OLD_ENOUGH.name in codes,
        "on_recreational": certificate is RegistrationKind.RECREATIONAL,
        "organization": kind is not None and kind is not OwnerKind.PERSON,
        "school": any(value_held(state, flight, EDUCATIONAL) for flight in state.subjects("flight")),
    }
    return frozenset(name for name, held in holding.items() if held)


def steps_of(way: RegistrationWay, holding: frozenset[str], day: date) -> tuple[AskStep, ...]:
    """The steps of a way, in an order in which each comes after those it hangs on."""
    return _numbered([row for row in words()["steps"] if way.value in row["ways"]], holding, day)


def steps_of_gone(holding: frozenset[str], day: date) -> tuple[AskStep, ...]:
    """The steps that are left where an aircraft was sold, destroyed, exported or lost."""
    return _numbered(words()["gone"]["steps"], holding, day)


def _numbered(rows: Iterable[Mapping[str, Any]], holding: frozenset[str], day: date) -> tuple[AskStep, ...]:
    chosen = [row for row in rows if _fits(row, holding)]
    numbers = {row["id"]: number for number, row in enumerate(chosen, 1)}
    return tuple(
        AskStep(
            numbers[row["id"]],
            row["do"],
            tuple(sorted(numbers[name] for name in row.get("after", ()) if name in numbers)),
            line_of(row, "", day).cites,
        )
        for row in chosen
    )


def _fits(row: Mapping[str, Any], holding: frozenset[str]) -> bool:
    """Whether all that a row asks for holds, and nothing that it shuts out."""
    return set(row.get("when", ())) <= holding and not set(row.get("unless", ())) & holding


def lines_of(table: str, says: str, holding: frozenset[str], day: date) -> tuple[AnswerLine, ...]:
    """The lines of a table whose conditions hold."""
    return tuple(line_of(row, row[says], day) for row in words()[table] if _fits(row, holding))


def line_of(row: Mapping[str, Any], says: str, day: date) -> AnswerLine:
    """A line with its section: written beside it, or that of the parameter it names."""
    span = span_named(row.get("law", ""), day)
    if span is None:
        return AnswerLine(says, row.get("cites", ""))
    return AnswerLine(says, span.cites, span.confidence, hearsay(span.had))
