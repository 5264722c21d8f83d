"""A standing on the terminal: rows by urgency, what is due, what is missing, what is wrong in the sheet, the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import chain

from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE
from airwrit.answers.sheets.column_words import NOT_USED, column_words
from airwrit.answers.standing.headline import SPANS, Due, Headline, SubjectStanding, day_due
from airwrit.answers.standing.json import columns_asked, standing_members
from airwrit.answers.standing.missing import MissingFact
from airwrit.answers.standing.one_subject import narrowed
from airwrit.answers.standing.report import Report, counts
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import answer_in_short, today_of
from airwrit.answers.standing.view import BY_URGENCY
from airwrit.base.days import day_of
from airwrit.base.sentences import VERDICT_WORDS, day_words, sentence
from airwrit.base.verdict import Verdict, Why
from airwrit.cli.console import (
    SIGNS,
    Cell,
    Width,
    clean,
    console,
    longest_word,
    print_rows,
    print_title,
    said,
    show_caution,
)
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.fleet import Fleet
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shown.standing_short import (
    alike,
    cells_of,
    show_assumed,
    show_expires,
    show_fixes,
    show_lost,
    show_posts,
    show_questions,
    show_unread_columns,
)
from airwrit.facts.keys.aircraft import USED_FOR
from airwrit.facts.keys.person import FLIES_FOR
from airwrit.facts.state import State
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.intake.columns import Column
from airwrit.intake.sheets import Intake
from airwrit.law import wording
from airwrit.law.rule import Bears, Finding

_TONES = {
    Headline.WORK: "",
    Headline.RECREATION: "",
    Headline.GROUNDED: "bold",
    Headline.CANT_SAY: "italic",
}
_SHARES = (-10, 22, 40, 38)
_LISTED = 6
_NARROW = 100
_AT_ONCE = "next flight"


def show_standing(standing: Standing, out: Console, *, every: bool) -> None:
    """Print the answer, on three screens or, with `every`, each finding of each subject."""
    state = standing.report.state
    _head(standing, out)
    if not every:
        _in_short(standing, out)
        return
    for kind, title in (("aircraft", "AIRCRAFT"), ("person", "PEOPLE")):
        rows = [row for row in standing.rows if kind_of(row.subject) == kind]
        if rows:
            _rows(title, rows, state, out)
    _left(standing, out)
    _before_flight(standing, out)
    _papers(standing, out)
    _due(standing, out)
    _gaps(standing.gaps, out)
    show_problems(standing.report.problems, out)
    show_withheld(standing.report, out)
    show_every(standing.report, out)
    show_assumed(standing, out)
    _foot(standing, out)


def _in_short(standing: Standing, out: Console) -> None:
    view = today_of(standing)
    show_lost(standing.report.problems, out)
    show_posts(standing, out)
    _left(standing, out)
    show_fixes(view, out)
    show_expires(view, out)
    show_questions(standing.gaps, out)
    show_withheld(standing.report, out)
    show_assumed(standing, out)
    _foot(standing, out)


def _head(standing: Standing, out: Console) -> None:
    state, rows = standing.report.state, standing.rows
    names = ", ".join(clean(source.name) for source in standing.report.sources)
    show_late(state.on, out)
    out.print(
        Text(f"Status on {said(wording.shown(state.on))}", style="bold"),
        Text(f"   from {names}" if names else ""),
    )
    out.print(SCOPE)
    if not rows:
        out.print("We found no aircraft and no people.")
        return
    for line in answer_in_short(rows):
        out.print(line)
    out.print(Text("|--| OK   |//| not OK   |..| can't tell yet   -- doesn't apply", style="dim"))


def _rows(title: str, rows: Sequence[SubjectStanding], state: State, out: Console) -> None:
    people, narrow = title == "PEOPLE", out.width < _NARROW
    names = [clean(id_of(row.subject)) for row in rows]
    signs = [-5] * (3 if people else 2)
    widths: list[Width] = [(15, longest_word([title, *names])), *signs, 40, 38, *([] if narrow else [-12])]
    night, by = ["NIGHT"] if people else [], [] if narrow else ["BY"]
    out.print()
    print_rows(
        (
            _row_cells(row, state, people=people, narrow=narrow)
            for row in sorted(rows, key=lambda row: BY_URGENCY.index(row.headline))
        ),
        widths,
        out,
        titles=[title, "WORK", "RECR.", *night, "STATUS", "DO FIRST", *by],
    )


def _row_cells(row: SubjectStanding, state: State, *, people: bool, narrow: bool) -> tuple[Cell, ...]:
    """One aircraft or person: name, signs, status, and what to do first by when."""
    words = None if row.deciding is None else wording.worded(row.deciding, state)
    do, by = _first_thing(row, state)
    return (
        Text(clean(id_of(row.subject)), style="bold"),
        SIGNS[row.work],
        SIGNS[row.recreation],
        *([SIGNS[row.night or Verdict.UNKNOWN]] if people else []),
        Text(headline_text(row, words), style=_TONES.get(row.headline, "dim")),
        *([_with_day(said(do), by)] if narrow else [said(do), by]),
    )


def _with_day(do: str, by: str) -> str:
    """What to do and by which day, where there is no room for a column of days; before the next flight goes without saying."""
    return f"{do}\nby {by}" if do and by and by != _AT_ONCE else do


def headline_text(row: SubjectStanding, words: wording.Wording | None) -> str:
    """The headline, with why it is grounded or what is missing."""
    if words is None or row.headline in (Headline.WORK, Headline.NOT_JUDGED):
        return sentence(row.headline.value)
    if row.headline is Headline.RECREATION:
        return f"{sentence(row.headline.value)} For work: {said(words.says)}"
    return f"{sentence(row.headline.value)} {said(words.says)}"


def _first_thing(row: SubjectStanding, state: State) -> tuple[str, str]:
    """What to do first and by when: against what grounds it, else the nearest day that is due."""
    if row.deciding is not None:
        words = wording.worded(row.deciding, state)
        due = row.deciding.outcome.due_on
        grounds = row.headline.holds_back
        return words.do, day_words(due) if due else _AT_ONCE if grounds else ""
    coming = [
        f for f in row.findings if f.outcome.due_on is not None and f.verdict is not Verdict.NOT_APPLICABLE
    ]
    nearest = min(coming, key=lambda f: f.outcome.due_on or date.max, default=None)
    if nearest is None or nearest.outcome.due_on is None:
        return "", ""
    if nearest.outcome.due_on > day_of(state.on) + timedelta(days=SPANS[-1]):
        return "", ""
    return wording.worded(nearest, state).do, day_words(nearest.outcome.due_on)


def _left(standing: Standing, out: Console) -> None:
    if standing.left:
        names = ", ".join(
            f"{clean(id_of(subject))}" + (f" ({day_words(day)})" if day else "")
            for subject, day in standing.left
        )
        out.print(f"\nLeft the program, not checked: {names}")


def _before_flight(standing: Standing, out: Console) -> None:
    """Everything that stands in the way of a flight, where it is more than the first thing."""
    state = standing.report.state
    steps = {
        row.subject: dict.fromkeys(
            (finding.verdict, wording.worded(finding, state)) for finding in row.in_the_way
        )
        for row in standing.rows
        if row.headline is not Headline.RECREATION and _is_more_than_gaps(row.in_the_way)
    }
    steps = {subject: mine for subject, mine in steps.items() if len(mine) > 1}
    if not steps:
        return
    print_title("FIX BEFORE YOU FLY", out)
    lines = (
        (
            f"{number} {SIGNS[verdict]}",
            clean(id_of(subject)) if number == 1 else "",
            said(words.says),
            said(words.do),
        )
        for subject, mine in steps.items()
        for number, (verdict, words) in enumerate(mine, start=1)
    )
    print_rows(lines, _SHARES, out)


def _is_more_than_gaps(findings: Sequence[Finding]) -> bool:
    """Whether something besides missing facts stands in the way; those have a list of their own."""
    return any(finding.outcome.why not in (Why.MISSING, Why.CONFLICT, Why.DAMAGED) for finding in findings)


def _papers(standing: Standing, out: Console) -> None:
    """Records to put right: they ground nothing by themselves. Filings with a day stand in the due list."""
    report = standing.report
    wrong = [
        finding
        for finding in report.findings
        if finding.rule.bears is Bears.PAPERS
        and finding.verdict is Verdict.NOT_MET
        and day_due(finding) is None
    ]
    if not wrong:
        return
    print_title("RECORDS TO FIX", out)
    told = ((finding, wording.worded(finding, report.state)) for finding in wrong)
    lines = (
        (SIGNS[finding.verdict], clean(id_of(finding.subject)), said(words.says), said(words.do))
        for finding, words in told
    )
    print_rows(lines, _SHARES, out)


def show_withheld(report: Report, out: Console) -> None:
    """How much is kept for counsel: it counts, its text is not printed."""
    papers = {finding.subject for finding in report.withheld}
    if papers:
        print_title("FOR COUNSEL", out)
        many = f"{len(papers)} paper" + ("" if len(papers) == 1 else "s")
        out.print(f"{many} marked for counsel, counted but not printed. Use --counsel to print them.")


def _due(standing: Standing, out: Console) -> None:
    on = day_of(standing.report.on)
    state = standing.report.state
    groups = [("OVERDUE", [due for due in standing.due if due.overdue])]
    before = -1
    for span in SPANS:
        inside = [d for d in standing.due if not d.overdue and before < (d.day - on).days <= span]
        groups.append((f"DUE WITHIN {span} DAYS", inside))
        before = span
    for title, items in groups:
        if items:
            print_title(title, out)
            _due_lines(items, state, out)


def _due_lines(items: Sequence[Due], state: State, out: Console) -> None:
    """One line for each thing due; things that read the same stand on one line with all their subjects."""
    alike: dict[tuple[str, str, str], list[str]] = {}
    for due in items:
        words = wording.worded(due.finding, state)
        alike.setdefault((day_words(due.day), words.says, words.do), []).extend(due.subjects)
    lines = ((day, listed(subjects), said(says), said(do)) for (day, says, do), subjects in alike.items())
    print_rows(lines, (-12, 22, 40, 38), out)


def listed(subjects: Sequence[str]) -> str:
    """Subjects by their ids, the first few and how many more."""
    names = [clean(id_of(subject)) for subject in subjects[:_LISTED]]
    more = len(subjects) - len(names)
    return ", ".join(names) + (f" and {more} more" if more else "")


def _gaps(gaps: Sequence[MissingFact], out: Console) -> None:
    if not gaps:
        return
    print_title("WHAT WE NEED FROM YOU (most useful first)", out)
    lines = []
    for gap in gaps:
        why = "" if gap.why is Why.MISSING else f" ({gap.why.value.replace('_', ' ')})"
        settles = f"settles {len(gap.holds_up)}"
        ask = gap.key.question + (
            " Or answer for all with --use." if gap.key in (USED_FOR, FLIES_FOR) else ""
        )
        lines.append(
            (
                settles,
                f"{gap.key.meaning}{why}",
                ask,
                f"{gap.key.name} of {listed(gap.subjects)}",
            )
        )
    print_rows(lines, (-12, 22, 40, 38), out)
    out.print(
        "Add a column with that name to the sheet, or enter the fact with `airwrit record-change SUBJECT FACT=VALUE`."
        " `airwrit check-scenario --keys` lists every fact and its choices."
    )


def show_problems(problems: Iterable[Problem], out: Console) -> None:
    """What is wrong in a sheet, what spoils a fact first, then remarks."""
    found = list(problems)
    if not found:
        return
    spoiling = [problem for problem in found if problem.spoils or problem.unread]
    answers = [problem for problem in found if problem.is_answer]
    remarks = [problem for problem in found if not (problem.spoils or problem.unread or problem.is_answer)]
    for title, group in (
        ("ANSWERS WE DIDN'T USE", answers),
        ("CELLS WE COULDN'T READ", spoiling),
        ("HOW WE READ SOME CELLS", remarks),
    ):
        if not group:
            continue
        print_title(title, out)
        lines = (
            (cells_of(places, len(places)) if len(places) > 1 else clean(places[0]), what, do)
            for (what, do), places in alike(group).items()
        )
        print_rows(lines, (32, 40, 38), out)


def show_every(report: Report, out: Console) -> None:
    """Print each finding of each subject."""
    state = report.state
    by_subject: dict[str, list[Finding]] = {}
    for finding in report.findings:
        by_subject.setdefault(finding.subject, []).append(finding)
    for subject, findings in by_subject.items():
        print_title(f"{kind_of(subject).upper()} {clean(id_of(subject))}", out)
        print_rows((_finding_cells(finding, state) for finding in findings), (16, 30, 52, 30), out)


def _finding_cells(finding: Finding, state: State) -> tuple[str, str, str, str]:
    words = wording.worded(finding, state)
    use = "" if finding.use is None else f" ({finding.use.value})"
    silent = sorted({used.key.meaning for used in wording.silences(finding, state)})
    rests = f" [Nothing on file: {'; '.join(silent)}]" if silent and finding.verdict is Verdict.MET else ""
    read = wording.provenance(finding)
    confirmed = "".join(f" ({one})" for one in wording.confirmed_by_model(finding, state))
    return (
        f"{SIGNS[finding.verdict]} {VERDICT_WORDS[finding.verdict]}",
        finding.rule.name.replace("_", " ") + use + ("" if counts(finding, state) else " (not counted)"),
        said(words.says + confirmed + rests),
        "; ".join(wording.cites(finding)) + (f", {read}" if read else ""),
    )


def _foot(standing: Standing, out: Console) -> None:
    read = standing.law_read_between
    out.print()
    if read:
        out.print(
            Text(
                f"We read the law between {day_words(read[0])} and {day_words(read[1])}. `airwrit rules` shows each source.",
                style="dim",
            )
        )
    show_caution(out)


def show_columns(columns: Sequence[Column], out: Console, *, every: bool) -> None:
    """How each column was read; without `every` those that have to be asked about, and the names of the unused ones."""
    if not every:
        show_unread_columns(columns, out)
        return
    if not columns:
        return
    print_title("HOW WE READ THE COLUMNS", out)
    lines = (
        (
            column.place,
            clean(f"{column.sheet}: {column.heading}"),
            clean(column_words(column)),
            clean(column.why or ("" if column.note == NOT_USED else column.note)),
        )
        for column in columns
    )
    print_rows(lines, _SHARES, out)
    if any(not column.key for column in columns):
        out.print(
            "To use one, give it a heading from `airwrit today --write-template FILE.xlsx`. Or say what it holds"
            " in a mapping (`airwrit today SHEET --save-mapping FILE`, then --mapping FILE)."
        )


def show_one(kind: str, name: str, fleet: Fleet, *, counsel: bool, as_json: bool) -> int:
    """Print one aircraft or person in full; the exit code of its verdict."""
    intake, answer = fleet.judged(counsel=counsel)
    answer = narrowed(answer, kind, name)
    show_answer(answer, replace(intake, columns=()), every=True, as_json=as_json)
    return EXIT[answer.report.verdict]


def show_answer(answer: Standing, intake: Intake, *, every: bool, as_json: bool) -> None:
    """Print a standing and how its columns were read."""
    if as_json:
        document = standing_members(answer)
        document["missing"] = chain(columns_asked(intake.columns), document["missing"])
        document["columns"] = [column._asdict() for column in intake.columns]
        show_json(document)
        return
    out = console()
    show_standing(answer, out, every=every)
    show_columns(intake.columns, out, every=every)
