"""Many flights at once: a line for each, worst first, with what they add up to by aircraft, pilot, battery and month."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from hashlib import sha256
from pathlib import PurePath
from types import MappingProxyType
from typing import Any, NamedTuple

from airwrit.answers.after_flight.flown import ClauseFrom, FlownAnswer, FlownWhole
from airwrit.answers.after_flight.matching import Aloft, aircraft_in_name, aloft_together
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion
from airwrit.answers.after_flight.view import (
    clause_text,
    difference_lines,
    not_ok_lines,
    serial_lines,
    title_text,
    whole_lines,
    words,
)
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.document import CAUTION, Json
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict, worst_of
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.geo.earth import M_PER_FT
from airwrit.house.rules import row_of
from airwrit.law.parameters import last_read
from airwrit.tracks.readers.reading import LogAnswers

_NAMES = ("Remote ID", "Washington")
_RANK = {FlownWhole.PAST_LIMITS: 0, FlownWhole.CANT_TELL: 1, FlownWhole.NOTHING_SHOWN: 2}


class FlightLine(NamedTuple):
    """One flight of many: its log with its digest, the day, the answer in a word, how much is past or in doubt, and figures.

    A log that couldn't be read has its reason in `refused`. `over` is how far it went past a limit, as a share of that.
    `flight` is the planned flight it was of, `differs` what was flown otherwise. `verdicts` are those of every clause by name.
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
    flight: str = ""
    differs: tuple[str, ...] = ()
    aircraft: str = ""
    pilot: str = ""
    packs: tuple[str, ...] = ()
    verdicts: Mapping[str, str] = MappingProxyType({})
    file: str = ""
    """where the log is in its folder; of an archive nothing"""
    copy_of: str = ""
    """the same log elsewhere in the folder, which counts in its place"""
    landed: str = ""
    """the moment it landed, in UTC; "" where the log tells no clock"""
    same_as: str = ""
    """another log that is of the same flight by its aircraft and hours, which counts in the totals in its place"""
    not_ok: tuple[str, ...] = ()
    """that the aircraft or the pilot was not OK to fly that day, in sentences"""

    def as_json(self) -> Json:
        """The line as a document."""
        return {
            **self._asdict(),
            "differs": list(self.differs),
            "packs": list(self.packs),
            "not_ok": list(self.not_ok),
            "verdicts": dict(self.verdicts),
        }

    @property
    def aloft(self) -> Aloft | None:
        """When it landed and its minutes; None where the log doesn't tell both."""
        if not self.landed or self.minutes is None:
            return None
        return datetime.fromisoformat(self.landed), Decimal(repr(self.minutes))

    @property
    def month(self) -> str:
        """The month it was flown in."""
        return self.on[:7]

    @property
    def rank(self) -> tuple[int, int, float, int, str, int]:
        """Worst first; what couldn't be read comes after what went past a limit, copies come last."""
        place = (
            9
            if self.copy_of
            else 1
            if self.refused
            else 2 * _RANK.get(FlownWhole(self.whole), 1)
            if self.whole
            else 1
        )
        return (place, -self.past, -self.over, -self.doubt, self.log, self.number)


class FlownTotal(NamedTuple):
    """What the logs of an aircraft, pilot or battery add up to; logs without a flight in them count for nothing."""

    flights: int
    minutes: float
    landings: int

    @property
    def hours(self) -> str:
        """The minutes as hours to a tenth."""
        return f"{self.minutes / 60:.1f}"


class ManyFlights(NamedTuple):
    """The lines, worst first, and the planned flights of these days that no log is of."""

    lines: tuple[FlightLine, ...]
    without_log: tuple[str, ...] = ()

    @property
    def flights(self) -> tuple[FlightLine, ...]:
        """The lines without those of copies."""
        return tuple(one for one in self.lines if not one.copy_of)

    @property
    def verdict(self) -> Verdict:
        """The worst of all; a log that couldn't be read is unknown, and so is nothing at all."""
        return worst_of({Verdict(one.verdict) for one in self.lines})

    @property
    def totals(self) -> Mapping[str, Mapping[str, FlownTotal]]:
        """Flights, minutes and landings by aircraft, pilot and battery, as the logs or their plans name them.

        A log of a flight that another log is of too counts for nothing.
        """
        found: dict[str, dict[str, FlownTotal]] = {"aircraft": {}, "pilot": {}, "battery": {}}
        for one in self.lines:
            if one.minutes is None or one.same_as:
                continue
            names = (
                ("aircraft", one.aircraft),
                ("pilot", one.pilot),
                *(("battery", pack) for pack in one.packs),
            )
            for kind, name in names:
                if name:
                    was = found[kind].get(name, FlownTotal(0, 0.0, 0))
                    minutes = round(was.minutes + one.minutes, 1)
                    found[kind][name] = FlownTotal(was.flights + 1, minutes, was.landings + one.landings)
        return {kind: dict(sorted(mine.items())) for kind, mine in found.items()}

    @property
    def months(self) -> Mapping[str, tuple[int, int, int]]:
        """For each month how many flights, how many past a limit, and how many this can't tell of."""
        found: dict[str, list[int]] = {}
        for one in self.flights:
            row = found.setdefault(one.month, [0, 0, 0])
            row[0] += 1
            row[1] += one.past > 0
            row[2] += not one.past and (
                one.open > 0 or one.whole == FlownWhole.CANT_TELL.value or bool(one.refused)
            )
        return {month: (row[0], row[1], row[2]) for month, row in sorted(found.items())}


def aircraft_of(program: Program) -> tuple[str, ...]:
    """The aircraft on file."""
    subjects = {item.statement.subject for item in program.known}
    return tuple(sorted(one for one in subjects if kind_of(one) == "aircraft"))


def with_aircraft(asked: FlownQuestion, log: str, aircraft: Sequence[str]) -> FlownQuestion:
    """The question with the aircraft that the name of a log or its folder names, where none was told."""
    if asked.aircraft:
        return asked
    return asked._replace(aircraft=aircraft_in_name(PurePath(log), aircraft), by_name=True)


def refused_line(name: str, digest: str, number: int, fault: AirwritError) -> FlightLine:
    """The line of a log that couldn't be read, or not be checked."""
    unknown = Verdict.UNKNOWN.value
    return FlightLine(name, digest, number, "", unknown, "", 0, 0, 0, 0.0, None, None, 0, "", fault.says)


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
        " ".join(
            [
                *(whole_lines(answer) if answer.past or not answer.open else _open_lines(answer)),
                *serial_lines(answer),
            ]
        ),
        "",
        "" if answer.planned is None else id_of(answer.planned.subject),
        tuple(_differences(answer)),
        id_of(plan.aircraft) if plan.aircraft else "",
        id_of(plan.pilot) if plan.pilot else "",
        () if answer.planned is None else answer.planned.plan.packs,
        dict(_verdicts(answer)),
        landed=_landed(answer),
        not_ok=tuple(not_ok_lines(answer)),
    )


def _landed(answer: FlownAnswer) -> str:
    """The moment it landed, in UTC; "" without a clock."""
    if answer.path.track.utc_us is None:
        return ""
    return answer.plan.ends.astimezone(UTC).isoformat(timespec="seconds")


def line_text(one: FlightLine) -> str:
    """A flight in a sentence or more: what it went past, or why it couldn't be read, and what was planned otherwise."""
    text = words()["many"]
    code = "past_one" if one.past == 1 else one.whole
    says = one.refused or one.says or text[code].format(past=one.past, over=round(one.over * 100))
    if one.same_as:
        says = " ".join((says, text["same"].format(log=one.same_as)))
    if one.flight:
        says = " ".join((says, text["planned_as"].format(name=one.flight), *one.differs))
    return says


def many_text(many: ManyFlights) -> str:
    """How many flights were checked, how many of them went past a limit, and how many logs could not be checked."""
    text = words()["many"]
    refused = sum(bool(one.refused) for one in many.lines)
    counts = {
        "count": len(many.flights) - refused,
        "past": sum(bool(one.past) for one in many.lines),
        "refused": refused,
        "not_ok": sum(bool(one.not_ok) for one in many.lines),
    }
    codes = [f"flights_{_how_many(counts['count'])}"]
    codes += [f"past_{_how_many(counts['past'])}"] if counts["count"] else []
    codes += [f"not_ok_{_how_many(counts['not_ok'])}"] if counts["not_ok"] else []
    codes += [f"refused_{_how_many(refused)}"] if refused else []
    return " ".join(text[code].format_map(counts) for code in codes)


def _how_many(count: int) -> str:
    return f"{count}" if count < 2 else "n"


def total_text(name: str, total: FlownTotal) -> str:
    """What the logs of an aircraft, pilot or battery add up to."""
    text = words()["many"]
    line = text["total"] if total.flights != 1 else text["total_one"]
    return line.format(name=name, **total._asdict(), hours=total.hours)


def plan_lines(many: ManyFlights) -> list[str]:
    """How many flights were matched to a plan, and the planned flights without a log; nothing where there is no plan."""
    text, matched = words()["many"], sum(bool(one.flight) for one in many.lines)
    if not matched and not many.without_log:
        return []
    otherwise = sum(bool(one.differs) for one in many.lines)
    lines = [text["matched"].format(count=matched, of=len(many.flights), otherwise=otherwise)]
    if many.without_log:
        lines.append(text["without_log"].format(names=", ".join(many.without_log)))
    return lines


def _open_lines(answer: FlownAnswer) -> Iterator[str]:
    """That aircraft or pilot were not OK, and which limits the log can't tell about."""
    yield from not_ok_lines(answer)
    titles = ", ".join(_lower(title_text(one)) for one in answer.open)
    yield words()["many"]["open"].format(titles=titles)


def _lower(title: str) -> str:
    """A title inside a sentence; a name as it is."""
    is_name = ":" in title or title.startswith(_NAMES)
    return title[:1].lower() + title[1:] if title[1:2].islower() and not is_name else title


def _differences(answer: FlownAnswer) -> Iterator[str]:
    """What was flown otherwise than planned, in sentences; every flight has its clauses about the plan."""
    for one in answer.clauses:
        if one.source is ClauseFrom.PLAN and one.verdict is not Verdict.MET:
            yield clause_text(one, answer)
    yield from difference_lines(answer)


def _verdicts(answer: FlownAnswer) -> Iterator[tuple[str, str]]:
    """The verdict of every clause by its name, and of aircraft and pilot."""
    for one in answer.clauses:
        yield one.name, one.verdict.value
    rows = [row for row in (answer.aircraft, answer.pilot) if row is not None]
    for row, verdict in zip(rows, answer.standing_verdicts, strict=True):
        yield row.subject.partition("/")[0], verdict.value


def line_told(told: Json) -> FlightLine:
    """A line from its document. TypeError for what is none."""
    return FlightLine(
        **{**told, **{name: tuple(told.get(name, ())) for name in ("differs", "packs", "not_ok")}}
    )


def many_of(lines: Iterable[FlightLine], plans: Sequence[SavedFlight] = ()) -> ManyFlights:
    """Lines, worst first, and the planned flights between the first day and the last that none is of."""
    found = tuple(_each_flight_once(sorted(lines, key=lambda one: one.rank)))
    days = sorted(one.on for one in found if one.on)
    logged = {one.flight for one in found}
    missing = [
        id_of(one.subject)
        for one in plans
        if days
        and days[0] <= one.plan.starts.astimezone(one.plan.zone.info).date().isoformat() <= days[-1]
        and id_of(one.subject) not in logged
    ]
    return ManyFlights(found, tuple(missing))


def _each_flight_once(lines: Sequence[FlightLine]) -> Iterator[FlightLine]:
    """The lines; one whose aircraft was in the air at the same time by a longer log has that log's name."""
    counted: dict[str, list[tuple[Aloft, FlightLine]]] = {}
    first: dict[int, str] = {}
    for at in sorted(range(len(lines)), key=lambda at: -(lines[at].minutes or 0.0)):
        line, aloft = lines[at], lines[at].aloft
        if not line.aircraft or aloft is None:
            continue
        others = counted.setdefault(line.aircraft, [])
        same = next((one for when, one in others if aloft_together(when, aloft)), None)
        if same is None:
            others.append((aloft, line))
        else:
            first[at] = same.log
    for at, line in enumerate(lines):
        yield line._replace(same_as=first.get(at, ""))


def asked_digest(
    program: Program, asked: FlownQuestion, folders: FlownFolders, answers: LogAnswers | None = None
) -> str:
    """A digest of all that answers hang on beside the logs: records, your rules, the question, the folders, the law read.

    `answers` are what was told of the logs themselves, of which only the day it is doesn't count.
    """
    found = sha256()
    rules = [(one.name, one.document, repr(row_of(one))) for one in program.house]
    told = None if answers is None else replace(answers, today=date.min)
    for part in (FlightLine._fields, program.known, program.spoiled, rules, asked, last_read(), told):
        found.update(repr(part).encode())
    for folder in (folders.airspace, folders.terrain):
        files = sorted(folder.iterdir()) if folder is not None and folder.is_dir() else []
        found.update(repr([(one.name, one.stat().st_size) for one in files]).encode())
    return found.hexdigest()


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
        "flights": [one.as_json() for one in many.lines],
        "months": months,
        "without_log": list(many.without_log),
        "totals": {
            kind: [{"name": name, **one._asdict()} for name, one in mine.items()]
            for kind, mine in many.totals.items()
        },
        "problems": [],
        "caution": CAUTION,
    }
