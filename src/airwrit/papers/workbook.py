"""The standing as a workbook: one sheet to act on, one of what is due, one of what is missing, one of every finding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import xlsxwriter

from airwrit.answers.document import CAUTION, SCOPE, instant_text
from airwrit.answers.standing.report import counts
from airwrit.answers.standing.standing import Standing
from airwrit.base.days import day_of
from airwrit.base.sentences import VERDICT_WORDS
from airwrit.base.verdict import Verdict
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law import wording
from airwrit.law.parameters import late_reading

Cells = Sequence[str]

FIRST = "Standing"
"""The first sheet; it says at its top what the answer is based on."""

CREATED = datetime(2020, 1, 1, tzinfo=UTC).replace(tzinfo=None)
"""When every workbook says that it was made, so that the same answer gives the same bytes."""
OPTIONS = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
"""Texts stay texts."""
_WIDTHS = (22, 14, 14, 14, 26, 60, 60, 14)


def write_standing(standing: Standing, path: Path) -> None:
    """Write the workbook to `path`; texts stay texts, so that no cell runs as a formula. Same standing, same bytes."""
    made = BytesIO()
    with xlsxwriter.Workbook(made, OPTIONS) as book:
        book.set_properties({"created": CREATED, "title": "Standing", "comments": CAUTION})
        head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        body = book.add_format({"text_wrap": True, "valign": "top"})
        for name, heading, rows in _sheets(standing):
            sheet = book.add_worksheet(name)
            sheet.set_landscape()
            sheet.fit_to_pages(1, 0)
            top = 0 if name != FIRST else 1
            if top:
                sheet.write_string(0, 0, SCOPE)
            sheet.repeat_rows(0, top)
            sheet.freeze_panes(top + 1, 1)
            for column, text in enumerate(heading):
                sheet.write_string(top, column, text, head)
                sheet.set_column(column, column, _WIDTHS[column] if column < len(_WIDTHS) else 24)
            for number, row in enumerate(rows, start=top + 1):
                for column, text in enumerate(row):
                    sheet.write_string(number, column, safe_text(text), body)
    path.write_bytes(made.getvalue())


def safe_text(text: str) -> str:
    """Text without control characters, cut to what a cell can hold."""
    return "".join(sign if sign.isprintable() else " " for sign in text)[:32000]


def _sheets(standing: Standing) -> Iterable[tuple[str, Cells, Iterable[Cells]]]:
    yield (
        FIRST,
        ("Name", "Kind", "For work", "Recreation", "Standing", "Because", "First thing to do", "By"),
        _rows(standing),
    )
    yield "Due", ("Day", "Overdue", "For", "What", "To do"), _due(standing)
    yield "Missing", ("Fact", "Reason", "Question", "For", "Holds up"), _gaps(standing)
    yield (
        "Problems",
        ("Where", "What", "What to do", "Leaves undecided"),
        [
            (p.where, p.what, p.do, ", ".join(f"{subject} {key}" for subject, key in p.spoils))
            for p in standing.report.problems
        ],
    )
    yield (
        "Findings",
        (
            "Name",
            "Rule",
            "Use",
            "Verdict",
            "Counts",
            "Says",
            "To do",
            "Due",
            "Sections",
            "Law as read",
            "Confidence",
        ),
        _findings(standing),
    )
    yield "Read me", ("About",), _about(standing)


def _rows(standing: Standing) -> Iterable[Cells]:
    late = late_reading(day_of(standing.report.on))
    if late:
        yield (late,)
    state = standing.report.state
    for row in standing.rows:
        words = wording.Wording("", "") if row.deciding is None else wording.worded(row.deciding, state)
        due = None if row.deciding is None else row.deciding.outcome.due_on
        yield (
            id_of(row.subject),
            kind_of(row.subject),
            _word(row.work),
            _word(row.recreation),
            row.headline.value,
            words.says,
            words.do,
            "" if due is None else due.isoformat(),
        )


def _word(verdict: Verdict) -> str:
    return VERDICT_WORDS[verdict]


def _due(standing: Standing) -> Iterable[Cells]:
    for due in standing.due:
        words = wording.worded(due.finding, standing.report.state)
        names = ", ".join(id_of(subject) for subject in due.subjects)
        yield due.day.isoformat(), "yes" if due.overdue else "", names, words.says, words.do


def _gaps(standing: Standing) -> Iterable[Cells]:
    for gap in standing.gaps:
        names = ", ".join(id_of(subject) for subject in gap.subjects)
        waiting = ", ".join(id_of(subject) for subject in gap.holds_up)
        yield gap.key.meaning, gap.why.value.replace("_", " "), gap.key.question, names, waiting


def _findings(standing: Standing) -> Iterable[Cells]:
    state = standing.report.state
    for finding in standing.report.findings:
        words, outcome = wording.worded(finding, state), finding.outcome
        yield (
            id_of(finding.subject),
            finding.rule.name.replace("_", " "),
            "" if finding.use is None else finding.use.value,
            _word(outcome.verdict),
            "yes" if counts(finding, state) else "no",
            words.says,
            words.do,
            "" if outcome.due_on is None else outcome.due_on.isoformat(),
            "; ".join(wording.cites(finding)),
            wording.provenance(finding),
            wording.confidence(finding) or "",
        )


def _about(standing: Standing) -> Iterable[Cells]:
    yield (f"Standing on {instant_text(standing.report.on)}: {_word(standing.report.verdict)} as a whole",)
    for source in standing.report.sources:
        yield (f"read from {source.name}, SHA-256 {source.sha256}",)
    yield (CAUTION,)
