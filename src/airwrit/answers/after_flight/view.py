"""The answer after a flight in sentences, for every face: the whole, each clause and interval, what a log can't show."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.after_flight.flown import (
    CantShow,
    ClauseFrom,
    FlownAnswer,
    FlownClause,
    FlownInterval,
    FlownWhole,
)
from airwrit.answers.site.authority_view import both
from airwrit.base.sentences import day_words, feet_text
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.vocabulary import id_of
from airwrit.geo.earth import M_PER_FT
from airwrit.law import wording

_M_PER_MILE = 1609.344
_LEAST_MILES, _WHOLE = 0.2, 0.99
_MPH_PER_KT = Decimal("1.150779")


@cache
def words() -> Mapping[str, Mapping[str, str]]:
    """The shipped words."""
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


def whole_lines(answer: FlownAnswer) -> list[str]:
    """The answer in a few sentences: the place somebody asks about, each limit it went past with its worst figure, doubts."""
    said, past = words()["whole"], answer.past
    lines = [clause_text(one, answer) for one in answer.clauses if one.name.partition(" ")[0] == "near_area"]
    if past:
        lines.append(said["past_one"] if len(past) == 1 else said["past"].format(count=len(past)))
        lines += [line for clause in past if (line := _peak_line(clause))]
    elif answer.whole is FlownWhole.NOTHING_SHOWN:
        lines.append(said["not_past"])
    lines += not_ok_lines(answer)
    asked = [one for one in answer.clauses if one in answer.open or (_counts(one) and one.past)]
    inside = dict.fromkeys(one.about for clause in asked for one in clause.surely_inside)
    lines += [said["inside_open"].format(about=about) for about in inside]
    doubts = sum(len(clause.too_close) for clause in asked)
    if doubts:
        codes = ("doubt_one", "doubt") if past else ("doubt_alone", "doubts_alone")
        lines.append(said[codes[doubts > 1]].format(count=doubts))
    if not past and _is_unread(answer):
        lines.append(said["not_read"])
    elif not past and answer.open:
        count = len(answer.open)
        lines.append(said["cant_tell_one"] if count == 1 else said["cant_tell"].format(count=count))
    if not past:
        lines.append(said["never_all"])
    return [*lines, *(said[code] for code in ("outside_us", "serial_other") if code in answer.assumed)]


def _is_unread(answer: FlownAnswer) -> bool:
    """Whether the law of that day was not read for height or speed."""
    found = (one.finding for one in answer.open if one.name in ("height_limit", "speed_limit"))
    return any(one is not None and one.outcome.why is Why.LAW_NOT_READ for one in found)


def _counts(clause: FlownClause) -> bool:
    return clause.source is not ClauseFrom.PLAN and clause.verdict is Verdict.NOT_MET


def not_ok_lines(answer: FlownAnswer) -> Iterator[str]:
    """That the aircraft or the pilot was not OK to fly that day."""
    rows = [row for row in (answer.aircraft, answer.pilot) if row is not None]
    for row, verdict in zip(rows, answer.standing_verdicts, strict=True):
        if verdict is Verdict.NOT_MET:
            yield words()["whole"]["standing"].format(name=id_of(row.subject), why=row.headline.value)


def _peak_line(clause: FlownClause) -> str:
    """The worst of a clause in a sentence; "" where it has no figure."""
    said = words()["peak"]
    name = (
        clause.name.rpartition(" ")[2] if clause.source is ClauseFrom.PAPER else clause.name.partition(" ")[0]
    )
    name = "house_place" if clause.code == "house_outside" else name
    worst = max(clause.past, key=lambda one: one.peak.best if one.peak else Decimal(0), default=None)
    if name not in said or worst is None or worst.peak is None:
        return ""
    about = id_of(worst.about) if clause.source is ClauseFrom.PAPER else worst.about
    limit = "" if worst.limit is None else size_text(worst.limit.best, worst.unit)
    return said[name].format(best=size_text(worst.peak.best, worst.unit), about=about, limit=limit)


def scope_text(answer: FlownAnswer) -> str:
    """What the answer rests on, with how often the log has a point."""
    said, count = words()["scope"], len(answer.path)
    lasts_s = float(answer.path.t_us[-1] - answer.path.t_us[0]) / 1e6 if count > 1 else 0.0
    rate = (count - 1) / lasts_s if lasts_s else 0.0
    if round(rate, 2) == 1:
        return said["says"].format(rate=said["each"])
    often = said["often"].format(rate=rate) if rate >= 1 or not rate else said["seldom"].format(rate=1 / rate)
    return said["says"].format(rate=often)


def title_text(clause: FlownClause) -> str:
    """What a clause is called."""
    said = words()["title"]
    if clause.source is ClauseFrom.PAPER:
        return said["paper"].format(about=id_of(clause.about), field=dict(clause.fields)["field"])
    name = clause.name.partition(" ")[0]
    fields = {"about": clause.about, **dict(clause.fields)}
    return said[name].format_map(fields) if name in said else name.replace("_", " ").capitalize()


def clause_text(clause: FlownClause, answer: FlownAnswer) -> str:
    """What a clause found, in a sentence."""
    said = words()["clause"]
    own = _own_code(clause)
    if own in said:
        best = "" if clause.best is None else size_text(clause.best.best, clause.unit)
        limit = "" if clause.limit is None else size_text(clause.limit.best, clause.unit)
        about = next((one.about for one in clause.intervals if one.about), "")
        fields = {"best": best, "limit": limit, "about": about, **dict(clause.fields)}
        if "at_us" in fields:
            fields["closest"] = closest_text(fields, answer)
        fields["lowest"] = lowest_text(fields, answer) if "low_us" in fields else ""
        return said[own].format_map(fields)
    if clause.finding is not None and clause.state is not None:
        return wording.worded(clause.finding, clause.state).says
    return dict(clause.fields).get("says", "")


def lowest_text(fields: Mapping[str, str], answer: FlownAnswer) -> str:
    """How low it was over an area, with the space before it."""
    said, at_us = words()["closest"], int(fields["low_us"])
    at = answer.at(at_us)
    code, height = ("above_ground", "agl_m") if "agl_m" in fields else ("above_takeoff", "takeoff_m")
    return said["lowest"].format(
        height=said[code].format(height=meters_text(float(fields[height]))).removeprefix(", "),
        doubt=meters_text(float(fields["low_doubt_m"])),
        when=f"{at_us / 1e6:.0f} s" if at is None else clock_text(at, answer),
    )


def closest_text(fields: Mapping[str, str], answer: FlownAnswer) -> str:
    """How close to an area it came, when, and how high it was then."""
    said, away, at_us = words()["closest"], float(fields["away_m"]), int(fields["at_us"])
    at, height = answer.at(at_us), ""
    for name, code in (("agl_m", "above_ground"), ("takeoff_m", "above_takeoff")):
        if name in fields:
            height = said[code].format(height=meters_text(float(fields[name])))
            break
    return said["says" if away > 0 else "over"].format(
        away=meters_text(away),
        doubt=meters_text(float(fields["doubt_m"])),
        when=f"{at_us / 1e6:.0f} s" if at is None else clock_text(at, answer),
        height=height,
    )


def _own_code(clause: FlownClause) -> str:
    """The code of our own words: of a paper's height and hours by what the track shows, else the clause's own."""
    if clause.source is not ClauseFrom.PAPER:
        return clause.code if clause.finding is None or clause.code != clause.finding.outcome.code else ""
    codes = {
        "too_high": "above_paper",
        "above_altitude": "above_paper_sea",
        "height_in_doubt": "paper_in_doubt",
        "height_agl_ft": "no_height",
        "authorization_over": "late",
        "authorization_not_yet": "early",
    }
    code = codes.get(clause.code, clause.code)
    if code in ("late", "early") and not clause.intervals:
        return ""
    return "under_paper" if code == "authorized" and clause.name.endswith(" height") else code


def cites_of(clause: FlownClause) -> str:
    """The section of law or the document of a clause; "" where it has none."""
    if clause.finding is None:
        return clause.cites
    if clause.finding.rule.document:
        return clause.finding.rule.document if clause.code in words()["clause"] else ""
    return clause.cites or wording.section(clause.finding)


def when_text(answer: FlownAnswer, one: FlownInterval) -> str:
    """From when to when an interval is: 9:18:42 to 9:18:51 AM MST; seconds of the log where it tells no day."""
    start, until = answer.at(one.start_us), answer.at(one.until_us)
    if start is None or until is None:
        return f"{one.start_us / 1e6:.0f} to {one.until_us / 1e6:.0f} s"
    return f"{_clock(start, answer)} to {clock_text(until, answer)}"


def clock_text(at: datetime, answer: FlownAnswer) -> str:
    """A moment by the clock of the place, to the second: 9:18:51 AM MST."""
    local = at.astimezone(answer.plan.zone.info)
    return f"{_clock(at, answer)} {'AM' if local.hour < 12 else 'PM'} {local:%Z}"


def _clock(at: datetime, answer: FlownAnswer) -> str:
    local = at.astimezone(answer.plan.zone.info)
    return f"{local.hour % 12 or 12}:{local:%M:%S}"


def utc_text(answer: FlownAnswer, one: FlownInterval) -> str:
    """The same in UTC; "" where the log tells no day."""
    start, until = answer.at(one.start_us), answer.at(one.until_us)
    return "" if start is None or until is None else f"{start:%H:%M:%S} to {until:%H:%M:%S} UTC"


class IntervalShown(NamedTuple):
    """An interval in words: its number, when in local time and UTC, how long, what it is of, by how much, and the section."""

    number: int
    verdict: Verdict
    when: str
    utc: str
    lasts: str
    what: str
    says: str
    cites: str


def intervals_shown(answer: FlownAnswer) -> list[IntervalShown]:
    """Every interval in order of time."""
    of = {one.number: clause for clause in answer.clauses for one in clause.intervals}
    return [_interval_shown(one, of[one.number], answer) for one in answer.intervals]


def _interval_shown(one: FlownInterval, clause: FlownClause, answer: FlownAnswer) -> IntervalShown:
    size = how_much_text(one)
    return IntervalShown(
        one.number,
        one.verdict,
        when_text(answer, one),
        utc_text(answer, one),
        lasts_text(one.lasts),
        one.about if clause.source is ClauseFrom.LAW and one.about else title_text(clause),
        f"{words()['interval']['cant_tell']}: {size}" if one.verdict is Verdict.UNKNOWN else size,
        cites_of(clause),
    )


def lasts_text(span: timedelta) -> str:
    """A length of time: 9 seconds, 4 min 5 s."""
    seconds = round(span.total_seconds())
    if seconds < 60:
        return "1 second" if seconds == 1 else f"{seconds} seconds"
    minutes, rest = divmod(seconds, 60)
    return f"{minutes} min {rest} s" if rest else f"{minutes} min"


def how_much_text(one: FlownInterval) -> str:
    """By how much an interval is past its limit, and what that may be off."""
    said, peak = words()["interval"], one.peak
    if peak is None or one.margin is None:
        plain = {"night_lights": "plain_night", "twilight_lights": "plain_twilight"}
        plain |= {"line_of_sight": "plain_sight", "standard_remote_id_not_disabled": "plain_remote_id"}
        return said[plain.get(one.clause, "plain_night")]
    size = size_text(abs(one.margin.value), one.unit)
    doubt = size_text(peak.high - peak.best, one.unit, other=False)
    kind = one.clause.rpartition(" ")[2]
    if one.unit == "min":
        return said["after" if kind == "end" else "before"].format(size=size)
    if one.limit is not None and one.limit.best == 0:
        word = "outside" if kind in ("place", "plan_area") else "inside"
        return said[word].format(size=size_text(peak.best, one.unit), doubt=doubt)
    if not one.sure:
        return said["under" if one.margin.value >= 0 else "over_doubt"].format(size=size, doubt=doubt)
    least = size_text(abs(one.margin.best), one.unit, other=False)
    return f"{said['over'].format(size=size)}, {said['least'].format(size=least)}"


def size_text(size: Decimal, unit: str, *, other: bool = True) -> str:
    """A figure in the unit of the law, the other unit in parentheses."""
    if unit == "ft":
        return both(size) if other else f"{feet_text(size)} ft"
    if unit == "kt":
        return (
            f"{feet_text(size)} kt ({feet_text(size * _MPH_PER_KT)} mph)"
            if other
            else f"{feet_text(size)} kt"
        )
    if unit == "min":
        seconds = round(size * 60)
        return lasts_text(timedelta(seconds=int(seconds)))
    return f"{feet_text(size)}{unit}"


def cant_title(one: CantShow) -> str:
    """What a log can't show, by name."""
    said = words()["cant_title"]
    return said.get(one.code) or said.get(one.rule) or one.rule.replace("_", " ").capitalize()


def cant_text(one: CantShow) -> str:
    """Why a log can't show it."""
    fields = dict(one.fields)
    far = meters_text(float(fields.get("far_m", 0)))
    after = lasts_text(timedelta(seconds=float(fields.get("after_s", 0))))
    return words()["cant"][one.code].format(far=far, after=after)


def cant_rows(answer: FlownAnswer) -> list[tuple[str, str]]:
    """What the log can't show: what there is something to say of, by title; all else together in the last row."""
    told = [(cant_title(one), cant_text(one)) for one in answer.cant_show if one.code != "not_in_a_log"]
    silent = [cant_title(one) for one in answer.cant_show if one.code == "not_in_a_log"]
    return told + ([(words()["heads"]["nobody"], ". ".join(silent) + ".")] if silent else [])


def clauses_from(answer: FlownAnswer, source: ClauseFrom) -> list[FlownClause]:
    """The clauses from one source, what is past its limit first."""
    order = (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE)
    mine = (one for one in answer.clauses if one.source is source)
    return sorted(mine, key=lambda one: order.index(one.verdict))


def assumed_lines(answer: FlownAnswer) -> list[str]:
    """What was taken for granted."""
    level, plan = answer.asked.doubts.level_ground_m, answer.plan
    fields = {
        "level": "" if level is None else meters_text(level),
        "plan": "" if answer.planned is None else id_of(answer.planned.subject),
        "plans": ", ".join(answer.plans_that_fit),
        "aircraft": id_of(plan.aircraft) if plan.aircraft else "",
        "serial": answer.serial.serial,
        "owners": ", ".join(map(id_of, answer.serial.aircraft)),
    }
    return [words()["assumed"][code].format_map(fields) for code in answer.assumed]


def serial_lines(answer: FlownAnswer) -> list[str]:
    """What the log's serial number says against the aircraft, or leaves open."""
    lines = zip(answer.assumed, assumed_lines(answer), strict=True)
    return [line for code, line in lines if code in {"serial_other", "serial_several", "serial_unknown"}]


def height_lines(answer: FlownAnswer) -> list[str]:
    """What the heights rest on, and what they may be off at the height that speaks most against the flight."""
    said, heights = words()["height"], answer.heights
    lines = [said[heights.based_on.value].format(rows=heights.ground_rows)]
    worst = next((one for one in answer.clauses if one.name == "height_limit" and one.best is not None), None)
    if worst is not None and worst.best is not None and worst.best_us is not None:
        at = int((answer.path.t_us < worst.best_us).sum())
        total, sensor = float(heights.agl_doubt_m[at]), float(heights.takeoff_doubt_m[at])
        if sensor == sensor and total >= sensor:  # noqa: PLR0124  NaN where it has no takeoff
            ground = (total**2 - sensor**2) ** 0.5
            lines.append(
                said["doubt"].format(
                    doubt=meters_text(total), sensor=meters_text(sensor), ground=meters_text(ground)
                )
            )
    if abs(heights.drift_m) >= 1:
        lines.append(said["drift"].format(drift=meters_text(abs(heights.drift_m))))
    return lines


def meters_text(meters: float) -> str:
    """Meters as feet, with meters behind them."""
    return both(Decimal(repr(round(meters / M_PER_FT, 1))))


def figures_lines(answer: FlownAnswer) -> list[str]:
    """The flight in figures."""
    said, figures = words()["figures"], answer.figures
    landings = said["landing"] if figures.landings == 1 else said["landings"].format(count=figures.landings)
    lasts = lasts_text(timedelta(minutes=figures.minutes or 0))
    miles = figures.length_m / _M_PER_MILE
    way = (
        said["miles"].format(miles=f"{miles:.1f}") if miles >= _LEAST_MILES else meters_text(figures.length_m)
    )
    landings = said["in_the_air"] if figures.ends_in_the_air else landings
    is_flight = figures.minutes or figures.ends_in_the_air
    lines = [said["flown" if is_flight else "never"].format(minutes=lasts, way=way, landings=landings)]
    if figures.highest_agl_m is not None:
        lines.append(said["highest"].format(best=meters_text(figures.highest_agl_m)))
    if figures.highest_takeoff_m is not None:
        lines.append(said["highest_takeoff"].format(best=meters_text(figures.highest_takeoff_m)))
    if figures.fastest_mps is not None:
        knots = Decimal(repr(round(figures.fastest_mps * 3600 / 1852, 1)))
        lines.append(said["fastest"].format(best=size_text(knots, "kt")))
    if figures.farthest_m is not None:
        lines.append(
            said["farthest"].format(best=meters_text(figures.farthest_m), place=figures.farthest_from)
        )
    if figures.coverage < _WHOLE:
        lines.append(said["coverage"].format(share=100 - int(100 * figures.coverage)))
    return lines


def now_lines(answer: FlownAnswer) -> list[str]:
    """What to do now."""
    said = words()["now"]
    return [said["past"], said["no_report"], said["hurt"]] if answer.past else [said["keep"], said["hurt"]]


def flown_text(answer: FlownAnswer) -> str:
    """Who flew what, on which day, from when to when."""
    plan = answer.plan
    who = " with ".join(id_of(one) for one in (plan.aircraft, plan.pilot) if one)
    local = plan.starts.astimezone(plan.zone.info)
    day = day_words(local.date())
    if answer.path.track.utc_us is None:
        return ", ".join(filter(None, (who, day)))
    span = f"{clock_text(plan.starts, answer)} to {clock_text(plan.ends, answer)}"
    return ", ".join(filter(None, (who, day, span)))


def difference_lines(answer: FlownAnswer) -> list[str]:
    """What was planned and what was flown, where the two differ."""
    said = words()["difference"]
    return [
        said["line"].format(what=said[one.what], planned=with_clock(one.planned), flown=with_clock(one.flown))
        for one in answer.differences
        if one.differs and one.flown
    ]


def with_clock(text: str) -> str:
    """A moment of a plan as people read a clock; another text as it is."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return text
    return f"{at.hour % 12 or 12}:{at:%M} {'AM' if at.hour < 12 else 'PM'}"


def problem_lines(answer: FlownAnswer) -> list[str]:
    """What is wrong with the log."""
    said = words()["problem"]
    return [
        said.get(one.code, said["line"]).format(
            code=one.code.replace("_", " "),
            detail=f": {one.detail}" if one.detail else "",
            plain_detail=one.detail,
            rows=one.rows,
            of_rows="1 row" if one.rows == 1 else f"{one.rows} rows",
            of_times="once" if one.rows == 1 else f"{one.rows} times",
        )
        for one in answer.problems
    ]


class FlownClauseShown(NamedTuple):
    """A clause in words: what it is called, what it found, and its section of law or document."""

    clause: FlownClause
    title: str
    says: str
    cites: str


class FlownView(NamedTuple):
    """All that the answer says, in the order of its sections; every face lays it out. `heads` are their headings."""

    heads: Mapping[str, str]
    whole: tuple[str, ...]
    flown: str
    scope: str
    intervals: tuple[IntervalShown, ...]
    clauses: tuple[tuple[str, tuple[FlownClauseShown, ...]], ...]
    differences: tuple[str, ...]
    cant: tuple[tuple[str, str], ...]
    figures: tuple[str, ...]
    heights: tuple[str, ...]
    assumed: tuple[str, ...]
    problems: tuple[str, ...]
    now: tuple[str, ...]


def flown_view(answer: FlownAnswer) -> FlownView:
    """What an answer shows; the clauses of each source under its name, what is past its limit first."""
    named = ((words()["source"][source.value], clauses_from(answer, source)) for source in ClauseFrom)
    return FlownView(
        words()["heads"],
        tuple(whole_lines(answer)),
        flown_text(answer),
        scope_text(answer),
        tuple(intervals_shown(answer)),
        tuple((name, tuple(clause_shown(one, answer) for one in mine)) for name, mine in named if mine),
        tuple(difference_lines(answer)),
        tuple(cant_rows(answer)),
        tuple(figures_lines(answer)),
        tuple(height_lines(answer)),
        tuple(assumed_lines(answer)),
        tuple(problem_lines(answer)),
        tuple(now_lines(answer)),
    )


def clause_shown(clause: FlownClause, answer: FlownAnswer) -> FlownClauseShown:
    """A clause in words."""
    return FlownClauseShown(clause, title_text(clause), clause_text(clause, answer), cites_of(clause))
