"""The letter of what is due as text and as HTML for a mail; it is written to a file, and nothing is sent."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from textwrap import wrap
from typing import NamedTuple

from airwrit.answers.document import CAUTION, SCOPE
from airwrit.answers.due.reminder_letter import ReminderLetter
from airwrit.answers.incident.clocks import OwedNotice
from airwrit.answers.standing.today import Expiry
from airwrit.base.sentences import counted, day_words, days_apart, with_days
from airwrit.facts.vocabulary import id_of

_WIDTH = 76
_NAMED = 8
_CELL = "padding:6px 14px 6px 0;border-bottom:1px solid #ccc;text-align:left;vertical-align:top"
_PAGE = "margin:24px;max-width:44em;font:16px/1.45 sans-serif;color:#1a2230;background:#fff"


class LetterLine(NamedTuple):
    """A line of the letter: by when, how far, what to do, and who does it."""

    day: str
    apart: str
    what: str
    who: str


class LetterPart(NamedTuple):
    """Lines under one heading."""

    title: str
    lines: tuple[LetterLine, ...]


def parts_of(letter: ReminderLetter) -> tuple[LetterPart, ...]:
    """The parts that have lines, the most urgent first."""
    parts = (
        LetterPart("After an incident", tuple(map(_notice, letter.notices))),
        LetterPart("Overdue", tuple(_line(one, letter) for one in letter.overdue)),
        LetterPart(f"Next {counted(letter.days, 'day')}", tuple(_line(one, letter) for one in letter.coming)),
    )
    return tuple(part for part in parts if part.lines)


def _notice(one: OwedNotice) -> LetterLine:
    what = (
        f"{one.to}: {one.what}. {with_days(one.says)} ({one.title})"
        if one.name
        else f"{one.what} ({one.title})"
    )
    return LetterLine(f"{one.by_when[:1].upper()}{one.by_when[1:]}", one.left, _plain(what), _plain(one.who))


def _line(one: Expiry, letter: ReminderLetter) -> LetterLine:
    more = len(one.subjects) - _NAMED
    names = ", ".join(map(id_of, one.subjects[:_NAMED])) + (f" and {more} more" if more > 0 else "")
    what = f"{with_days(one.what)}: {names}" if len(one.subjects) > 1 else with_days(one.what)
    who = ", ".join(one.who[:_NAMED]) or "nobody assigned yet"
    return LetterLine(day_words(one.day), days_apart(one.day, letter.on), _plain(what), _plain(who))


def _plain(text: str) -> str:
    """Text without control signs and line ends."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())


def _ends(letter: ReminderLetter) -> Iterator[str]:
    if letter.undated:
        many = counted(letter.undated, "more thing has", "more things have")
        yield f"{many} no due date yet. `airwrit deadlines` names them."
    yield SCOPE
    yield CAUTION


def title_of_letter(letter: ReminderLetter) -> str:
    """The subject line of the mail."""
    return _plain(f"Drone deadlines on {day_words(letter.on)}{f', {letter.who}' if letter.who else ''}")


def letter_text(letter: ReminderLetter) -> str:
    """The letter as plain text, 76 letters wide."""
    lines = [title_of_letter(letter), "", *wrap(_plain(letter.in_short), _WIDTH)]
    for part in parts_of(letter):
        lines += ["", part.title.upper()]
        for one in part.lines:
            apart = f" ({one.apart})" if one.apart else ""
            who = f" [{one.who}]" if one.who else ""
            lines += wrap(f"- {one.day}{apart}: {one.what}{who}", _WIDTH, subsequent_indent="  ")
    for end in _ends(letter):
        lines += ["", *wrap(end, _WIDTH)]
    return "\n".join(lines) + "\n"


def letter_html(letter: ReminderLetter) -> str:
    """The letter as one page of HTML with its looks inside, as mail programs need it; no address leads out of it."""
    title = escape(title_of_letter(letter))
    body = [f"<h1 style='font-size:24px'>{title}</h1>", f"<p>{escape(_plain(letter.in_short))}</p>"]
    for part in parts_of(letter):
        body.append(f"<h2 style='font-size:18px'>{escape(part.title)}</h2>")
        body.append(_table(part.lines))
    body += [f"<p style='color:#444;font-size:14px'>{escape(end)}</p>" for end in _ends(letter)]
    return (
        f"<!DOCTYPE html>\n<html lang='en'><head><meta charset='utf-8'><title>{title}</title></head>\n"
        f"<body style='{_PAGE}'>\n" + "\n".join(body) + "\n</body></html>\n"
    )


def _table(lines: Sequence[LetterLine]) -> str:
    heads = "".join(
        f"<th scope='col' style='{_CELL};font-size:14px;color:#444'>{name}</th>"
        for name in ("By when", "What", "Who")
    )
    rows = "\n".join(
        f"<tr><td style='{_CELL};white-space:nowrap'><b>{escape(one.day)}</b><br>{escape(one.apart)}</td>"
        f"<td style='{_CELL}'>{escape(one.what)}</td><td style='{_CELL}'>{escape(one.who)}</td></tr>"
        for one in lines
    )
    return f"<table style='border-collapse:collapse'><thead><tr>{heads}</tr></thead><tbody>\n{rows}\n</tbody></table>"
