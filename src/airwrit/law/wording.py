"""Sentences for findings, made when shown: what it says, what to do, which sections, how old the reading is.

The texts stand in `words/*.toml` by rule and code; the rules themselves hold no prose.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.days import day_of
from airwrit.base.errors import BadLawFile
from airwrit.base.sentences import sentence, with_section
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import words_of
from airwrit.facts.keys.service import HOLDS
from airwrit.facts.looks import Used
from airwrit.facts.state import State
from airwrit.facts.statement import EntryPlace, ForModel
from airwrit.facts.vocabulary import KEYS, kind_of
from airwrit.law.contradictions import ContradictionText, settled, told
from airwrit.law.parameters import (
    Had,
    LawReading,
    Param,
    is_parameter,
    oldest,
    parameter,
    read_words,
    span_of,
    tables,
)
from airwrit.law.rule import Finding, Rule

FOLDER = Path(__file__).parent / "words"
_HEADS = re.compile(r"^(?=\[\w+(?:\.\w+)?\]$)", re.MULTILINE)

_OF_A_WAY = (
    "part_48_path",
    "counts_as_owner",
    "several_owners",
    "old_enough_to_file",
    "used_enough_here",
    "owner_eligible",
    "us_citizen",
)
"""Rules whose outcomes the rules of the ways to register hand on."""
_OF_THE_HOLDER = ("owner_eligible", "us_citizen", "filed_by_eligible_person", "counts_as_owner")
"""Rules whose outcomes the rules about the name on a certificate hand on."""
_BORROWS = {
    "owner_eligible": ("us_citizen",),
    "registered_to_owner": _OF_THE_HOLDER,
    "registration_not_void": ("registered_to_owner", *_OF_THE_HOLDER),
    "must_be_registered": (
        "right_kind_for_use",
        "registered_to_owner",
        "registration_not_void",
        "registration_in_term",
        *_OF_THE_HOLDER,
    ),
    "filed_by_eligible_person": ("owner_eligible", "us_citizen"),
    "used_enough_here": ("us_citizen",),
    "recreational_way": _OF_A_WAY,
    "person_way": _OF_A_WAY,
    "organization_way": _OF_A_WAY,
    "part_47_way": _OF_A_WAY,
    "may_manipulate_supervised": ("recency", "flight_review", "temporary_certificate"),
    "recreational_exception": (
        "recreational_purpose",
        "must_be_registered",
        "registration_in_term",
        "marked_outside",
        "recreational_safety_test",
        "authority_controlled_airspace",
    ),
    "dc_outer_ring": ("registration_in_term", "must_be_registered", "marked_outside"),
}
"""Rules that hand on the outcome of another rule, and so its code."""


_IN_WORDS: tuple[Param[Any], ...] = (
    parameter("exempt_weight_lb", Decimal),
    parameter("small_limit_lb", Decimal),
    parameter("fria_renewal_ask_days", int),
    parameter("fria_term_months", int),
    parameter("ntsb_report_missing_days", int),
    parameter("night_lights_sm", int),
)
"""Parameters that sentences name although their findings do not look at them."""


class Wording(NamedTuple):
    """A finding in words; `do` is empty when there is nothing to do."""

    says: str
    do: str


@cache
def _blocks() -> Mapping[str, str]:
    """The text of every entry by its head, `rule.code` or a shared code: reading TOML takes its time, and few are shown."""
    found: dict[str, str] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        for text in _HEADS.split(path.read_text(encoding="utf-8"))[1:]:
            found[text[1 : text.index("]")]] = text.partition("\n")[2]
    return found


@cache
def _entry(head: str) -> Mapping[str, str] | None:
    """What the entry under a head says; None where there is none."""
    text = _blocks().get(head)
    return None if text is None else tomllib.loads(text)


def worded(finding: Finding, state: State) -> Wording:
    """The finding in words, filled from the facts it used, the law it read and its outcome; a house rule names its document."""
    return _filled(_Fields(finding, settled(state, day_of(state.on))), finding)


def _filled(fields: _Fields, finding: Finding) -> Wording:
    against = fields.contradiction()
    if against is not None:
        return Wording(with_section(against.says, against.cites), against.do)
    entry, document = _entry_of(finding), finding.rule.document
    says = sentence(entry["says"].format_map(fields))
    return Wording(with_section(says, document), sentence(entry["do"].format_map(fields)))


_LEFT_OPEN = (Why.MISSING, Why.CONFLICT, Why.DAMAGED, Why.WITHIN_DOUBT)


class Teller:
    """Many findings of one state in words: those that hang on no fact, only on outcome and law, are filled once."""

    def __init__(self, state: State) -> None:
        """Nothing is told yet."""
        self._state = settled(state, day_of(state.on))
        self._told: dict[tuple[Rule, Outcome, tuple[LawReading, ...]], Wording] = {}

    def worded(self, finding: Finding) -> Wording:
        """The finding in words."""
        alike = finding.rule, finding.outcome, finding.law
        kept = self._told.get(alike)
        if kept is not None and finding.outcome.why is not Why.CONFLICT:
            return kept
        fields = _Fields(finding, self._state)
        words = _filled(fields, finding)
        if not fields.holds_facts:
            self._told[alike] = words
        return words


def _entry_of(finding: Finding) -> Mapping[str, str]:
    """The words of a finding. A fact that leaves it open is asked for, also where the rule has a conclusion of its name."""
    code, why = finding.outcome.code, finding.outcome.why
    if code in finding.rule.texts:
        return finding.rule.texts[code]
    heads = [f"{name}.{code}" for name in (finding.rule.name, *_BORROWS.get(finding.rule.name, ()))]
    if why is not None and (code in KEYS or is_parameter(code)):
        is_left_open = why in _LEFT_OPEN and finding.outcome.value is None
        heads.insert(0 if is_left_open else len(heads), _gap_of(code, why))
    entry = next((found for found in map(_entry, (*heads, code)) if found is not None), None)
    if entry is None:
        raise BadLawFile(f"no words for {code} of {finding.rule.name}", where=FOLDER.name)
    return entry


def _gap_of(code: str, why: Why) -> str:
    """The head of a gap's words: a weighing in doubt is not a day in doubt."""
    key = KEYS.get(code)
    in_doubt = why is Why.WITHIN_DOUBT and key is not None and key.kind is Decimal
    return "within_doubt.number" if in_doubt else why.value


class _Fields(dict[str, str]):
    """What the braces of a text are filled with, looked up when asked for."""

    def __init__(self, finding: Finding, state: State) -> None:
        self._finding, self._state = finding, state
        self.holds_facts = False

    def __missing__(self, name: str) -> str:
        outcome = self._finding.outcome
        if name in ("value", "due_on", "holds_until"):
            return shown(getattr(outcome, name))
        if name in ("meaning", "question"):
            return self._gap(name)
        if name == "quoted":
            self.holds_facts = True
            return ", ".join(
                quoted(text, place) for text, place in held_up(self._state, self._finding.subject)
            )
        for reading in self._finding.law:
            if reading.param.name == name:
                return shown(reading.span.value)
        for used in self._finding.used:
            if used.key.name == name:
                self.holds_facts = True
                return shown(value_used(used, self._state))
        return self._in_force(name)

    def contradiction(self) -> ContradictionText | None:
        """The contradiction that left the finding open; None when nothing of the kind did."""
        if self._finding.outcome.why is not Why.CONFLICT or not self._state.clashes:
            return None
        fact = missing_fact(self._finding, self._state)
        place = None if fact is None else (fact.subject, fact.key)
        clash = next((clash for clash in self._state.clashes if place in clash.places), None)
        if clash is None:
            return None
        self.holds_facts = True
        return told(clash, self._state)

    def _in_force(self, name: str) -> str:
        """A parameter that the finding did not look at, as it is in force on the day asked about."""
        param = next(one for one in _IN_WORDS if one.name == name)
        span = span_of(param, day_of(self._state.on)) or param.spans[-1]
        return shown(span.value)

    def _gap(self, name: str) -> str:
        code = self._finding.outcome.code
        key = KEYS.get(code)
        if key is None:
            return str(tables()[code]["title"]) if name == "meaning" else ""
        return key.meaning if name == "meaning" else key.question


def held_up(state: State, subject: str) -> tuple[tuple[str, str], ...]:
    """The texts about a subject that were not understood and nobody said not to matter, each with its place."""
    hold = HOLDS.get(kind_of(subject))
    facts = state.held.get(subject, {})
    said = None if hold is None else facts.get(hold.text)
    if hold is None or said is None or said.why is not None:
        return ()
    free = facts.get(hold.released)
    released = () if free is None or free.why is not None else free.value
    places = said.origins if len(said.origins) == len(said.value) else said.origins[:1] * len(said.value)
    return tuple(
        (text, place) for text, place in zip(said.value, places, strict=False) if text not in released
    )


def quoted(text: str, place: str) -> str:
    """A text in quotes, with the cell it comes from where that is known."""
    return f'"{text}"' + (f" ({place})" if place and not isinstance(place, EntryPlace) else "")


def value_used(used: Used, state: State) -> Any:
    """The value a finding saw at one look; None when nothing was held."""
    held = state.held.get(used.subject, {}).get(used.key)
    return None if held is None else held.value


def missing_fact(finding: Finding, state: State) -> Used | None:
    """The fact whose absence or damage left the finding open; None when it is open for another reason."""
    if finding.outcome.verdict is not Verdict.UNKNOWN:
        return None
    state = settled(state, day_of(state.on))
    code = finding.outcome.code
    for subject, key, closed in finding.looks:
        if key.name == code:
            held = state.held.get(subject, {}).get(key)
            if held is None or held.why is not None:
                return Used(subject, key, closed)
    return None


def silences(finding: Finding, state: State) -> tuple[Used, ...]:
    """The looks where silence was read as "nothing on file": what the finding rests on without a fact."""
    quiet = [used for used in finding.used if used.closed and value_used(used, state) is None]
    return tuple(dict.fromkeys(quiet))


def confirmed_by_model(finding: Finding, state: State) -> tuple[str, ...]:
    """Where the finding rests on facts confirmed for a model: of which, by whom and when."""
    helds = (state.held.get(used.subject, {}).get(used.key) for used in finding.used)
    origins = (origin for held in helds if held is not None for origin in held.origins)
    return tuple(dict.fromkeys(origin for origin in origins if isinstance(origin, ForModel)))


def cites(finding: Finding) -> tuple[str, ...]:
    """The sections whose numbers and switches the finding read: the rule's own first, of a house rule its document."""
    sections = tuple(dict.fromkeys(reading.span.cites for reading in finding.law))
    return (finding.rule.document, *sections) if finding.rule.document else sections


def section(finding: Finding) -> str:
    """The one section shown beside a finding: the rule's own, a house rule's document, else the last that it read."""
    found = cites(finding)
    own_first = finding.rule.own or finding.rule.document
    return "" if not found else found[0 if own_first else -1]


def read_on(finding: Finding) -> date | None:
    """The oldest day any text behind the finding was read for this project; None when no law was read."""
    return min((reading.span.read_on for reading in finding.law), default=None)


def text_of(finding: Finding) -> date | str | None:
    """The day that the oldest text behind the finding is of; None when no law was read."""
    texts = [reading.span.text_of for reading in finding.law]
    return oldest(texts) if texts else None


def weakest_had(finding: Finding) -> Had | None:
    """How the text had in the weakest way was had, of those behind the finding; None when no law was read."""
    order = tuple(Had)
    return max((reading.span.had for reading in finding.law), key=order.index, default=None)


def provenance(finding: Finding) -> str:
    """The texts behind the finding in words: of which day, read when, and whether any is second hand or from memory."""
    oldest_text, read, had = text_of(finding), read_on(finding), weakest_had(finding)
    if oldest_text is None or read is None or had is None:
        return ""
    return read_words(oldest_text, had, read)


def read_between(findings: Iterable[Finding]) -> tuple[date, date] | None:
    """The first and the last day on which texts behind some findings were read; None when no law was read."""
    laws = {finding.law for finding in findings}  # many findings rest on one reading of the law
    days = [one.span.read_on for law in laws for one in law]
    return (min(days), max(days)) if days else None


def confidence(finding: Finding) -> str | None:
    """The weakest confidence among the texts behind the finding; None when no law was read."""
    found = {reading.span.confidence for reading in finding.law}
    return next((word for word in ("low", "medium", "high") if word in found), None)


def shown(value: object) -> str:
    """A value as a face prints it: days as they are, decimals to four places, choices in words, subjects by their id."""
    if value is None:
        return "?"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return _decimal(value)
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    if isinstance(value, StrEnum):
        return words_of(value)
    text = str(value)
    kind, slash, name = text.partition("/")
    return name if slash and kind in ("aircraft", "registration", "owner", "person") else text


def _decimal(value: Decimal) -> str:
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and exponent < -4:
        value = value.quantize(Decimal("0.0001"), ROUND_HALF_EVEN)
    text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
