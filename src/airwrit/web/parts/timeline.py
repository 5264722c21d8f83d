"""Lanes through time as drawings and as words: what held, what was broken, until when it will hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import NamedTuple

from markupsafe import Markup

from airwrit.answers.document import Json
from airwrit.answers.record.timeline import DaySpan, Lane, lanes_of, standing_on
from airwrit.answers.record.timeline import LaneSpan as Turned
from airwrit.base.days import add_months
from airwrit.base.sentences import VERDICT_WORDS, sentence
from airwrit.base.verdict import Verdict
from airwrit.facts.state import State
from airwrit.law.aircraft.renewal import Window
from airwrit.law.wording import worded
from airwrit.web.draw.svg import Axis, Life, LineSegment
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import DayAsked, circles_now, judged

_DAY = timedelta(days=1)
_PAST_TOLD = 2
_GONE = (Verdict.NOT_APPLICABLE, None)


class LaneChange(NamedTuple):
    """A stretch in words: its first day, its last day (None: goes on past the sheet), verdict, word and reason."""

    start: date
    last: date | None
    verdict: Verdict | None
    word: str
    says: str


class LaneRow(NamedTuple):
    """A lane: its name, the item of the sheet it points to, the drawing, this day's verdict, and all of it in words."""

    name: str
    anchor: str
    life: Life
    verdict: Verdict | None
    says: str
    turns: tuple[LaneChange, ...]


def four_years(on: date) -> Axis:
    """Sixteen quarters round a day: a little under three years past, a little over one to come."""
    quarter = on.replace(day=1, month=on.month - (on.month - 1) % 3)
    return Axis(add_months(quarter, -33), add_months(quarter, 15), on)


def years_ahead(on: date) -> Axis:
    """Twelve quarters from that of a day on, and the rest of its own: three years and a little."""
    quarter = on.replace(day=1, month=on.month - (on.month - 1) % 3)
    return Axis(quarter, add_months(quarter, 39), on)


def two_and_one(on: date) -> Axis:
    """The 24 calendar months before the month of a day, and twelve from it on."""
    month = on.replace(day=1)
    return Axis(add_months(month, -24), add_months(month, 12), on)


def lanes_for(visit: Visit, subject: str, axis: Axis) -> tuple[Lane, ...]:
    """The lanes of a subject along an axis, kept while nothing behind them changes."""
    desk, asked, house = visit.desk, visit.asked, visit.desk.house()
    with desk.opened() as book:
        known_at = desk.known_at(book, asked)
        basis = desk.basis_of(book, asked, house)
    span, circles = DaySpan(axis.start, axis.until), circles_now(desk)

    def work() -> tuple[Lane, ...]:
        return lanes_of(circles.known_around(subject), subject, span, known_at, house.rules)

    return desk.once(("lanes", subject, axis, asked.question), basis, lambda: judged(work))


def lane_rows(
    lanes: Sequence[Lane], axis: Axis, state: State, anchors: Mapping[str, str], window: Window | None = None
) -> tuple[LaneRow, ...]:
    """The lanes that say anything, each with its drawing and its words; `window` is drawn under the registration."""
    rows = []
    for lane in lanes:
        if all(stretch.verdict in _GONE for stretch in lane.stretches):
            continue
        renew = window if lane.name == "Registration" else None
        now = standing_on(lane, axis.now)
        rows.append(
            LaneRow(
                lane.name,
                anchors.get(lane.name, ""),
                life_of(lane, axis, renew),
                None if now is None else now.verdict,
                _says(lane, now, axis, state),
                turns_of(lane, axis, state),
            )
        )
    return tuple(rows)


def life_of(lane: Lane, axis: Axis, window: Window | None = None) -> Life:
    """The drawing of a lane. Of days to come only what will hold is drawn: the post says where that ends."""
    drawn: list[LineSegment] = []
    posts: list[date] = []
    if window is not None:
        drawn.append(LineSegment("renew", window.opens, window.closes + _DAY))
    for one in _merged(lane.stretches):
        drawn += _drawn(one, axis)
        if one.verdict is Verdict.MET and one.until < axis.until:
            posts.append(one.until - _DAY)
    last = lane.stretches[-1]
    return Life(tuple(drawn), tuple(posts), last.verdict is Verdict.MET and last.until >= axis.until)


def _merged(stretches: Sequence[Turned]) -> list[Turned]:
    """Stretches of one verdict put together, whatever decided them."""
    found: list[Turned] = []
    for one in stretches:
        if found and found[-1].verdict is one.verdict:
            found[-1] = found[-1]._replace(until=one.until)
        else:
            found.append(one)
    return found


def _drawn(one: Turned, axis: Axis) -> list[LineSegment]:
    tomorrow = axis.now + _DAY
    past, ahead = min(one.until, tomorrow), max(one.start, tomorrow)
    if one.verdict is Verdict.MET:
        found = [LineSegment("held", one.start, past)] if one.start < past else []
        return found + ([LineSegment("holds", ahead, one.until)] if ahead < one.until else [])
    kind = {Verdict.NOT_MET: "broken", Verdict.UNKNOWN: "unknown"}.get(one.verdict or Verdict.MET)
    return [LineSegment(kind, one.start, past)] if kind and one.start < past else []


def _word(verdict: Verdict | None) -> str:
    return "nothing on record" if verdict is None else VERDICT_WORDS[verdict]


def turns_of(lane: Lane, axis: Axis, state: State) -> tuple[LaneChange, ...]:
    """Every stretch of a lane in words; neighbors that read the same are one."""
    told: list[LaneChange] = []
    for one in lane.stretches:
        last = None if one.until >= axis.until else one.until - _DAY
        turn = LaneChange(one.start, last, one.verdict, _word(one.verdict), _why(one, axis, state))
        if told and told[-1][2:] == turn[2:]:
            told[-1] = told[-1]._replace(last=last)
        else:
            told.append(turn)
    return tuple(told)


def _why(one: Turned, axis: Axis, state: State) -> str:
    """Why a stretch stands as it does. Facts are filled in from the day shown, so only stretches of that day are told."""
    if one.finding is None or one.verdict in (*_GONE, Verdict.MET):
        return ""
    if one.start <= axis.now < one.until:
        return worded(one.finding, state).says
    return one.finding.rule.name.replace("_", " ")


def _says(lane: Lane, now: Turned | None, axis: Axis, state: State) -> str:
    """What the line shows, in one sentence or two."""
    if now is None:
        return "Outside the dates we checked."
    since = next(one.start for one in _merged(lane.stretches) if one.start <= axis.now < one.until)
    told = [sentence(_now_says(now, axis, state))]
    if now.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN) and since > axis.start:
        told[0] = f"Since {since}: {told[0]}"
    against = [
        one
        for one in _merged(lane.stretches)
        if one.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN) and one.until <= since
    ]
    told += [sentence(f"{_word(one.verdict)} {_span_words(one, axis)}") for one in against[-_PAST_TOLD:]]
    more = len(against) - _PAST_TOLD
    return " ".join(told) + (f" {more} more such spans before that." if more > 0 else "")


def _span_words(one: Turned, axis: Axis) -> str:
    last = one.until - _DAY
    if one.start == axis.start:
        return f"until {last}"
    return f"on {last}" if one.start == last else f"from {one.start} to {last}"


def _now_says(now: Turned, axis: Axis, state: State) -> str:
    ends = now.until < axis.until
    if now.verdict is Verdict.MET:
        return f"until {now.until - _DAY}" if ends else "continues past this page"
    if now.verdict in _GONE:
        return _word(now.verdict)
    return "" if now.finding is None else worded(now.finding, state).says


def bands(axis: Axis) -> Markup:
    """The symbol behind each line of a record sheet: every second half year shaded."""
    starts = [first for first, _, _ in axis.months() if first.month in (1, 7)]
    edges = [axis.start, *(day for day in starts if day > axis.start), axis.until]
    shaded = [
        Markup('<rect x="{}%" width="{}%" height="100%"/>').format(
            axis.at(left), round(axis.at(right) - axis.at(left), 2)
        )
        for left, right in pairwise(edges)
        if left.month > 6
    ]
    return Markup('<symbol id="months" class="band">{}</symbol>').format(Markup("").join(shaded))


_QUARTERS = {1: "Jan", 4: "Apr", 7: "Jul", 10: "Oct"}


def quarter_axis(axis: Axis, asked: DayAsked, path: str) -> Markup:
    """The scale over the lanes: quarters, each a link that turns the sheet to its first day, and the day shown."""
    parts = [Markup('<span class="axis quarters"><svg>')]
    for first, left, _ in axis.months():
        if first.month not in _QUARTERS:
            continue
        if first.month == 1:
            parts.append(Markup('<text x="{}%" y="40%">{}</text>').format(left, first.year))
        parts.append(
            Markup('<a href="{}" tabindex="-1" aria-label="{}"><text x="{}%" y="92%"{}>{}</text></a>').format(
                asked.link(path, first),
                f"Turn to {first}",
                left,
                Markup("") if first.month == 1 else Markup(' class="q"'),
                _QUARTERS[first.month],
            )
        )
    now = Markup('<line class="now" x1="{0}%" x2="{0}%" y1="60%" y2="100%"/>').format(axis.at(axis.now))
    return Markup("").join([*parts, now, Markup("</svg></span>")])


def lane_json(row: LaneRow) -> Json:
    """A lane as part of a document."""
    return {
        "lane": row.name,
        "verdict": None if row.verdict is None else row.verdict.value,
        "says": row.says,
        "stretches": [
            {
                "from": turn.start.isoformat(),
                "to": None if turn.last is None else turn.last.isoformat(),
                "verdict": None if turn.verdict is None else turn.verdict.value,
                "why": turn.says,
            }
            for turn in row.turns
        ],
    }
