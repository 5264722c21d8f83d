"""An archive of tracks checked: a line for every flight, by the law of its own day, on one core or on all of them.

With records every flight is answered in full, as its log would be. Without any, only the arrays are looked at: height, speed,
the airspace on file, light, Remote ID and identification areas. Either is a pure function of the files and the law. Results are
kept beside the tracks by month, with the digest of each log and of all that was asked: what is there already is not done again.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

import numpy as np

from airwrit.airspace.kinds import AreaKind
from airwrit.answers.after_flight.airspace import VolumeSays
from airwrit.answers.after_flight.check import flown_answer
from airwrit.answers.after_flight.flown import FlownWhole
from airwrit.answers.after_flight.many import (
    FlightLine,
    aircraft_of,
    line_of,
    line_told,
    refused_line,
    with_aircraft,
)
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion
from airwrit.answers.after_flight.track_facts import (
    TrackFlown,
    TrackSeen,
    is_in_fria,
    most,
    track_flown,
    track_seen,
)
from airwrit.answers.before_flight.program import Program
from airwrit.answers.sky.light import Phase, lights_over
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict
from airwrit.geo.earth import M_PER_FT
from airwrit.law.flight.airspace import (
    AUTHORITY_CONTROLLED_AIRSPACE_RULE,
    RESTRICTED_AREA_PERMISSION_RULE,
    TFR_RULE,
)
from airwrit.law.flight.broadcast import STANDARD_REMOTE_ID_NOT_DISABLED_RULE
from airwrit.law.flight.light import NIGHT_LIGHTS_RULE, TWILIGHT_LIGHTS_RULE
from airwrit.law.flight.limits import HEIGHT_LIMIT_RULE, SPEED_LIMIT_RULE
from airwrit.law.flight.places import EVENT_RING_RULE
from airwrit.sky.light import altitudes_deg, days_of
from airwrit.tracks.archive import TAIL, ArchivedTracks, groups_in, keep_rows, rows_in, tracks_in
from airwrit.tracks.excursions import SECOND_US, Excursions
from airwrit.tracks.track import Track

RESULTS = "results"
_NESTED = ("verdicts", "differs", "packs", "not_ok")
"""Parts of a line that a table holds as JSON."""
_EACH = 40
"""Row groups after which what was found is written: a stopped run loses no more than that."""
_TASKS = 20
"""So many tasks for each process, so that none is long idle at the end."""
_DAY_DEG = 1.0
"""A sun higher than that is day, whatever the almanac and its errors."""


class ArchiveQuestion(NamedTuple):
    """What an archive is asked: the records (None without any), the question, the folders, and on how many processes."""

    program: Program | None
    asked: FlownQuestion
    folders: FlownFolders
    workers: int = 1


class ResultsKept(NamedTuple):
    """The folder where results are kept by month, None for nowhere, and the digest of all that was asked."""

    folder: Path | None = None
    asked: str = ""


_NOWHERE = ResultsKept()


def lines_of_archive(
    archives: Iterable[Path], question: ArchiveQuestion, kept: ResultsKept = _NOWHERE
) -> Iterator[FlightLine]:
    """A line for every flight of archives, each once; those that are kept already are not checked again."""
    before = results_in(kept)
    groups = [group for path in archives for group in groups_in(path)]
    seen: set[tuple[str, str]] = set()
    new: list[FlightLine] = []
    for count, lines in enumerate(_lines_of_groups(groups, question, frozenset(before)), 1):
        for line in lines:
            key = (line.sha256, line.log)
            if key in seen:
                continue
            seen.add(key)
            if key not in before:
                new.append(line)
            yield before.get(key, line)
        if count % _EACH == 0:
            keep_results(kept, new)
            new = []
    keep_results(kept, new)


def _lines_of_groups(
    groups: Sequence[ArchivedTracks], question: ArchiveQuestion, done: frozenset[tuple[str, str]]
) -> Iterator[list[FlightLine]]:
    if question.workers <= 1 or len(groups) < 2:
        for group in groups:
            yield _lines_of_group(question, done, group)
        return
    bare = question._replace(folders=FlownFolders(question.folders.airspace, question.folders.terrain))
    many = max(1, min(_EACH, len(groups) // (question.workers * _TASKS)))
    tasks = [groups[at : at + many] for at in range(0, len(groups), many)]
    with ProcessPoolExecutor(question.workers, initializer=_ASKED.extend, initargs=([(bare, done)],)) as pool:
        for several in pool.map(_lines_of_several, tasks):
            yield from several


_ASKED: list[tuple[ArchiveQuestion, frozenset[tuple[str, str]]]] = []
"""In a process of the pool: what all its tasks ask. So it is handed over once, and airspace and terrain are opened once."""


def _lines_of_several(groups: Sequence[ArchivedTracks]) -> list[list[FlightLine]]:
    """The lines of row groups one behind the other, in a process of the pool."""
    return [_lines_of_group(*_ASKED[-1], group) for group in groups]


def _lines_of_group(
    question: ArchiveQuestion, done: frozenset[tuple[str, str]], group: ArchivedTracks
) -> list[FlightLine]:
    """The lines of a row group; of a flight that is done a line that says only which it is."""
    found = []
    for track in tracks_in(group):
        if (track.digest, track.name) in done:
            found.append(refused_line(track.name, track.digest, 0, AirwritError("")))
        else:
            found.append(_line_of_track(track, question))
    return found


def _line_of_track(track: Track, question: ArchiveQuestion) -> FlightLine:
    try:
        if question.program is not None:
            asked = with_aircraft(question.asked, track.name, aircraft_of(question.program))
            return line_of(flown_answer(track, asked, question.program, question.folders))
        flown = track_flown(track, question.asked, _NOTHING, question.folders)
    except AirwritError as fault:
        return refused_line(track.name, track.digest, 0, fault)
    return _line_of_arrays(flown, question.folders)


_NOTHING = Program((), datetime(1970, 1, 1, tzinfo=UTC))
"""No records at all."""


def _line_of_arrays(flown: TrackFlown, folders: FlownFolders) -> FlightLine:
    """The line by the arrays alone. What only a paper could allow is unknown, never past."""
    seen = track_seen(flown, folders, sight=False)
    verdicts = dict(_verdicts(flown, seen))
    past = sum(one is Verdict.NOT_MET for one in verdicts.values())
    left_open = sum(one is Verdict.UNKNOWN for one in verdicts.values())
    whole = (
        FlownWhole.PAST_LIMITS if past else FlownWhole.CANT_TELL if left_open else FlownWhole.NOTHING_SHOWN
    )
    held = [one for one in (seen.height, seen.speed) if one is not None]
    plan, air, highest_m = flown.plan, flown.air, most(flown.heights.agl_m)
    return FlightLine(
        flown.track.name,
        flown.track.digest,
        0,
        plan.starts.astimezone(plan.zone.info).date().isoformat(),
        (Verdict.NOT_MET if past else Verdict.UNKNOWN).value,
        whole.value,
        past,
        sum(not run.sure for _, runs in held for run in runs.found),
        left_open,
        round(max([0.0, *(_share(runs, limit.bound) for limit, runs in held)]), 4),
        None if highest_m is None else round(highest_m / M_PER_FT, 1),
        round(air.flown_us / (60 * SECOND_US), 1) if air.spans else None,
        air.landings,
        "",
        verdicts={name: verdict.value for name, verdict in verdicts.items()},
    )


def _share(found: Excursions, limit: float) -> float:
    return max((one.peak / limit - 1 for one in found.found if one.sure), default=0.0)


_ASKED_OF = {
    AUTHORITY_CONTROLLED_AIRSPACE_RULE.name: (VolumeSays.CLASS, AreaKind.CLASS),
    TFR_RULE.name: (VolumeSays.NOTICE, AreaKind.TFR),
    RESTRICTED_AREA_PERMISSION_RULE.name: (VolumeSays.RESTRICTED, AreaKind.SPECIAL),
    EVENT_RING_RULE.name: (VolumeSays.STADIUM, AreaKind.STADIUM),
}


def _verdicts(flown: TrackFlown, seen: TrackSeen) -> Iterator[tuple[str, Verdict]]:
    """What the arrays tell of each rule."""
    for name, held in ((HEIGHT_LIMIT_RULE.name, seen.height), (SPEED_LIMIT_RULE.name, seen.speed)):
        yield name, Verdict.UNKNOWN if held is None else _of_runs(held[1])
    for name, (says, kind) in _ASKED_OF.items():
        surely_out = seen.airspace.is_sure(kind) and not any(
            one.inside.is_beyond or one.inside.is_open for one in seen.airspace.of(says)
        )
        yield name, Verdict.NOT_APPLICABLE if surely_out else Verdict.UNKNOWN
    phases = phases_of(flown)
    for name, asked in ((NIGHT_LIGHTS_RULE.name, Phase.NIGHT), (TWILIGHT_LIGHTS_RULE.name, Phase.TWILIGHT)):
        is_dark = phases is None or bool(phases & {asked, Phase.BOTH})
        yield name, Verdict.UNKNOWN if is_dark else Verdict.NOT_APPLICABLE
    in_fria = is_in_fria(seen.airspace, flown.path)
    yield "in_fria", Verdict.MET if in_fria else Verdict.NOT_APPLICABLE
    remote_id = Verdict.UNKNOWN
    if in_fria and (seen.remote_id is None or not seen.remote_id.off):
        remote_id = Verdict.NOT_APPLICABLE
    elif seen.remote_id is not None and not seen.remote_id.unsaid and not seen.remote_id.off:
        remote_id = Verdict.MET
    yield STANDARD_REMOTE_ID_NOT_DISABLED_RULE.name, remote_id


def _of_runs(runs: Excursions) -> Verdict:
    if runs.is_beyond:
        return Verdict.NOT_MET
    return Verdict.UNKNOWN if runs.is_open else Verdict.MET


def phases_of(flown: TrackFlown) -> set[Phase] | None:
    """The light of the whole flight; None where the log tells no time of day.

    The sun at every minute is enough where it stays high; only else its moments are worked out.
    """
    if flown.times.starts is None or flown.times.ends is None:
        return None
    plan = flown.plan
    minutes = np.arange(0.0, (plan.ends - plan.starts).total_seconds() / 60 + 1)
    days = days_of(plan.starts) + minutes / (24 * 60)
    if float(altitudes_deg(plan.place, days).min()) > _DAY_DEG:
        return {Phase.DAY}
    light = lights_over(plan.place, plan.zone, plan.starts, plan.ends)
    moments = [plan.starts + timedelta(minutes=float(one)) for one in minutes[:-1]]
    return {phase for at in [*moments, plan.ends] for phase in light(at).phases}


def keep_results(kept: ResultsKept, lines: Sequence[FlightLine]) -> None:
    """Keep lines by their month: a file each time, named for what is in it, in a folder for the month."""
    if kept.folder is None:
        return
    months: Mapping[str, list[FlightLine]] = defaultdict(list)
    for line in lines:
        months[line.month or "no-date"].append(line)
    for month, mine in months.items():
        rows = [{"asked": kept.asked, **_row(line)} for line in mine]
        name = sha256(json.dumps(rows).encode()).hexdigest()[:12]
        place = kept.folder / RESULTS / f"month={month}"
        place.mkdir(parents=True, exist_ok=True)
        keep_rows(place / f"{name}{TAIL}", rows)


def _row(line: FlightLine) -> dict[str, object]:
    told = line.as_json()
    return {**told, **{name: json.dumps(told[name]) for name in _NESTED}}


def results_in(kept: ResultsKept) -> dict[tuple[str, str], FlightLine]:
    """The lines of a folder that answer the same question, by digest and name of the log."""
    found: dict[tuple[str, str], FlightLine] = {}
    for path in [] if kept.folder is None else sorted((kept.folder / RESULTS).glob(f"month=*/*{TAIL}")):
        for row in rows_in(path):
            if row.pop("asked", None) == kept.asked:
                parts = {name: json.loads(row[name]) for name in _NESTED if name in row}
                line = line_told({**row, **parts})
                found[line.sha256, line.log] = line
    return found
