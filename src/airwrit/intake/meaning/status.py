"""Words about whether an aircraft is in use, out, gone or in doubt, and legends of colors of rows: `RED = tagged out`."""

from __future__ import annotations

import colorsys
import re
import tomllib
from collections.abc import Iterable, Mapping
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, NamedTuple

from airwrit.facts.choices import ServiceStatus
from airwrit.intake.cell.value import normal
from airwrit.intake.meaning.lexicon import whole_lexicon, words_of

_HEAD = re.compile(r"\s+[-–—]+\s+|\s*[,;(/:]\s*|\.\s+|\s+until\s|\s+\d")
_NEAR_PART = 20
"""Letters between a word like lost and a part like a propeller within which the part may be meant."""


_PART_RETIRED = frozenset(
    {"retired", "scrapped", "disposed", "disposed of", "junked", "threw it out", "trashed"}
)
"""What may be said of a part that is of no more use, which leaves the aircraft as it is."""


class Bearing(StrEnum):
    """What a phrase says of whether the aircraft may be flown."""

    GONE = "gone"
    OUT = "out"
    DOUBT = "doubt"


class Stop(NamedTuple):
    """A phrase met in a text: how it bears, what became of the aircraft where it is gone, and the words themselves."""

    bearing: Bearing
    status: ServiceStatus | None
    words: str
    about_part: bool = False


@cache
def _tables() -> dict[str, Any]:
    path = files("airwrit.intake.meaning") / "status.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


@cache
def _whole() -> dict[str, ServiceStatus]:
    found: dict[str, ServiceStatus] = {}
    for status, words in _tables()["whole"].items():
        for word in (status, *words):
            found.setdefault(word, ServiceStatus(status))
    return found


@lru_cache(maxsize=1 << 12)
def status_of(text: str) -> ServiceStatus | None:
    """What a status cell says: the whole of it, or its first words before a dash, comma, bracket or number."""
    words = _whole()
    whole = normal(text)
    head = normal(_HEAD.split(whole, maxsplit=1)[0].strip(" !*"))
    return words.get(whole) or words.get(head) or words.get(head.replace("-", " "))


@lru_cache(maxsize=1 << 12)
def begins_out(text: str) -> bool:
    """Whether a status cell begins with several words that say it is out, whatever it says behind them: `no go prop crack`."""
    words = normal(text).split()
    return any(
        _whole().get(" ".join(words[:count])) is ServiceStatus.OUT_OF_SERVICE for count in _FIRST_WORDS
    )


_FIRST_WORDS = (2, 3, 4)


@cache
def _patterns() -> tuple[tuple[Bearing, ServiceStatus | None, re.Pattern[str]], ...]:
    tables = _tables()
    found: list[tuple[Bearing, ServiceStatus | None, re.Pattern[str]]] = [
        (Bearing.GONE, ServiceStatus(status), _any_of(words)) for status, words in tables["gone"].items()
    ]
    found.append((Bearing.OUT, None, _any_of([*tables["out"]["phrases"], *tables["out"]["sure"]])))
    found.append((Bearing.DOUBT, None, _any_of([*tables["doubt"]["phrases"]])))
    return tuple(found)


@cache
def _surely_out() -> frozenset[str]:
    return frozenset(_tables()["out"]["sure"])


def _any_of(phrases: list[str]) -> re.Pattern[str]:
    longest_first = sorted(map(re.escape, phrases), key=len, reverse=True)
    return re.compile(r"(?<![a-z0-9])(?:" + "|".join(longest_first) + r")(?![a-z0-9])")


@cache
def _parts() -> re.Pattern[str]:
    return _any_of(_tables()["parts"]["words"])


@cache
def _mended() -> re.Pattern[str]:
    return _any_of([*_tables()["parts"]["mended"], *_tables()["parts"]["returned"]])


@cache
def _returned() -> re.Pattern[str]:
    return _any_of(_tables()["parts"]["returned"])


def is_returned(text: str) -> bool:
    """Whether a text says that the aircraft is back in use, which a repair alone does not."""
    return _returned().search(" ".join(text.casefold().split())) is not None


def is_mended(text: str) -> bool:
    """Whether a text says that something was repaired or is back in use."""
    return _mended().search(" ".join(text.casefold().split())) is not None


@lru_cache(maxsize=1 << 14)
def stops_in(text: str) -> tuple[Stop, ...]:
    """The phrases in a text that may keep an aircraft or person from flying, those that say it is gone first."""
    said = " ".join(text.casefold().replace("\u2019", "'").split())
    found = _stops_met(said)
    if "?" in said:
        found = (*found, Stop(Bearing.DOUBT, None, "?"))
    mended = _mended().search(said) or any(one.about_part and one.words in _PART_RETIRED for one in found)
    return tuple(one for one in found if not (mended and one.about_part))


@lru_cache(maxsize=1 << 14)
def _stops_met(text: str) -> tuple[Stop, ...]:
    """The phrases in a text, also those that say of a part what the text says was mended."""
    said = " ".join(text.casefold().replace("\u2019", "'").split())
    found = []
    for bearing, status, pattern in _patterns():
        for match in pattern.finditer(said):
            sure = match[0] in _surely_out()
            if bearing is Bearing.GONE and _is_only_feared(said, match):
                found.append(Stop(Bearing.DOUBT, None, match[0]))
                continue
            found.append(Stop(bearing, status, match[0], not sure and _is_about_part(said, match)))
    return tuple(found)


def _is_only_feared(said: str, match: re.Match[str]) -> bool:
    """Whether a text only says that it may come to that, or has not: until sold, not lost, flyaway risk."""
    return bool(_BEFORE_IT.search(said[: match.start()]) or _BEHIND_IT.match(said[match.end() :]))


_BEFORE_IT = re.compile(
    r"\b(?:till?|until|if|when|unless|not|never|wasn't|isn't|was not|is not|to be|will be|may be|might be|could be|would be|"
    r"should be|about to be|almost|nearly|risk of|avoid|prevent|before|being|getting) (?:it )?(?:is |it's |gets |be )?$"
)
_BEHIND_IT = re.compile(r" (?:risk|hazard|danger|prone|warning|protection|procedure|soon|next|if|when)\b")


def _is_about_part(said: str, match: re.Match[str]) -> bool:
    near = said[max(0, match.start() - _NEAR_PART) : match.end() + _NEAR_PART]
    return _parts().search(near) is not None


def says_it_was_mended(text: str) -> bool:
    """Whether a text tells of something wrong with a part that was repaired or replaced since."""
    return is_mended(text) and bool(_stops_met(text)) and not stops_in(text)


@lru_cache(maxsize=1 << 12)
def is_harmless(text: str, *, of_person: bool = False) -> bool:
    """Whether a remark surely says only what changes nothing: where it is kept, what it is for, who paid, what was mended.

    A part alone says that something is with it: `motor 3`.
    """
    if normal(text) in _NULL or status_of(text) in (ServiceStatus.IN_SERVICE, ServiceStatus.SPARE):
        return True
    if "?" in text or denies(text):
        return False
    if is_mended(text) or opens_harmless(text) or (not of_person and _stops_met(text)):
        return True
    heard = whole_lexicon().heard(text)
    known = {
        place
        for one in heard.covered
        if one.concepts <= _harmless("concepts")
        for place in range(one.start, one.end)
    }
    spoken = dict(enumerate(heard.words))
    own = {place for place, word in spoken.items() if word in _harmless("words")}
    rest = [word for place, word in spoken.items() if place not in known | own and not word.isdigit()]
    says_more = any(_parts().fullmatch(spoken[place]) is None for place in known | own)
    return not rest and says_more


def opens_harmless(text: str) -> bool:
    """Whether a remark begins with words that say where it is kept, who paid or what is only waited for on paper."""
    return _openers().match(text.casefold()) is not None


def denies(text: str) -> bool:
    """Whether a text says that something is not so, or is so only until or unless."""
    return not _harmless("negations").isdisjoint(words_of(text))


_NULL = frozenset({"null", "nil", "none", "(none)", "(null)"})
"""What programs write for a cell in which nothing is."""


@cache
def _harmless(name: str) -> frozenset[str]:
    return frozenset(_tables()["harmless"][name].split())


@cache
def _openers() -> re.Pattern[str]:
    return _any_of(_tables()["harmless"]["openers"])


@lru_cache(maxsize=1 << 12)
def doubts_about_person(text: str) -> tuple[str, ...]:
    """The phrases in a text that may keep a person from flying."""
    said = " ".join(text.casefold().replace("\u2019", "'").split())
    found = [match[0] for match in _person_doubts().finditer(said)]
    return (*found, "?") if "?" in said else tuple(found)


@cache
def _person_doubts() -> re.Pattern[str]:
    return _any_of(_tables()["person_doubt"]["phrases"])


@cache
def _of_people() -> dict[str, re.Pattern[str]]:
    return {name: _any_of(words) for name, words in _tables()["person_out"].items()}


@lru_cache(maxsize=1 << 12)
def person_says(text: str) -> str:
    """What a text says of a person who may not fly: left, observer or other; "" for none of these."""
    said = " ".join(text.casefold().split())
    return next((name for name, pattern in _of_people().items() if pattern.search(said)), "")


Legend = Mapping[str, str]
"""Color by name -> what it stands for."""

LETTERS = "letters"
"""The entry of a legend that is about the color of letters, not of cells."""
_NAMES = "red|green|yellow|orange|blue|gray|grey|purple|pink|amber|brown"
_WHAT = "rows?|cells?|fill|tag|letters?|text|font|print|ink|type|writing|names?"
_ENTRY = re.compile(
    rf"\b({_NAMES})\b(?: (?:{_WHAT}))?\s*(?:=|:|-|–|means|is|are)\s*(.+?)(?=[,;.|]|\s{{2,}}|\s\b(?:{_NAMES})\b|$)",
    re.IGNORECASE,
)
_HUES = (
    (15, "red"),
    (45, "orange"),
    (70, "yellow"),
    (165, "green"),
    (260, "blue"),
    (300, "purple"),
    (345, "pink"),
    (361, "red"),
)
_SAME = {"grey": "gray", "amber": "orange"}
_COLORLESS = 0.12


def legend_of(lines: Iterable[str]) -> Legend:
    """What colors stand for by some lines of text."""
    found: dict[str, str] = {}
    lines = list(lines)
    letters = letters_in(lines)
    if letters:
        found[LETTERS] = letters
    for line in lines:
        for match in _ENTRY.finditer(line):
            name = match[1].casefold()
            found.setdefault(_SAME.get(name, name), match[2].strip())
    return found


_LETTERS = re.compile(
    rf"\b(?:{_NAMES})\b (?:letters?|text|font|print|writing|ink|type)\b[^.]*", re.IGNORECASE
)


def letters_in(lines: Iterable[str]) -> str:
    """What a line says that colors of letters mean, where it explains them; "" where none does."""
    return next((match[0].strip() for line in lines if (match := _LETTERS.search(line))), "")


_SIGN = r"(?:[\w✓✔☑*/-]{1,12}|---)"
_CODE = re.compile(
    rf"(?<![\w*/-])({_SIGN})\s*=\s*([^=.;!]+?)(?=[.;!]|\s{{2,}}|,\s*{_SIGN}\s*=|\s{_SIGN}\s*=|$)"
)
_BARE = re.compile(r"([A-Z0-9][\w-]{0,7})\s+(?:- )?([a-z][a-z ]+)")


def codes_in(lines: Iterable[str]) -> dict[str, str]:
    """What short codes stand for by some lines of text: `NMC = do not fly`, `x = no`, `10-8 in service / 10-7 out`."""
    found: dict[str, str] = {}
    for line in lines:
        for code, means in (*_CODE.findall(line), *_bare_codes(line)):
            found.setdefault(code.casefold(), means.strip(" ,"))
    return found


def _bare_codes(line: str) -> list[tuple[str, str]]:
    """The codes of a line that holds nothing else than codes, each with a state right behind it."""
    parts = [_BARE.fullmatch(part) for part in re.split(r"\s*[/;|,]\s*|\s{2,}", line.strip(" ."))]
    found = [(match[1], match[2]) for match in parts if match is not None and status_of(match[2])]
    return found if len(found) == len(parts) > 1 else []


def color_named(fill: str) -> str:
    """The name of a color of six hexadecimal digits, as people call it."""
    red, green, blue = (int(fill[place : place + 2], 16) / 255 for place in (0, 2, 4))
    hue, lightness, _ = colorsys.rgb_to_hls(red, green, blue)
    if max(red, green, blue) - min(red, green, blue) < _COLORLESS:
        return "black" if lightness < _COLORLESS else "gray"
    return next(name for end, name in _HUES if hue * 360 < end)
