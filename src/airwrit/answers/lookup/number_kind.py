"""What a number is, and whether its form can be right. Every reading that fits is given; none is chosen."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from airwrit.answers.document import SCOPE_OF_NUMBERS
from airwrit.base.aircraft_address import BLOCK, address_of, hex_address, n_number_of, octal_address
from airwrit.base.identifiers import (
    NumberChecked,
    NumberFault,
    broadcast_serial,
    looks_scientific,
    n_number,
    part_48_number,
)
from airwrit.base.operator_number import operator_number, without_secret
from airwrit.base.verdict import Verdict, worst_of
from airwrit.intake.reader.photo import Code, Photo

Check = Callable[[str], NumberChecked]

SAYS = {
    Verdict.MET: "This can be",
    Verdict.NOT_MET: "This can't be",
    Verdict.UNKNOWN: "We can't tell if this is",
}
"""A reading's verdict in words; the name of the kind follows."""

_AGAIN = "Read the number off the thing itself, and type it in a cell formatted as text"
_FLOAT = re.compile(r"[+-]?\d+[.,]0+")
_PLAIN_EXPONENT = re.compile(r"\d+[eE]\d+")
_SHORT_HEX = re.compile(r"[0-9A-F]{3,5}", re.IGNORECASE)
_DIGITS = re.compile(r"[0-9]{1,12}")
_OTHER_OPERATOR = re.compile(r"([A-Z]{3})-(OP|RP)-[0-9A-Z]+", re.IGNORECASE)
_PARTED = re.compile(r"[\s,;:=|&?/\x00-\x1f]+")
_LENGTHS = "123456789ABCDEF"
_PART_48_SIGNS = 10
_LEAST_PART = 6
_SHEET_DIGITS = 15
_LONGEST = 40


@dataclass(frozen=True, slots=True)
class NumberReading:
    """One way to read a text: its kind, whether it can be one, normal form, what was tidied, faults, near misses, notes."""

    kind: str
    verdict: Verdict
    text: str
    tidied: tuple[str, ...] = ()
    faults: tuple[NumberFault, ...] = ()
    near: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The kind in words, with its article."""
        kind = kinds()[self.kind]
        return f"{kind['an']} {kind['name']}"


@dataclass(frozen=True, slots=True)
class Identified:
    """A text, secret signs masked, and its readings; `damage` is what a program did to it, `parts` fit by themselves."""

    text: str
    readings: tuple[NumberReading, ...]
    damage: tuple[NumberFault, ...] = ()
    warnings: tuple[str, ...] = ()
    parts: tuple[Identified, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Met when it can be at least one kind, unknown when damage or a form nobody published leaves it open, else not met."""
        verdicts = {reading.verdict for reading in self.readings}
        if self.damage:
            return Verdict.UNKNOWN
        if Verdict.MET in verdicts:
            return Verdict.MET
        return Verdict.UNKNOWN if Verdict.UNKNOWN in verdicts else Verdict.NOT_MET


@dataclass(frozen=True, slots=True)
class Answer:
    """What was asked about: one typed text, or a photo with the text of each of its codes, in the photo's order."""

    texts: tuple[Identified, ...]
    photo: Photo | None = None

    @property
    def status(self) -> str:
        """How the texts came to us; what a code says is never more than read, to be confirmed by a person."""
        if self.photo is None:
            return "typed"
        return "read, to be confirmed" if self.texts else "no code was read"

    @property
    def verdict(self) -> Verdict:
        """The best of the texts': a label may have other codes beside. Unknown for a photo in which no code was read."""
        verdicts = {text.verdict for text in self.texts}
        if Verdict.MET in verdicts:
            return Verdict.MET
        return Verdict.NOT_MET if verdicts == {Verdict.NOT_MET} else Verdict.UNKNOWN


@cache
def _data() -> Mapping[str, Any]:
    path = Path(__file__).with_name("number_kind.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def kinds() -> Mapping[str, Mapping[str, str]]:
    """The kinds of number by key: name, article, sections, source."""
    found: Mapping[str, Mapping[str, str]] = _data()["kinds"]
    return found


def identified(text: str) -> Identified:
    """All readings of a text. Never raises; a text that is no such number has only readings that are not met."""
    states = _data()["operators"]["states"]
    shown = without_secret(text, states)
    warnings = _warnings(text, shown)
    damage = _damage(text.strip())
    if damage:
        return Identified(shown, (), damage, warnings)
    if shown != text and _eu_operator(text)[0].text.endswith("*"):
        return Identified(
            shown, _eu_operator(text), (), warnings
        )  # any other reading would tell the secret signs
    readings = tuple(reading for read in _READERS for reading in read(text))
    whole = Identified(shown, readings, (), warnings)
    if any(reading.verdict is Verdict.MET for reading in readings):
        return whole
    parts = _parts(text)
    return Identified(shown, () if shown != text else readings, (), warnings, parts)


def answer_to(text: str) -> Answer:
    """The answer to a typed text."""
    return Answer((identified(text),))


def answer_to_photo(photo: Photo) -> Answer:
    """The answer to a photo: each code's text identified like a typed one. A code without text is no number of ours."""
    return Answer(tuple(_of_code(code) for code in photo.codes), photo)


def _of_code(code: Code) -> Identified:
    if code.text:
        return identified(code.text)
    told = f"the code has {len(code.raw)} bytes that aren't text, so it isn't any number we know"
    return Identified("", (), (), (told,))


def verdict_of(answers: Sequence[Answer]) -> Verdict:
    """The verdict over all that was asked: the worst of the answers'."""
    return worst_of({answer.verdict for answer in answers})


def _parts(text: str) -> tuple[Identified, ...]:
    """The pieces of a longer text, cut at spaces, marks and control signs, that can be a number by themselves."""
    pieces = [piece for piece in _PARTED.split(text) if len(piece) >= _LEAST_PART and piece != text]
    found = [identified(piece) for piece in dict.fromkeys(pieces)]
    return tuple(answer for answer in found if answer.verdict is Verdict.MET)


def _warnings(text: str, shown: str) -> tuple[str, ...]:
    told = []
    if shown != text:
        told.append("the last three characters are the operator's secret. Never show, broadcast or mark them")
    if "://" in text or text.lower().startswith("www."):
        told.append("this is a web address. Check it with `airwrit check-web-address`")
    if _PLAIN_EXPONENT.fullmatch(text.strip()):
        told.append("a spreadsheet would turn this into a power of ten. Keep it in a cell formatted as text")
    stripped = text.strip()
    if stripped.isdigit() and len(stripped) > _SHEET_DIGITS and not stripped[_SHEET_DIGITS:].strip("0"):
        told.append(
            "every digit after the fifteenth is 0, so a spreadsheet may have changed it. Compare it with the label"
        )
    return tuple(told)


def _damage(text: str) -> tuple[NumberFault, ...]:
    if looks_scientific(text):
        return (NumberFault("scientific", 0, f"a spreadsheet rounded the digits away. {_AGAIN}"),)
    if _FLOAT.fullmatch(text):
        hint = f"a spreadsheet turned it into a number, so zeros and other characters may be lost. {_AGAIN}"
        return (NumberFault("number", len(text.partition(".")[0].partition(",")[0]) + 1, hint),)
    if text and not text.strip("#"):
        return (NumberFault("narrow", 0, f"a spreadsheet shows this when a column is too narrow. {_AGAIN}"),)
    return ()


def _foreign(text: str) -> tuple[NumberFault, ...]:
    """A fault for each sign that is no plain one: letters of other alphabets look like ours and are not."""
    return tuple(
        NumberFault(
            "foreign", place, f"{unicodedata.name(sign, 'a control sign').lower()} isn't a plain character"
        )
        for place, sign in enumerate(text.strip(), start=1)
        if not sign.isascii() or not sign.isprintable()
    )


def _read(kind: str, text: str, check: Check) -> NumberReading:
    """The reading by one check of form, with what one sign away would fit."""
    foreign = _foreign(text)
    if foreign:
        return NumberReading(kind, Verdict.NOT_MET, text.strip(), (), foreign)
    checked = check(text)
    if checked.ok:
        return NumberReading(kind, Verdict.MET, checked.text, checked.tidied)
    near = _near(checked, check) if len(checked.text) <= _LONGEST else ()
    return NumberReading(kind, Verdict.NOT_MET, checked.text, checked.tidied, checked.faults, near)


def _near(checked: NumberChecked, check: Check) -> tuple[str, ...]:
    """What would give the form with 0 for O and 1 for I, or with another length sign. Told, never put in its place."""
    told = []
    text = checked.text
    places = [str(place) for place, sign in enumerate(text, start=1) if sign in "OI"]
    if places and check(text.replace("O", "0").replace("I", "1")).ok:
        told.append(f"it would fit with 0 for O and 1 for I (character {', '.join(places)}). Check the label")
    if check is broadcast_serial and 6 <= len(text) <= 5 + len(_LENGTHS):
        fitting = _LENGTHS[len(text) - 6]
        if check(text[:4] + fitting + text[5:]).ok:
            told.append(
                f"it would fit with {fitting} for {text[4]} as the fifth character. Or characters are missing or "
                "added. Check the label"
            )
    return tuple(told)


def _serial(text: str) -> tuple[NumberReading, ...]:
    reading = _read("remote_id_serial", text, broadcast_serial)
    if reading.verdict is not Verdict.MET:
        return (reading,)
    serial = reading.text
    note = f"it has maker code {serial[:4]}, length {serial[4]} ({len(serial) - 5} characters) and number {serial[5:]}"
    return (replace(reading, notes=(note, "it has no check character, so we can't catch a typo")),)


def _n_number(text: str) -> tuple[NumberReading, ...]:
    reading = _read("n_number", text, n_number)
    if reading.verdict is Verdict.MET:
        address = address_of(reading.text)
        notes = [f"its 24-bit aircraft address is {address:06X} (octal {address:08o})"]
        if reading.text[1:].isdigit() and len(reading.text) <= 3:
            notes.append("N1 to N99 are reserved for the FAA's own aircraft")
        return (replace(reading, notes=tuple(notes)),)
    if not reading.text.startswith("N") and reading.text.isascii() and n_number(f"N{reading.text}").ok:
        near = (*reading.near, "it would work with an N in front. Check the certificate")
        return (replace(reading, near=near),)
    return (reading,)


def _part_48(text: str) -> tuple[NumberReading, ...]:
    reading = _read("part_48_number", text, part_48_number)
    if reading.verdict is not Verdict.MET:
        return (reading,)
    notes = (
        "we can't tell if it's recreational. Both kinds of registration have numbers like this",
        "it may have O or 0, and I or 1. Compare each character",
    )
    if len(reading.text) != _PART_48_SIGNS:
        odd = (
            f"it has {len(reading.text)} characters. All the ones we know have {_PART_48_SIGNS}, "
            "but we read no rule that says so"
        )
        return (replace(reading, verdict=Verdict.UNKNOWN, notes=(odd, *notes)),)
    return (replace(reading, notes=notes),)


def _address(text: str) -> tuple[NumberReading, ...]:
    kind = "aircraft_address"
    reading = _read(kind, text, hex_address)
    if reading.verdict is Verdict.MET:
        return (replace(reading, notes=(_whose(int(reading.text, 16)),)),)
    if _SHORT_HEX.fullmatch(text.strip()):
        note = (
            f"it has {len(reading.text)} of six characters. A spreadsheet may have dropped zeros at the front, or other "
            "characters are missing"
        )
        return (
            replace(
                reading,
                verdict=Verdict.UNKNOWN,
                faults=(),
                notes=(note, "check the certificate or the transponder's page"),
            ),
        )
    return (reading,)


def _whose(address: int) -> str:
    number = n_number_of(address)
    if number:
        return f"it is in the US block, and belongs to {number}"
    if address in BLOCK:
        return "it is in the US block, but it doesn't belong to any N-number"
    return "it isn't in the US block. We don't check which country it belongs to"


def _octal(text: str) -> tuple[NumberReading, ...]:
    address = octal_address(text)
    if address is None:
        return ()
    notes = (f"in hexadecimal, it is {address:06X}", _whose(address))
    return (NumberReading("aircraft_address_octal", Verdict.MET, text.strip(), notes=notes),)


def _pilot(text: str) -> tuple[NumberReading, ...]:
    stripped = text.strip()
    if not _DIGITS.fullmatch(stripped):
        return ()
    note = "the format isn't published, so we can't check it. Compare it with the card"
    return (NumberReading("remote_pilot_certificate", Verdict.UNKNOWN, stripped, notes=(note,)),)


def _eu_operator(text: str) -> tuple[NumberReading, ...]:
    states = _data()["operators"]["states"]
    reading = _read("eu_operator", text, lambda given: operator_number(given, states))
    if reading.verdict is not Verdict.MET:
        return (reading,)
    checked = (
        "its check character matches"
        if reading.text.endswith("*")
        else "only the operator's secret characters can confirm the check character"
    )
    return (replace(reading, notes=(checked, "US law doesn't use this number")),)


def _other_operator(text: str) -> tuple[NumberReading, ...]:
    found = _OTHER_OPERATOR.fullmatch(text.strip())
    if found is None:
        return ()
    what = "an operator" if found[2].upper() == "OP" else "a remote pilot, not an operator"
    notes = (
        f"it looks like the number of {what} from {found[1].upper()}. We haven't read that format",
        "US law doesn't use this number",
    )
    return (NumberReading("other_operator", Verdict.UNKNOWN, text.strip().upper(), notes=notes),)


_READERS: tuple[Callable[[str], tuple[NumberReading, ...]], ...] = (
    _serial,
    _n_number,
    _part_48,
    _address,
    _octal,
    _pilot,
    _eu_operator,
    _other_operator,
)


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
