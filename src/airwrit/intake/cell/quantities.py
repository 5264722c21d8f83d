"""Weights and plain numbers from cells, as exact decimals; a unit that nobody wrote is never assumed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Literal, NamedTuple

from airwrit.base.measured import CAPACITY_UNITS_MAH, WEIGHT_UNITS_G
from airwrit.facts.key import raw_of
from airwrit.intake.cell.value import NOTHING, FaultCode, Got, clean, is_missing, is_none, joined, shown
from airwrit.intake.reader.cells import Cell, Kind

Comma = Literal["decimal", "thousands"]

_NUMBER = r"[+-]?\d[\d ',.]*"
_WEIGHT = re.compile(rf"({_NUMBER})([a-z]+\.?)?", re.IGNORECASE)
_TWO_UNITS = re.compile(r"([+-]?\d[\d.,]*) ?([a-z]+\.?)[ ,]*(\d[\d.,]*) ?([a-z]+\.?)", re.IGNORECASE)
_TWICE = re.compile(rf"({_NUMBER} ?[a-z]+\.?) ?(?:[/=|;]|\() ?({_NUMBER} ?[a-z]+\.?)\)?", re.IGNORECASE)
"""One weight in two units: `1.2 lb / 0.54 kg`."""
_NUMBERS = re.compile(r"\d[\d ',.]*\d|\d")
_SPACED = re.compile(r"\d{1,3}(?:[ ']\d{3})+(?=[.,]\d|$)")
_COMMAS = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?")
_POINTS = re.compile(r"\d{1,3}(?:\.\d{3})+(?:,\d+)?")
_PLAIN = re.compile(r"\d+(?:\.\d+)?")
_DECIMAL_COMMA = re.compile(r"\d+,\d+")
_UNSURE = re.compile(
    r"[~≈<>≤≥]|\b(?:approx|about|ca|circa|class|est|around|max|min|under|over|up to)\b|\d *- *\d"
)
_PLUS_MINUS = re.compile(r"^(?:±|\+ ?/ ?-|\+-) ?")
_LONGEST = 40

_WEIGH = "weigh it, and write the number with its unit, like 249 g or 0.55 lb"
COMMA_NOTES: dict[Comma, str] = {
    "decimal": "commas were read as decimal points, as in other cells of the column",
    "thousands": "commas were read as thousands, as in other cells of the column",
}


class WeightColumn(NamedTuple):
    """How a column's weights are read: its heading's unit, what a comma is, whether they are errors of a scale."""

    unit: str = ""
    comma: Comma | None = None
    is_error: bool = False


def comma_shown(text: str) -> Comma | None:
    """What the text proves its comma to be, None when it proves nothing."""
    found: Comma | None = None
    for number in _NUMBERS.findall(text):
        commas, points = number.count(","), number.count(".")
        if commas and points:
            found = "decimal" if number.rfind(",") > number.rfind(".") else "thousands"
        elif commas > 1:
            found = "thousands"
        elif commas == 1:
            before, _, after = number.partition(",")
            if len(after) != 3 or before == "0" or len(before) > 3:
                found = "decimal"
        elif points > 1:
            found = "decimal"
    return found


def comma_of(cells: Iterable[Cell]) -> Comma | None:
    """What a comma is in a column, by the cells that prove it; None when none does or they disagree."""
    proofs = {
        comma_shown(clean(cell.text).text)
        for cell in cells
        if cell.kind is Kind.TEXT and ("," in cell.text or "." in cell.text)
    }
    proofs.discard(None)
    return proofs.pop() if len(proofs) == 1 else None


def number_of(text: str, comma: Comma | None) -> Decimal | None:
    """The exact number a text writes, None when it is none or when its comma or point could be read two ways."""
    sign, digits = (-1, text[1:]) if text.startswith("-") else (1, text.removeprefix("+"))
    spaced = _SPACED.match(digits)
    if spaced:
        digits = re.sub("[ ']", "", spaced[0]) + digits[spaced.end() :].replace(",", ".")
        comma = None
    plain = _undecorated(digits, comma)
    return None if plain is None else sign * Decimal(plain)


def _undecorated(digits: str, comma: Comma | None) -> str | None:
    """The digits with at most one point; None when they can be read two ways."""
    proved = comma_shown(digits)
    if _PLAIN.fullmatch(digits):
        _, _, after = digits.partition(".")
        doubtful = comma == "decimal" and len(after) == 3 and not digits.startswith("0")
        return None if doubtful else digits
    if _COMMAS.fullmatch(digits) and (proved == "thousands" or (proved is None and comma == "thousands")):
        return digits.replace(",", "")
    if _POINTS.fullmatch(digits) and proved == "decimal":
        return digits.replace(".", "").replace(",", ".")
    if _DECIMAL_COMMA.fullmatch(digits) and (proved == "decimal" or (proved is None and comma == "decimal")):
        return digits.replace(",", ".")
    return None


def weight_of_cell(cell: Cell, column: WeightColumn) -> Got:
    """The weight of a cell in grams; a fault when it is no weighing, has no unit, is below or at zero, or reads two ways."""
    if cell.kind is Kind.NUMBER:
        return _in_grams([(Decimal(cell.text), column.unit)], cell.text, column)
    if cell.kind is Kind.TEXT:
        text, note = clean(cell.text)
        got = weight_of_text(text, column)
        return got._replace(note=joined(note, got.note)) if note else got
    if cell.kind is Kind.EMPTY:
        return NOTHING
    return Got(fault=f"{shown(cell.text)} isn't a weight", do=_WEIGH)


def weight_of_text(text: str, column: WeightColumn) -> Got:
    """The weight of a clean text in grams. Never raises."""
    if is_missing(text) or is_none(text):
        return NOTHING
    bare = _PLUS_MINUS.sub("", text) if column.is_error else text
    if _UNSURE.search(bare.lower()):
        return Got(fault=f"{shown(text)} isn't a measured weight", do=_WEIGH)
    twice = _TWICE.fullmatch(bare) if len(bare) <= _LONGEST else None
    if twice is not None:
        return _finer(twice[1], twice[2], text, column)
    match = None if len(bare) > _LONGEST else _WEIGHT.fullmatch(bare) or _TWO_UNITS.fullmatch(bare)
    if match is None:
        return Got(fault=f"{shown(text)} isn't a weight", do=_WEIGH)
    parts = []
    pieces = match.groups()
    for number, unit in zip(pieces[::2], pieces[1::2], strict=True):
        exact = number_of(number.strip(), column.comma or _comma_in("" if unit else column.unit))
        if exact is None:
            return Got(
                fault=f"{shown(text)} can be read as two numbers", do="write it without a comma, like 1388 g"
            )
        parts.append((exact, (unit or "").rstrip(".").lower() or column.unit))
    got = _in_grams(parts, text, column)
    decided = got.fault == "" and column.comma is not None and comma_shown(bare) is None and "," in bare
    return got._replace(note=COMMA_NOTES[column.comma]) if decided and column.comma else got


def _finer(one: str, other: str, text: str, column: WeightColumn) -> Got:
    """The finer of two ways to write one weight; a fault where rounding cannot make them one."""
    first, second = weight_of_text(one, column), weight_of_text(other, column)
    steps = _half_step(one), _half_step(other)
    are_weights = isinstance(first.raw, str) and isinstance(second.raw, str)
    if are_weights and abs(Decimal(str(first.raw)) - Decimal(str(second.raw))) <= sum(steps):
        return first if steps[0] <= steps[1] else second
    return Got(fault=f"{shown(text)} isn't one weight", do=_WEIGH)


def _half_step(text: str) -> Decimal:
    """Half of the last digit's worth of a weight with its unit, in grams; 0 for what is none."""
    match = _WEIGHT.fullmatch(text)
    if match is None or not match[2]:
        return Decimal(0)
    places = len(match[1].strip().partition(".")[2])
    return WEIGHT_UNITS_G.get(match[2].rstrip(".").lower(), Decimal(0)) / 2 / Decimal(10) ** places


def _comma_in(unit: str) -> Comma | None:
    """What a comma before three digits is in a unit so small that nobody writes thousandths of it."""
    return "thousands" if unit in ("g", "gram", "grams", "gr") else None


def _in_grams(parts: list[tuple[Decimal, str]], text: str, column: WeightColumn) -> Got:
    grams = Decimal(0)
    for number, unit in parts:
        if not unit:
            return Got(
                fault=f"{shown(text)} has no unit",
                do="write the unit in the cell or the heading, like 'Weight (g)'",
                code=FaultCode.NO_UNIT,
            )
        if unit not in WEIGHT_UNITS_G:
            return Got(fault=f"{shown(text)} has a unit we don't know, {unit!r}", do="use g, kg, oz or lb")
        grams += number * WEIGHT_UNITS_G[unit]
    if grams < 0 or (grams == 0 and not column.is_error):
        return Got(fault=f"{shown(text)} can't be a weight. It has to be above zero", do=_WEIGH)
    return Got(raw_of(grams.normalize()))


def percent_of_cell(cell: Cell, comma: Comma | None) -> Got:
    """The percents of a cell, with or without their sign."""
    got = plain_number_of_cell(cell, comma)
    told = isinstance(got.raw, str) and cell.kind is Kind.TEXT and clean(cell.text)[0].endswith("%")
    return Got(raw_of((100 * Decimal(str(got.raw))).normalize())) if told else got


def capacity_of_cell(cell: Cell, unit: str, comma: Comma | None) -> Got:
    """The capacity of a cell in milliampere hours, its unit beside it or in the heading; without a unit it is a fault."""
    text, note = clean(cell.text)
    if cell.kind is Kind.EMPTY or (cell.kind is Kind.TEXT and is_missing(text)):
        return NOTHING
    found = _WEIGHT.fullmatch(text)
    told = unit if found is None or not found[2] else found[2].casefold().rstrip(".")
    number = None if found is None or len(text) > _LONGEST else number_of(found[1].strip(), comma)
    if cell.kind is Kind.NUMBER:
        number = Decimal(cell.text)
    if number is None or told not in CAPACITY_UNITS_MAH:
        fault = (
            f"{shown(text)} has no unit"
            if number is not None and not told
            else f"{shown(text)} isn't a capacity"
        )
        return Got(fault=fault, do="write the number with its unit, like 5000 mAh or 5 Ah")
    return Got(raw_of(number * CAPACITY_UNITS_MAH[told]), note)


def plain_number_of_cell(cell: Cell, comma: Comma | None) -> Got:
    """The plain number of a cell; a percentage becomes a share of one."""
    if cell.kind is Kind.NUMBER:
        return Got(raw_of(Decimal(cell.text)))
    if cell.kind is Kind.EMPTY:
        return NOTHING
    text, note = clean(cell.text)
    if cell.kind is Kind.TEXT and is_missing(text):
        return NOTHING
    digits = text.removesuffix("%").rstrip()
    number = (
        number_of(digits, comma)
        if cell.kind is Kind.TEXT and re.fullmatch(_NUMBER, digits) and len(digits) < _LONGEST
        else None
    )
    if number is None:
        return Got(fault=f"{shown(text)} isn't a plain number", do="write a number like 0.75")
    if digits == text:
        return Got(raw_of(number), note)
    return Got(raw_of(number / 100), joined(note, "percentages were read as shares, so 75 % is 0.75"))
