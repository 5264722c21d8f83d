"""The terminal: its width, signs of verdicts, users' text made harmless, tables, and what is said while one waits."""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import chain, zip_longest
from math import ceil
from threading import Event, Thread

from rich.cells import cell_len, chop_cells
from rich.console import Console
from rich.segment import Segment, Segments
from rich.style import Style
from rich.text import Text

from airwrit.answers.document import CAUTION
from airwrit.base.sentences import with_days
from airwrit.base.verdict import Verdict

Width = int | tuple[int, int]
"""The width of a column: letters where it is negative, else a share of the room, or a share and its least letters."""
Cell = str | Text
_LINE = Segment.line()
_LONGEST_NAME = 24


def longest_word(texts: Iterable[str]) -> int:
    """How wide a column has to be so that no name or number in it is cut, within reason."""
    return min(_LONGEST_NAME, max((len(word) for text in texts for word in text.split()), default=0))


def print_title(text: str, out: Console) -> None:
    """Print a heading after an empty line."""
    out.print()
    out.print(Text(text, style="dim"))


def print_rows(
    lines: Iterable[Sequence[Cell]],
    widths: Sequence[Width],
    out: Console,
    *,
    titles: Sequence[str] = (),
    gap: int = 2,
) -> None:
    """Print rows in columns as wide as the console, some letters apart; a `Text` has one style for all of it."""
    heads: list[Sequence[Cell]] = [[Text(title, style="dim") for title in titles]] if titles else []
    rooms = _rooms(widths, out.width, gap)
    out.print(Segments(_segments(chain(heads, lines), rooms, gap)), soft_wrap=True, end="")


def _rooms(widths: Sequence[Width], total: int, gap: int) -> list[int]:
    """The letters each column has: those of a fixed width first, the rest by shares."""
    left = (
        total
        - gap * (len(widths) - 1)
        + sum(width for width in widths if isinstance(width, int) and width < 0)
    )
    shares = [(width, 1) if isinstance(width, int) else width for width in widths]
    of_all = sum(share for share, _ in shares if share > 0)
    rooms = []
    for share, least in shares:
        if share < 0:
            rooms.append(-share)
            continue
        room = max(least, ceil(share * left / of_all))
        left, of_all = max(0, left - room), of_all - share
        rooms.append(room)
    return rooms


def _segments(lines: Iterable[Sequence[Cell]], rooms: Sequence[int], gap: int) -> Iterator[Segment]:
    """The rows line by line, each padded to where its next column begins."""
    between = " " * gap
    for cells in lines:
        texts = [wrapped(str(cell), room) for cell, room in zip(cells, rooms, strict=True)]
        styles = [Style.parse(str(cell.style)) if isinstance(cell, Text) else None for cell in cells]
        for parts in zip_longest(*texts, fillvalue=""):
            plain = ""
            for part, style, room in zip(parts, styles, rooms, strict=True):
                if style is not None and part:
                    yield from ([Segment(plain)] if plain else [])
                    yield Segment(part, style)
                    plain = ""
                else:
                    plain += part
                plain += " " * (room - _letters(part)) + between
            plain = plain.rstrip()
            yield from ([Segment(plain)] if plain else [])
            yield _LINE


def wrapped(text: str, room: int) -> list[str]:
    """A text in lines that are no longer than the room; between words where that is possible."""
    if "\n" not in text and _letters(text) <= room:
        return [text]
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in _words(paragraph, room):
            longer = f"{line} {word}" if line else word
            if _letters(longer) <= room:
                line = longer
            else:
                lines.append(line)
                line = word
        lines.append(line)
    return lines


def _words(text: str, room: int) -> Iterator[str]:
    """The words of a text; one that is longer than the room comes in pieces."""
    for word in text.split(" "):
        if _letters(word) <= room:
            yield word
        else:
            yield from chop_cells(word, max(room, 1))


def _letters(text: str) -> int:
    """How many letters wide a text is; some signs take two."""
    return len(text) if text.isascii() else cell_len(text)


SIGNS = {
    Verdict.MET: "|--|",
    Verdict.NOT_MET: "|//|",
    Verdict.UNKNOWN: "|..|",
    Verdict.NOT_APPLICABLE: " -- ",
}


def console(width: int | None = None) -> Console:
    """A console that takes user text as plain text: no markup, no emoji names, no highlighting.

    It is as wide as the terminal, or as COLUMNS says; 110 signs where neither tells.
    """
    made = Console(markup=False, highlight=False, emoji=False, soft_wrap=False, width=width)
    if width is None and not made.is_terminal and not os.environ.get("COLUMNS", "").isdigit():
        made.width = 110
    elif made.width > 132:
        made.width = 132
    return made


def clean(text: str) -> str:
    """User text without control characters and terminal escapes."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)


def said(text: str) -> str:
    """A sentence without control characters, its days as people write them."""
    return with_days(clean(text))


def show_caution(out: Console) -> None:
    """Say last what no answer is."""
    out.print(Text(CAUTION, style="dim"))


_AFTER_S, _EVERY_S = 1.0, 0.1
_WIDTH, _BLOCK = 24, 6


@contextmanager
def waiting(what: str) -> Iterator[None]:
    """Show that it is still at work, and for how long it has been; nothing where nobody watches a terminal."""
    if not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield
        return
    done = Event()
    watcher = Thread(target=_show, args=(what, done), daemon=True)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()


def _show(what: str, done: Event) -> None:
    begun = time.monotonic()
    if done.wait(_AFTER_S):
        return
    step = 0
    while not done.wait(_EVERY_S):
        sys.stderr.write("\r" + bar_line(what, step, time.monotonic() - begun) + "\x1b[K")
        sys.stderr.flush()
        step += 1
    sys.stderr.write("\r\x1b[K")
    sys.stderr.flush()


def bar_line(what: str, step: int, seconds: float) -> str:
    """The bar at a step of its way to and fro, what is done, and minutes and seconds so far; cut to the terminal."""
    free = _WIDTH - _BLOCK
    place = free - abs(step % (2 * free) - free)
    bar = f"[{'-' * place}{'=' * _BLOCK}{'-' * (free - place)}]"
    line = f"{bar} {int(seconds // 60)}:{int(seconds % 60):02} {clean(what)}"
    return line[: shutil.get_terminal_size().columns - 1]
