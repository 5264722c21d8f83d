"""Words that templates ask for: verdicts, names, counts, days. All but `dated` return plain text, unescaped."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any
from urllib.parse import quote

from markupsafe import Markup, escape

from airwrit.base.measured import places
from airwrit.base.sentences import DAY, VERDICT_WORDS, day_words, days_apart, sentence, with_days
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import words_of
from airwrit.facts.vocabulary import KEYS, choice_words, id_of, kind_of

_SMALL = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
LISTS = {"aircraft": "/aircraft", "person": "/people"}
"""The lists of what has sheets of its own, by kind."""

_LISTED = 6
_LONGEST = 300
_CAPITALS = {
    word: word.upper()
    for word in ("id", "faa", "us", "fria", "ntsb", "tfr", "dc", "metar", "ads-b", "sha-256")
}
_CAPITALS |= {"adsb": "ADS-B", "alaska": "Alaska", "washington": "Washington"}
_MOMENT = re.compile(
    r"\b([0-9]{4}-[0-9]{2}-[0-9]{2})T([0-9]{2}:[0-9]{2})(?::00)?(?:Z|([+-][0-9]{2}:[0-9]{2}))"
)
_LANDED = re.compile(r" ([0-9]{4}-[0-9]{2}-[0-9]{2})T([0-9]{2}:[0-9]{2})Z\Z")
_GROUNDS = re.compile(r"([0-9][^.]* (?:is|are) grounded\.)")
_PART = re.compile(r"\bpart (?=[0-9])")
_SECTION = re.compile(r"\b([0-9]{2,3}) ([0-9]+)\b")


def verdict_word(verdict: Verdict) -> str:
    """The word of a verdict."""
    return VERDICT_WORDS[verdict]


def plain(text: object, longest: int = _LONGEST) -> str:
    """A text on one line without control and turning signs, its middle left out where it is very long."""
    told = "".join(sign if sign.isprintable() else " " for sign in str(text))
    line = " ".join(told.split())
    if len(line) <= longest:
        return line
    tail = longest // 3
    return f"{line[: longest - tail - 3]} … {line[-tail:]}"


def name_of(subject: str) -> str:
    """A subject by its own name, without its kind; a flight with the moment it landed."""
    name = plain(id_of(subject), 120)
    return _LANDED.sub(r" \1 \2 UTC", name) if kind_of(subject) == "flight" else name


def names_of(subjects: Sequence[str]) -> str:
    """Subjects by their names, the first few and how many more."""
    names = [name_of(subject) for subject in subjects[:_LISTED]]
    more = len(subjects) - len(names)
    return ", ".join(names) + (f" and {more} more" if more else "")


def path_of(subject: str) -> str:
    """The address of an aircraft's or person's page; empty for what has none."""
    page = LISTS.get(kind_of(subject))
    return f"{page}/{quote(id_of(subject), safe='')}" if page and id_of(subject) else ""


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun: small ones in words, great ones with commas."""
    told = number_word(number) if number else "no"
    return f"{told} {one if number == 1 else many or one + 's'}"


def number_word(number: int) -> str:
    """A number: small ones in words, great ones with commas."""
    return _SMALL[number] if number < len(_SMALL) else f"{number:,}"


def capital(text: str) -> str:
    """A text that begins with a capital, and is else as it was."""
    return text[:1].upper() + text[1:]


def spoken(name: str) -> str:
    """The name of a rule, an act or a fact as it is said: no underlines, and capitals where the trade has them."""
    told = " ".join(_CAPITALS.get(word, word) for word in name.replace("_", " ").split())
    told = _SECTION.sub(r"\1.\2", _PART.sub("Part ", told))
    return told.replace("remote ID", "Remote ID")


def dated(text: str) -> Markup:
    """A text in which no day is broken over two lines, a moment reads as one, and a command has its own face; escaped."""
    parts = str(escape(_MOMENT.sub(_moment, text))).split("`")
    told = [_with_spans(part) for part in parts]
    told[1:-1:2] = [f"<code>{part}</code>" for part in parts[1:-1:2]]
    return Markup("".join(told) if len(parts) % 2 else "`".join(map(_with_spans, parts)))


def _with_spans(text: str) -> str:
    return DAY.sub(lambda found: f'<span class="day">{with_days(found[0])}</span>', text)


def day_shown(day: date | str) -> Markup:
    """A day, or a text that is one, as an element of the page that machines can read."""
    return Markup('<time datetime="{}">{}</time>').format(day, with_days(str(day)))


def _moment(found: re.Match[str]) -> str:
    zone = "" if found[3] in (None, "+00:00") else found[3]
    return f"{found[1]} {found[2]} UTC{zone}"


def unit_of(fact: str) -> str:
    """The unit of a fact's value with a space before it that does not break; empty where it has none."""
    unit = KEYS[fact].unit if fact in KEYS else ""
    return f"\N{NO-BREAK SPACE}{unit}" if unit else ""


def meaning_of(fact: str) -> str:
    """What a fact means, in words."""
    return KEYS[fact].meaning if fact in KEYS else spoken(fact)


def day_in_words(day: date) -> str:
    """A day spelled out: Wednesday, November 25, 2026."""
    return f"{_DAYS[day.weekday()]}, {_MONTHS[day.month - 1]} {day.day}, {day.year}"


def month_in_words(day: date) -> str:
    """A month spelled out: November 2026."""
    return f"{_MONTHS[day.month - 1]} {day.year}"


def pairs(words: Sequence[str]) -> list[tuple[str, str]]:
    """Words as pairs of value and word, for a field in which one is chosen."""
    return [(word, words_of(word)) for word in words]


def short_day(day: date) -> str:
    """A day without its year: Feb 28."""
    return day_words(day).partition(",")[0]


def day_before(day: date) -> date:
    """The day before one."""
    return day - timedelta(days=1)


def stamped(text: str) -> Markup:
    """A text in which the sentences that ground somebody are stamped; escaped."""
    return Markup(_GROUNDS.sub(r"<strong>\1</strong>", str(escape(text))))


FILTERS: Mapping[str, Callable[..., Any]] = {
    "verdict": verdict_word,
    "plain": plain,
    "name": name_of,
    "names": names_of,
    "sentence": sentence,
    "capital": capital,
    "spoken": spoken,
    "dated": dated,
    "unit": unit_of,
    "meaning": meaning_of,
    "day": day_shown,
    "in_words": day_in_words,
    "month": month_in_words,
    "number": number_word,
    "count": count,
    "path": path_of,
    "pairs": pairs,
    "choice": words_of,
    "of_fact": lambda text, name: choice_words(name, text),
    "places": places,
    "day_before": day_before,
    "short_day": short_day,
    "stamped": stamped,
    "from": days_apart,
}
