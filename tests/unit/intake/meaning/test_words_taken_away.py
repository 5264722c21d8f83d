"""What is read of the project's own sheets, with all words and with three in ten taken away at random.

Source: the sheets and truths of tests/corpus, each written by somebody who had not seen the reader or its words.
"""

from __future__ import annotations

from collections import Counter
from functools import cache

from airwrit.intake.meaning.lexicon import Lexicon, whole_lexicon
from airwrit.intake.reader.cells import Book
from tests.shape.tree import ROOT
from tools.score_sheets import Truth, books_in, scored

CORPUS = ROOT / "tests" / "corpus"
DROPPED = 0.3


@cache
def sheets() -> list[tuple[Book | None, Truth]]:
    """Every sheet of the corpus with its truth, read once."""
    return [pair for folder in sorted(CORPUS.glob("round-*")) for pair in books_in(folder)]


def counted(lexicon: Lexicon, first: int = 0, step: int = 1) -> Counter[str]:
    """What all sheets count together, or each second one from the first or the second on."""
    total: Counter[str] = Counter()
    for book, truth in sheets()[first::step]:
        total += scored(book, truth, lexicon, [])
    return total


def meaningful(counts: Counter[str]) -> int:
    """How many columns have a meaning here."""
    return sum(counts[name] for name in ("right", "asked", "silently wrong", "not seen"))


def test_the_corpus_is_read() -> None:
    counts = counted(whole_lexicon())
    assert counts["wrong yes"] == 0
    assert counts["right"] >= 0.97 * meaningful(counts)
    assert counts["silently wrong"] <= 0.01 * meaningful(counts)
    assert counts["lost"] <= 0.005 * counts["found"]
    assert counts["refused"] == counts["to refuse"] > 0


def test_words_taken_away_are_asked_about() -> None:
    """Six draws of words; each sheet is read with three of them."""
    total: Counter[str] = Counter()
    for seed in range(1, 7):
        counts = counted(whole_lexicon().without(DROPPED, seed), seed % 2, 2)
        assert counts["wrong yes"] == 0, seed
        total += counts
    assert total["silently wrong"] <= 0.01 * meaningful(total)
    assert total["asked"] > 5 * total["silently wrong"]
