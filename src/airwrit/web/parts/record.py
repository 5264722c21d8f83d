"""What the sheets of an aircraft and of a person begin with: the sentence, what to do in order, the lanes, the clauses.

They end with the history: newest first, a part of it unless all was asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.history.shown import HistoryLine, history_told, written_json
from airwrit.answers.record.record import SubjectRecord, ToDo, record_json
from airwrit.base.sentences import counted
from airwrit.base.verdict import Verdict
from airwrit.law import wording
from airwrit.law.aircraft.renewal import Window
from airwrit.web.draw.svg import Axis
from airwrit.web.draw.words import path_of
from airwrit.web.parts.acts import StepButton, button_for
from airwrit.web.parts.clauses import ClauseShown, clauses_of
from airwrit.web.parts.questions import QuestionForm, questions_for
from airwrit.web.parts.subject_list import mark_of
from airwrit.web.parts.timeline import LaneRow, lane_json, lane_rows, lanes_for
from airwrit.web.server.visit import Visit

_SHOWN = 40


class History(NamedTuple):
    """The statements shown, all of them, the address that shows all (empty when all are shown), and anchors.

    `anchors` gives the newest statement of each fact of the sheet's own subject a name to be linked to, by its number.
    """

    lines: tuple[HistoryLine, ...]
    told: tuple[HistoryLine, ...]
    all_at: str
    anchors: Mapping[str, str]

    @property
    def many(self) -> int:
        """How many statements there are."""
        return len(self.told)

    def has(self, anchor: str) -> bool:
        """Whether a fact can be linked to."""
        return anchor in self.anchors.values()


def history_for(visit: Visit, subject: str, around: Iterable[str]) -> History:
    """What was said of a subject and of those around it, as known at the moment asked about."""
    desk, asked = visit.desk, visit.asked
    with desk.opened() as book:
        known_at = desk.known_at(book, asked)
        told = history_told(book, (subject, *around), known_at, desk.clock().tzinfo)
    every = visit.query.get("history") == "all"
    shown = told if every else told[:_SHOWN]
    all_at = visit.link(visit.path + "#s11", history="all") if len(shown) < len(told) else ""
    return History(shown, told, all_at, _anchors(shown, subject))


def _anchors(lines: Iterable[HistoryLine], subject: str) -> dict[str, str]:
    newest: dict[str, str] = {}
    for line in lines:
        if line.subject == subject:
            newest.setdefault(f"f-{line.fact}", line.number)
    return {number: anchor for anchor, number in newest.items()}


class DoFirst(NamedTuple):
    """One thing to do, with the field of its question or the button of its next step."""

    what: ToDo
    ask: QuestionForm | None
    button: StepButton | None


@dataclass(frozen=True, slots=True)
class Opening:
    """The head of a record sheet, and the items that every record sheet has."""

    subject: str
    headline: str
    mark: Verdict | None
    because: str
    tally: str
    todo: tuple[DoFirst, ...]
    axis: Axis
    lanes: tuple[LaneRow, ...]
    clauses: tuple[ClauseShown, ...]
    beside: tuple[ClauseShown, ...]
    """clauses that nothing hangs on: of another use, or that do not apply"""
    history: History
    law_from: str
    law_to: str
    asks: tuple[QuestionForm, ...]
    """what else is asked about it, each with its field"""


def opening_of(
    visit: Visit,
    record: SubjectRecord,
    axis: Axis,
    anchors: Mapping[str, str],
    around: Sequence[str],
    window: Window | None = None,
) -> Opening:
    """The opening of a record; `around` are the other subjects whose history is told with it."""
    row, state = record.row, record.state
    clauses = clauses_of(record.findings, state, record.subject)
    first = [one for one in clauses if one.counts and one.verdict is not Verdict.NOT_APPLICABLE]
    read = [day for day in map(wording.read_on, record.findings) if day]
    deciding = None if row is None else row.deciding
    todo, asks = _with_fields(record, _asks(visit, record))
    return Opening(
        record.subject,
        "" if row is None else row.headline.value,
        None if row is None else mark_of(row),
        "" if deciding is None else wording.worded(deciding, state).says,
        tally_of(first),
        todo,
        axis,
        lane_rows(lanes_for(visit, record.subject, axis), axis, state, anchors, window),
        tuple(first),
        tuple(one for one in clauses if one not in first),
        history_for(visit, record.subject, around),
        str(min(read, default="")),
        str(max(read, default="")),
        asks,
    )


def _with_fields(
    record: SubjectRecord, asks: Sequence[QuestionForm]
) -> tuple[tuple[DoFirst, ...], tuple[QuestionForm, ...]]:
    """What to do, each with its field or its button; and the questions that are left over."""
    left = {(one.fact, one.word): one for one in asks}
    todo = []
    for one in record.todo:
        fact = wording.missing_fact(one.finding, record.state)
        ask = None if fact is None else left.pop((fact.key.name, ""), None)
        todo.append(DoFirst(one, ask, None if ask else button_for(one.finding, record.state)))
    return tuple(todo), tuple(left.values())


def _asks(visit: Visit, record: SubjectRecord) -> tuple[QuestionForm, ...]:
    """The questions that are open about a subject, with their fields; an answer may hold for others too."""
    gaps = [gap for gap in record.standing.gaps if record.subject in gap.holds_up]
    return questions_for(visit, gaps, record.state, path_of(record.subject), record.subject)


def tally_of(clauses: Sequence[ClauseShown]) -> str:
    """How many requirements are met, as a sentence; what is not is said first of all above it."""
    if not clauses:
        return "No rule applies on this day."
    many = {verdict: sum(one.verdict is verdict for one in clauses) for verdict in Verdict}
    told = [
        f"{many[Verdict.MET]} of {counted(len(clauses), 'requirement')} {'is' if len(clauses) == 1 else 'are'} met."
    ]
    if many[Verdict.NOT_MET]:
        told.append(f"{many[Verdict.NOT_MET]} not met.")
    if many[Verdict.UNKNOWN]:
        told.append(f"We can't tell yet about {many[Verdict.UNKNOWN]}.")
    return " ".join(told)


def opening_json(record: SubjectRecord, opening: Opening) -> Json:
    """The record as a document, with its lanes and its history."""
    return {
        **record_json(record),
        "lanes": [lane_json(lane) for lane in opening.lanes],
        "history": [written_json(one) for one in opening.history.told],
    }
