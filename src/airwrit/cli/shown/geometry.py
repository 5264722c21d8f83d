"""Answers from geometry on the terminal: a structure beside a flight, and line of sight."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from airwrit.answers.document import SCOPE_OF_SIGHT, SCOPE_OF_STRUCTURE
from airwrit.answers.site import sight, structure
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, console, show_caution
from airwrit.cli.shared.law_reading import show_late


def show_structure(answer: structure.StructureAnswer) -> None:
    """How high beside a structure."""
    show_late(answer.asked.on, console())
    _show(SCOPE_OF_STRUCTURE, answer.verdict, structure.structure_sentences(answer), ())


def show_sight(answer: sight.SightAnswer) -> None:
    """What geometry tells of sight, with what was taken for granted."""
    _show(SCOPE_OF_SIGHT, answer.verdict, sight.sight_sentences(answer), sight.assumptions())


def _show(scope: str, verdict: Verdict, sentences: Sequence[str], notes: Sequence[str]) -> None:
    out = console()
    out.print(Text(scope, style="dim"))
    out.print(f"{SIGNS[verdict]} {sentences[0]}", style="bold")
    for said in sentences[1:]:
        out.print(said)
    out.print()
    for note in notes:
        out.print(Text(note, style="dim"))
    show_caution(out)
