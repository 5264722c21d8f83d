"""How people write headings, as data: phrases with the concepts they stand for, and the words of a heading."""

from __future__ import annotations

import random
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import NamedTuple
from unicodedata import combining, normalize

from rapidfuzz.distance import OSA

from airwrit.intake.columns import TABLES, heading_of, known_headings

Phrases = Mapping[tuple[str, ...], frozenset[str]]

_SHORT = {
    "t/o": "takeoff",
    "s/n": "sn",
    "a/c": "ac",
    "w/o": "without",
    "w/": "with ",
    "n/a": "na",
    "p/n": "pn",
}
_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]?")
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z][a-z])|(?<=[a-z]{3})(?=[A-Z])")
_EXPORTED = re.compile(r"^\W*[uxc]_(?=[a-z])")
"""What programs put before the names of columns that their users added."""
_WITH_NUMBER = re.compile(r"([a-z]+)(\d+)")
_WORD = re.compile(r"[^\W_]+|[#$&]")
_TURNED = re.compile(r"^(un|de|non)-?(?=[a-z]{3})")
_LONGEST_HEADING = 160


@cache
def words_listed(name: str, what: str = "words") -> frozenset[str]:
    """One of the lists of `lists.toml`."""
    table = tomllib.loads((files("airwrit.intake.meaning") / "lists.toml").read_text(encoding="utf-8"))
    found = table[name][what]
    return frozenset(found.split() if isinstance(found, str) else found)


class Covered(NamedTuple):
    """A phrase met in a heading: its words' places, and what it may stand for."""

    start: int
    end: int
    concepts: frozenset[str]


@dataclass(frozen=True, slots=True)
class Heard:
    """What a heading says: its words, the phrases known among them, and the words that are none's.

    `inside` are the concepts named in brackets, which explain and do not decide. `turned` tells that a word turns it round.
    """

    words: tuple[str, ...]
    covered: tuple[Covered, ...]
    unknown: tuple[str, ...]
    inside: frozenset[str] = frozenset()
    turned: bool = False

    @property
    def concepts(self) -> frozenset[str]:
        """All that its own words may stand for."""
        return frozenset().union(*(one.concepts for one in self.covered))

    @property
    def content(self) -> int:
        """How many of its words say something: those in a phrase, and those not known."""
        return sum(one.end - one.start for one in self.covered) + len(self.unknown)

    @property
    def known_share(self) -> float:
        """The share of its words that are known, 0 for no words."""
        content = self.content
        return (content - len(self.unknown)) / content if content else 0.0


NOTHING_HEARD = Heard((), (), ())


_MOST_PARTS = 3


@dataclass(slots=True)
class Lexicon:
    """Phrases with their concepts; what was heard of a heading is kept."""

    phrases: Phrases
    dropped: tuple[float, int] = (0.0, 0)
    _templates: dict[str, dict[str, str]] = field(default_factory=dict)
    _longest: int = 0
    _words: frozenset[str] = frozenset()
    _by_letter: dict[str, list[str]] = field(default_factory=dict)
    _heard: dict[str, Heard] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Work out what looking up needs."""
        self._longest = max(map(len, self.phrases), default=0)
        self._words = frozenset(word for phrase in self.phrases for word in phrase)
        for word in sorted(self._words):
            if len(word) >= _PARTED and word.isalpha():
                self._by_letter.setdefault(word[0], []).append(word)

    def without(self, share: float, seed: int) -> Lexicon:
        """The lexicon with a share of its phrases drawn at random left out."""
        drawn = random.Random(seed)
        kept = {phrase: said for phrase, said in self.phrases.items() if drawn.random() >= share}
        return Lexicon(kept, (share, seed))

    def template(self, table: str) -> Mapping[str, str]:
        """The headings of the template for a kind of table, with what they mean; some left out where words were dropped."""
        if table not in self._templates:
            share, seed = self.dropped
            drawn = random.Random(f"{table} {seed}")
            known = known_headings(table).items()
            self._templates[table] = {text: said for text, said in known if drawn.random() >= share}
        return self._templates[table]

    def knows(self, text: str) -> bool:
        """Whether a text is a heading by the words known, or one of the template."""
        if self.heard(text).known_share >= _KNOWN:
            return True
        plain = heading_of(text).text
        return any(plain in self.template(table) for table in TABLES)

    def heard(self, text: str) -> Heard:
        """What a heading says."""
        known = self._heard.get(text)
        if known is None:
            if len(self._heard) > _MOST_KEPT:
                self._heard.clear()
            known = self._heard[text] = self._hear(text)
        return known

    def _hear(self, text: str) -> Heard:
        outer, inner = split_brackets(text[:_LONGEST_HEADING])
        words = self._spelled(_without_articles(words_of(outer)))
        covered, unknown = self._cover(words)
        inside, _ = self._cover(self._spelled(_without_articles(words_of(inner))))
        turned = any("OLD" in one.concepts for one in covered) or self._is_turned(words)
        concepts = frozenset().union(*(one.concepts for one in inside))
        return Heard(words, tuple(covered), tuple(unknown), concepts, turned)

    def _is_turned(self, words: tuple[str, ...]) -> bool:
        """Whether `not` stands right before a known word of a short heading, or a known word begins with un-, de- or non-."""
        for place, word in enumerate(words[:-1]):
            if (
                word in ("not", "non", "un")
                and len(words) <= _SHORT_HEADING
                and words[place + 1] in self._words
            ):
                return True
        for word in words:
            if word in words_listed("lacking") and len(words) <= _SHORT_HEADING:
                return True
            bare = _TURNED.sub("", word)
            if bare != word and (word,) not in self.phrases and (bare,) in self.phrases:
                return True
        return False

    def _cover(self, words: tuple[str, ...]) -> tuple[list[Covered], list[str]]:
        """The longest phrases from left to right, and the words that belong to none and say something."""
        covered: list[Covered] = []
        unknown: list[str] = []
        place = 0
        while place < len(words):
            for length in range(min(self._longest, len(words) - place), 0, -1):
                said = self.phrases.get(words[place : place + length])
                if said is not None:
                    covered.append(Covered(place, place + length, said))
                    place += length
                    break
            else:
                if words[place] == "by" and 0 < place == len(words) - 1:
                    covered.append(Covered(place, place + 1, frozenset({"DUE"})))
                elif words[place] not in words_listed("filler") and not words[place].isdigit():
                    unknown.append(words[place])
                place += 1
        return covered, unknown

    def _spelled(self, words: tuple[str, ...]) -> tuple[str, ...]:
        """The words as the lexicon writes them: run-together words parted, a plural without its s."""
        found: list[str] = []
        for word in words:
            found += self._one_spelled(word)
        return tuple(found)

    def _one_spelled(self, word: str) -> tuple[str, ...]:
        if word in self._words or word in words_listed("filler") or word.isdigit():
            return (word,)
        if word.endswith("s") and word[:-1] in self._words:
            return (word[:-1],)
        numbered = _WITH_NUMBER.fullmatch(word)
        if numbered and numbered[1] in self._words:
            return numbered.groups()
        parts = self._parted(word) if len(word) >= _PARTED else ()
        if parts:
            return parts
        near = self._near(word)
        return (near if near != word else self._abbreviated(word),)

    def _parted(self, word: str, most: int = _MOST_PARTS) -> tuple[str, ...]:
        """Known words that are run together in one, as few as there can be; none where it is not made of such."""
        for count in range(2, most + 1):
            for cut in range(2, len(word) - 1):
                if (word[:cut],) not in self.phrases:
                    continue
                rest = word[cut:]
                if count == 2 and (rest,) in self.phrases:
                    return word[:cut], rest
                others = self._parted(rest, count - 1) if count > 2 and len(rest) > _PARTED else ()
                if len(others) == count - 1:
                    return (word[:cut], *others)
        return ()

    def _abbreviated(self, word: str) -> str:
        """A known word that a word cuts short, or writes without its vowels; the word itself where that may be several.

        Words that mean the same count as one: `recurr` may be recurrent or recurrency.
        """
        if len(word) < _SHORTEST_CUT or not word.isalpha() or (len(word) < _PLAIN_CUT and word[0] in _VOWELS):
            return word
        found = [known for known in self._by_letter.get(word[0], ()) if _cuts_short(word, known)]
        said = {self.phrases.get((known,)) for known in found}
        return min(found, key=len) if len(said) == 1 and None not in said else word

    def _near(self, word: str) -> str:
        """The one known word that a word may be a slip for; the word itself where none or several are as near."""
        if len(word) < _PARTED or not word.isalpha():
            return word
        most = 1 if len(word) <= _SHORT_WORD else 2
        found: dict[int, list[str]] = {}
        for known in self._by_letter.get(word[0], ()):
            if abs(len(known) - len(word)) <= most:
                apart = OSA.distance(word, known, score_cutoff=most)
                if apart <= most:
                    found.setdefault(apart, []).append(known)
        nearest = found[min(found)] if found else []
        return nearest[0] if len(nearest) == 1 else word


_SHORTEST_CUT, _PLAIN_CUT = 3, 4
_VOWELS = frozenset("aeiou")


def _cuts_short(word: str, known: str) -> bool:
    """Whether a word is the beginning of a longer one, or some of its letters without vowels, first and last among them."""
    if len(word) >= _PLAIN_CUT and known.startswith(word):
        return True
    if not _VOWELS.isdisjoint(word[1:]) or word[-1] != known[-1] or len(known) > 2 * len(word) + 1:
        return False
    rest = iter(known)
    return all(letter in rest for letter in word)


_MOST_KEPT = 20_000
_KNOWN = 0.5
"""The share of its words by which a text is known."""
_SHORT_HEADING, _PARTED, _SHORT_WORD = 6, 5, 7
"""Words of a heading in which `not` turns the word after it; letters of a word that may be two run together."""


def words_of(text: str) -> tuple[str, ...]:
    """The words of a heading in small letters, signs between them left out."""
    spread = _CAMEL.sub(" ", _EXPORTED.sub("", text)).casefold().replace("\u2019", "'")
    if not spread.isascii():
        spread = "".join(sign for sign in normalize("NFKD", spread) if not combining(sign))
    for short, whole in _SHORT.items():
        if "/" in spread:
            spread = spread.replace(short, whole)
    return tuple(_WORD.findall(spread.replace("'s", "").replace("'", "")))


_ARTICLES = frozenset({"the", "a", "an"})


def _without_articles(words: tuple[str, ...]) -> tuple[str, ...]:
    """The words without articles, which phrases have or have not; all where nothing else is left."""
    return tuple(word for word in words if word not in _ARTICLES) or words


def split_brackets(text: str) -> tuple[str, str]:
    """A text without what stands in its brackets, and what stands there; all of it where nothing is left."""
    inner = " ".join(_BRACKETS.findall(text))
    outer = _BRACKETS.sub(" ", text).strip()
    return (outer, inner) if outer else (inner, "")


def _phrases_of(tables: Iterable[Mapping[str, Mapping[str, list[str]]]]) -> Phrases:
    found: dict[tuple[str, ...], set[str]] = {}
    for table in tables:
        for concept, entry in table.items():
            for phrase in entry["phrases"]:
                found.setdefault(_without_articles(words_of(phrase)), set()).add(concept)
    for words in [words for words in found if "or" in words[1:-1]]:
        found.setdefault(tuple(word for word in words if word != "or"), found[words])
    return {phrase: frozenset(said) for phrase, said in found.items() if phrase}


@cache
def whole_lexicon() -> Lexicon:
    """The lexicon as it is kept beside this module."""
    folder = files("airwrit.intake.meaning") / "lexicon"
    texts = sorted(
        (one.name, one.read_text(encoding="utf-8")) for one in folder.iterdir() if one.name.endswith(".toml")
    )
    return Lexicon(_phrases_of(tomllib.loads(text) for _, text in texts))
