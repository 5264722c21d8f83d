"""What answers about upkeep have in common: a sentence, sections of rows with what stands against each, and their document."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import timedelta
from typing import Any, NamedTuple

from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.standing.standing import Standing
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict, worst_of
from airwrit.facts.vocabulary import folded, id_of
from airwrit.law import wording
from airwrit.law.rule import Bears, Finding

SOON = timedelta(days=90)
"""What is due within so many days is shown; what comes later is folded."""
_ORDER = (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE)


class UpkeepRow(NamedTuple):
    """One thing: its name, how it stands, its cells, sentences about it, and the same as values of a document."""

    subject: str
    name: str
    verdict: Verdict
    cells: tuple[str, ...]
    says: tuple[str, ...]
    values: Mapping[str, Any]


class UpkeepSection(NamedTuple):
    """Rows under one title, with the headings of their cells; `later` are rows folded under a line."""

    title: str
    headings: tuple[str, ...]
    rows: tuple[UpkeepRow, ...]
    later: tuple[UpkeepRow, ...] = ()
    later_says: str = ""

    @property
    def every(self) -> tuple[UpkeepRow, ...]:
        """All rows, those that are folded too."""
        return (*self.rows, *self.later)

    @property
    def has_status(self) -> bool:
        """Whether any row says how something stands, or why; a list of what was done has nothing of the kind."""
        return any(row.says or row.verdict is not Verdict.NOT_APPLICABLE for row in self.every)


class UpkeepAnswer(NamedTuple):
    """The whole answer: its question, its sentence, its sections, and what to keep in mind."""

    question: str
    title: str
    standing: Standing
    say: str
    sections: tuple[UpkeepSection, ...]
    notes: tuple[str, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Not met where any row is, else unknown on any gap, else met."""
        found = {row.verdict for section in self.sections for row in section.every}
        return worst_of(found | ({Verdict.UNKNOWN} if not found else set()))


def findings_of(
    standing: Standing, kind: str, subjects: Iterable[str], name: str, *, where: str, see: str
) -> dict[str, list[Finding]]:
    """What counts of each subject of a kind, or of the one of a name. UsageError where none has the name."""
    wanted = folded(name.removeprefix(f"{kind}/"))
    found: dict[str, list[Finding]] = {
        one: [] for one in subjects if not name or folded(id_of(one)) == wanted
    }
    if name and not found:
        raise UsageError(f"no {kind} is named {name!r}", where=where, do=f"see `airwrit {see}`")
    for finding in standing.report.counted:
        if finding.subject in found:
            found[finding.subject].append(finding)
    return found


def by_gravity(rows: Iterable[UpkeepRow]) -> tuple[UpkeepRow, ...]:
    """What stands against something first."""
    return tuple(sorted(rows, key=lambda row: _ORDER.index(row.verdict)))


def verdict_of(findings: Iterable[Finding]) -> Verdict:
    """How something stands by its findings; not applicable where nothing is asked of it."""
    verdicts = {finding.verdict for finding in findings}
    return worst_of(verdicts) if verdicts - {Verdict.NOT_APPLICABLE} else Verdict.NOT_APPLICABLE


def against(findings: Iterable[Finding], standing: Standing) -> tuple[str, ...]:
    """What is not met or not known, in sentences with what to do, the gravest first."""
    found = sorted(
        (one for one in findings if one.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN)),
        key=lambda one: one.verdict is not Verdict.NOT_MET,
    )
    words = [wording.worded(one, standing.report.state) for one in found]
    return tuple(f"{one.says} {one.do}".strip() for one in words)


def of_flight(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that bear on whether something may be flown with."""
    return [finding for finding in findings if finding.rule.bears is Bears.FLIGHT]


def row_json(row: UpkeepRow) -> Json:
    """A row as part of a document."""
    return {
        "subject": row.subject,
        "name": row.name,
        "verdict": row.verdict.value,
        **row.values,
        "says": list(row.says),
    }


def upkeep_json(answer: UpkeepAnswer) -> Json:
    """The answer as a document."""
    return {
        "question": answer.question,
        "on": answer.standing.report.on.isoformat(),
        "verdict": answer.verdict.value,
        "say": answer.say,
        **{
            section.title.casefold().replace(" ", "_"): [row_json(row) for row in section.every]
            for section in answer.sections
        },
        "notes": list(answer.notes),
        **ON_PAPERS,
    }
