"""A standing narrowed to one aircraft or person: what is found of it, due for it and missing for it."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches

from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.standing.report import Report
from airwrit.answers.standing.standing import Standing
from airwrit.base.errors import UsageError
from airwrit.facts.vocabulary import id_of, kind_of


def narrowed(standing: Standing, kind: str, name: str) -> Standing:
    """The standing of the one aircraft or person of a name. UsageError for a name that none of the kind has."""
    wanted = {_row_called(kind, name, standing)}
    rows = tuple(row for row in standing.rows if row.subject in wanted)
    about = {subject for row in rows for subject in row.about} | wanted
    report = standing.report
    return replace(
        standing,
        report=Report(
            report.question,
            report.state,
            tuple(one for one in report.asked if one[1] in about),
            tuple(finding for finding in report.findings if finding.subject in about),
            tuple(one for one in report.problems if any(subject in about for subject, _ in one.spoils)),
            report.sources,
            tuple(finding for finding in report.withheld if finding.subject in about),
        ),
        rows=rows,
        tallies={subject: tally for subject, tally in standing.tallies.items() if subject in about},
        due=tuple(due for due in standing.due if not about.isdisjoint(due.subjects)),
        gaps=tuple(
            gap._replace(
                subjects=tuple(one for one in gap.subjects if one in about) or gap.subjects,
                holds_up=tuple(one for one in gap.holds_up if one in wanted),
            )
            for gap in standing.gaps
            if not wanted.isdisjoint(gap.holds_up)
        ),
        left=tuple(one for one in standing.left if one[0] in wanted),
    )


def _row_called(kind: str, name: str, standing: Standing) -> str:
    """The aircraft or person of a name; of a registration the aircraft it is of."""
    known = [row.subject for row in standing.rows] + [subject for subject, _ in standing.left]
    known = [subject for subject in known if kind_of(subject) == kind]
    certificates = [one for row in standing.rows for one in row.about if kind_of(one) == "registration"]
    subject = the_one_called(name, (*known, *(certificates if kind == "aircraft" else ())))
    if kind_of(subject) == "registration":
        subject = next(row.subject for row in standing.rows if subject in row.about)
    if subject not in known:
        names = [id_of(one) for one in known]
        near = get_close_matches(name, names, n=1)
        raise UsageError(
            f"there is no {kind} named {name!r}",
            where=name,
            do=f"did you mean {near[0]!r}?" if near else "`airwrit today` lists the names",
        )
    return subject
