"""What the values of a column look like, and how well a heading and its values fit a fact."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from typing import NamedTuple

from airwrit.base.identifiers import broadcast_serial, looks_scientific, n_number
from airwrit.facts.choices import CrewRole, MarkPlace, OperatedUnder, RemoteIdWay, UsedFor
from airwrit.facts.keys.registration import OWNER_KIND, REGISTRATION_KIND
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.cell.dates import is_month, looks_like_day
from airwrit.intake.cell.value import choice_of, clean, is_missing, normal, set_of
from airwrit.intake.columns import EVENT
from airwrit.intake.columns import ID as TEMPLATE_ID
from airwrit.intake.meaning.lexicon import Heard, words_listed, words_of
from airwrit.intake.meaning.status import status_of
from airwrit.intake.reader.cells import Cell, Kind

_PHONE = re.compile(r"\+?(?:1[ .-]?)?(?:\(\d{3}\) ?|\d{3}[ .-])?\d{3}[ .-]\d{4}(?: ?(?:x|ext\.?) ?\d+)?")
_EMAIL = re.compile(r"[^\s@]+@[^\s@]+\.[a-z]{2,}", re.IGNORECASE)
_WEIGHT = re.compile(
    r"[~<≈]?\s*\.?\d[\d.,]*\s*(?:kgs?|kilos?|g|grams?|gr|lbs?|pounds?|oz|ounces?|#)\b.*", re.IGNORECASE
)
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)*")
_CERT = re.compile(r"#? ?\d{5,8}")
_CODE = re.compile(r"(?=.*\d)[A-Za-z0-9][A-Za-z0-9./-]{3,29}")
_PERSON = re.compile(
    r"(?:(?:dr|mr|mrs|ms|capt|lt|sgt|chief|deputy|ofc|cpl|eng|prof)\.? )?"
    r"(?:[A-Z]\w*[.'\u2019-]?\w* (?:[A-Z]\.? )?[A-Z][\w'\u2019-]+(?: (?:jr|sr|ii|iii)\.?)?"
    r"|[A-Z][\w'\u2019 -]+, [A-Z][\w.'\u2019 -]*)",
    re.IGNORECASE,
)
_ORG = re.compile(
    r"\b(?:llc|l\.l\.c|inc|corp|co|company|ltd|llp|lp|county|city of|town of|village|district|university|college|school|"
    r"department|dept|agency|authority|bureau|office|state of|trust|association|assn|club|cooperative|co-op|church|services|"
    r"systems|group|partners|farms?|rentals|fire|police|sheriff|commission|board|foundation|society)\b",
    re.IGNORECASE,
)
_HEAD = re.compile(r"\s+[-–—]+\s+|\s*[,;(/]\s*|:\s+")
_CHECKS = frozenset(("✓", "✔", "☑", "☐", "✗", "✘", "x", "√"))
_LONG_TEXT, _WORDS_OF_TEXT, _NAME, _FIRST_NAME = 32, 5, 40, 14
_LISTS: dict[str, type[StrEnum]] = {
    "way": RemoteIdWay,
    "use": UsedFor,
    "markplace": MarkPlace,
    "rules": OperatedUnder,
    "regkind": REGISTRATION_KIND.kind,
    "ownerkind": OWNER_KIND.kind,
    "role": CrewRole,
}
MOST_LOOKED_AT = 400
"""Rows of a table by whose values its columns are known."""


@dataclass(frozen=True, slots=True)
class ColumnLook:
    """The values of a column: how many say something, how many distinct, and how many have each shape."""

    said: int
    distinct: int
    counts: Mapping[str, int]
    blank: int = 0

    def share(self, shape: str) -> float:
        """The share of the values that have a shape, 0 for no values."""
        return self.counts.get(shape, 0) / self.said if self.said else 0.0

    @property
    def is_distinct(self) -> bool:
        """Whether nearly every value is another."""
        return self.said > 0 and self.distinct >= 0.9 * self.said


def look_of(cells: Iterable[Cell]) -> ColumnLook:
    """How a column's values look."""
    counts: Counter[str] = Counter()
    seen: set[str] = set()
    said = blank = 0
    for cell in cells:
        shapes = shapes_of(cell)
        if not shapes:
            blank += 1
            continue
        said += 1
        seen.add(cell.text.casefold())
        counts.update(shapes)
    counted = {text for text in seen if text.isdigit()}
    if len(counted) >= said - 1 > 0 and counted == {str(number) for number in range(1, len(counted) + 1)}:
        counts["counting"] = said
    if counts["flag"] == counts["number"]:
        counts["yesno"] += counts["flag"]
    return ColumnLook(said, len(seen), counts, blank)


@lru_cache(maxsize=1 << 15)
def shapes_of(cell: Cell) -> frozenset[str]:
    """The shapes of one cell; none for a cell that says nothing."""
    kind = cell.kind
    if kind in (Kind.EMPTY, Kind.ERROR):
        return frozenset()
    if kind in (Kind.DAY, Kind.INSTANT):
        return frozenset({"day"})
    if kind is Kind.BOOL:
        return frozenset({"yesno"})
    if kind is Kind.NUMBER:
        return _number_shapes(cell.text)
    text = clean(cell.text).text
    return frozenset() if not text or is_missing(text) else frozenset(_text_shapes(text))


def _number_shapes(text: str) -> frozenset[str]:
    found = {"number"}
    if "." in text:
        found.add("decimal")
    if looks_like_day(text):
        found.add("day")
    if text.isdigit():
        if 5 <= len(text) <= 8:
            found |= {"cert", "digits"}
        if len(text) == 4 and text[:2] in ("19", "20"):
            found.add("year")
    if text in ("0", "1", "-99"):
        found.add("flag")
    if looks_scientific(text) or len(text) >= 15:
        return frozenset({"cta"})
    return frozenset(found)


def _text_shapes(text: str) -> set[str]:
    found: set[str] = set()
    head = normal(_HEAD.split(text, maxsplit=1)[0])
    word = normal(text)
    if _is_yes_or_no(head) or text in _CHECKS:
        found.add("yesno")
    if looks_like_day(text):
        found.add("day")
    elif is_month(text):
        found.add("month")
    if _EMAIL.fullmatch(text):
        found.add("email")
    if _PHONE.fullmatch(text):
        found.add("phone")
    if _WEIGHT.fullmatch(text):
        found.add("weight")
    if _NUMBER.fullmatch(text):
        found |= _number_shapes(text)
    if _CERT.fullmatch(text):
        found.add("cert")
    found |= _identifier_shapes(text)
    for name, kind in _LISTS.items():
        values = choice_of(kind).values
        if (
            word in values
            or head in values
            or head in choice_of(kind).unclear
            or keyed_values(kind.__name__, text)
        ):
            found.add(name)
    if status_of(text) is not None:
        found.add("status")
    return found | _wordy_shapes(text, found)


@cache
def _keywords(name: str) -> dict[str, re.Pattern[str]]:
    table = tomllib.loads((files("airwrit.intake.meaning") / "lists.toml").read_text(encoding="utf-8"))
    return {
        value: re.compile(
            r"(?<![\w-])(?:" + "|".join(map(re.escape, sorted(words, key=len, reverse=True))) + r")(?![\w-])"
        )
        for value, words in table["keywords"].get(name, {}).items()
    }


@lru_cache(maxsize=1 << 13)
def keyed_values(name: str, text: str) -> frozenset[str]:
    """The values of a closed list whose words stand in a text of several words; a none said with another word is that none."""
    lowered = " ".join(text.casefold().replace(".", " ").split())
    if " " not in lowered:
        return frozenset()
    found = {value for value, pattern in _keywords(name).items() if pattern.search(lowered)}
    negative = {"none", "not marked"} & found
    return frozenset(negative or found)


def _is_yes_or_no(word: str) -> bool:
    return word in set_of("yes") or word in set_of("no") or word in ("not sure", "don't know", "dont know")


def _identifier_shapes(text: str) -> set[str]:
    upper = text.upper()
    if " " in text and not upper.startswith(("FA", "N")):
        return set()
    found = set()
    bare = upper.replace(" ", "").replace("-", "")
    if has_registration_form(bare):
        found.add("reg")
    if " " not in text and ((broadcast_serial(upper).ok and len(text) >= _SERIAL) or looks_scientific(text)):
        found.add("cta")
    if " " not in text and _CODE.fullmatch(text) and not _NUMBER.fullmatch(text) and not looks_like_day(text):
        found.add("serial")
    if text.isdigit() and len(text) >= 5:
        found.add("digits")
    return found


_SERIAL = 8
_PART_48 = re.compile(r"FA(?=[A-Z]*[0-9])[A-Z0-9]{6,10}")
"""Source: common practice, no source for the length and the inner form; 14 CFR 48.200 speaks only of a number."""


def has_registration_form(text: str) -> bool:
    """Whether a text in capitals without spaces can be a registration number: FA and more with a digit, or an N-number."""
    if text.startswith("FA"):
        return _PART_48.fullmatch(text) is not None
    return text.startswith("N") and any(sign.isdigit() for sign in text) and n_number(text).ok


_PARTICLES = frozenset(
    {
        "de",
        "da",
        "del",
        "della",
        "der",
        "den",
        "di",
        "du",
        "la",
        "le",
        "van",
        "von",
        "bin",
        "al",
        "el",
        "y",
        "st",
        "jr",
        "sr",
    }
)


def _is_cased_like_a_name(words: Sequence[str]) -> bool:
    """Whether words are all written with a capital or all without, as the parts of a name are; `Garden eye` is none."""
    cased = {word[:1].isupper() for word in words if word.casefold().strip(".,") not in _PARTICLES}
    return len(cased) < 2


def _wordy_shapes(text: str, found: set[str]) -> set[str]:
    words = text.split()
    more = set()
    if len(text) > _LONG_TEXT or len(words) >= _WORDS_OF_TEXT:
        more.add("text")
    elif any(sign.isalpha() for sign in text) and not found & {
        "yesno",
        "day",
        "month",
        "weight",
        "email",
        "phone",
        "reg",
        "cta",
    }:
        more.add("name")
    if text.isalpha() and 2 < len(text) <= _FIRST_NAME and status_of(text) is None:
        more.add("called")
    if _ORG.search(text):
        more.add("org")
    elif len(text) <= _NAME and not any(sign.isdigit() for sign in text) and _PERSON.fullmatch(text):
        more |= {"person"} if _is_cased_like_a_name(words) else set()
    return more


READ_AT, APART = 0.60, 0.10
"""The score at which a column is read, and how far behind the next reading has to be."""
BY_VALUES, FEW = 0.6, 3
"""The share of values by which they tell a fact, and how few values tell nothing."""
ID = "id"
"""The meaning of a column that names the rows."""
_AGREES, _INSIDE = 0.3, 0.6
_CODE_FORM = "serial"
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
        agreement = max(agreement, look.share(_CODE_FORM))
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
    agreement = max(_agreement(rule, look), look.share(_CODE_FORM) if heard.concepts & rule.named_by else 0.0)
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
    if best.fact in _DUE and _is_any_license(heard, group):
        return "it doesn't say which license"
    return ""


def is_bare_day(heard: Heard) -> bool:
    """Whether a heading says no more than that something begins, ends or was done on a day."""
    return bool(heard.concepts) and heard.concepts <= _BARE_DAY


class Beside(NamedTuple):
    """What stands about a heading: the group above it, the heading before it with what it says, and the kind of table."""

    group: Heard
    before: str
    said_before: Heard
    kind: str


def of_other_paper(best: Scored, heard: Heard, beside: Beside) -> str:
    """Why a bare day may be that of another paper, which stands right before it: a policy, then `Exp`; "" where not."""
    is_day = best.fact.endswith("_on") or best.fact.startswith("event: ")
    said = beside.said_before.concepts
    if not is_day or beside.group.concepts or not is_bare_day(heard):
        return ""
    others = _OTHER_PAPERS if beside.kind == "person" else _OTHER_PAPERS | {"PERSON", "CONTACT", "CERT"}
    is_other = said & _SURELY_OTHER or (said & others and not said & (_OWN_PAPERS - others))
    return f"it may be of {beside.before!r} beside it" if is_other else ""


_BARE_DAY = frozenset({"EXP", "DUE", "DATE", "ISS", "RENEW", "RENEWBY", "DONE"})
_OWN_PAPERS = frozenset({"REG", "REGNO", "FAA", "REGTO", "REGKIND", "CERT", "CERTNO", "RECUR"})
_SURELY_OTHER = frozenset({"INSUR", "ELSE", "MEDICAL"})
_OTHER_PAPERS = _SURELY_OTHER | {"WARR", "BATT", "SOFT", "TRUST", "PART61", "NIGHT"}


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
