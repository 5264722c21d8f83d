"""Sentences put together: a capital, a full stop, a section last, days as people write them."""

from __future__ import annotations

import re
from datetime import date

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


def days_apart(day: date, on: date) -> str:
    """How far a day lies from another, in words: in 5 days, 1 day ago."""
    days = (day - on).days
    if days == 0:
        return "today"
    many = counted(abs(days), "day")
    return f"in {many}" if days > 0 else f"{many} ago"
