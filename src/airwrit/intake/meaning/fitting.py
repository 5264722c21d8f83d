"""How well a column fits a fact: what its heading says of it, and how many of its values have the form that the fact has."""

from __future__ import annotations

import tomllib
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from airwrit.facts.vocabulary import KEYS
from airwrit.intake.cell.words import choice_of
from airwrit.intake.columns import EVENT
from airwrit.intake.columns import ID as TEMPLATE_ID
from airwrit.intake.meaning.lexicon import Heard, words_listed, words_of
from airwrit.intake.meaning.shapes import ColumnLook

READ_AT, APART = 0.60, 0.10
"""The score at which a column is read, and how far behind the next reading has to be."""
BY_VALUES, FEW = 0.6, 3
"""The share of values by which they tell a fact, and how few values tell nothing."""
ID = "id"
"""The meaning of a column that names the rows."""
_AGREES, _INSIDE = 0.3, 0.6
_CODE = "serial"
"""The shape of any number of letters and digits."""


class FactRule(NamedTuple):
    """What a column has to say to be a fact: see `facts.toml`."""

    name: str
    needs: tuple[frozenset[str], ...]
    mentions: frozenset[str]
    forbids: frozenset[str]
    good: tuple[str, ...]
    bad: tuple[str, ...]
    needs_shape: bool
    named_by: frozenset[str] = frozenset()


class Scored(NamedTuple):
    """How well a column fits a fact, how many of its values agree, and whether the template heads the fact so."""

    score: float
    fact: str
    agreement: float
    is_exact: bool = False


@cache
def rules_of(kind: str) -> tuple[FactRule, ...]:
    """The rules of the facts that a table of aircraft or of people may hold."""
    path = files("airwrit.intake.meaning") / "facts.toml"
    table = tomllib.loads(path.read_text(encoding="utf-8"))[kind]
    return tuple(_rule(name, entry) for name, entry in table.items())


def _rule(name: str, entry: dict[str, object]) -> FactRule:
    def listed(field: str) -> list[str]:
        found = entry.get(field, [])
        return [str(one) for one in found] if isinstance(found, list) else []

    needs = tuple(frozenset(one.split()) for one in listed("needs"))
    mentions = frozenset().union(*needs) | frozenset(listed("also"))
    return FactRule(
        name,
        needs,
        mentions,
        frozenset(listed("forbids")),
        tuple(listed("good")),
        tuple(listed("bad")),
        bool(entry.get("strict") or entry.get("closed")),
        frozenset(listed("named_by")),
    )


@cache
def choice_words(fact: str) -> frozenset[str]:
    """The words by which the choices of a fact of a closed list are written, each by itself."""
    kind = KEYS[fact].kind if fact in KEYS else None
    if kind is None or not issubclass(kind, StrEnum):
        return frozenset()
    return frozenset(word for text in choice_of(kind).values for word in words_of(text))


def fitted(rule: FactRule, heard: Heard, group: Heard, look: ColumnLook) -> Scored | None:
    """How well a column fits a fact; None when what the fact needs is not there."""
    own = heard.concepts | (heard.inside if heard.concepts else frozenset())
    needed = _needed(rule, own, group.concepts)
    if needed is None:
        return None
    explained = _explained(rule, heard)
    against: float = sum(
        1 for one in heard.covered if one.concepts & rule.forbids and not one.concepts & rule.mentions
    )
    against += _INSIDE * bool(heard.inside & rule.forbids - rule.mentions)
    agreement = _agreement(rule, look)
    if own & rule.named_by:
        agreement = max(agreement, look.share(_CODE))
    score = 0.55 + 0.3 * explained + 0.07 * (needed - 1) - 0.45 * against
    score += 0.35 * (agreement - min(1.0, sum(look.share(shape) for shape in rule.bad)))
    if rule.needs_shape and look.said and agreement < _AGREES:
        score -= 0.4
    return Scored(score, rule.name, agreement)


_SHAPES_OF_KIND: dict[type, tuple[tuple[str, ...], tuple[str, ...]]] = {
    date: (("day", "month"), ("yesno", "weight", "reg", "cta", "text")),
    bool: (("yesno", "yesno"), ("day", "weight", "reg", "cta")),
    Decimal: (("number", "weight"), ("day", "reg", "cta")),
    str: ((), ("day", "weight")),
}


def fitted_by_template(meaning: str, kind: str, heard: Heard, look: ColumnLook) -> Scored:
    """How well a column fits the fact whose heading in the template it has."""
    fact = ID if meaning == TEMPLATE_ID else _PLAIN_WEIGHT.get(meaning, meaning)
    rule = next((rule for rule in rules_of(kind) if rule.name == fact), None)
    key = KEYS["completed_on"] if meaning.startswith(EVENT) else KEYS.get(fact)
    if rule is None:
        good, bad = _SHAPES_OF_KIND.get(key.kind, ((), ())) if key is not None else ((), ())
        rule = FactRule(fact, (), frozenset(), frozenset(), good, bad, bool(good))
    agreement = max(_agreement(rule, look), look.share(_CODE) if heard.concepts & rule.named_by else 0.0)
    against = min(1.0, sum(look.share(shape) for shape in rule.bad))
    score = 0.95 + 0.35 * ((agreement if rule.good else 1.0) - against)
    is_other = rule.needs_shape and agreement < _AGREES
    are_days = key is not None and key.kind is not date and look.share("day") >= BY_VALUES
    if is_other and (look.said >= FEW or are_days):
        return Scored(score - 0.4, fact, agreement, is_exact=True)
    return Scored(max(score, READ_AT + APART) if look.said < FEW else score, fact, agreement, is_exact=True)


_PLAIN_WEIGHT = {"weight": "takeoff_weight_g"}


def _needed(rule: FactRule, own: frozenset[str], group: frozenset[str]) -> float | None:
    """How many concepts the best alternative has that are all there; one of several may come from the group above."""
    best: float | None = None
    for needs in rule.needs:
        missing = needs - own
        if not missing:
            worth = float(len(needs))
        elif len(missing) == 1 and missing <= group and len(needs) > 1:
            worth = len(needs) - 0.2
        else:
            continue
        best = worth if best is None else max(best, worth)
    return best


def _explained(rule: FactRule, heard: Heard) -> float:
    content = heard.content
    if not content:
        return 0.0
    mine = sum(one.end - one.start for one in heard.covered if one.concepts & rule.mentions)
    return mine / content


def _agreement(rule: FactRule, look: ColumnLook) -> float:
    """The share of values of a good shape; a shape written twice counts in full, one beside others a little less."""
    shares = [look.share(shape) for shape in rule.good]
    if not shares:
        return 0.0
    return min(1.0, max(shares) if len(set(rule.good)) < len(rule.good) else sum(sorted(shares)[-2:]))


def vague_day(best: Scored, heard: Heard, group: Heard) -> str:
    """Why the heading of a day leaves open of what it is, or if that was done or is due; "" where it says so."""
    if not group.concepts and _is_vague(best, heard):
        return "it doesn't say if that was done or is due, or of what"
    if best.fact == _DUE[1] and _is_any_license(heard, group):
        return "it doesn't say which license"
    return ""


def _is_vague(best: Scored, heard: Heard) -> bool:
    """Whether the heading of a day only begins or ends something, or names what was done and what is due alike."""
    is_day = best.fact.endswith("_on") or best.fact.startswith("event: ")
    words = [word for word in heard.words if word not in _DATE_WORDS]
    if not is_day or not words:
        return False
    if best.fact in _RENEWED and not _RENEWAL.isdisjoint(words):
        return _SAID_DONE.isdisjoint(words)
    is_due = best.fact in _DUE and "RENEWBY" in heard.concepts
    return not is_due and words_listed("vague").issuperset(words)


def _is_any_license(heard: Heard, group: Heard) -> bool:
    """Whether a heading speaks of a license that may be another than the remote pilot's, which itself never expires."""
    words = set(heard.words) | set(group.words)
    return not words.isdisjoint(_LICENSES) and words.isdisjoint(_OF_PILOTS)


_LICENSES = frozenset({"lic", "lics", "license", "licence", "licenses"})
_OF_PILOTS = frozenset({"107", "part", "remote", "pilot", "rpic", "drone", "uas", "suas", "faa", "recurrent"})
_DATE_WORDS = frozenset({"date", "dates"})
_DUE = ("expires_on", "recurrent_due_on")
_RENEWED = ("renewed_on", "event: recurrent test or training")
_RENEWAL, _SAID_DONE = frozenset({"renewal", "renewals"}), frozenset({"last", "done", "completed", "latest"})
