"""Latitudes and longitudes as tables write them: degrees, ten-millionths of them, or with minutes and seconds."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.readers.numbers import NAN, number_of, numbers_of

_PARTS = re.compile(r"\d+(?:\.\d+)?")
_SIDE = re.compile(r"[NSEW]", re.IGNORECASE)


def degrees_of(cells: list[str], form: str, decimal: str) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Degrees, south and west negative, and which cells hold something that is no place."""
    if form == "deg":
        return numbers_of(cells, decimal)
    if form == "degE7":
        values, bad = numbers_of(cells, decimal)
        return values / 1e7, bad
    plain = [cell.replace(",", ".") if decimal == "," else cell for cell in cells]
    read = _with_minutes if form == "dms" else _run_together
    values = np.array([read(cell.strip()) for cell in plain], dtype=np.float64)
    return values, np.isnan(values) & np.array([bool(cell.strip()) for cell in plain], dtype=np.bool_)


def signed(values: NDArray[np.float64], sides: list[str] | None, negative: str) -> NDArray[np.float64]:
    """Degrees with the sign that a column of sides gives them: S or W, as `negative` says."""
    if sides is None:
        return values
    is_negative = np.array([side.strip()[:1].upper() == negative for side in sides], dtype=np.bool_)
    return np.where(is_negative, -np.abs(values), values)


def _with_minutes(text: str) -> float:
    """44°16'12.5\"N, 44 16 12.5 or -71.5W as degrees."""
    parts = [float(part) for part in _PARTS.findall(text)]
    sides = _SIDE.findall(text)
    if not 1 <= len(parts) <= 3 or len(sides) > 1 or any(part >= 60 for part in parts[1:]):
        return NAN
    value = sum(part / scale for part, scale in zip(parts, (1.0, 60.0, 3600.0), strict=False))
    return -value if text.lstrip().startswith("-") or (sides and sides[0] in "SWsw") else value


def _run_together(text: str) -> float:
    """4416.208 or 04416.208W, degrees and minutes run together, as degrees."""
    sides = _SIDE.findall(text)
    value = number_of(_SIDE.sub("", text).strip())
    degrees, minutes = divmod(abs(value), 100)
    if len(sides) > 1 or value != value or minutes >= 60:  # noqa: PLR0124
        return NAN
    placed = degrees + minutes / 60
    return -placed if value < 0 or (sides and sides[0] in "SWsw") else placed
