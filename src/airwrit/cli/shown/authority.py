"""The authority of a flight on the terminal: the whole, each paper with its fields; or what a request asks."""

from __future__ import annotations

from rich.text import Text

from airwrit.answers.document import SCOPE_OF_AUTHORITY
from airwrit.answers.site.authority import AuthorityAnswer
from airwrit.answers.site.authority_json import (
    beside_sentences,
    field_sentence,
    headline,
    notes,
    paper_sentence,
    paper_title,
    request_lines,
    sentences,
    under_sentence,
    waivable_sentences,
)
from airwrit.cli.console import SIGNS, clean, console, said, show_caution
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.sections import print_rows, print_title


def show_authority(answer: AuthorityAnswer) -> None:
    """The whole in a line, then every paper field by field."""
    out = console()
    show_late(answer.state.on, out)
    out.print(Text(SCOPE_OF_AUTHORITY, style="dim"))
    out.print(f"{SIGNS[answer.verdict]} {said(headline(answer))}", style="bold")
    out.print(said(under_sentence(answer)))
    for paper in answer.papers:
        print_title(clean(paper_title(paper, answer.state)), out)
        out.print(said(paper_sentence(paper)))
        rows = (
            (SIGNS[one.verdict], one.field.value, said(field_sentence(one, paper, answer)))
            for one in paper.fields
        )
        print_rows(rows, (-4, -18, 1), out)
    print_title(sentences()["beside"]["title"], out)
    for sentence in beside_sentences(answer):
        out.print(said(sentence))
    out.print()
    for note in notes():
        out.print(Text(note, style="dim"))
    show_caution(out)


def show_request(answer: AuthorityAnswer) -> None:
    """What a request asks, with what is on file of it."""
    out, words = console(), sentences()["request"]
    out.print(words["title"], style="bold")
    print_rows(
        ((line.label, clean(line.told) or line.question) for line in request_lines(answer)), (-36, 1), out
    )
    out.print()
    for one in (words["track"], *waivable_sentences(answer.state.on)):
        out.print(Text(one, style="dim"))
    show_caution(out)
