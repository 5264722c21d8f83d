"""A standing on three screens: what the sheet lost, who may not fly and why, who may, what is due, what to answer.

What reads the same is told once for all of whom it is so. `--all` and a name show everything.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import timedelta

from rich.console import Console
from rich.text import Text

from airwrit.answers.standing.assumed import assumed_in
from airwrit.answers.standing.due import SPANS
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.missing import MissingFact
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.view import BY_URGENCY, due_lines, first_thing
from airwrit.base.days import day_of
from airwrit.base.sentences import counted, day_words, sentence
from airwrit.cli.console import SIGNS, clean, said
from airwrit.cli.shared.sections import print_rows, print_title
from airwrit.facts.state import State
from airwrit.facts.statement import FilePlace, Problem
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.intake.columns import Column
from airwrit.law import wording

_LOST, _ASKED, _NAMES, _CELLS, _DUE = 6, 6, 12, 6, 12
_NAMED_ALONE = 200
_APART = (Headline.WORK, Headline.NOT_IN_FLEET, Headline.NOT_JUDGED)
"""Headlines whose people and aircraft are told by their names alone."""
_TITLES = {
    Headline.WORK: "PAPERS OK FOR WORK",
    Headline.NOT_IN_FLEET: "NOT IN THE FLEET",
    Headline.NOT_JUDGED: "NOT A PILOT (not checked)",
}


def show_lost(problems: Iterable[Problem], out: Console) -> None:
    """What could not be read, each thing once with its cells and what to type; remarks are counted alone."""
    found = list(problems)
    lost: dict[tuple[str, str], list[str]] = defaultdict(list)
    for problem in found:
        if problem.spoils or problem.unread:
            lost[sentence(said(problem.what)), sentence(said(problem.do))].append(problem.where)
    if lost:
        many = sum(map(len, lost.values()))
        print_title(
            f"WE COULDN'T READ {many} {'CELL' if many == 1 else 'CELLS'}. They count as unknown.", out
        )
        lines = ((_cells(places), what, do) for (what, do), places in list(lost.items())[:_LOST])
        print_rows(lines, (18, 46, 36), out, gap=1)
    left, remarks = len(lost) - _LOST, sum(not (one.spoils or one.unread) for one in found)
    more = [f"{left} more of these" if left > 0 else "", counted(remarks, "note") if remarks else ""]
    if any(more):
        out.print(Text(f"{' and '.join(filter(None, more))}: Use --all to see them.", style="dim"))


def _cells(places: Sequence[str]) -> str:
    """The cells of one kind of trouble, by sheet: `Fleet K5, K6, K7 and 20 more`."""
    by_sheet: dict[str, list[str]] = defaultdict(list)
    for text in places:
        if not isinstance(text, FilePlace) or text.row is None:
            by_sheet[clean(text)].append("")
        else:
            cell = f"{text.column}{text.row}" if text.column else f"row {text.row}"
            by_sheet[clean(text.sheet or text.file)].append(cell)
    return "; ".join(
        f"{sheet} {_listed([one for one in cells if one], _CELLS)}".strip()
        for sheet, cells in by_sheet.items()
    )


def show_rows(standing: Standing, out: Console) -> None:
    """Who may not fly and why, then who may, and who stands apart; aircraft first."""
    state = standing.report.state
    for kind, title in (("aircraft", "AIRCRAFT"), ("person", "PEOPLE")):
        rows = [row for row in standing.rows if kind_of(row.subject) == kind]
        _against(title, [row for row in rows if row.headline not in _APART], state, out)
        for headline in _APART:
            _apart(headline, title, [row for row in rows if row.headline is headline], state, out)


def _against(title: str, rows: Sequence[SubjectStanding], state: State, out: Console) -> None:
    """Whom something holds back: those for whom it is the same stand on one line."""
    alike: dict[tuple[Headline, str, str], list[str]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: BY_URGENCY.index(row.headline)):
        words = None if row.deciding is None else wording.worded(row.deciding, state)
        more = len({(one.rule.name, one.subject) for one in row.in_the_way}) - 1
        is_told = row.headline is not Headline.CANT_SAY and more > 0
        says = ("" if words is None else said(words.says)) + (f" ({more} more to fix)" if is_told else "")
        first = first_thing(row, state)
        by = "" if first.by is None or first.by.isoformat() in first.do else f" By {day_words(first.by)}."
        alike[row.headline, says, said(first.do) + by].append(clean(id_of(row.subject)))
    if not alike:
        return
    lines = (
        (
            SIGNS[headline.mark],
            Text(_listed(names, _NAMES), style="bold"),
            Text(
                f"{sentence(headline.value)} {says}".rstrip(),
                style="bold" if headline is Headline.GROUNDED else "",
            ),
            do,
        )
        for (headline, says, do), names in alike.items()
    )
    out.print()
    print_rows(lines, (-4, 18, 44, 38), out, titles=("", title, "STATUS", "DO FIRST"), gap=1)


def _apart(
    headline: Headline, title: str, rows: Sequence[SubjectStanding], state: State, out: Console
) -> None:
    """Those of one headline by their names; those not in the fleet by why they are not."""
    if not rows:
        return
    alike: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        tells_why = headline is Headline.NOT_IN_FLEET and row.deciding is not None
        why = said(wording.worded(row.deciding, state).says) if tells_why and row.deciding else ""
        alike[why].append(clean(id_of(row.subject)))
    print_title(f"{_TITLES[headline]}, {title.lower()}: {len(rows)}", out)
    for why, names in alike.items():
        out.print(f"{_listed(names, _NAMED_ALONE)}" + (f": {why}" if why else ""))


def show_due(standing: Standing, out: Console) -> None:
    """What is due within the longest span, the soonest first; what is overdue says so."""
    last = day_of(standing.report.on) + timedelta(days=SPANS[-1])
    lines = [line for line in due_lines(standing.due, standing.report.state) if line.day <= last]
    if not lines:
        return
    print_title(f"DUE WITHIN {SPANS[-1]} DAYS", out)
    rows = []
    for line in lines[:_DUE]:
        day = day_words(line.day) + (" overdue" if line.overdue else "")
        names = [clean(id_of(subject)) for subject in line.subjects]
        rows.append((day, _listed(names, _NAMES), said(line.do or line.says)))
    print_rows(rows, (14, 26, 60), out, gap=1)
    if len(lines) > _DUE:
        out.print(Text(f"{len(lines) - _DUE} more: `airwrit deadlines`.", style="dim"))


def show_questions(gaps: Sequence[MissingFact], out: Console) -> None:
    """The first questions, what settles the most first, and how to answer them."""
    if not gaps:
        return
    print_title("WHAT WE NEED FROM YOU (biggest payoff first)", out)
    rows = []
    for number, gap in enumerate(gaps[:_ASKED], start=1):
        about = f'"{clean(gap.word)}": ' if gap.word else ""
        names = [clean(id_of(subject)) for subject in gap.subjects]
        rows.append((f"{number}.", about + gap.key.question, _listed(names, 4)))
    print_rows(rows, (3, 62, 35), out, gap=1)
    more = f"{len(gaps) - _ASKED} more. " if len(gaps) > _ASKED else ""
    out.print(f"{more}--questions FILE saves them as a form to fill in. --answers FILE reads it back.")


def show_unread_columns(columns: Sequence[Column], out: Console) -> None:
    """The columns that have to be asked about, each with why, and the names of those that are not used."""
    asked = [column for column in columns if column.why]
    if asked:
        print_title("WHAT IS IN THESE COLUMNS? Until you answer, we can't tell about their rows.", out)
        rows = ((column.place, clean(column.heading), clean(column.why)) for column in asked)
        print_rows(rows, (10, 40, 50), out, gap=1)
    unused = [
        f"{column.place} {clean(column.heading)}".strip()
        for column in columns
        if not column.key and column not in asked
    ]
    if unused:
        out.print(
            Text(
                f"\nColumns not used: {_listed(unused, _NAMES)}. Use --all to see how we read each one.",
                style="dim",
            )
        )


def show_assumed(standing: Standing, out: Console) -> None:
    """What is taken as "no" because nothing is on file, once."""
    words = [one.words for one in assumed_in(standing.report, standing.rows)]
    if words:
        out.print(Text(f'\nAssumed "no" (nothing on file): {", ".join(words)}.', style="dim"))


def _listed(names: Sequence[str], most: int) -> str:
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")
