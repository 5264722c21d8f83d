"""The logs of a folder, a line for each of their flights as they are done. What is done is kept, so that a stopped run goes on.

One bad file never stops the rest. Links are not followed. The same file twice counts once.
"""

from __future__ import annotations

import json
import os
from collections import deque
from collections.abc import Callable, Collection, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.many import FlightLine, line_of, line_told, refused_line
from airwrit.answers.after_flight.view import words
from airwrit.answers.flown_log import reading_of_log
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict
from airwrit.base.whole_files import append_line
from airwrit.tracks.readers.reading import LogAnswers, Reading, digest_of
from airwrit.tracks.track import Track

_NOT_LOGS = (".toml", ".jsonl", ".parquet", ".md", ".pdf", ".zip", ".db", ".airwrit", ".airspace", ".hgt")


class LinesKept(NamedTuple):
    """Where lines are kept as they are done, and a text of all that was asked: lines of another question are not taken."""

    path: Path | None = None
    asked: str = ""


Answering = Callable[[Track], FlownAnswer]
"""Answers for one track."""


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


def lines_of_logs(
    folder: Path,
    answers: LogAnswers,
    answer: Answering,
    done: LinesKept,
    keep: Callable[[Track], None],
    kept_tracks: Collection[str] | None = None,
) -> Iterator[FlightLine]:
    """A line for every flight of the logs of a folder, as they are done; logs that `done` holds already are not read again.

    Each is named by its place in the folder. Logs are read side by side, each in a process of its own. `keep` gets every track
    that could be read; where lines count only once their tracks are kept too, `kept_tracks` are the digests of those logs.
    """
    before = _kept(done)
    if kept_tracks is not None:
        before = {digest: lines for digest, lines in before.items() if _is_archived(lines, kept_tracks)}
    todo, first = list[tuple[Path, str]](), dict[str, Path]()
    for path in logs_in(folder):
        digest, place = _digest(path), path.relative_to(folder)
        if digest and first.setdefault(digest, place) != place:
            yield _copy_line(place, digest, first[digest])
        elif digest in before:
            yield from (line._replace(file=str(place)) for line in before[digest])
        else:
            todo.append((path, digest))
    readings = _read_ahead([path for path, _ in todo], answers)
    for (path, digest), reading in zip(todo, readings, strict=True):
        place = path.relative_to(folder)
        lines = [one._replace(file=str(place)) for one in _lines(place, digest, reading, answer, keep)]
        _note(done, lines)
        yield from lines


def _read_ahead(paths: Sequence[Path], answers: LogAnswers) -> Iterator[Reading | AirwritError]:
    """The logs read side by side, in order, and no more of them ahead than there are processors."""
    workers = max(1, os.cpu_count() or 1)
    pool = ThreadPoolExecutor(workers)
    ahead: deque[Future[Reading | AirwritError]] = deque()
    try:
        for path in paths:
            ahead.append(pool.submit(_read, answers, path))
            if len(ahead) > workers:
                yield ahead.popleft().result()
        while ahead:
            yield ahead.popleft().result()
    finally:
        pool.shutdown(cancel_futures=True)


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
        yield refused_line(str(path), digest, 0, reading)
        return
    if not reading.tracks:
        yield refused_line(str(path), digest, 0, _without_track(reading))
    for number, one in enumerate(reading.tracks):
        track = replace(one, name="/".join((*path.parent.parts, one.name)))
        keep(track)
        try:
            yield line_of(answer(track), number)
        except AirwritError as fault:
            yield refused_line(track.name, digest, number, fault)


def _without_track(reading: Reading) -> AirwritError:
    """Why a log has no track: nobody said yet what its columns are, or there is none in it."""
    if reading.mapping is None:
        return AirwritError("the log has no track")
    return AirwritError(
        "we don't know what its columns are",
        do="check this log by itself once and say what they are. That counts for every log with the same headings",
    )


def _is_archived(lines: Sequence[FlightLine], kept_tracks: Collection[str]) -> bool:
    return lines[0].sha256 in kept_tracks or all(one.refused for one in lines)


def _copy_line(place: Path, digest: str, first: Path) -> FlightLine:
    """The line of a log that is in the folder twice: it counts once."""
    says = words()["many"]["copy"].format(log=first)
    line = refused_line(str(place), digest, 0, AirwritError(""))
    return line._replace(
        verdict=Verdict.NOT_APPLICABLE.value, refused="", says=says, file=str(place), copy_of=str(first)
    )


def _kept(done: LinesKept) -> dict[str, list[FlightLine]]:
    """The lines of logs that are done, by their digest; a line that was cut off is done again."""
    found: dict[str, list[FlightLine]] = {}
    if done.path is None or not done.path.exists():
        return found
    for text in done.path.read_text(encoding="utf-8").splitlines():
        try:
            told = json.loads(text)
            lines = [line_told(one) for one in told["flights"]]
        except (ValueError, TypeError, KeyError):
            continue
        if lines and lines[0].sha256 and told.get("asked") == done.asked:
            found[lines[0].sha256] = lines
    return found


def _note(done: LinesKept, lines: list[FlightLine]) -> None:
    """Note the lines of a log at once, so that a stopped run knows that it is done."""
    if done.path is not None and lines:
        told = {"asked": done.asked, "flights": [one.as_json() for one in lines]}
        append_line(done.path, json.dumps(told))
