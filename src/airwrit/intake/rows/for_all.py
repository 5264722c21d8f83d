"""What lines of text say of all aircraft of a table: stated of each row that says nothing else itself."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import NamedTuple

from airwrit.facts.choices import OwnerKind, RegistrationKind
from airwrit.facts.key import Raw
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.keys.registration import OWNER_KIND, REGISTERED_TO, REGISTRATION_KIND
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.meaning.lexicon import words_listed, words_of
from airwrit.intake.meaning.shapes import has_registration_form, shapes_of
from airwrit.intake.reader.cells import Cell, Kind

_SENTENCES = re.compile(r"(?<=[.;!])\s+|\s{3,}")
_NOT_THAT = re.compile(
    r"\b(?:not|none|no|never) (?:hobby|rec\b|recreational|recreation)|,? no (?:hobby|recreational) (?:ones|registrations)"
)
_GENERIC = re.compile(r"^(?:the|our|us|this|all)\b", re.IGNORECASE)
_ENDS = re.compile(r"\s+(?:-|–|—|:)\s+")


class SaidOfAll(NamedTuple):
    """A fact said of all aircraft of a table, and the cell that says so."""

    fact: str
    value: Raw
    origin: str


class _Pattern(NamedTuple):
    fact: str
    value: Raw
    says: re.Pattern[str]


@cache
def _patterns() -> tuple[re.Pattern[str], tuple[_Pattern, ...]]:
    path = files("airwrit.intake.meaning") / "sentences.toml"
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    said = tuple(_Pattern(one["fact"], one["value"], re.compile(one["says"])) for one in table["said"])
    return re.compile(table["unless"]["says"]), said


def said_of_all(lines: Sequence[tuple[str, str]], owner: str | None) -> tuple[SaidOfAll, ...]:
    """What lines of text, each with its cell, say of all. `owner` is the one told for all, whom "the District" means."""
    unless, patterns = _patterns()
    known_as = owner or _organization(text for _, text in lines)
    found: dict[str, SaidOfAll] = {}
    for origin, text in lines:
        for sentence in _SENTENCES.split(text):
            lowered = sentence.casefold().replace("\u2019", "'")
            if unless.search(_NOT_THAT.sub(" ", lowered)):
                continue
            for fact, value, says in patterns:
                match = says.search(lowered)
                if match is None or fact in found:
                    continue
                told = _name(match, sentence, known_as) if value == "@owner" else value
                if told is not None:
                    found[fact] = SaidOfAll(fact, told, origin)
    return tuple(found.values())


def _organization(lines: Iterable[str]) -> str | None:
    """The name of an organization that a title begins with."""
    for line in lines:
        name = _ENDS.split(line, maxsplit=1)[0].strip()
        if len(name) < 60 and "org" in shapes_of(Cell(Kind.TEXT, name)):
            return name
    return None


def _name(match: re.Match[str], sentence: str, known_as: str | None) -> str | None:
    """The name that a sentence gives, as it is written; the owner's where it only points at one."""
    for group, text in match.groupdict().items():
        if text:
            start = match.start(group)
            name = sentence[start : start + len(text)].strip(" ,.")
            if _GENERIC.match(name) or "org" not in shapes_of(Cell(Kind.TEXT, name)):
                return known_as
            return known_as if known_as and _bare(name) == _bare(known_as) else name
    return known_as


def _bare(name: str) -> tuple[str, ...]:
    """A name's words without the legal ending."""
    words = words_of(name.replace(".", ""))
    return words[:-1] if words and words[-1] in words_listed("corporation") else words


def state_for_all(rows: Sequence[list[Known]], names: Sequence[str], said: Sequence[SaidOfAll]) -> None:
    """State of each row of a table of aircraft what was said of all and the row does not say itself."""
    if said:
        for row, name in zip(rows, names, strict=True):
            row += list(_for_row(row, f"aircraft/{name}", said))


def state_kinds(rows: Sequence[list[Known]]) -> None:
    """State of each row of a table of aircraft the kind of registration that the name on its certificate tells."""
    registered_to = REGISTERED_TO.name
    for row in rows:
        named = next((item for item in row if item.statement.key == registered_to), None)
        if named is not None:
            row += list(_kind_by_name(row, named))


ABOUT_OWNERS = frozenset({OWNER_KIND.name, REGISTERED_TO.name})
"""Facts that name an owner's kind, or an owner whose name may tell it."""


def owners_by_name(known: Sequence[Known], owner: str | None) -> Iterator[Known]:
    """What kind of owner it is that a certificate names, where the name itself says so and nothing else does."""
    about_owners = [item for item in known if item.statement.key in ABOUT_OWNERS]
    told = {item.statement.subject for item in about_owners if item.statement.key == OWNER_KIND.name}
    for item in about_owners:
        statement = item.statement
        if statement.key != REGISTERED_TO.name or not isinstance(statement.value, str):
            continue
        kind = kind_by_name(statement.value)
        is_told = owner is not None and owner.casefold() == statement.value.casefold()
        for name in (statement.value, *([owner] if is_told else [])) if kind else ():
            if f"owner/{name}" not in told:
                told.add(f"owner/{name}")
                yield Known(Statement(f"owner/{name}", OWNER_KIND.name, str(kind)), item.origin)


def kind_by_name(name: str) -> OwnerKind | None:
    """The kind of owner that a name tells by itself: a company by its legal ending, a public body by its words."""
    words = words_of(name.replace(".", ""))
    if not words:
        return None
    if words[-1] in words_listed("corporation"):
        return OwnerKind.CORPORATION
    if "trust" in words:
        return None
    if not words_listed("government").isdisjoint(words):
        return OwnerKind.GOVERNMENT
    pairs = {f"{one} {other}" for one, other in pairwise(words)}
    return None if pairs.isdisjoint(words_listed("government", "pairs")) else OwnerKind.GOVERNMENT


def _for_row(row: Sequence[Known], subject: str, said: Sequence[SaidOfAll]) -> Iterator[Known]:
    told = {item.statement.key: item.statement.value for item in row}
    number = told.get(REGISTRATION.name)
    for fact, value, origin in said:
        if fact in told:
            continue
        about = subject
        if fact == REGISTERED_TO.name and _is_anothers(told.get(OWNER.name), value):
            continue
        if KEYS[fact].table == "registration":
            if not isinstance(number, str):
                continue
            about = f"registration/{number}"
        if value == "@serial":
            serial = told.get(REMOTE_ID_SERIAL.name)
            if isinstance(serial, str):
                yield Known(Statement(about, fact, serial), origin)
        else:
            yield Known(Statement(about, fact, value), origin)


def _is_anothers(owner: Raw, name: Raw) -> bool:
    """Whether a row names an owner who is not the one named for all."""
    if (
        not isinstance(owner, str)
        or not isinstance(name, str)
        or "org" not in shapes_of(Cell(Kind.TEXT, owner))
    ):
        return False
    return set(_bare(owner)).isdisjoint(_bare(name))


def _kind_by_name(row: Sequence[Known], named: Known) -> Iterator[Known]:
    """A number that begins with FA and is registered to an organization is one per aircraft: recreational ones are a person's.

    Source: 14 CFR 48.105 and 48.115 give the one registration of all aircraft to an individual who flies for recreation.
    """
    if not isinstance(named.statement.value, str):
        return
    if any(item.statement.key == REGISTRATION_KIND.name for item in row):
        return
    number = named.statement.subject.partition("/")[2]
    is_organization = "org" in shapes_of(Cell(Kind.TEXT, named.statement.value))
    if is_organization and number.startswith("FA") and has_registration_form(number):
        kind = RegistrationKind.PER_AIRCRAFT.value
        yield Known(Statement(named.statement.subject, REGISTRATION_KIND.name, kind), named.origin)
