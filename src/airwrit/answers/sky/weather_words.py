"""A report or forecast in rows that every face shows alike."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from airwrit.answers.sky.weather import WeatherAnswer, sentences
from airwrit.base.verdict import worst_of
from airwrit.sky.weather.forecast import ForecastPart, Span
from airwrit.sky.weather.report import WeatherReport


def headline(answers: Sequence[WeatherAnswer]) -> str:
    """All reports together in a sentence: the verdict, and what it is because of; that there is none where none is."""
    said, verdict = sentences(), worst_of({answer.verdict for answer in answers})
    points = [point.about for answer in answers for point in answer.points if point.verdict is verdict]
    if not points:
        return said["headline"]["none"]
    *first, last = [said["about"][one] for one in dict.fromkeys(points)]
    about = f"{', '.join(first)} and {last}" if first else last
    return said["headline"][verdict.value].format(about=about)


def rows_of(answer: WeatherAnswer) -> tuple[tuple[str, str], ...]:
    """Each group of a report, or each part of a forecast with its time, and what it means."""
    read = answer.read
    if isinstance(read, WeatherReport):
        return tuple((group.text, group.means) for group in read.groups)
    return tuple(
        (part.text, " ".join((_part_words(part, span), *(group.means for group in part.groups))))
        for part, span in zip(read.parts, answer.spans, strict=True)
    )


def _part_words(part: ForecastPart, span: Span) -> str:
    """When a part of a forecast holds, in words."""
    said = sentences()["part"]
    if span.start is None or span.end is None:
        return said["unread"]
    form = part.word
    if form.startswith("PROB"):
        form = "PROB_TEMPO" if " " in form else "PROB"
    return said[form].format(start=_utc(span.start), end=_utc(span.end), chance=part.word[4:6])


def _utc(at: datetime) -> str:
    return f"{at:%b} {at.day}, {at:%H:%M} UTC"
