"""Numbers as logs write them in text; what is no number is NaN, never 0."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
from numpy.typing import NDArray

NAN = float("nan")
HORIZONTAL_95, VERTICAL_95 = 2.45, 1.96
"""Standard deviations of a place (both axes alike) and of a height that hold 95 % of a normal distribution."""
_THOUSANDS = {
    ".": re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?"),
    ",": re.compile(r"[+-]?\d{1,3}(?:\.\d{3})+(?:,\d*)?"),
}
_NOTHING = frozenset({"", "-", "--", "--.-", "n/a", "na", "nan", "null", "none", "unknown", "?"})


def floats(values: NDArray[Any]) -> NDArray[np.float64]:
    """Numbers of any type as floats; a NaN of any kind stays one."""
    with np.errstate(invalid="ignore"):
        return values.astype(np.float64)


def number_of(text: str | None) -> float:
    """The number that a text with a decimal point is, NaN where it is none or not finite."""
    if not text or "_" in text:
        return NAN
    try:
        value = float(text)
    except ValueError:
        return NAN
    return value if abs(value) < float("inf") else NAN


def numbers_of(texts: list[str], decimal: str = ".") -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """The numbers that cells are, NaN where they are none, and which cells hold something that is no number."""
    if decimal == ".":
        try:
            values = np.array(texts, dtype=np.float64)
        except ValueError:
            pass
        else:
            if np.isfinite(values).all():
                return values, np.zeros(len(values), dtype=np.bool_)
    values = np.array([_cell(text, decimal) for text in texts], dtype=np.float64)
    said = [text.strip().lower() not in _NOTHING for text in texts]
    return values, np.isnan(values) & np.array(said, dtype=np.bool_)


def _cell(text: str, decimal: str) -> float:
    text = text.strip()
    if _THOUSANDS[decimal].fullmatch(text):
        text = text.replace("." if decimal == "," else ",", "")
    elif decimal == "," and "." in text:
        return NAN
    return number_of(text.replace(",", ".") if decimal == "," else text)
