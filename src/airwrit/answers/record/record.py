"""All that is on record of one aircraft or person on a day: how it stands, what to do in order, every finding, its papers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.acts.step import step_for, step_json
from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.history.shown import PRIVATE
from airwrit.answers.law_reading import reading_json
from airwrit.answers.registration.fees import Fee, fee_for
from airwrit.answers.standing.headline import Due, SubjectStanding
from airwrit.answers.standing.json import finding_json
from airwrit.answers.standing.report import counts
from airwrit.answers.standing.standing import Standing
from airwrit.base.days import day_of
from airwrit.base.verdict import Undecided, Verdict
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import Held, State, value_held
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.law import wording
from airwrit.law.aircraft.duty import RIGHT_KIND_FOR_USE_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE
from airwrit.law.rule import Finding

_ORDER = (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE)
_PAID_FOR = (MUST_BE_REGISTERED_RULE, REGISTRATION_IN_TERM_RULE, RIGHT_KIND_FOR_USE_RULE)


class ToDo(NamedTuple):
    """One thing to do: what, by which day or before the next flight, why, under which sections, what it costs; its finding."""

    do: str
    by: date | None
    before_flight: bool
    says: str
    cites: str
    fee_usd: Decimal | None
    finding: Finding


@dataclass(frozen=True, slots=True)
class SubjectRecord:
    """One aircraft or person on the day of a standing; `row` is None where nothing is asked of it on that day."""

    subject: str
    standing: Standing
    row: SubjectStanding | None
    findings: tuple[Finding, ...]
    todo: tuple[ToDo, ...]
    fee: Fee | None
    left_on: date | None

    @property
    def state(self) -> State:
        """How things stood."""
        return self.standing.report.state

    @property
    def held(self) -> dict[Key[str], Held]:
        """What is held of the subject itself."""
        return dict(self.state.held.get(self.subject, {}))


def record_of(
    standing: Standing, subject: str, by_subject: Mapping[str, Sequence[Finding]] | None = None
) -> SubjectRecord:
    """The record of an aircraft or person, taken out of a standing; `by_subject` are its findings where they are laid out."""
    row = next((one for one in standing.rows if one.subject == subject), None)
    fee = fee_of(standing, subject) if kind_of(subject) == "aircraft" else None
    left = next((day for one, day in standing.left if one == subject), None)
    return SubjectRecord(
        subject,
        standing,
        row,
        _findings(standing, row, subject, by_subject),
        () if row is None else _todo(standing, row, fee),
        fee,
        left,
    )


def fee_of(standing: Standing, subject: str) -> Fee | None:
    """The fee of the certificate that an aircraft stands under, or needs; None where none is owed or the law was not read."""
    row = next((one for one in standing.rows if one.subject == subject), None)
    try:
        return None if row is None else fee_for(standing, row)
    except Undecided:
        return None


def touching(state: State, subject: str) -> tuple[str, ...]:
    """The subject, and the registration it stands under."""
    number = value_held(state, subject, REGISTRATION) if kind_of(subject) == "aircraft" else None
    return (subject,) if number is None else (subject, subject_named("registration", number))


def _findings(
    standing: Standing,
    row: SubjectStanding | None,
    subject: str,
    by_subject: Mapping[str, Sequence[Finding]] | None,
) -> tuple[Finding, ...]:
    """Every finding that the subject hangs on: those that count first, the gravest first."""
    mine = () if row is None else row.findings
    names = touching(standing.report.state, subject)
    if by_subject is None:
        around = [f for f in standing.report.findings if f.subject in names]
    else:
        around = [f for name in names for f in by_subject.get(name, ())]
    found = {(f.rule.name, f.subject, f.use): f for f in (*mine, *around)}
    state = standing.report.state
    return tuple(sorted(found.values(), key=lambda f: (_ORDER.index(f.verdict), not counts(f, state))))


def _todo(standing: Standing, row: SubjectStanding, fee: Fee | None) -> tuple[ToDo, ...]:
    """What stands in the way, in the order a lead takes it, then what is due; each thing once."""
    state = standing.report.state
    grounds = row.headline.holds_back
    due = [one for one in standing.due if _is_of(one, touching(state, row.subject))]
    by_finding = {_key(one.finding): one.day for one in due}
    found: dict[str, ToDo] = {}
    for finding in row.in_the_way:
        day = finding.outcome.due_on or by_finding.get(_key(finding))
        by = None if day is None or day < day_of(state.on) else day
        _add(found, _to_do(finding, state, by, fee, before_flight=grounds and by is None))
    for one in due:
        _add(found, _to_do(one.finding, state, one.day, fee, before_flight=False))
    return tuple(found.values())


def _key(finding: Finding) -> tuple[str, str]:
    return finding.rule.name, finding.subject


def _is_of(due: Due, subjects: tuple[str, ...]) -> bool:
    return any(subject in subjects for subject in due.subjects)


def _add(found: dict[str, ToDo], todo: ToDo) -> None:
    if todo.do:
        found.setdefault(todo.do, todo)


def _to_do(finding: Finding, state: State, by: date | None, fee: Fee | None, *, before_flight: bool) -> ToDo:
    words = wording.worded(finding, state)
    usd = fee.usd if fee is not None and finding.rule in _PAID_FOR else None
    cites = "; ".join(wording.cites(finding))
    return ToDo(words.do, by, before_flight, words.says, cites, usd, finding)


def record_json(record: SubjectRecord) -> Json:
    """The record as a document; what belongs to an aircraft or a person alone is added by its face."""
    row, report = record.row, record.standing.report
    return {
        "question": kind_of(record.subject),
        "subject": record.subject,
        "on": report.on.isoformat(),
        **reading_json(report.on),
        "known_at": report.known_at.isoformat().replace("+00:00", "Z"),
        "headline": None if row is None else row.headline.value,
        "work": None if row is None else row.work.value,
        "recreation": None if row is None else row.recreation.value,
        "night": None if row is None or row.night is None else row.night.value,
        "left_on": None if record.left_on is None else record.left_on.isoformat(),
        "do": [
            {
                "do": one.do,
                "by": None if one.by is None else one.by.isoformat(),
                "before_next_flight": one.before_flight,
                "because": one.says,
                "cites": one.cites,
                "fee_usd": None if one.fee_usd is None else format(one.fee_usd, "f"),
                "rule": one.finding.rule.name,
                "step": step_json(step_for(one.finding, record.state)),
            }
            for one in record.todo
        ],
        "findings": [shown_json(finding, record.state) for finding in record.findings],
        **ON_PAPERS,
    }


def shown_json(finding: Finding, state: State) -> Json:
    """A finding as part of a document that names private facts without telling them."""
    return finding_json(finding, state, PRIVATE)
