"""Lengths with their unit, and areas, as options take them."""

from __future__ import annotations

import click

from airwrit.answers.site.area import read_area
from airwrit.base.errors import BadFact
from airwrit.base.measured import METERS
from airwrit.geo.footprint import Footprint
from airwrit.intake.cell.measures import read_measure

_MOST_M = 1_000_000.0


class LengthType(click.ParamType[float]):
    """A length with its unit, feet if bare; below zero only where that can be meant."""

    name = "length"

    def __init__(self, *, below_zero: bool = False) -> None:
        """`below_zero` for what is told from sea level."""
        self._below_zero = below_zero

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Meters, or a usage error that says how to write it."""
        try:
            meters = float(read_measure(str(value), "ft")) * float(METERS["ft"])
        except BadFact as fault:
            return self.fail(str(fault), param, ctx)
        if abs(meters) > _MOST_M or (meters < 0 and not self._below_zero):
            return self.fail(f"{value} can't be right. Write it like 120 ft.", param, ctx)
        return meters


class AreaType(click.ParamType[Footprint]):
    """An area: a place and a radius with its unit, or corners."""

    name = "area"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Footprint:
        """The area, or a usage error that says how to write it."""
        try:
            return read_area(str(value))
        except BadFact as fault:
            return self.fail(str(fault), param, ctx)
