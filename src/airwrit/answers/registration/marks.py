"""Which marks to print: the registration number of each aircraft that has to show one, and who is left out and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.json import report_json
from airwrit.answers.standing.report import Report, declared_uses
from airwrit.answers.standing.standing import Standing
from airwrit.base.identifiers import NumberChecked, n_number, part_48_number
from airwrit.base.sentences import sentence
from airwrit.base.verdict import Verdict, Why, worst_of
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import MAKER, MODEL, REGISTRATION
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Held, State
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.law.aircraft.duty import RIGHT_KIND_FOR_USE_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE
from airwrit.law.holder.owner import REGISTERED_TO_OWNER_RULE
from airwrit.law.rule import Finding
from airwrit.law.wording import worded

_REMARKED = (RIGHT_KIND_FOR_USE_RULE, REGISTERED_TO_OWNER_RULE)
_SPOILED = {
    Why.DAMAGED: (
        "we can't read its registration number",
        "find its cell in the list of problems, and type it again",
    ),
    Why.CONFLICT: (
        "two registration numbers are on file for it",
        "check its certificate, and keep the right one",
    ),
}


class Mark(NamedTuple):
    """A number to print for an aircraft, in normal form; `remarks` are things to look at before it is stuck on."""

    subject: str
    number: str
    part_47: bool
    about: str
    remarks: tuple[str, ...]


class LeftOut(NamedTuple):
    """An aircraft no mark is printed for: not met, unknown, or not applicable where it needs none."""

    subject: str
    number: str
    verdict: Verdict
    says: str
    do: str


class MarkList(NamedTuple):
    """The marks to print and the aircraft left out, each in the order of the input."""

    wanted: tuple[Mark, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def verdict(self) -> Verdict:
        """Met when every mark needed can be printed; an aircraft that needs none counts for nothing."""
        against = {one.verdict for one in self.left_out} - {Verdict.NOT_APPLICABLE}
        return worst_of(against | ({Verdict.MET} if self.wanted else set()))


def marks_of(standing: Standing) -> MarkList:
    """The marks of every aircraft of a standing."""
    state = standing.report.state
    rows = [row for row in standing.rows if kind_of(row.subject) == "aircraft"]
    return _parted(_mark_of(row, state) for row in rows)


def marks_for(numbers: Sequence[str]) -> MarkList:
    """The marks of numbers given by hand; the kind is told by how a number begins."""
    return _parted(_formed(text, text, "", None, ()) for text in numbers)


def _parted(made: Iterable[Mark | LeftOut]) -> MarkList:
    all_made = list(made)
    return MarkList(
        tuple(one for one in all_made if isinstance(one, Mark)),
        tuple(one for one in all_made if isinstance(one, LeftOut)),
    )


def _mark_of(row: SubjectStanding, state: State) -> Mark | LeftOut:
    held = state.held[row.subject].get(REGISTRATION)
    number = "" if held is None or held.why is not None else str(held.value)
    mine = [finding for finding in row.findings if finding.subject == row.subject and _asked(finding, state)]
    against = _against(mine)
    if against is not None:
        words = worded(against, state)
        return LeftOut(row.subject, number, against.verdict, words.says, words.do)
    if not number:
        return _no_number(row.subject, held)
    remarks = tuple(
        worded(finding, state).says
        for finding in mine
        if finding.rule in _REMARKED and finding.verdict is Verdict.NOT_MET
    )
    kind = _kind_of(number, state)
    return _formed(row.subject, number, _about(row.subject, state), kind, remarks)


def _asked(finding: Finding, state: State) -> bool:
    """Whether a finding is about a use stated for its aircraft, or about every use."""
    uses = declared_uses(state, finding.subject)
    return finding.use is None or not uses or finding.use in uses


def _against(findings: list[Finding]) -> Finding | None:
    """The finding that keeps a mark from being printed: needs none under any use, not registered, or out of term."""
    duty = [finding for finding in findings if finding.rule is MUST_BE_REGISTERED_RULE]
    if duty and all(finding.verdict is Verdict.NOT_APPLICABLE for finding in duty):
        return duty[0]
    barred = (MUST_BE_REGISTERED_RULE, REGISTRATION_IN_TERM_RULE)
    return next((f for f in findings if f.rule in barred and f.verdict is Verdict.NOT_MET), None)


def _no_number(subject: str, held: Held | None) -> LeftOut:
    if held is not None and held.why is not None:
        says, do = _SPOILED.get(
            held.why, ("its registration number changed that day", "ask about a time of day")
        )
        return LeftOut(subject, "", Verdict.UNKNOWN, says, do)
    says = "no registration number is on file for this aircraft"
    return LeftOut(subject, "", Verdict.UNKNOWN, says, REGISTRATION.question)


def _kind_of(number: str, state: State) -> RegistrationKind | None:
    """The kind on file, even where other facts contradict it: the form of the number then shows which is at fault."""
    held = state.held.get(subject_named("registration", number), {}).get(REGISTRATION_KIND)
    return None if held is None else held.value


def _about(subject: str, state: State) -> str:
    """Maker and model, as far as they are on file."""
    keys: tuple[Key[str], ...] = (MAKER, MODEL)
    found = (state.held[subject].get(key) for key in keys)
    return " ".join(str(held.value) for held in found if held is not None and held.why is None)


def _formed(
    subject: str, number: str, about: str, kind: RegistrationKind | None, remarks: tuple[str, ...]
) -> Mark | LeftOut:
    """The mark of a number, or why the number cannot be one."""
    part_47 = number.strip().upper().startswith("N") if kind is None else kind is RegistrationKind.PART_47
    checked = n_number(number) if part_47 else part_48_number(number)
    if not checked.ok:
        named = "an N-number" if part_47 else "a Part 48 number"
        says = f"the number {number} can't be {named}. {_faults(checked)}"
        return LeftOut(subject, number, Verdict.NOT_MET, says, "read the number off the certificate")
    if checked.text != number:
        remarks = (*remarks, f"It is on file as {number}, and printed as {checked.text}.")
    if set(checked.text) & set("OI"):
        remarks = (*remarks, "It has the letter O or I. Check on the certificate that it isn't 0 or 1.")
    return Mark(subject, checked.text, part_47, about, remarks)


def _faults(checked: NumberChecked) -> str:
    return " ".join(
        sentence(f"character {fault.place}: {fault.hint}" if fault.place else fault.hint)
        for fault in checked.faults
    )


def marks_json(marks: MarkList, day: date, report: Report | None = None) -> Json:
    """The marks as a document; with the problems and sources of the report they come from."""
    read: Json = {"problems": [], "sources": []}
    if report is not None:
        told = report_json(replace(report, findings=(), asked=()))
        read = {name: told[name] for name in ("known_at", "problems", "sources")}
    return {
        "question": "marks",
        "on": day.isoformat(),
        **reading_json(day),
        "verdict": marks.verdict.value,
        "marks": [
            {
                **mark._asdict(),
                "remarks": list(mark.remarks),
                "kind": "Part 47" if mark.part_47 else "Part 48",
            }
            for mark in marks.wanted
        ],
        "left_out": [{**one._asdict(), "verdict": one.verdict.value} for one in marks.left_out],
        **read,
        **ON_PAPERS,
    }
