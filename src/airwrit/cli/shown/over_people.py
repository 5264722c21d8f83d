"""Flight over people on the terminal: the whole in a line, each category with what is against it or missing, the energy."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_ANSWERS
from airwrit.answers.site.over_people import OverPeopleAnswer
from airwrit.answers.site.over_people_json import (
    SiteRow,
    below_row,
    energy_sentences,
    headline,
    notes,
    site_rows,
    way_rows,
)
from airwrit.cli.console import SIGNS, console, said, show_caution
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.sections import print_rows, print_title


def show_over_people(answer: OverPeopleAnswer) -> None:
    """The answer, the categories, the energy and what to keep in mind."""
    out = console()
    show_late(answer.on, out)
    out.print(Text(SCOPE_OF_ANSWERS, style="dim"))
    out.print(headline(answer), style="bold")
    print_title("Who is below", out)
    _rows([below_row(answer)], out)
    site = site_rows(answer)
    if site:
        print_title("Assemblies and moving vehicles", out)
        _rows(site, out)
    print_title("Over people who aren't taking part and have no shelter", out)
    _rows(way_rows(answer), out)
    print_title("Energy", out)
    for sentence in energy_sentences(answer):
        out.print(sentence)
    out.print()
    for note in notes(answer):
        out.print(Text(note, style="dim"))
    show_caution(out)


def _rows(rows: Sequence[SiteRow], out: Console) -> None:
    width = max(len(row.about) for row in rows)
    shown = ((SIGNS[row.verdict], row.about, said(row.says), row.cites) for row in rows)
    print_rows(shown, (-4, -max(width, 1), 62, 26), out)
