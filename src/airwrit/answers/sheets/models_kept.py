"""What somebody confirmed for a model, kept so that its next aircraft are not asked about.

It is stated of an aircraft of that model only where its row and the record say nothing of the fact, and nothing in the row was
left open: a second weight, an add-on or a remark may be what makes this one another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from airwrit.answers.sheets.difference import OnRecord
from airwrit.facts.choices import RemoteIdWay
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import DECLARATION_ACCEPTED, MAKER, MODEL, REMOTE_ID_WAY
from airwrit.facts.keys.program import MODEL_CONFIRMED, MODEL_HOLDS, model_subject
from airwrit.facts.keys.service import NOT_UNDERSTOOD
from airwrit.facts.statement import ForModel, Known, Statement
from airwrit.facts.vocabulary import TOLD_KEYS, folded, kind_of
from airwrit.intake.sheets import Intake

_YES, _NO = "yes", "no"
_OF_THE_WAY = frozenset({REMOTE_ID_WAY.name, DECLARATION_ACCEPTED.name})
"""Facts that hold for a model only as it came: a module is another thing."""


class ModelConfirmed(NamedTuple):
    """A fact that holds for a model, and the words that say who confirmed it and when."""

    key: str
    value: Raw
    origin: ForModel


def confirmed(key: Key[object], model: str, value: Raw, origin: str) -> Iterator[Known]:
    """What is kept of an answer for a model."""
    subject = model_subject(key.name, folded(model))
    told = (_YES if value else _NO) if isinstance(value, bool) else str(value)
    yield Known(Statement(subject, MODEL_HOLDS.name, told), origin)
    yield Known(Statement(subject, MODEL_CONFIRMED.name, str(origin)), origin)


def with_models(intake: Intake, held: OnRecord) -> Intake:
    """What was read, and for aircraft of a model what was confirmed for it before."""
    remembered = _remembered(held)
    if not remembered:
        return intake
    spoiled = {pair for problem in intake.problems for pair in problem.spoils}
    added: list[Known] = []
    for subject, mine in _aircraft(intake.known).items():
        said = {item.statement.key for item in mine}
        if NOT_UNDERSTOOD.name in said:
            continue
        is_module = any(item.statement.value == RemoteIdWay.MODULE.value for item in mine)
        for one in remembered.get(_model_of(mine), ()):
            pair = subject, one.key
            if (
                one.key in said
                or pair in spoiled
                or held.alive(pair)
                or (is_module and one.key in _OF_THE_WAY)
            ):
                continue
            added.append(Known(Statement(subject, one.key, one.value), one.origin))
    return replace(intake, known=(*intake.known, *added)) if added else intake


def _remembered(held: OnRecord) -> dict[str, list[ModelConfirmed]]:
    """What was confirmed last, by the model's name in small letters."""
    found: dict[str, list[ModelConfirmed]] = {}
    for subject, key in held.groups:
        if key != MODEL_HOLDS.name:
            continue
        name, _, model = subject.partition("/")[2].partition(": ")
        value, words = _last(held, subject, MODEL_HOLDS.name), _last(held, subject, MODEL_CONFIRMED.name)
        if value and words and name in TOLD_KEYS:
            told: Raw = value == _YES if TOLD_KEYS[name].kind is bool else value
            found.setdefault(model, []).append(ModelConfirmed(name, told, ForModel(words)))
    return found


def _last(held: OnRecord, subject: str, key: str) -> str:
    said = [item for item in held.alive((subject, key)) if item.statement.value]
    return str(max(said, key=lambda item: item.recorded_at).statement.value) if said else ""


def _aircraft(known: Iterable[Known]) -> dict[str, list[Known]]:
    found: dict[str, list[Known]] = {}
    for item in known:
        if kind_of(item.statement.subject) == "aircraft":
            found.setdefault(item.statement.subject, []).append(item)
    return found


def _model_of(mine: Sequence[Known]) -> str:
    """Maker and model as the row writes them, in small letters; "" where it names no model."""
    told = {item.statement.key: item.statement.value for item in mine}
    return folded(f"{told.get(MAKER.name) or ''} {told[MODEL.name]}".strip()) if told.get(MODEL.name) else ""
