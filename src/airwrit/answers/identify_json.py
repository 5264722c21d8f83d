"""The readings of numbers as a JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airwrit.answers.identify import SAYS, Identified, Reading, kinds, verdict_of
from airwrit.base.identifiers import Fault

Json = dict[str, Any]

FORM_ONLY = "A right form does not show that a number was ever issued, nor to whom: compare with the label and the certificate."


def identify_json(answers: Sequence[Identified]) -> Json:
    """The document: question, verdict, one entry a text, and every reading as a finding."""
    return {
        "question": "identify",
        "verdict": verdict_of(tuple(answers)).value,
        "texts": [_text(answer) for answer in answers],
        "findings": [
            _finding(one, reading)
            for answer in answers
            for one in (answer, *answer.parts)
            for reading in one.readings
        ],
        "problems": [],
        "sources": [],
        "caution": FORM_ONLY,
    }


def _text(answer: Identified) -> Json:
    return {
        "text": answer.text,
        "verdict": answer.verdict.value,
        "damage": [_fault(fault) for fault in answer.damage],
        "warnings": list(answer.warnings),
        "parts": [_text(part) for part in answer.parts],
    }


def _finding(answer: Identified, reading: Reading) -> Json:
    kind = kinds()[reading.kind]
    return {
        "subject": answer.text,
        "rule": reading.kind,
        "verdict": reading.verdict.value,
        "cites": kind["cites"],
        "source": kind["source"],
        "says": f"{SAYS[reading.verdict]} {reading.name}",
        "used": {"text": reading.text},
        "tidied": list(reading.tidied),
        "faults": [_fault(fault) for fault in reading.faults],
        "near": list(reading.near),
        "notes": list(reading.notes),
    }


def _fault(fault: Fault) -> Json:
    return {"code": fault.code, "place": fault.place or None, "hint": fault.hint}
