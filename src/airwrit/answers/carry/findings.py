"""What a carry pack says of what was found: each finding in words, how a subject stands for a use, the pack's verdict."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from airwrit.answers.carry.law import pack_words
from airwrit.answers.standing.headline import Headline, SubjectStanding, told_once
from airwrit.answers.standing.report import Report, bears_out, counts
from airwrit.base.sentences import clause
from airwrit.base.verdict import Verdict, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.state import State
from airwrit.facts.vocabulary import kind_of
from airwrit.law import wording
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE
from airwrit.law.rule import USES, Bears, Finding

AGAINST = (Verdict.NOT_MET, Verdict.UNKNOWN)
"""What stands against a flight, in the order it is told."""

_REGISTERED = MUST_BE_REGISTERED_RULE
_MOST_SHORT = 4
"""Reasons told in short; all of them stand below in full."""


class Fact(NamedTuple):
    """One thing told: what it is, its value in words, and whether it is known."""

    label: str
    value: str
    known: bool


class Ruling(NamedTuple):
    """One finding in words: of which use (None: of every), its verdict, and the sections it rests on.

    `short` says it in two or three words, where there are such; `bears` tells on what it bears.
    """

    use: UsedFor | None
    verdict: Verdict
    says: str
    do: str
    cites: str
    rule: str
    of_house: bool
    short: str
    bears: Bears


class Status(NamedTuple):
    """How the pilot or an aircraft stands for a use or at night, in a few words."""

    when: str
    verdict: Verdict
    says: str


class Carried(NamedTuple):
    """The pilot or one aircraft: how it stands for each use, what is known of it, and what was found."""

    subject: str
    headline: Headline
    work: Verdict
    recreation: Verdict
    night: Verdict | None
    facts: tuple[Fact, ...]
    rulings: tuple[Ruling, ...]
    statuses: tuple[Status, ...]
    at_night: Status | None

    @property
    def stands(self) -> tuple[Status, ...]:
        """How it stands for each use, and at night where that was judged."""
        return self.statuses if self.at_night is None else (*self.statuses, self.at_night)

    @property
    def against(self) -> tuple[Ruling, ...]:
        """What is not met, then what is unknown."""
        return tuple(r for verdict in AGAINST for r in self.rulings if r.verdict is verdict)

    @property
    def free(self) -> tuple[Ruling, ...]:
        """That no registration is needed, where none is."""
        return tuple(r for r in self.rulings if r.verdict is Verdict.NOT_APPLICABLE)

    @property
    def in_short(self) -> tuple[Ruling, ...]:
        """To which day the registration is in term, where it is; then all that stands against a flight, house rules apart."""
        term = (
            r for r in self.rulings if r.rule == REGISTRATION_IN_TERM_RULE.name and r.verdict is Verdict.MET
        )
        return (*term, *self.free, *(ruling for ruling in self.against if not ruling.of_house))


class RecordToMend(NamedTuple):
    """A record to put right: of which subject, and whether an officer may ask about it."""

    subject: str
    ruling: Ruling
    is_owners: bool


def rulings_on(row: SubjectStanding, state: State, uses: Sequence[UsedFor]) -> tuple[Ruling, ...]:
    """What bears on flight or night under the uses of the pilot (all, where none is stated).

    What does not apply is left out, but that no registration is needed.
    """
    wanted = uses or USES
    free = {f.use for f in row.findings if f.rule is _REGISTERED and f.verdict is Verdict.NOT_APPLICABLE}
    is_free = None in free or free.issuperset(wanted)
    return tuple(
        ruling_of(finding, state)
        for finding in told_once(row.findings)
        if finding.rule.bears in (Bears.FLIGHT, Bears.NIGHT)
        if finding.use is None or finding.use in wanted
        if not (finding.rule.about in ("owner", "registration") and (is_free or finding.use in free))
        if finding.verdict is not Verdict.NOT_APPLICABLE or finding.rule is _REGISTERED
    )


def records_to_put_right(report: Report, subjects: Iterable[str]) -> tuple[RecordToMend, ...]:
    """The filings owed and records that are wrong or unknown, of some subjects and none of them a paper, each told once."""
    about = {subject for subject in subjects if kind_of(subject) != "paper"}
    found = [
        RecordToMend(finding.subject, ruling_of(finding, report.state), kind_of(finding.subject) == "owner")
        for verdict in AGAINST
        for finding in report.findings
        if finding.rule.bears is Bears.PAPERS and finding.verdict is verdict and finding.subject in about
    ]
    return tuple(dict.fromkeys(found))


def ruling_of(finding: Finding, state: State) -> Ruling:
    """A finding in words."""
    words = wording.worded(finding, state)
    return Ruling(
        finding.use,
        finding.verdict,
        words.says,
        words.do,
        "" if finding.rule.document else "; ".join(wording.cites(finding)),
        finding.rule.name,
        bool(finding.rule.document),
        pack_words()["short"].get(f"{finding.rule.name}.{finding.outcome.code}", ""),
        finding.rule.bears,
    )


def statuses_of(
    row: SubjectStanding, rulings: Iterable[Ruling], uses: Sequence[UsedFor]
) -> tuple[Status, ...]:
    """How a row stands for each use of the pilot, both where none is stated: its verdict, and why."""
    told = tuple(one for one in rulings if one.bears is Bears.FLIGHT)
    verdicts = {UsedFor.WORK: row.work, UsedFor.RECREATION: row.recreation}
    words = pack_words()["when"]
    return tuple(
        Status(
            words[use.value],
            verdicts[use],
            status_text(verdicts[use], [r for r in told if r.use in (None, use)]),
        )
        for use in uses or USES
    )


def at_night(row: SubjectStanding, rulings: Iterable[Ruling]) -> Status | None:
    """How a row stands for work at night, which by day it has to as well; None where that was not judged."""
    if row.night is None:
        return None
    verdict = worst_of({row.night, row.work})
    told = [one for one in rulings if one.use in (None, UsedFor.WORK)]
    return Status(pack_words()["when"]["night"], verdict, status_text(verdict, told))


def status_text(verdict: Verdict, rulings: Iterable[Ruling]) -> str:
    """A verdict with its reasons in a few words: "not OK: registration expired"."""
    words = pack_words()["status"]
    reasons = dict.fromkeys(one.short or clause(one.says) for one in rulings if one.verdict is verdict)
    if verdict in (Verdict.MET, Verdict.NOT_APPLICABLE):
        return str(words[verdict.value])
    name = "not_met" if verdict is Verdict.NOT_MET else "unknown"
    if not reasons:
        return str(words[f"bare_{name}"])
    return str(words[name]).format(short=", ".join(list(reasons)[:_MOST_SHORT]))


def verdict_of(report: Report, subjects: Iterable[str], carried: Iterable[Verdict]) -> Verdict:
    """The verdict of a pack: how its pilot and aircraft stand, and all that counts of what was found of its subjects.

    A row of the input that could not be read leaves it unknown, as it leaves the standing.
    """
    about = set(subjects)
    found = {*carried}
    for finding in (*report.findings, *report.withheld):
        if finding.subject not in about or finding.rule.bears is Bears.FLIGHT:
            continue
        if bears_out(finding) and counts(finding, report.state):
            found.add(finding.verdict)
    if any(problem.unread for problem in report.problems):
        found.add(Verdict.UNKNOWN)
    return worst_of(found)


def unread_text(parts: int) -> str:
    """That parts of the input could not be read; empty where all could."""
    words = pack_words()["unread"]
    return str(words["one" if parts == 1 else "many"]).format(count=parts) if parts else ""
