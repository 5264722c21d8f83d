"""The answer after a flight on the terminal: the whole, intervals in order of time, clauses, what the log can't show."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.text import Text

from airwrit.answers.after_flight.flown import ClauseFrom, FlownAnswer, FlownClause
from airwrit.answers.after_flight.view import (
    IntervalShown,
    assumed_lines,
    cant_rows,
    cites_of,
    clause_text,
    clauses_from,
    difference_lines,
    figures_lines,
    flown_text,
    height_lines,
    intervals_shown,
    now_lines,
    problem_lines,
    scope_text,
    title_text,
    whole_lines,
    words,
)
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, said, show_caution
from airwrit.cli.shared.sections import print_rows, print_title
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording

_WIDTHS = (-4, 28, 62, 20)


def show_flown(answer: FlownAnswer, out: Console) -> None:
    """Print the whole answer."""
    out.print()
    out.print(Text(clean(" ".join(whole_lines(answer))), style="bold"))
    out.print(clean(f"{answer.track.name}: {flown_text(answer)}"))
    out.print(Text(scope_text(answer), style="dim"))
    heads = words()["heads"]
    if answer.intervals:
        print_title(heads["intervals"], out)
        print_rows(map(_interval_row, intervals_shown(answer)), (-4, -3, 34, 40, 40), out)
    for source in ClauseFrom:
        _show_clauses(words()["source"][source.value], clauses_from(answer, source), out)
    _show_rows(answer, out)
    _show_lines(heads["plan"], difference_lines(answer), out)
    _show_cant(answer, out)
    _show_lines(heads["figures"], [*figures_lines(answer), *height_lines(answer)], out)
    _show_lines(heads["assumed"], [*assumed_lines(answer), *problem_lines(answer)], out)
    _show_lines(heads["now"], now_lines(answer), out)
    show_caution(out)


def _interval_row(one: IntervalShown) -> tuple[str, ...]:
    when = f"{one.when}, {one.lasts}"
    when = f"{when} ({one.utc})" if one.utc else when
    return SIGNS[one.verdict], f"{one.number}", when, clean(one.what), said(one.says)


def _show_clauses(heading: str, clauses: Sequence[FlownClause], out: Console) -> None:
    if clauses:
        print_title(heading, out)
        print_rows((_clause_row(one) for one in clauses), _WIDTHS, out)


def _clause_row(clause: FlownClause) -> tuple[str, ...]:
    return SIGNS[clause.verdict], clean(title_text(clause)), said(clause_text(clause)), cites_of(clause)


def _show_rows(answer: FlownAnswer, out: Console) -> None:
    rows = [row for row in (answer.aircraft, answer.pilot) if row is not None]
    state = answer.standing_state
    if not rows or state is None:
        return
    print_title(words()["heads"]["standing"], out)
    lines = []
    for row, verdict in zip(rows, answer.standing_verdicts, strict=True):
        why = "" if row.deciding is None else wording.worded(row.deciding, state).says
        against = f". {why}" if verdict is not Verdict.MET and why else ""
        lines.append((SIGNS[verdict], clean(id_of(row.subject)), said(f"{row.headline.value}{against}")))
    print_rows(lines, (-4, 28, 82), out)


def _show_cant(answer: FlownAnswer, out: Console) -> None:
    """What the log can't show."""
    rows = cant_rows(answer)
    if rows:
        print_title(words()["heads"]["cant"], out)
        print_rows(
            ((SIGNS[Verdict.UNKNOWN], clean(title), said(says)) for title, says in rows), (-4, 28, 82), out
        )


def _show_lines(heading: str, lines: Iterable[str], out: Console) -> None:
    told = list(lines)
    if told:
        print_title(heading, out)
        for line in told:
            out.print(said(f"  {line}"))
