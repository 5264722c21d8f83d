"""Answers about upkeep on the terminal: the sentence, then each section with what stands against its rows."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE
from airwrit.answers.upkeep.view import UpkeepAnswer, UpkeepSection, upkeep_json
from airwrit.base.days import day_of
from airwrit.base.sentences import day_words
from airwrit.cli.console import SIGNS, clean, console, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.sections import Cell, print_rows, print_title

_NAME, _CELL = 24, 18


def show_upkeep(answer: UpkeepAnswer, *, as_json: bool) -> int:
    """Print the answer; the exit code of its verdict."""
    if as_json:
        show_json(upkeep_json(answer))
        return EXIT[answer.verdict]
    out = console()
    out.print(Text(f"{answer.title} on {day_words(day_of(answer.standing.report.on))}", style="bold"))
    out.print(SCOPE)
    out.print(answer.say)
    for section in answer.sections:
        _section(section, out)
    if answer.notes:
        out.print()
    for note in answer.notes:
        out.print(clean(said(note)))
    show_caution(out)
    return EXIT[answer.verdict]


def _section(section: UpkeepSection, out: Console) -> None:
    print_title(section.title.upper(), out)
    rows: list[tuple[Cell, ...]] = [("", "", *(Text(one, style="dim") for one in section.headings))]
    for row in section.rows:
        rows.append((SIGNS[row.verdict], clean(row.name), *map(clean, row.cells)))
    print_rows(rows, (-4, _NAME, *(_CELL for _ in section.headings)), out, gap=1)
    for row in section.rows:
        for sentence in row.says:
            print_rows([("", f"{clean(row.name)}: {clean(said(sentence))}")], (-4, 90), out, gap=1)
