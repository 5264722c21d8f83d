"""`airwrit check-authorization`: whether a paper on file covers a planned flight, field by field."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click
from rich.text import Text

from airwrit.answers.asking.when import when_asked
from airwrit.answers.document import SCOPE_OF_AUTHORITY
from airwrit.answers.site.authority import AuthorityAnswer, authority_of
from airwrit.answers.site.authority_view import authority_json, authority_view, sentences
from airwrit.base.days import When
from airwrit.base.errors import UsageError
from airwrit.cli.console import SIGNS, clean, console, print_rows, print_title, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.facts_asked import read_facts_text
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shared.ledger import AsOf, fleet_of_ledger, known_at_option
from airwrit.cli.shared.options import asked, at_option, json_option, ledger_option, now, on_option
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.intake.typed.facts_file import read_facts


@click.command()
@click.argument("facts", type=click.Path(path_type=Path))
@on_option
@at_option
@ledger_option
@known_at_option
@click.option(
    "--request",
    "as_request",
    is_flag=True,
    help="Show what to type into the request form on the FAA's own site.",
)
@json_option
def command(
    facts: Path,
    on: date | None,
    at: datetime | None,
    ledger: Path | None,
    known_at: datetime | None,
    as_request: bool,
    as_json: bool,
) -> int:
    """Check whether an authorization, COA, waiver or SGI approval on file covers a planned flight, and what
    it leaves out.

    FACTS is a TOML file. [flight] and [site] describe the flight, and each [[paper]] describes a document.
    With --ledger, we also use the documents and aircraft on record. What FACTS says about one of them
    replaces what is on record.

    \b
    Example:
      airwrit check-authorization bridge-flight.toml --at 2026-12-05T10:00-05:00
    """
    answer = _answer(facts, on, at, ledger, known_at)
    if as_json:
        show_json(authority_json(answer))
    elif as_request:
        show_request(answer)
    else:
        show_authority(answer)
    return EXIT[answer.verdict]


def _answer(
    facts: Path, on: date | None, at: datetime | None, ledger: Path | None, known_at: datetime | None
) -> AuthorityAnswer:
    text, _ = read_facts_text(facts)
    told = read_facts(text, facts.name)
    when = asked(on, at)
    if on is None and at is None:
        when = when_asked(told, when)
    state = state_of(told.known, when, now())
    flights = state.subjects("flight")
    if len(flights) != 1:
        raise UsageError(
            "the file has no flight" if not flights else "the file has more than one flight",
            where=facts.name,
            do="describe one flight, in a table [flight]",
        )
    return authority_of(_with_records(state, when, ledger, known_at), flights[0])


def _with_records(state: State, when: When, ledger: Path | None, known_at: datetime | None) -> State:
    """The facts of the file over those of the records; the file's alone where no ledger was named."""
    if ledger is None and known_at is None:
        return state
    return fleet_of_ledger(AsOf(ledger, when, known_at), None, None).state.with_facts(state.held)


def show_authority(answer: AuthorityAnswer) -> None:
    """The whole in a line, then every paper field by field."""
    out, view = console(), authority_view(answer)
    show_late(answer.state.on, out)
    out.print(Text(SCOPE_OF_AUTHORITY, style="dim"))
    out.print(f"{SIGNS[view.verdict]} {said(view.says)}", style="bold")
    out.print(said(view.under))
    for paper in view.papers:
        print_title(clean(paper.title), out)
        out.print(said(paper.says))
        rows = ((SIGNS[one.verdict], one.name, said(one.says)) for one in paper.fields)
        print_rows(rows, (-4, -18, 1), out)
    print_title(sentences()["beside"]["title"], out)
    for sentence in view.beside:
        out.print(said(sentence))
    out.print()
    for note in view.notes:
        out.print(Text(note, style="dim"))
    show_caution(out)


def show_request(answer: AuthorityAnswer) -> None:
    """What a request asks, with what is on file of it."""
    out, view = console(), authority_view(answer)
    out.print(sentences()["request"]["title"], style="bold")
    print_rows(((line.label, clean(line.told) or line.question) for line in view.request), (-36, 1), out)
    out.print()
    for one in (view.track, *view.waivable):
        out.print(Text(one, style="dim"))
    show_caution(out)
