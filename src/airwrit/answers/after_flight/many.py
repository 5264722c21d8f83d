"""Many logs at once: a line for each flight, worst first. What was done is kept line by line, so that a stopped run goes on.

One bad file never stops the rest. Links are not followed. An archive of tracks is checked by the same arrays and the law of
each flight's own day, without papers; it is a pure function of its files.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.after_flight.flown import FlownAnswer, FlownWhole
from airwrit.answers.after_flight.track_facts import (
    FlownFolders,
    FlownQuestion,
    TrackFlown,
    figures_of,
    track_flown,
    track_seen,
)
from airwrit.answers.after_flight.view import whole_lines
from airwrit.answers.before_flight.check import Program
from airwrit.answers.document import CAUTION, Json
from airwrit.answers.flown_log import reading_of_log
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict, worst_of
from airwrit.base.whole_files import append_line
from airwrit.geo.earth import M_PER_FT
from airwrit.tracks.archive import ArchivedTracks, groups_in, tracks_in
from airwrit.tracks.excursions import Excursions
from airwrit.tracks.readers.reading import LogAnswers, Reading, digest_of
from airwrit.tracks.track import Track

_NOT_LOGS = (".toml", ".jsonl", ".parquet", ".md", ".pdf", ".zip", ".db", ".airwrit", ".airspace", ".hgt")
_RANK = {FlownWhole.PAST_LIMITS: 0, FlownWhole.CANT_TELL: 1, FlownWhole.NOTHING_SHOWN: 2}


class FlightLine(NamedTuple):
    """One flight of many: its log with its digest, the day, the answer in a word, how much is past or in doubt, and figures.

    A log that couldn't be read has its reason in `refused`. `over` is how far it went past a limit, as a share of that.
    """

    log: str
    sha256: str
    number: int
    on: str
    verdict: str
    whole: str
    past: int
    doubt: int
    open: int
    over: float
    highest_ft: float | None
    minutes: float | None
    landings: int
    says: str
    refused: str = ""

    @property
    def month(self) -> str:
        """The month it was flown in."""
        return self.on[:7]

    @property
    def rank(self) -> tuple[int, int, float, int, str, int]:
        """Worst first; what couldn't be read comes after what went past a limit."""
        place = 1 if self.refused else 2 * _RANK.get(FlownWhole(self.whole), 1) if self.whole else 1
        return (place, -self.past, -self.over, -self.doubt, self.log, self.number)


class LinesKept(NamedTuple):
    """Where lines are kept as they are done, and a text of all that was asked: lines of another question are not taken."""

    path: Path | None = None
    asked: str = ""


class ManyFlights(NamedTuple):
    """The lines, worst first."""

    lines: tuple[FlightLine, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of all; a log that couldn't be read is unknown, and so is nothing at all."""
        return worst_of({Verdict(one.verdict) for one in self.lines})

    @property
    def months(self) -> Mapping[str, tuple[int, int, int]]:
        """For each month how many flights, how many past a limit, and how many this can't tell of."""
        found: dict[str, list[int]] = {}
        for one in self.lines:
            row = found.setdefault(one.month, [0, 0, 0])
            row[0] += 1
            row[1] += one.whole == FlownWhole.PAST_LIMITS.value
            row[2] += one.whole == FlownWhole.CANT_TELL.value or bool(one.refused)
        return {month: (row[0], row[1], row[2]) for month, row in sorted(found.items())}


def logs_in(folder: Path) -> list[Path]:
    """The files of a folder and the folders in it that may be logs, by name; links and hidden ones are left alone."""
    found: list[Path] = []
    for here, folders, names in os.walk(folder, followlinks=False):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            path = Path(here, name)
            is_seen = not name.startswith(".") and path.suffix.lower() not in _NOT_LOGS
            if is_seen and path.is_file() and not path.is_symlink():
                found.append(path)
    return found


Answering = Callable[[Track], FlownAnswer]
"""Answers for one track."""


def lines_of_logs(
    logs: Iterable[Path],
    answers: LogAnswers,
    answer: Answering,
    done: LinesKept,
    keep: Callable[[Track], None],
) -> Iterator[FlightLine]:
    """A line for every flight of some logs, as they are done; logs that `done` holds already are not read again.

    Logs are read side by side, each in a process of its own. `keep` gets every track that could be read.
    """
    before = _kept(done)
    todo = []
    for path in logs:
        digest = _digest(path)
        if digest in before:
            yield from before[digest]
        else:
            todo.append((path, digest))
    with ThreadPoolExecutor(max(1, os.cpu_count() or 1)) as pool:
        readings = pool.map(partial(_read, answers), [path for path, _ in todo])
        for (path, digest), reading in zip(todo, readings, strict=True):
            lines = list(_lines(path, digest, reading, answer, keep))
            _note(done, lines)
            yield from lines


def _digest(path: Path) -> str:
    try:
        return digest_of(path)
    except OSError:
        return ""


def _read(answers: LogAnswers, path: Path) -> Reading | AirwritError:
    try:
        return reading_of_log(path, answers)
    except AirwritError as fault:
        return fault


def _lines(
    path: Path,
    digest: str,
    reading: Reading | AirwritError,
    answer: Answering,
    keep: Callable[[Track], None],
) -> Iterator[FlightLine]:
    if isinstance(reading, AirwritError):
        yield _refused(path, digest, 0, reading)
        return
    if not reading.tracks:
        yield _refused(path, digest, 0, AirwritError("it holds no track"))
    for number, track in enumerate(reading.tracks):
        keep(track)
        try:
            yield line_of(answer(track), number)
        except AirwritError as fault:
            yield _refused(path, digest, number, fault)


def _refused(path: Path, digest: str, number: int, fault: AirwritError) -> FlightLine:
    unknown = Verdict.UNKNOWN.value
    return FlightLine(path.name, digest, number, "", unknown, "", 0, 0, 0, 0.0, None, None, 0, "", fault.says)


def line_of(answer: FlownAnswer, number: int = 0) -> FlightLine:
    """The line of an answer."""
    figures, plan = answer.figures, answer.plan
    highest = figures.highest_agl_m if figures.highest_agl_m is not None else figures.highest_takeoff_m
    shares = [
        float(-one.margin.value / one.limit.best)
        for clause in answer.past
        for one in clause.past
        if one.margin is not None and one.limit is not None and one.limit.best
    ]
    return FlightLine(
        answer.track.name,
        answer.track.digest,
        number,
        plan.starts.astimezone(plan.zone.info).date().isoformat(),
        answer.verdict.value,
        answer.whole.value,
        len(answer.past),
        sum(len(one.in_doubt) for one in answer.open),
        len(answer.open),
        round(max(shares, default=0.0), 4),
        None if highest is None else round(highest / M_PER_FT, 1),
        None if figures.minutes is None else round(figures.minutes, 1),
        figures.landings,
        " ".join(whole_lines(answer)),
    )


def _kept(done: LinesKept) -> dict[str, list[FlightLine]]:
    """The lines of logs that are done, by their digest; a line that was cut off is done again."""
    found: dict[str, list[FlightLine]] = {}
    if done.path is None or not done.path.exists():
        return found
    for text in done.path.read_text(encoding="utf-8").splitlines():
        try:
            told = json.loads(text)
            lines = [FlightLine(**one) for one in told["flights"]]
        except (ValueError, TypeError, KeyError):
            continue
        if lines and lines[0].sha256 and told.get("asked") == done.asked:
            found[lines[0].sha256] = lines
    return found


def _note(done: LinesKept, lines: list[FlightLine]) -> None:
    """Note the lines of a log at once, so that a stopped run knows that it is done."""
    if done.path is not None and lines:
        told = {"asked": done.asked, "flights": [one._asdict() for one in lines]}
        append_line(done.path, json.dumps(told))


def lines_of_archive(
    archives: Iterable[Path], folders: FlownFolders, asked: FlownQuestion, workers: int = 1
) -> Iterator[FlightLine]:
    """A line for every flight of archives, by the law of its own day, each once; on one core, or on several."""
    groups = [group for path in archives for group in groups_in(path)]
    seen: set[tuple[str, str]] = set()
    for line in _lines_of_groups(groups, folders, asked, workers):
        if (line.sha256, line.log) not in seen:
            seen.add((line.sha256, line.log))
            yield line


def _lines_of_groups(
    groups: Sequence[ArchivedTracks], folders: FlownFolders, asked: FlownQuestion, workers: int
) -> Iterator[FlightLine]:
    if workers <= 1 or len(groups) < 2:
        for group in groups:
            yield from _lines_of_group(folders, asked, group)
        return
    bare = FlownFolders(folders.airspace, folders.terrain)
    with ProcessPoolExecutor(workers) as pool:
        for lines in pool.map(partial(_lines_of_group, bare, asked), groups):
            yield from lines


def _lines_of_group(folders: FlownFolders, asked: FlownQuestion, group: ArchivedTracks) -> list[FlightLine]:
    return [_line_of_track(track, folders, asked) for track in tracks_in(group)]


_NOTHING = Program((), datetime(1970, 1, 1, tzinfo=UTC))
"""No papers: what an archive is checked with."""


def _line_of_track(track: Track, folders: FlownFolders, asked: FlownQuestion) -> FlightLine:
    """The line of a track by the arrays alone: height, speed and the airspace on file."""
    try:
        flown = track_flown(track, asked, _NOTHING, folders)
    except AirwritError as fault:
        return _refused(Path(track.name), track.digest, 0, fault)
    return _line_of_flown(flown, folders)


def _line_of_flown(flown: TrackFlown, folders: FlownFolders) -> FlightLine:
    seen = track_seen(flown, folders)
    held = [one for one in (seen.height, seen.speed) if one is not None]
    runs = [*(one[1] for one in held), *(one.inside for one in seen.airspace.volumes)]
    past = sum(one.is_beyond for one in runs)
    is_open = len(held) < 2 or any(one.is_open for one in runs) or not seen.airspace.layers
    whole = FlownWhole.PAST_LIMITS if past else FlownWhole.CANT_TELL if is_open else FlownWhole.NOTHING_SHOWN
    figures, plan = figures_of(flown), flown.plan
    over = [_share(found, float(limit.value) * limit.scale) for limit, found in held]
    return FlightLine(
        flown.track.name,
        flown.track.digest,
        0,
        plan.starts.astimezone(plan.zone.info).date().isoformat(),
        (Verdict.NOT_MET if past else Verdict.UNKNOWN).value,
        whole.value,
        past,
        sum(1 for one in runs for run in one.found if not run.sure),
        sum(one.is_open for one in runs),
        round(max([0.0, *over]), 4),
        None if figures.highest_agl_m is None else round(figures.highest_agl_m / M_PER_FT, 1),
        None if figures.minutes is None else round(figures.minutes, 1),
        figures.landings,
        "",
    )


def _share(found: Excursions, limit: float) -> float:
    return max((one.peak / limit - 1 for one in found.found if one.sure), default=0.0)


def many_of(lines: Iterable[FlightLine]) -> ManyFlights:
    """Lines, worst first."""
    return ManyFlights(tuple(sorted(lines, key=lambda one: one.rank)))


def many_json(many: ManyFlights, scope: str) -> Json:
    """The document: the flights worst first, and the months."""
    months: list[dict[str, Any]] = [
        {"month": month, "flights": row[0], "past": row[1], "cant_tell": row[2]}
        for month, row in many.months.items()
    ]
    return {
        "question": "after_flights",
        "scope": scope,
        "verdict": many.verdict.value,
        "flights": [one._asdict() for one in many.lines],
        "months": months,
        "problems": [],
        "caution": CAUTION,
    }
