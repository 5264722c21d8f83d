"""A report as a JSON document: the form every face gives, the terminal's `--json` and the page's twin alike."""

from __future__ import annotations

from collections.abc import Iterable

from airwrit.answers.document import ON_PAPERS, Json, instant_text, made
from airwrit.answers.law_reading import reading_json
from airwrit.answers.sheets.same_person import perhaps_one_in
from airwrit.answers.standing.headline import Due, SubjectStanding
from airwrit.answers.standing.missing import MissingFact, Scope, groups_of
from airwrit.answers.standing.report import Report, counts
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import today_members, today_of
from airwrit.facts.key import Raw, raw_of
from airwrit.facts.state import State
from airwrit.facts.statement import FilePlace
from airwrit.facts.vocabulary import kind_of
from airwrit.intake.columns import Column
from airwrit.law import wording
from airwrit.law.rule import Finding


def place_json(where: str) -> dict[str, str | int | None] | None:
    """File, sheet, row and column of a place in a sheet; None where that is not what is named."""
    if not isinstance(where, FilePlace):
        return None
    return {"file": where.file, "sheet": where.sheet, "row": where.row, "column": where.column}


def finding_json(finding: Finding, state: State, in_place_of_private: str | None = None) -> Json:
    """One finding: verdict, sentence, what to do, the facts used, margin, sections, age and confidence of the reading.

    Where a text is to stand in place of private facts, they are named with it alone.
    """
    words, outcome = wording.worded(finding, state), finding.outcome
    margin = outcome.margin
    return {
        "subject": finding.subject,
        "rule": finding.rule.name,
        "bears_on": finding.rule.bears.value,
        "use": None if finding.use is None else finding.use.value,
        "counts": counts(finding, state),
        "verdict": outcome.verdict.value,
        "why": None if outcome.why is None else outcome.why.value,
        "code": outcome.code,
        "cites": "; ".join(wording.cites(finding)),
        "says": words.says,
        "do": words.do or None,
        "value": None if outcome.value is None else str(raw_of(outcome.value)),
        "used": _used(finding, state, in_place_of_private),
        "nothing_on_file": sorted({used.key.name for used in wording.silences(finding, state)}),
        "confirmed": list(wording.confirmed_by_model(finding, state)),
        "margin": None if margin is None else {"value": float(margin.value), "unit": margin.unit},
        "due_on": None if outcome.due_on is None else outcome.due_on.isoformat(),
        "holds_until": None if outcome.holds_until is None else outcome.holds_until.isoformat(),
        **provenance_json(finding),
        "document": finding.rule.document or None,
    }


def provenance_json(finding: Finding) -> Json:
    """Of which day the oldest text behind a finding is, when it was read, how the weakest was had, and how sure it is."""
    return {
        "law_text_of": _day(wording.text_of(finding)),
        "law_had": _day(wording.weakest_had(finding)),
        "law_read_on": _day(wording.read_on(finding)),
        "confidence": wording.confidence(finding),
    }


def _day(day: object) -> str | None:
    return None if day is None else str(day)


def _used(finding: Finding, state: State, in_place_of_private: str | None) -> dict[str, Raw]:
    """The facts looked at, by name; those of another subject carry its name before the fact's."""
    told: dict[str, Raw] = {}
    for used in dict.fromkeys(finding.used):
        name = used.key.name if used.subject == finding.subject else f"{used.subject} {used.key.name}"
        raw = raw_of(wording.value_used(used, state))
        is_hidden = in_place_of_private is not None and used.key.private and raw is not None
        told[name] = in_place_of_private if is_hidden else raw
    return told


def report_json(report: Report) -> Json:
    """The report: question, day, verdict, findings, problems, sources."""
    return made(_report_members(report))


def _report_members(report: Report) -> Json:
    """The same with its findings still to be made: a great fleet has hundreds of thousands."""
    return {
        "question": report.question,
        "on": instant_text(report.on),
        "known_at": report.known_at.isoformat().replace("+00:00", "Z"),
        **reading_json(report.on),
        "verdict": report.verdict.value,
        "findings": (finding_json(finding, report.state) for finding in report.findings),
        "withheld": len(report.withheld),
        "problems": [
            {
                "where": p.where,
                "place": place_json(p.where),
                "what": p.what,
                "do": p.do,
                "spoils": [list(pair) for pair in p.spoils],
                "unread": p.unread,
            }
            for p in report.problems
        ],
        "sources": [{"name": source.name, "sha256": source.sha256} for source in report.sources],
    }


def standing_json(standing: Standing) -> Json:
    """The standing: the report, and its rows, due list and gaps."""
    return made(standing_members(standing))


def standing_members(standing: Standing) -> Json:
    """The same with the rows of its long members still to be made, to be written one after the other."""
    report = standing.report
    return {
        **_report_members(report),
        **today_members(today_of(standing)),
        "rows": (_row(row, report.state) for row in standing.rows),
        "due": (_due(due, report.state) for due in standing.due),
        "perhaps_one_person": [list(group) for group in perhaps_one_in(report.state)],
        "assumed_no": [
            {"fact": one.fact, "words": one.words, "subjects": list(one.subjects)} for one in standing.assumed
        ],
        "missing": (gap_json(gap, report.state) for gap in standing.gaps),
        "left": [
            {"subject": subject, "left_on": None if day is None else day.isoformat()}
            for subject, day in standing.left
        ],
        **ON_PAPERS,
    }


def _row(row: SubjectStanding, state: State) -> Json:
    words = None if row.deciding is None else wording.worded(row.deciding, state)
    return {
        "subject": row.subject,
        "kind": kind_of(row.subject),
        "headline": row.headline.value,
        "headline_code": row.headline.code,
        "because": None if words is None else words.says,
        "rule": None if row.deciding is None else row.deciding.rule.name,
        "do_first": None if words is None else words.do or None,
        "work": row.work.value,
        "recreation": row.recreation.value,
        "night": None if row.night is None else row.night.value,
        "in_the_way": [
            {
                "rule": finding.rule.name,
                "verdict": finding.verdict.value,
                **wording.worded(finding, state)._asdict(),
            }
            for finding in row.in_the_way
        ],
    }


def _due(due: Due, state: State) -> Json:
    words = wording.worded(due.finding, state)
    return {
        "day": due.day.isoformat(),
        "overdue": due.overdue,
        "subjects": list(due.subjects),
        "rule": due.finding.rule.name,
        "what": words.do or words.says,
    }


def columns_asked(columns: Iterable[Column]) -> list[Json]:
    """The columns that have to be asked about, each as one question beside the missing facts."""
    return [
        {
            "fact": None,
            "question": COLUMN_QUESTION,
            "why": column.why,
            "subjects": [],
            "holds_up": [],
            "scope": Scope.COLUMN.value,
            "choices": [],
            "heading": column.heading,
            "example": column.example or None,
            "place": {"sheet": column.sheet, "row": None, "column": column.place},
        }
        for column in columns
        if column.why
    ]


COLUMN_QUESTION = "What does this column hold?"


def gap_json(gap: MissingFact, state: State) -> Json:
    """A missing fact as one question: for whom, in which words it may be answered, how many it helps to settle."""
    return {
        "fact": gap.key.name,
        "meaning": gap.key.meaning,
        "question": gap.key.question,
        "why": gap.why.value,
        "subjects": list(gap.subjects),
        "holds_up": list(gap.holds_up),
        "scope": gap.scope.value,
        "choices": list(gap.choices),
        "gain": round(gap.gain, 3),
        "groups": [
            {"name": name, "subjects": list(subjects)} for name, subjects in groups_of(gap, state).items()
        ],
        "word": gap.word or None,
        "places": [place_json(place) for place in gap.places],
    }
