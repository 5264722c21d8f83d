"""What the findings about one subject add to a standing. After a change, only the subjects it touches are counted again."""

from __future__ import annotations

from collections.abc import Container, Mapping
from datetime import date
from typing import Any, NamedTuple

from airwrit.answers.standing.assumed import SilentSubject, silences_of
from airwrit.answers.standing.due import DueFinding, day_due, due_of
from airwrit.answers.standing.missing import FactWanted, wanted_of
from airwrit.answers.standing.report import counts, is_gone
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.key import Key
from airwrit.facts.state import NOTHING_HELD, Held, State
from airwrit.law.review import Review
from airwrit.law.rule import Bears, Finding
from airwrit.law.wording import read_between


class SubjectTally(NamedTuple):
    """What the findings about one subject add up to, with the findings and facts that it hangs on.

    `counted` are the findings that bear on the verdict of the whole; `beside` records to put right and batteries that are not
    fit, which ground no aircraft; `read` the first and last day on which the law behind any of it was read.
    """

    findings: tuple[Finding, ...]
    held: Mapping[Key[Any], Held]
    counted: tuple[Finding, ...]
    is_gone: bool
    due: tuple[DueFinding, ...]
    wanted: tuple[FactWanted, ...]
    silent: tuple[SilentSubject, ...]
    beside: tuple[Finding, ...]
    read: tuple[date, date] | None


Tallies = Mapping[str, SubjectTally]
"""The tallies of a standing, by subject."""


def tallies_of(found: Review, hidden: Container[str], before: Tallies) -> Tallies:
    """The tally of every subject judged that is not hidden.

    `before` are tallies of a review that this one goes on from. One stands where the findings are the very same and what is
    held of the subject too: whatever else a finding hangs on would have made it anew.
    """
    made: dict[str, SubjectTally] = {}
    for subject, findings in found.findings.items():
        if subject in hidden:
            continue
        kept, held = before.get(subject), found.state.held.get(subject, NOTHING_HELD)
        if kept is None or kept.findings is not findings or kept.held is not held:
            kept = _tally(subject, findings, held, found.state)
        made[subject] = kept
    return made


def _tally(
    subject: str, findings: tuple[Finding, ...], held: Mapping[Key[Any], Held], state: State
) -> SubjectTally:
    counted = tuple([finding for finding in findings if counts(finding, state)])
    return SubjectTally(
        findings,
        held,
        counted,
        any(is_gone(finding) for finding in counted),
        due_of(subject, counted, state),
        wanted_of(counted, state),
        silences_of(counted, state),
        (*filter(_is_unfit_battery, findings), *filter(_is_record_to_put_right, findings)),
        read_between(findings),
    )


def _is_record_to_put_right(finding: Finding) -> bool:
    """Whether a paper is wrong and grounds nothing by itself. A filing with a day stands in the due list."""
    return (
        finding.outcome.verdict is Verdict.NOT_MET
        and finding.rule.bears is Bears.PAPERS
        and day_due(finding) is None
    )


def _is_unfit_battery(finding: Finding) -> bool:
    """Whether something stands in the way of flying with a battery: what is not met, and records that disagree."""
    return (
        finding.rule.about == "battery"
        and finding.rule.bears is Bears.FLIGHT
        and (finding.outcome.verdict is Verdict.NOT_MET or finding.outcome.why is Why.CONFLICT)
        and day_due(finding) is None
    )
