"""`airwrit number-labels`: a sheet of registration numbers to print, cut out and stick on."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import click
from rich.text import Text

from airwrit.answers.document import SCOPE
from airwrit.answers.registration.marks import LeftOut, MarkList, marks_for, marks_json, marks_of
from airwrit.answers.standing.report import Report
from airwrit.base.errors import UsageError
from airwrit.base.sentences import counted, sentence
from airwrit.cli.console import SIGNS, clean, console, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.files import PATH, written
from airwrit.cli.shared.fleet import Fleet, fleet_options
from airwrit.facts.vocabulary import id_of
from airwrit.papers.labels_pdf import marks_pdf
from airwrit.papers.typeset import PAPERS

_HEIGHT = re.compile(r"(?:(\d{1,2})x)?(\d{1,2}(?:\.\d)?)")
_LEAST_MM, _MOST_MM, _MOST_STRIPS = 2, 80, 40


@click.command()
@fleet_options
@click.option(
    "--number",
    "numbers",
    multiple=True,
    help="A registration number to print. You can use this option more than once.",
)
@click.option(
    "--out", type=PATH, default=Path("marks.pdf"), help="The PDF to save (marks.pdf if you leave it out)."
)
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    default=PAPERS[0],
    help="The paper size (letter if you leave it out).",
)
@click.option(
    "--heights",
    help="Letter heights in mm. For example, 4x3,8,16 makes four strips of 3 mm, one of 8 mm and one of 16 mm.",
)
@click.option("--qr", is_flag=True, help="Add a QR code for each number. It has only the number in it.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(
    fleet: Fleet,
    numbers: tuple[str, ...],
    out: Path,
    paper: str,
    heights: str | None,
    qr: bool,
    as_json: bool,
) -> int:
    """Print registration numbers to cut out and stick on. Each number comes in several sizes, exact to the
    millimeter.

    The numbers come from SHEETS or from --number. We leave out aircraft that don't need a number, or whose
    number is missing, damaged or wrong, and tell you why.

    \b
    Example:
      airwrit number-labels fleet.xlsx --qr --heights 4x3,8,16 --out marks.pdf
    """
    marks, report = _asked(fleet, numbers)
    mm = heights_told(heights)
    if marks.wanted:
        made = marks_pdf(marks, fleet.day, paper=paper, heights=mm, codes=qr)
        written("the sheet of marks", out, made, private=True)
        if report is not None:
            fleet.note_given("label sheet", out)
    if as_json:
        document = marks_json(marks, fleet.day, report) | {"file": out.name if marks.wanted else None}
        show_json(document)
    else:
        _show(marks, out)
    return EXIT[marks.verdict]


def _asked(fleet: Fleet, numbers: tuple[str, ...]) -> tuple[MarkList, Report | None]:
    if fleet.sheets and numbers:
        raise UsageError(
            "you used both sheets and numbers", where="number-labels", do="use only one of the two"
        )
    if numbers:
        return marks_for(numbers), None
    standing = fleet.standing()
    return marks_of(standing), standing.report


def heights_told(text: str | None) -> tuple[Decimal, ...]:
    """Letter heights in mm: `4x3` stands for four strips of 3 mm. UsageError on anything else."""
    if not text:
        return ()
    found: list[Decimal] = []
    for part in text.replace(" ", "").split(","):
        match = _HEIGHT.fullmatch(part)
        if match is None or not _LEAST_MM <= Decimal(match[2]) <= _MOST_MM:
            raise UsageError(
                f"we can't use the letter height {part!r}",
                where="--heights",
                do=f"write heights of {_LEAST_MM} to {_MOST_MM} mm like 4x3,8,16 (four strips of 3 mm, one of 8, one of 16)",
            )
        found += [Decimal(match[2])] * int(match[1] or 1)
    if not 0 < len(found) <= _MOST_STRIPS:
        raise UsageError(
            f"we can't print {len(found)} strips for each aircraft",
            where="--heights",
            do=f"use 1 to {_MOST_STRIPS}",
        )
    return tuple(found)


def _show(marks: MarkList, out: Path) -> None:
    shown = console()
    if marks.wanted:
        shown.print(Text(f"{counted(len(marks.wanted), 'mark')} saved to {clean(out.name)}.", style="bold"))
        shown.print("Print at 100%. Then put a ruler on the line at the bottom. It has to be 100 mm.")
    else:
        shown.print(Text("There are no marks to print, so nothing was saved.", style="bold"))
    shown.print(SCOPE)
    for mark in marks.wanted:
        for remark in mark.remarks:
            shown.print(f"  {clean(id_of(mark.subject) or mark.subject)}: {said(remark)}")
    if marks.left_out:
        shown.print()
        shown.print(Text("NOT PRINTED", style="dim"))
        for one in marks.left_out:
            shown.print(_line(one))
    show_caution(shown)


def _line(one: LeftOut) -> str:
    says = f"{SIGNS[one.verdict]} {clean(id_of(one.subject) or one.subject)}: {sentence(said(one.says))}"
    return f"{says} {sentence(said(one.do))}" if one.do else says
