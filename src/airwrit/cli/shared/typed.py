"""Facts as they are typed behind a command: their names, weights with their unit, yes and no."""

from __future__ import annotations

import difflib
from typing import Any

from airwrit.base.errors import BadFact
from airwrit.facts.key import YES_NO, Key, Raw, raw_of, value_of
from airwrit.facts.vocabulary import ALL_KEYS, TABLES, TOLD_KEYS
from airwrit.intake.cell.quantities import WeightColumn, weight_of_text

_ALL_TOLD = 16
_GRAMS = "_g"


def key_typed(name: str, kind: str) -> Key[Any]:
    """The fact of that name, the ending of its unit left out or not. BadFact names the nearest one of that kind of subject."""
    key = TOLD_KEYS.get(name) or TOLD_KEYS.get(name + _GRAMS)
    if key is None:
        raise BadFact(f"no fact is named {name!r}", do=_instead(name, kind))
    if TABLES[key.table] != kind:
        raise BadFact(
            f"the fact {key.name} belongs to another kind of record: {TABLES[key.table]}, not {kind}",
            do=f"name a record such as {TABLES[key.table]}/NAME",
        )
    return key


def _instead(name: str, kind: str) -> str:
    """What may have been meant, of the facts of a kind of subject first."""
    own = [key.name for key in ALL_KEYS if TABLES[key.table] == kind]
    near = difflib.get_close_matches(name, own, n=1) or difflib.get_close_matches(name, TOLD_KEYS, n=1)
    if near:
        return f"did you mean {near[0]}?"
    like = [other for other in own if name in other.split("_")]
    if len(like) == 1:
        return f"did you mean {like[0]}?"
    like = like or (own if len(own) <= _ALL_TOLD else [])
    told = f"similar facts of this kind: {', '.join(like)}. " if like else ""
    return f"{told}`airwrit check-scenario --keys` lists every fact"


def value_typed(key: Key[Any], text: str, *, names_unit: bool = True) -> Raw:
    """The raw value of typed text; nothing for an empty one. BadFact when it cannot be the fact's.

    A weight needs a unit where the fact was named without one: a bare number may be pounds as well as grams.
    """
    if not text:
        return None
    if key.unit == "g" and not names_unit and not any(sign.isalpha() for sign in text):
        raise BadFact(f"{text!r} has no unit", do=f'write it with its unit, like "{text} lb" or "{text} g"')
    raw: Raw = YES_NO.get(text.lower(), text) if key.kind is bool else grams_typed(key, text)
    return raw_of(value_of(key, raw))


def grams_typed(key: Key[Any] | None, text: str) -> str:
    """The text; of a weight with its unit, such as 3 lb 2 oz, the grams. BadFact when that cannot be read."""
    if key is None or key.unit != "g" or not any(sign.isalpha() for sign in text):
        return text
    got = weight_of_text(text.strip(), WeightColumn(is_error="error" in key.name))
    if not isinstance(got.raw, str):
        raise BadFact(
            f"we can't use {text!r} for {key.name}",
            do=f"write a plain number in {key.unit}, or a weight with its unit",
        )
    return got.raw
