"""Many flown flights at once on the terminal: a folder of logs, or an archive of their tracks, worst first, with progress."""

from __future__ import annotations

import os
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.after_flight.archived import (
    ArchiveQuestion,
    ResultsKept,
    keep_results,
    lines_of_archive,
)
from airwrit.answers.after_flight.log_folder import Answering, LinesKept, lines_of_logs, logs_in
from airwrit.answers.after_flight.many import (
    FlightLine,
    ManyFlights,
    line_text,
    many_json,
    many_of,
    many_text,
    plan_lines,
    total_text,
)
from airwrit.answers.after_flight.saving import (
    FlightsToKeep,
    flights_saving,
    left_out_line,
    saving_flown,
    saving_line,
)
from airwrit.answers.after_flight.view import words
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.document import Json
from airwrit.base.errors import UsageError
from airwrit.base.sentences import with_days
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, console, print_rows, print_title, said, show_caution
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.ledger import held_in, kept_in, may_keep
from airwrit.cli.shared.options import now
from airwrit.tracks.archive import TAIL, digests_in, keep_tracks, needs_parquet
from airwrit.tracks.readers.reading import LogAnswers
from airwrit.tracks.track import Track

_SHOWN = 60
_MOST_SAMPLES = 2_000_000
"""Samples that are held until they are written: about 200 MB."""


def logged(
    folder: Path, answers: LogAnswers, answer: Answering, done: LinesKept, archive: Path | None
) -> Iterator[FlightLine]:
    """The lines of the logs of a folder, with progress; their tracks kept by month where an archive is named."""
    logs = logs_in(folder)
    if not logs:
        raise UsageError("no logs are in this folder", where=folder.name, do="name a folder with flight logs")
    if archive is None:
        yield from _watched(lines_of_logs(folder, answers, answer, done, lambda _: None), len(logs))
        return
    needs_parquet()
    months: dict[str, list[Track]] = defaultdict(list)
    found, kept = list[FlightLine](), digests_in(archive)
    for line in _watched(
        lines_of_logs(folder, answers, answer, done, lambda t: months[_month(t)].append(t), kept), len(logs)
    ):
        _archive(archive, months, _MOST_SAMPLES)
        found.append(line)
        yield line
    _archive(archive, months, 0)
    keep_results(ResultsKept(archive, done.asked), found)


def _archive(folder: Path, months: dict[str, list[Track]], most: int) -> None:
    """Write the months that hold more samples than that, each to a file named for the month and the logs in it."""
    for month, tracks in months.items():
        if tracks and sum(len(track.mono_us) for track in tracks) > most:
            folder.mkdir(parents=True, exist_ok=True)
            held = sha256("".join(f"{one.digest}{one.name}" for one in tracks).encode()).hexdigest()
            keep_tracks(folder / f"{month}.{held[:12]}{TAIL}", tracks)
            tracks.clear()


def _month(track: Track) -> str:
    utc = track.utc_us
    if utc is None or not len(utc):
        return "no-date"
    return str(utc[:1].astype("datetime64[us]").astype("datetime64[M]")[0])


def archived(path: Path, question: ArchiveQuestion, asked: str, *, one_core: bool) -> Iterator[FlightLine]:
    """The lines of an archive, a file or a folder of them; of a folder the results are kept in it."""
    is_file = path.suffix == TAIL
    files = [path] if is_file else sorted(path.glob(f"*{TAIL}"))
    kept = ResultsKept(None if is_file else path, asked)
    workers = 1 if one_core else os.cpu_count() or 1
    yield from _watched(lines_of_archive(files, question._replace(workers=workers), kept), 0)


def _watched(lines: Iterator[FlightLine], count: int) -> Iterator[FlightLine]:
    """The lines, with how many are done on a terminal."""
    watched = sys.stderr.isatty()
    for done, line in enumerate(lines, 1):
        if watched:
            of = f" of about {count:,}" if count else ""
            with suppress(OSError):
                sys.stderr.write(f"\r{done:,}{of} flights\x1b[K")
                sys.stderr.flush()
        yield line
    if watched:
        sys.stderr.write("\r\x1b[K")


def show_many(
    lines: Iterable[FlightLine],
    plans: Sequence[SavedFlight] = (),
    *,
    as_json: bool,
    saving: Callable[[], Json] = dict,
) -> int:
    """Print the flights, worst first, the months, and the planned flights that no log is of.

    `saving` is what the document says besides of flights that are to be logged.
    """
    many = many_of(lines, plans)
    text = words()["many"]
    if as_json:
        show_json({**many_json(many, text["scope"]), **saving()})
        return EXIT[many.verdict]
    out = console()
    out.print()
    out.print(Text(many_text(many), style="bold"))
    out.print(Text(text["scope"], style="dim"))
    print_title(text["flights"], out)
    print_rows((_row(one) for one in many.lines[:_SHOWN]), (-4, 26, 14, 70), out)
    if len(many.lines) > _SHOWN:
        out.print(text["more"].format(count=len(many.lines) - _SHOWN))
    _show_plans(many, out)
    _show_totals(many, out)
    print_title(text["months"], out)
    for month, (flights, over, open_ones) in many.months.items():
        out.print(
            text["month"].format(month=month or text["no_month"], flights=flights, past=over, open=open_ones)
        )
    show_caution(out)
    return EXIT[many.verdict]


def _show_totals(many: ManyFlights, out: Console) -> None:
    """Hours and landings by aircraft, pilot and battery, as far as the logs or their plans name them."""
    for kind, totals in many.totals.items():
        if totals:
            print_title(words()["many"][f"by_{kind}"], out)
            for name, total in totals.items():
                out.print(said("  " + total_text(name, total)))


def _show_plans(many: ManyFlights, out: Console) -> None:
    """How many flights were matched to a plan, and the planned flights without a log."""
    lines = plan_lines(many)
    if lines:
        print_title(words()["many"]["plans"], out)
        for line in lines:
            out.print(said("  " + line))


def _row(one: FlightLine) -> tuple[str, ...]:
    """A flight in a row: what it went past, or why it couldn't be read."""
    return SIGNS[Verdict(one.verdict)], clean(one.log), with_days(one.on), said(line_text(one))


def save_flights(
    path: Path, found: FlightsToKeep, by: str, *, many: bool = True, yes: bool, as_json: bool
) -> None:
    """Log flights with their answers, if wanted, after showing which."""
    text = words()["saving"]
    saving = flights_saving(held_in(path), found, by, now(), many=many)
    click.echo(err=as_json)
    for one in saving.todo:
        click.echo(clean(saving_line(one)), err=as_json)
    for log, why in saving.told:
        click.echo(clean(left_out_line(log, why)), err=as_json)
    if not saving.todo:
        return
    count = len(saving.todo)
    asks = text["ask_one" if count == 1 else "ask"].format(count=count, hours=saving.hours, path=path.name)
    if not may_keep(yes, lambda: f"\n{asks}"):
        click.echo(f"\n{text['nothing']}", err=as_json)
        return
    entries: list[int] = []
    for flight in saving.todo:
        made = saving_flown(held_in(path), flight, by, now())
        entries += [one.seq for one in kept_in(path, made.taking, made.files)]
    numbers = f"{entries[0]}" if len(entries) == 1 else f"{entries[0]} to {entries[-1]}"
    code = "saved_one" if count == 1 else "saved"
    click.echo(f"\n{text[code].format(count=count, path=path.name, entries=numbers)}", err=as_json)
