"""One question put in plain words: why it is asked, by which section, how to answer, and what an answer states."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import ROUND_DOWN, Decimal
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.days import day_of, parse_when
from airwrit.base.errors import BadFact
from airwrit.base.measured import grams_from_pounds
from airwrit.facts.choices import HoldsAs, UsedFor
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import (
    ARMED_FORCES,
    BASE_WEIGHT,
    DESTROYED_ON,
    EXPORTED_ON,
    FLOWN_ABROAD,
    FOREIGN_REGISTRY,
    LOST_ON,
    ONLY_INDOORS,
    OPERATED_UNDER,
    PART_OF,
    PART_SCALE_ERROR,
    PART_WEIGHT,
    SCALE_ERROR,
    SOLD_ON,
    TAKEOFF_WEIGHT,
    USED_FOR,
)
from airwrit.facts.keys.registration import EXPIRES_ON, HOLDS_AS, OWNED_BY_SEVERAL, REGISTERED_TO
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import id_of
from airwrit.intake.cell.value import clean, normal, set_of, shown
from airwrit.intake.typed.reply import is_dont_know, read_reply, read_several, read_weighing
from airwrit.law import wording
from airwrit.law.aircraft.weight import EXEMPT_WEIGHT_LB, SMALL_LIMIT_LB
from airwrit.law.parameters import Param, ValueSpan, kind_held, parameter, span_of
from airwrit.law.rule import Finding

ANY_OF, ONLY_THIS, WHAT_BECAME = "any_of", "only_this", "what_became"
APPLY: tuple[Key[Any], ...] = (
    FOREIGN_REGISTRY,
    ONLY_INDOORS,
    FLOWN_ABROAD,
    ARMED_FORCES,
    HOLDS_AS,
    OWNED_BY_SEVERAL,
    OPERATED_UNDER,
    SOLD_ON,
)
"""What the one compact question asks after, in its order; of some a further question is asked."""
BECAME: tuple[Key[date], ...] = (SOLD_ON, DESTROYED_ON, EXPORTED_ON, LOST_ON)
"""What may have become of an aircraft, by the fact that tells its day."""
UNITS = {
    "ft": "feet",
    "kt": "knots",
    "sm": "statute miles",
    "nm": "nautical miles",
    "mi": "miles",
    "usd": "US dollars",
}
"""The units of the law in words; others go by their own name."""
_FOLLOWED = (HOLDS_AS, OPERATED_UNDER, SOLD_ON)
_MAY_LIE_AHEAD = (EXPIRES_ON,)

Place = tuple[str, Key[Any]]


class Prompt(NamedTuple):
    """A question: its name, its words, and the facts an answer settles (subject and key)."""

    name: str
    text: str
    why: str
    cites: str
    hint: str
    choices: tuple[str, ...]
    settles: tuple[Place, ...]
    rule: str
    beside: tuple[str, ...] = ()
    """what stands beside each choice in plain words; empty where the choices need none"""


class Answered(NamedTuple):
    """An answer given: what it states, and what nobody knows."""

    question: str
    said: str
    statements: tuple[Statement, ...]
    unknown: tuple[Place, ...]


@cache
def words() -> Mapping[str, Any]:
    """The shipped words of the questions."""
    return tomllib.loads(Path(__file__).with_name("questions.toml").read_text(encoding="utf-8"))


def question_of(place: Place, finding: Finding, day: date) -> Prompt:
    """The question that settles one fact a finding waits for."""
    key = place[1]
    table = words().get(key.name, {})
    why = table.get("why") or _purpose_of(finding)
    span = span_named(table.get("law", ""), day)
    cites = "; ".join(wording.cites(finding)[-2:]) if span is None else span.cites
    choices: tuple[str, ...] = tuple(key.kind) if issubclass(key.kind, StrEnum) else ()
    choices = choices or tuple(table.get("choices", {}).values())
    beside: Mapping[str, str] = table.get("beside", {})
    return Prompt(
        key.name,
        table.get("text", key.question),
        why.format_map(_numbers(day)),
        cites,
        table.get("hint") or words()["kinds"][_kind_of(key)].format(unit=UNITS.get(key.unit, key.unit)),
        choices,
        (place,),
        finding.rule.name,
        tuple(beside.get(choice, "") for choice in choices) if beside else (),
    )


def only_this(aircraft: str, finding: Finding, day: date) -> Prompt:
    """Whether recreation is all it is flown for, asked once the purpose of its flights is told."""
    question = question_of((aircraft, USED_FOR), finding, day)
    table = words()[ONLY_THIS]
    span = span_named(table["law"], day)
    cites = "" if span is None else span.cites
    return question._replace(
        name=ONLY_THIS,
        text=table["text"],
        why=table["why"],
        cites=cites,
        hint=words()["kinds"]["bool"],
        choices=(),
    )


def any_of(aircraft: str, owner: str, finding: Finding, day: date) -> Prompt:
    """The one compact question after everything that is rare and decides."""
    table = words()[ANY_OF]
    span = span_named(table["law"], day)
    return Prompt(
        ANY_OF,
        table["text"],
        table["why"],
        "" if span is None else span.cites,
        words()["kinds"]["several"],
        tuple(table[key.name] for key in APPLY),
        tuple((owner if key.table == "owner" else aircraft, key) for key in APPLY),
        finding.rule.name,
    )


def what_became(aircraft: str, finding: Finding, day: date) -> Prompt:
    """What became of the aircraft, asked once it was said to be the program's no longer."""
    table = words()[WHAT_BECAME]
    choices: Mapping[str, str] = table["choices"]
    question = question_of((aircraft, SOLD_ON), finding, day)
    span = span_named(table["law"], day)
    return question._replace(
        name=WHAT_BECAME,
        text=table["text"],
        why=table["why"],
        cites="" if span is None else span.cites,
        hint=words()["kinds"]["choice"],
        choices=tuple(choices[key.name] for key in BECAME),
        settles=tuple((aircraft, key) for key in BECAME),
    )


def answered(question: Prompt, text: str, today: date) -> Answered:
    """What an answer states. BadFact says in one line what is wrong and what to write."""
    said = text.strip()
    if is_dont_know(said):
        return Answered(question.name, "don't know", (), question.settles)
    if question.name == ANY_OF:
        return _several(question, said)
    subject, key = question.settles[0]
    if question.name == ONLY_THIS:
        only = read_reply(FOREIGN_REGISTRY, said)
        use = UsedFor.RECREATION if only else UsedFor.BOTH
        return Answered(question.name, said, (Statement(subject, key.name, use.value),), ())
    if question.name == WHAT_BECAME:
        return Answered(question.name, said, (), ((subject, BECAME[_place_in(question.choices, said)]),))
    if key is TAKEOFF_WEIGHT:
        return Answered(question.name, said, _weighed(subject, said), ())
    if key is REGISTERED_TO:
        return Answered(question.name, said, (_named(question, said),), ())
    raw = read_reply(key, said)
    _no_day_to_come(key, raw, today)
    return Answered(question.name, said, (Statement(subject, key.name, raw),), ())


def _several(question: Prompt, said: str) -> Answered:
    """Of every item whether it applies; those asked about further are left open when they do."""
    chosen = read_several(said, len(question.choices))
    statements = []
    for number, (subject, key) in enumerate(question.settles, 1):
        if key is HOLDS_AS and number not in chosen:
            statements.append(Statement(subject, key.name, HoldsAs.OWNER.value))
        elif key not in _FOLLOWED:
            statements.append(Statement(subject, key.name, number in chosen))
    further = tuple(p for n, p in enumerate(question.settles, 1) if p[1] in _FOLLOWED and n in chosen)
    return Answered(question.name, said, tuple(statements), further)


def _weighed(aircraft: str, said: str) -> tuple[Statement, ...]:
    weighing = read_weighing(said)
    key = TAKEOFF_WEIGHT if len(weighing.grams) == 1 else BASE_WEIGHT
    found = [Statement(aircraft, key.name, weighing.grams[0])]
    if weighing.error is not None:
        found.append(Statement(aircraft, SCALE_ERROR.name, weighing.error))
    for number, grams in enumerate(weighing.grams[1:], 1):
        part = f"part/part {number}"
        found += [Statement(part, PART_OF.name, id_of(aircraft)), Statement(part, PART_WEIGHT.name, grams)]
        if weighing.error is not None:
            found.append(Statement(part, PART_SCALE_ERROR.name, weighing.error))
    return tuple(found)


def _named(question: Prompt, said: str) -> Statement:
    """The name on the certificate: the owner's, a seller's, a pilot's, or that of somebody else."""
    subject, key = question.settles[0]
    names = tuple(words()[key.name]["choices"])
    if normal(said) in set_of("yes") or normal(said) in set_of("no"):
        return Statement(subject, key.name, names[0] if read_reply(FOREIGN_REGISTRY, said) else names[-1])
    return Statement(subject, key.name, names[_place_in(question.choices, said)])


def _place_in(choices: Sequence[str], said: str) -> int:
    """The place of a choice, by its number or by how it begins. BadFact for none, and for several."""
    word = normal(clean(said).text)
    if word.isascii() and word.isdigit() and 1 <= int(word) <= len(choices):
        return int(word) - 1
    found = [place for place, choice in enumerate(choices) if word and choice.casefold().startswith(word)]
    if len(found) != 1:
        raise BadFact(f"{shown(said)} isn't one of the choices", do="choose one of: " + "; ".join(choices))
    return found[0]


def _no_day_to_come(key: Key[Any], raw: Raw, today: date) -> None:
    if key.kind is date and key not in _MAY_LIE_AHEAD and day_of(parse_when(str(raw))) > today:
        raise BadFact(f"{raw} is in the future", do=f"enter a date up to {today}, or ? if you don't know")


def _kind_of(key: Key[Any]) -> str:
    if key.kind is Decimal:
        if key.unit == "g":
            return "weight"
        return "share" if key.name.endswith("_share") else "measure" if key.unit else "number"
    if key.instants:
        return "moment"
    return "choice" if issubclass(key.kind, StrEnum) else key.kind.__name__


def _purpose_of(finding: Finding) -> str:
    asks = (finding.rule.judge.__doc__ or "").strip().partition("\n")[0].rstrip(".")
    return f"it decides {asks[:1].lower()}{asks[1:]}"


def span_named(name: str, day: date) -> ValueSpan | None:
    """The span of a parameter on the day, whatever kind its values are; None for "" and for law that was not read."""
    return span_of(_param(name), day) if name else None


@cache
def _param(name: str) -> Param[Any]:
    """The parameter of a name, where only its section is wanted."""
    return parameter(name, kind_held(name))


def _numbers(day: date) -> dict[str, str]:
    """The numbers a question's reason may name, by the law of the day."""
    exempt, small = span_of(EXEMPT_WEIGHT_LB, day), span_of(SMALL_LIMIT_LB, day)
    grams = Decimal(0) if exempt is None else grams_from_pounds(exempt.value)
    return {
        "exempt_weight_lb": "?" if exempt is None else str(exempt.value),
        "exempt_g": str(grams.quantize(Decimal("0.01"), ROUND_DOWN)),
        "small_limit_lb": "?" if small is None else str(small.value),
    }
