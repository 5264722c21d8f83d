"""An answer typed to a question, as statements hold it: yes and no, a choice, a weight with its parts, a share, a day."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal, localcontext
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.base.days import parse_when
from airwrit.base.errors import BadFact
from airwrit.facts.choices import words_of
from airwrit.facts.key import Key, Raw, raw_of
from airwrit.intake.cell.dates import ISO, DateColumn, day_of_text
from airwrit.intake.cell.measures import read_measure
from airwrit.intake.cell.quantities import WeightColumn, number_of, weight_of_text
from airwrit.intake.cell.value import FaultCode, Got, clean, normal, one_of, yes_or_no

DONT_KNOW = frozenset(
    {"?", "??", "don't know", "dont know", "don\N{RIGHT SINGLE QUOTATION MARK}t know", "do not know"}
)
DONT_KNOW |= {
    "unknown",
    "not known",
    "no idea",
    "not sure",
    "unsure",
    "idk",
    "dunno",
    "i don't know",
    "maybe",
}
_NUMBERS = re.compile(r"\d+")
_AND = re.compile(r"[\s,;&]+|\band\b")
_PLUS_MINUS = re.compile(r"\s*(?:±|\+ ?/ ?-|\+-|plus or minus)\s*", re.IGNORECASE)
_RATIO = re.compile(r"(\d{1,6}) ?(?:/|of|out of) ?(\d{1,6})")
_SHARES = {
    "all": "1",
    "every": "1",
    "none": "0",
    "no": "0",
    "half": "0.5",
    "two thirds": "2/3",
    "three quarters": "3/4",
}
_YES_NO = {
    "yep": True,
    "yeah": True,
    "yup": True,
    "sure": True,
    "nope": False,
    "nah": False,
    "not at all": False,
}
_MOST_PARTS = 20


class Weighing(NamedTuple):
    """A weight in grams as text: of the whole, or of a base and what is fitted to it; how far the scale may be off."""

    grams: tuple[str, ...]
    error: str | None


def is_dont_know(text: str) -> bool:
    """True for an answer that says nobody knows."""
    return normal(clean(text).text) in DONT_KNOW


def read_reply(key: Key[Any], text: str) -> Raw:
    """The raw value of an answer to a key's own question. BadFact says in one line what to write."""
    said = clean(text).text
    if not said:
        raise BadFact("you didn't answer", do="answer, or enter ? if you don't know")
    if key.kind is bool:
        word = normal(said)
        return _YES_NO[word] if word in _YES_NO else _value(yes_or_no(said), "answer yes or no")
    if key.kind is date:
        return _day(key, said)
    if key.kind is Decimal:
        return _number(key, said)
    if issubclass(key.kind, StrEnum):
        return read_choice(key.kind, said)
    return said


def _number(key: Key[Any], said: str) -> str:
    if key.unit == "g":
        return _one_weight(said, is_error="error" in key.name)
    return read_share(said) if key.name.endswith("_share") else read_measure(said, key.unit)


def read_choice(kind: type[StrEnum], text: str) -> str:
    """The word of a closed list, by its place in the list or by a word that stands for it."""
    members = list(kind)
    if _NUMBERS.fullmatch(text) and 1 <= int(text) <= len(members):
        return members[int(text) - 1].value
    value = _value(one_of(kind, text), "choose one of: " + "; ".join(map(words_of, members)))
    return str(value)


def read_several(text: str, count: int) -> tuple[int, ...]:
    """The places chosen from a list of `count`, from 1; none for `none`. BadFact for any other."""
    said = normal(clean(text).text)
    if said in ("none", "no", "n", "0", "none of these", "nothing", "neither"):
        return ()
    words = [word for word in _AND.split(said) if word]
    if words and all(_NUMBERS.fullmatch(word) and 1 <= int(word) <= count for word in words):
        return tuple(dict.fromkeys(int(word) for word in words))
    raise BadFact(
        f"{said!r} isn't one of the choices", do=f"enter numbers from 1 to {count}, like 1 3, or none"
    )


def read_weighing(text: str) -> Weighing:
    """A weight with its unit, or several joined by + for what is fitted to it; ± tells what the scale may be off.

    BadFact for a weight without unit, below zero or that can be read two ways.
    """
    said, *errors = _PLUS_MINUS.split(clean(text).text)
    if len(errors) > 1:
        raise BadFact("you entered the scale error twice", do="enter it once, like 249 g ± 1 g")
    parts = said.split("+")
    if len(parts) > _MOST_PARTS:
        raise BadFact(
            f"we can add up at most {_MOST_PARTS} weights",
            do="add up the weights yourself, and enter the total",
        )
    grams = tuple(_one_weight(part.strip(), is_error=False) for part in parts)
    return Weighing(grams, _one_weight(errors[0], is_error=True) if errors else None)


def read_share(text: str) -> str:
    """A share from 0 to 1: a percentage, a fraction, `2 of 3`, or a plain number up to 1."""
    said = _SHARES.get(normal(text), text)
    ratio = _RATIO.fullmatch(said)
    if ratio and int(ratio[2]):
        with localcontext() as exact:
            exact.prec = 28
            share = Decimal(ratio[1]) / Decimal(ratio[2])
    else:
        digits = said.removesuffix("%").strip()
        number = number_of(digits, None) if re.fullmatch(r"[\d.,]+", digits) else None
        if number is None:
            raise BadFact(f"{text!r} isn't a share", do="write it like 75%, 3/4 or 0.75")
        share = number / 100 if said.endswith("%") else number
    if share > 1:
        raise BadFact(f"{text!r} is more than 100%", do="write it like 75%, 3/4 or 0.75")
    return str(raw_of(share))


def _one_weight(text: str, *, is_error: bool) -> str:
    got = weight_of_text(text, WeightColumn(is_error=is_error))
    if got.code is FaultCode.NO_UNIT:
        got = got._replace(do="write it with g, kg, oz or lb, like 249 g or 1 lb 3 oz")
    return str(_value(got, "write it with its unit, like 249 g or 0.55 lb"))


def _day(key: Key[Any], text: str) -> str:
    if key.instants:
        try:
            return parse_when(text).isoformat()
        except ValueError:
            pass
    got = day_of_text(text, DateColumn())
    if got.code is FaultCode.EITHER_ORDER:
        got = got._replace(do=ISO)
    return str(_value(got, "write a date like 2026-05-31"))


def _value(got: Got, do: str) -> Raw:
    if got.raw is None:
        raise BadFact(got.fault or "we couldn't read that", do=got.do or do)
    return got.raw
