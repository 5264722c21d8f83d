"""Sentences put together: a capital, a full stop, a section last, days as people write them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from airwrit.base.verdict import Verdict

DAY = re.compile(r"(?<![\w/.=-])([0-9]{4})-([0-9]{2})-([0-9]{2})(?![\w-]|\.\w)")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

VERDICT_WORDS = {
    Verdict.MET: "OK",
    Verdict.NOT_MET: "not OK",
    Verdict.UNKNOWN: "can't tell yet",
    Verdict.NOT_APPLICABLE: "doesn't apply",
}


def sentence(text: str) -> str:
    """A text that begins with a capital and ends in a full stop."""
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}" if text else ""


def clause(text: str) -> str:
    """The first sentence of a text as part of another: no full stop, a small letter unless it begins with a name of law."""
    first = text.partition(". ")[0].removesuffix(".")
    is_name = first.startswith("Part ") or first[1:2].isupper()
    return first if is_name else f"{first[:1].lower()}{first[1:]}"


def with_section(text: str, section: str) -> str:
    """A text whose last sentence names a section, before its full stop; the text alone where there is none."""
    return f"{text.removesuffix('.')} ({section})." if section else text


def day_words(day: date) -> str:
    """A day as people here write it: Nov 30, 2026."""
    return f"{_MONTHS[day.month - 1]} {day.day}, {day.year}"


def with_days(text: str) -> str:
    """A text whose days, written as in files, are written as people write them."""
    return DAY.sub(_day_found, text)


def _day_found(found: re.Match[str]) -> str:
    year, month, day = map(int, found.groups())
    try:
        return day_words(date(year, month, day))
    except ValueError:
        return found[0]


def counted(many: int, one: str, several: str = "") -> str:
    """How many of something: `1 note`, `1,200 notes`, `1 person`, `3 people`."""
    return f"1 {one}" if many == 1 else f"{many:,} {several or one + 's'}"


class Share(NamedTuple):
    """A part of a whole: how many, and what is said of one and of several."""

    many: int
    one: str
    several: str


def parts_of_whole(
    whole: int,
    nouns: tuple[str, str],
    parts: Sequence[Share],
    open_ones: int,
    otherwise: str = "",
    name: str = "",
) -> str:
    """How a whole falls into parts: `2 of 3 people are grounded. 1 has papers OK for work.`, `The only person is grounded.`

    A whole of one is told by its name, where one is given. The first part is told even where it is none; `open_ones` can't be
    told yet. `otherwise` is what is said of a whole of one that is in no part.
    """
    if not whole:
        return f"No {nouns[1]} on record."
    if whole == 1:
        said = next((part.one for part in parts if part.many), otherwise)
        if open_ones:
            return f"We can't tell yet for {name or f'the only {nouns[0]}'}."
        return f"{name or f'The only {nouns[0]}'} {said}."
    first, *others = parts
    told = [f"{first.many or 'None'} of {counted(whole, *nouns)} {_of(first)}."]
    told += [f"{part.many} {_of(part)}." for part in others if part.many]
    if open_ones:
        told.append(f"We can't tell yet for {open_ones}.")
    return " ".join(told)


def _of(part: Share) -> str:
    return part.one if part.many == 1 else part.several


def days_apart(day: date, on: date) -> str:
    """How far a day lies from another, in words: in 5 days, 1 day ago."""
    days = (day - on).days
    if days == 0:
        return "today"
    many = counted(abs(days), "day")
    return f"in {many}" if days > 0 else f"{many} ago"


def feet_text(feet: Decimal) -> str:
    """Feet to a tenth, as people write them: 1,250 or 196.9."""
    return f"{feet.quantize(Decimal('0.1')):,f}".removesuffix(".0")
