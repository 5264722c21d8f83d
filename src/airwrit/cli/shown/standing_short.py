"""A day on three screens: what the sheet lost, who is grounded, what to fix by cause, what expires next, what to answer.

What has one cause is told once for all of whom it is so. `--all` and a name show everything.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.missing import MissingFact
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import NEAR, Fix, Today, today_of
from airwrit.answers.standing.view import BY_URGENCY
from airwrit.base.days import day_of
from airwrit.base.sentences import counted, day_words, sentence
from airwrit.cli.console import SIGNS, Cell, clean, print_rows, print_title, said
from airwrit.facts.state import State
from airwrit.facts.statement import FilePlace, Problem
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.intake.columns import Column
from airwrit.law import wording

_LOST, _ASKED, _NAMES, _CELLS, _DUE = 6, 6, 12, 6, 12
_NAMED_ALONE = 200
_FIXES, _GLANCED = 12, 4
FIX_WIDTHS = (-3, 62, 16, -24)
"""The columns of what is to be fixed."""

_TONES = {Headline.GROUNDED: "bold", Headline.CANT_SAY: "italic"}


def show_lost(problems: Iterable[Problem], out: Console) -> None:
    """What could not be read, each thing once with its cells and what to type; remarks are counted alone."""
    found = list(problems)
    lost = alike(problem for problem in found if problem.spoils or problem.unread)
    if lost:
        many = sum(map(len, lost.values()))
        print_title(
            f"WE COULDN'T READ {many} {'CELL' if many == 1 else 'CELLS'}. They count as unknown.", out
        )
        lines = (
            (cells_of(places, _CELLS), sentence(what), sentence(do))
            for (what, do), places in list(lost.items())[:_LOST]
        )
        print_rows(lines, (18, 46, 36), out, gap=1)
    left, remarks = len(lost) - _LOST, sum(not (one.spoils or one.unread) for one in found)
    more = [f"{left} more of these" if left > 0 else "", counted(remarks, "note") if remarks else ""]
    if any(more):
        out.print(Text(f"{' and '.join(filter(None, more))}: Use --all to see them.", style="dim"))


def alike(problems: Iterable[Problem]) -> dict[tuple[str, str], list[str]]:
    """The places of problems by what they say and what to do about it."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for problem in problems:
        found[said(problem.what), said(problem.do)].append(problem.where)
    return found


def cells_of(places: Sequence[str], most: int) -> str:
    """The cells of one kind of trouble, by sheet: `Fleet K5, K6, K7 and 20 more`."""
    by_sheet: dict[str, list[str]] = defaultdict(list)
    for text in places:
        if not isinstance(text, FilePlace) or text.row is None:
            by_sheet[clean(text)].append("")
        else:
            cell = f"{text.column}{text.row}" if text.column else f"row {text.row}"
            by_sheet[clean(text.sheet or text.file)].append(cell)
    return "; ".join(
        f"{sheet} {_listed([one for one in cells if one], most)}".strip() for sheet, cells in by_sheet.items()
    )


def show_posts(standing: Standing, out: Console) -> None:
    """How many are grounded, can't be told, or have their papers in order, each with its names; aircraft first."""
    for kind, title in (("aircraft", "AIRCRAFT"), ("person", "PEOPLE")):
        lines = []
        for headline in BY_URGENCY:
            rows = [row for row in standing.rows if row.headline is headline and kind_of(row.subject) == kind]
            for why, names in _by_why(rows, standing.report.state).items():
                told = Text(sentence(headline.value).rstrip("."), style=_TONES.get(headline, ""))
                most = _NAMES if headline.holds_back else _NAMED_ALONE
                lines.append(
                    (
                        SIGNS[headline.mark],
                        told,
                        str(len(names)),
                        _listed(names, most) + (f": {why}" if why else ""),
                    )
                )
        if lines:
            print_title(title, out)
            print_rows(lines, (-4, -29, -3, 70), out, gap=1)


def _by_why(rows: Iterable[SubjectStanding], state: State) -> dict[str, list[str]]:
    """The names of rows; of those that are not in the fleet by why they are not."""
    alike: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        gone = row.deciding if row.headline is Headline.NOT_IN_FLEET else None
        alike["" if gone is None else said(wording.worded(gone, state).says)].append(
            clean(id_of(row.subject))
        )
    return alike


def show_fixes(view: Today, out: Console) -> None:
    """What to fix, what grounds most first, each cause once with who does it and by when."""
    if not view.fixes:
        return
    print_title("FIX FIRST", out)
    print_rows(fix_rows(view.fixes[:_FIXES]), FIX_WIDTHS, out, gap=1)
    if len(view.fixes) > _FIXES:
        out.print(
            Text(f"{len(view.fixes) - _FIXES} more are less urgent. Use --all to see them.", style="dim")
        )


def fix_rows(fixes: Iterable[Fix]) -> Iterable[tuple[Cell, ...]]:
    """What is to be fixed as numbered rows: what to do, who does it and by when; under it why, and whom it is about."""
    for number, fix in enumerate(fixes, start=1):
        yield f"{number}.", Text(clean(said(fix.do)), style="bold"), clean(whom(fix.who)), fix.when
        many = len(fix.subjects) > 1 and clean(id_of(fix.subjects[0])) not in fix.why
        names = f" {_listed([clean(id_of(one)) for one in fix.subjects], _NAMES)}." if many else ""
        yield "", clean(said(fix.why)) + names, "", ""


def whom(who: Sequence[str]) -> str:
    """Who does a thing, in a column."""
    return who[0] if len(who) == 1 else "each of them" if who else ""


def show_glance(standing: Standing, out: Console) -> None:
    """A day on one screen: the answer, who is grounded, and what to fix first, each in a line."""
    view = today_of(standing)
    out.print(Text(f"Status on {day_words(day_of(standing.report.on))}", style="bold"))
    out.print(SCOPE)
    for line in view.say:
        out.print(line)
    show_posts(standing, out)
    print_title("FIX FIRST", out)
    shown = view.fixes[:_GLANCED]
    rows = [(f"{number}.", clean(said(fix.do)), fix.when) for number, fix in enumerate(shown, start=1)]
    print_rows(rows, (-3, 80, -24), out, gap=1)
    questions = counted(len(standing.gaps), "question")
    out.print(
        f"{len(view.fixes) - len(shown)} more to fix, {questions} for you, {len(view.expires)} lines that expire next."
    )


def show_expires(view: Today, out: Console) -> None:
    """What expires within the longest span and is not to be fixed already, the soonest first."""
    if not view.expires:
        return
    print_title(f"WHAT EXPIRES NEXT, within {NEAR} days", out)
    rows = [
        (
            day_words(one.day),
            clean(said(one.what)),
            clean(whom(one.who)),
        )
        for one in view.expires[:_DUE]
    ]
    print_rows(rows, (-13, 62, 25), out, gap=1)
    if len(view.expires) > _DUE:
        out.print(Text(f"{len(view.expires) - _DUE} more: `airwrit deadlines`.", style="dim"))


def show_questions(gaps: Sequence[MissingFact], out: Console) -> None:
    """The first questions, what settles the most first, and how to answer them."""
    if not gaps:
        return
    print_title("WHAT WE NEED FROM YOU (most useful first)", out)
    rows = []
    for number, gap in enumerate(gaps[:_ASKED], start=1):
        about = f'"{clean(gap.word)}": ' if gap.word else ""
        names = [clean(id_of(subject)) for subject in gap.subjects]
        rows.append((f"{number}.", about + gap.key.question, _listed(names, 4)))
    print_rows(rows, (3, 62, 35), out, gap=1)
    more = f"{len(gaps) - _ASKED} more. " if len(gaps) > _ASKED else ""
    out.print(
        f"{more}--questions FILE saves them as a form to fill in. --answers FILE loads the filled-in form."
    )


def show_unread_columns(columns: Sequence[Column], out: Console) -> None:
    """The columns that have to be asked about, each with why, and the names of those that are not used."""
    asked = [column for column in columns if column.why]
    if asked:
        print_title(
            "WHAT IS IN THESE COLUMNS? Until you answer, we can't tell the status of their rows.", out
        )
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
    words = standing.words_assumed
    if words:
        out.print(Text(f'\nAssumed "no" (nothing on file): {", ".join(words)}.', style="dim"))


def _listed(names: Sequence[str], most: int) -> str:
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")
