"""The readings of numbers as a JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airwrit.answers.document import SCOPE_OF_NUMBERS
from airwrit.answers.lookup.number_kind import SAYS, Answer, Identified, NumberReading, kinds, verdict_of
from airwrit.base.identifiers import NumberFault

Json = dict[str, Any]

FORM_ONLY = "A correct format doesn't show that a number was issued, or to whom. Compare it with the label and the certificate."


def identify_json(answers: Sequence[Answer]) -> Json:
    """The document: question, verdict, one entry for each text or photo, and every reading as a finding."""
    texts = [text for answer in answers for text in answer.texts]
    sources = [answer.photo.source for answer in answers if answer.photo]
    return {
        "question": "identify",
        "scope": SCOPE_OF_NUMBERS,
        "verdict": verdict_of(answers).value,
        "asked": [_asked(answer) for answer in answers],
        "findings": [
            _finding(one, reading)
            for text in texts
            for one in (text, *text.parts)
            for reading in one.readings
        ],
        "problems": [],
        "sources": [{"name": source.name, "sha256": source.sha256} for source in sources],
        "caution": FORM_ONLY,
    }


def _asked(answer: Answer) -> Json:
    told: Json = {
        "status": answer.status,
        "verdict": answer.verdict.value,
        "texts": [_text(text) for text in answer.texts],
    }
    photo = answer.photo
    if photo is not None:
        told["photo"] = {
            "name": photo.source.name,
            "width_px": photo.width,
            "height_px": photo.height,
            "pictures": photo.pictures,
            "read_by_step": photo.step or None,
            "codes": [code.kind for code in photo.codes],
        }
    return told


def _text(text: Identified) -> Json:
    return {
        "text": text.text,
        "verdict": text.verdict.value,
        "damage": [_fault(fault) for fault in text.damage],
        "warnings": list(text.warnings),
        "parts": [_text(part) for part in text.parts],
    }


def _finding(answer: Identified, reading: NumberReading) -> Json:
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


def _fault(fault: NumberFault) -> Json:
    return {"code": fault.code, "place": fault.place or None, "hint": fault.hint}
