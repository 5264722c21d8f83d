"""Marks to print and stick on: letters of exact height, cut marks, a ruler that tells whether the printer kept the size."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import segno

from airwrit.answers.document import CAUTION, SCOPE
from airwrit.answers.registration.marks import LeftOut, Mark, MarkList
from airwrit.base.sentences import sentence
from airwrit.facts.vocabulary import id_of
from airwrit.law.aircraft.marking import HEIGHT_SET, INSIDE_ALLOWED
from airwrit.law.parameters import Param, late_reading, read_as, span_of
from airwrit.law.shared_parameters import MARK_HEIGHTS
from airwrit.papers.typeset import Json, paper_name, pdf_of, printable

TEMPLATE = "marks.typ"
FIT = Decimal(0)
"""A letter height that stands for: as large as the page is wide, up to a limit."""

PART_48_HEIGHTS = (Decimal(4),) * 4 + (Decimal(8), Decimal(5), FIT)
"""Letter heights in mm where none are asked for: four for arms, two for bodies, one large."""
PART_47_HEIGHTS = (Decimal(20), FIT)
_LARGEST_MM = 20
_LARGEST_47_MM = 50
_CODE_MM = 15


def marks_pdf(
    marks: MarkList,
    day: date,
    *,
    paper: str = "letter",
    heights: Sequence[Decimal] = (),
    codes: bool = False,
) -> bytes:
    """The sheet as PDF: the same marks and day give the same bytes."""
    return pdf_of(TEMPLATE, sheet_data(marks, day, paper=paper, heights=heights, codes=codes), day)


def sheet_data(
    marks: MarkList,
    day: date,
    *,
    paper: str = "letter",
    heights: Sequence[Decimal] = (),
    codes: bool = False,
) -> Json:
    """What the template is filled with; heights in mm, empty for the usual ones."""
    return {
        "title": "Marks",
        "program": "airwrit",
        "day": day.isoformat(),
        "paper": paper_name(paper),
        "foot": f"marks, {day.isoformat()}",
        "code_mm": _CODE_MM,
        "scope": SCOPE,
        "late": late_reading(day),
        "notes": _notes(marks, day),
        "marks": [_mark(mark, day, heights, codes) for mark in marks.wanted],
        "left_out": [_left_out(one) for one in marks.left_out],
    }


def _mark(mark: Mark, day: date, heights: Sequence[Decimal], codes: bool) -> Json:
    usual = PART_47_HEIGHTS if mark.part_47 else PART_48_HEIGHTS
    remarks = [printable(remark, 300) for remark in mark.remarks]
    if mark.part_47:
        remarks.insert(0, _part_45(day))
    return {
        "name": _name(mark.subject),
        "about": printable(mark.about, 60),
        "kind": "N-number, Part 47" if mark.part_47 else "Part 48 number",
        "number": mark.number,
        "remarks": remarks,
        "heights": [float(height) for height in heights or usual],
        "largest": _LARGEST_47_MM if mark.part_47 else _LARGEST_MM,
        "code": code_svg(mark.number) if codes else None,
    }


def _name(subject: str) -> str:
    """What an aircraft is called; a number given by hand is its own name."""
    return printable(id_of(subject) or subject, 60)


def _part_45(day: date) -> str:
    return (
        f"An N-number is marked under Part 45, which has its own sizes and forms{_read(MARK_HEIGHTS, day)}. If no "
        "surface is big enough, make it as large as practicable. These strips don't claim to meet Part 45. We don't "
        "check it."
    )


def _read(param: Param[str] | Param[bool], day: date) -> str:
    """Where the law of the day was read, in brackets."""
    span = span_of(param, day)
    if span is None:
        return " (we haven't read the law for that day)"
    return f" ({span.cites}, {read_as(span)})"


def code_svg(number: str) -> str:
    """A QR code as SVG that holds the number and nothing else."""
    drawn = io.BytesIO()
    segno.make(number, error="m", micro=False).save(drawn, kind="svg", border=4, xmldecl=False, svgns=True)
    return drawn.getvalue().decode("ascii")


def _left_out(one: LeftOut) -> Json:
    return {
        "name": _name(one.subject),
        "verdict": one.verdict.value,
        "says": sentence(printable(one.says, 300)),
        "do": sentence(printable(one.do, 300)),
    }


def _notes(marks: MarkList, day: date) -> list[list[str]]:
    """Two columns: how to print, what the law asks."""
    return [
        [
            f"Aircraft on this sheet: {len(marks.wanted)}. Left off: {len(marks.left_out)}.",
            "Print at 100%, not fitted to the page. Then put a ruler on the line at the bottom. It has to be 100 mm.",
            "Cut along the corner marks. The letter height is printed under each strip, outside the cut line.",
        ],
        [
            _asks(day),
            "Check the number before each flight. Cover it with clear tape to keep water off.",
            CAUTION,
        ],
    ]


def _asks(day: date) -> str:
    inside, height = span_of(INSIDE_ALLOWED, day), span_of(HEIGHT_SET, day)
    free = "" if height is None or height.value else "Part 48 sets no height, color or material. "
    may_be_inside = inside is not None and inside.value
    place = (
        "outside, or inside a compartment that opens without a tool" if may_be_inside else "on the outside"
    )
    legible = "The number has to be readable, stay on through every flight, and be"
    return f"{free}{legible} {place}{_read(INSIDE_ALLOWED, day)}."
