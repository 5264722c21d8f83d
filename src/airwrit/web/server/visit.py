"""What a page gets and gives: a visit in, a sheet or a way onward out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple

from airwrit.answers.standing.standing import Standing
from airwrit.law.rule import Finding
from airwrit.web.server.workspace import DayAsked, Workspace

Json = Any


class SentFile(NamedTuple):
    """A file of a form: the name it was sent under, which may be anything, and its bytes."""

    name: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Visit:
    """One request: the desk, the day asked about, what the path and the query named, and what a form said."""

    desk: Workspace
    asked: DayAsked
    path: str
    named: Mapping[str, str]
    query: Mapping[str, str]
    said: Mapping[str, str] = field(default_factory=dict)
    """the fields of a form; of a repeated field the last"""
    chosen: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """the fields of a form, or without one those of the query, with all their values"""
    files: Mapping[str, Sequence[SentFile]] = field(default_factory=dict)
    """the files of a form, by the field they were sent in"""

    @property
    def by(self) -> str:
        """Who writes in this request. One name for the whole server, until people sign in."""
        return self.desk.by

    def link(self, path: str, on: date | None = None, **more: str) -> str:
        """An address of this site, the day and moment carried along; `on` turns it to another day."""
        return self.asked.link(path, on, **more)

    @property
    def just_written(self) -> int:
        """The entry that was just saved, as its address tells; 0 for none."""
        told = self.query.get("written", "")
        return int(told) if told.isascii() and told.isdigit() and len(told) < 12 else 0


class PageSheet(NamedTuple):
    """A page to be shown: its template, title, what the template reads as `data`, and the document of its JSON twin."""

    template: str
    title: str
    data: Any
    twin: Callable[[], Json] | None = None
    status: int = 200
    scope: str | None = None
    """what it is based on and what was not checked, where that is not what its page says; "" for nothing"""


class Redirect(NamedTuple):
    """The way onward after something was written: a page of this site, by 303, so that going back writes nothing."""

    to: str


class Download(NamedTuple):
    """A file to be saved, never shown as a page of ours.

    `what` it is, to be noted in the ledger as given out, and whom it is `about`, none for all; "" where it is of no ledger.
    """

    name: str
    media_type: str
    content: bytes
    what: str = ""
    about: tuple[str, ...] = ()


class Picture(NamedTuple):
    """A photo that a page shows; its bytes were looked at, and it is sent so that a browser takes it for nothing else."""

    media_type: str
    content: bytes


Answer = PageSheet | Redirect | Download | Picture


class Name(NamedTuple):
    """A name in the head and the contents: the word, its address, and the line that says what it is for."""

    word: str
    path: str
    line: str


def findings_by_subject(visit: Visit) -> Mapping[str, Sequence[Finding]]:
    """The findings of the day shown, by whom they are about."""

    def work(answer: Standing) -> Mapping[str, Sequence[Finding]]:
        found: dict[str, list[Finding]] = {}
        for finding in answer.report.findings:
            found.setdefault(finding.subject, []).append(finding)
        return found

    return visit.desk.made_of("by subject", visit.asked, work)
