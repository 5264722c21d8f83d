"""The check of a flown flight on paper: the answer, the track, the height over time, rule by rule, what the log can't show."""

from __future__ import annotations

import re
from pathlib import Path

from markupsafe import Markup

from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.view import FlownClauseShown, IntervalShown, flown_view
from airwrit.answers.document import CAUTION
from airwrit.answers.drawings.profile import height_drawing, strip_drawing
from airwrit.answers.drawings.track import flown_map
from airwrit.base.sentences import with_days
from airwrit.law.parameters import late_reading
from airwrit.papers.typeset import Json, paper_name, pdf_of, printable

TEMPLATE = "flown.typ"
_FACE = "font:13px 'Atkinson Hyperlegible'"
_HATCH = (
    '<pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(40)">'
    '<path d="M0 0v5" stroke="#000" stroke-width="2.4"/></pattern>'
)
_LOOKS = (
    "path,rect{fill:none;stroke:#000}line{stroke:#000}.halo{stroke:#fff;stroke-width:7}"
    ".flight{stroke-width:1.5;stroke-dasharray:7 4}.controlled{stroke-width:1.75;stroke-dasharray:8 5}"
    ".notice{stroke-width:2}.other{stroke-width:1.25;stroke-dasharray:2 4}"
    ".cell{stroke-width:1;stroke-dasharray:1 4}.track{stroke-width:1.75}.past{stroke:url(#hatch);stroke-width:16}"
    ".in-doubt,.open{stroke-width:4;stroke-dasharray:0 8;stroke-linecap:round}.takeoff{stroke-width:2.5}"
    f"text{{fill:#000;stroke:none;{_FACE}}}.number,.degrees,.middle{{text-anchor:middle}}"
    ".name,.past-number,.doubt-number,.strong{font-weight:700}.figure,.at-end{text-anchor:end}"
    ".level{stroke:#ccc}.doubt-band{fill:#ddd;stroke:none}.limit{stroke-width:1.5;stroke-dasharray:8 5}"
    ".curve{stroke-width:2}.ground{stroke:#666;stroke-width:1.25}.over{fill:url(#hatch);stroke:none}"
    ".held{stroke-width:3}.post{stroke-width:2.5}.blank{fill:#fff;stroke:none}"
)
_UNSEEN = re.compile(r' role="img"| aria-label="[^"]*"| aria-hidden="true"')
_STRIP = 'width="640" height="18"'


def flown_pdf(answer: FlownAnswer, airspace: Path | None = None) -> bytes:
    """The check as PDF: the same answer gives the same bytes."""
    day = answer.plan.starts.astimezone(answer.plan.zone.info).date()
    height, view = height_drawing(answer), flown_view(answer)
    data: Json = {
        "title": printable(f"Flight check {answer.track.name}", 110),
        "program": "airwrit",
        "day": with_days(day.isoformat()),
        "paper": paper_name(),
        "foot": printable(f"flight check {answer.track.name}", 110),
        "scope": view.scope,
        "caution": CAUTION,
        "late": late_reading(day),
        "says": printable(" ".join(view.whole), 600),
        "flown": printable(view.flown, 200),
        "digest": answer.track.digest,
        "map": _picture(flown_map(answer, airspace)),
        "height": "" if height is None else _picture(height.drawn),
        "above_ground": height is not None and height.above_ground,
        "height_says": [printable(line, 300) for line in view.heights],
        "figures": [printable(line, 200) for line in view.figures],
        "intervals": [_interval(one) for one in view.intervals],
        "rules": [
            {"title": title, "rows": [_rule(one, answer) for one in mine]} for title, mine in view.clauses
        ],
        "cant": [{"title": printable(title, 160), "says": printable(says, 900)} for title, says in view.cant],
        "assumed": [printable(line, 300) for line in (*view.assumed, *view.problems)],
        "now": [printable(line, 300) for line in view.now],
    }
    return pdf_of(TEMPLATE, data, day)


def _picture(drawn: Markup) -> str:
    """A drawing with its looks inside, black on white, as a picture of its own."""
    head, rest = _UNSEEN.sub("", str(drawn)).split(">", 1)
    return f'{head} xmlns="http://www.w3.org/2000/svg"><style>{_LOOKS}</style>{_HATCH}{rest}'


def _interval(one: IntervalShown) -> Json:
    return {
        "number": str(one.number),
        "sign": one.verdict.value,
        "when": one.when,
        "more": ", ".join(filter(None, (one.lasts, one.utc))),
        "what": printable(one.what, 160),
        "says": printable(one.says, 200),
        "cites": one.cites,
    }


def _rule(one: FlownClauseShown, answer: FlownAnswer) -> Json:
    return {
        "sign": one.clause.verdict.value,
        "title": printable(one.title, 120),
        "says": printable(with_days(one.says), 300),
        "cites": printable(one.cites, 80),
        "strip": _picture(strip_drawing(answer.strip(one.clause), answer, _STRIP)),
    }
