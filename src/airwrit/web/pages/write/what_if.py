"""What if: up to three acts tried without writing, two futures side by side; all of it lies in the address."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple
from urllib.parse import parse_qsl, quote, unquote, urlencode

from airwrit.answers.acts.act import Act
from airwrit.answers.acts.catalog import ACTS, BY_NAME, ActRequest, fields_shown, subjects_named
from airwrit.answers.acts.changes import SideBySide, side_by_side
from airwrit.answers.acts.json import whatif_json
from airwrit.answers.acts.plan import Basis, Effects
from airwrit.answers.acts.whatif import WhatIf, sides, whatif
from airwrit.base.days import parse_day
from airwrit.base.errors import BadFact, UsageError
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.web.parts.acts import (
    DAY,
    FieldForm,
    field_at_fault,
    field_shown,
    suggested,
    thought_of,
    wrong_in,
)
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_now, judged

MOST = 3
_LONGEST, _LISTED = 2_000, 500


class Tried(NamedTuple):
    """An act that is tried: what it is, and the addresses that leave it out and that really write it."""

    act: str
    subject: str
    on: str
    told: tuple[tuple[str, str], ...]
    without: str
    write: str


class FuturePage(NamedTuple):
    """One day in both futures, in two columns, and how many stand alike in both."""

    day: date
    rows: tuple[SideBySide, ...]
    same: int


@dataclass(frozen=True, slots=True)
class WhatIfPage:
    """The whole page."""

    tried: tuple[Tried, ...]
    carried: tuple[str, ...]
    acts: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    subjects: tuple[str, ...]
    chosen: str
    meaning: str
    about: str
    fields: tuple[FieldForm, ...]
    form: Typed
    then: str
    futures: tuple[FuturePage, ...]
    notes: tuple[str, ...]


class ActTried(NamedTuple):
    """An act carried in an address: its name, its subject, and what was typed."""

    act: Act
    subject: str
    values: Mapping[str, str]

    @property
    def text(self) -> str:
        """As one part of an address."""
        return urlencode({"act": self.act.name, "of": self.subject, **self.values})

    @property
    def thought(self) -> ActRequest:
        """As the answers take it."""
        return thought_of(self.act, self.subject, self.values)


def show(visit: Visit) -> Answer:
    """The acts tried and the two futures; the form of one more act."""
    state = visit.desk.standing(visit.asked).report.state
    kept = _kept(visit.chosen.get("t", ()))
    act, subject = BY_NAME.get(visit.query.get("act", "")), unquote(visit.query.get("of", "")).strip()
    if act is None or len(kept) >= MOST:
        return _sheet(visit, state, kept)
    subject = subject if kind_of(subject) == act.about and id_of(subject) else f"{act.about}/{subject}"
    named = id_of(subject) in subjects_named(state, act.about) or act.may_be_new
    if not id_of(subject) or not named:
        wrong = {"of": f"no {act.about} has that name" if id_of(subject) else f"name the {act.about}"}
        return _sheet(visit, state, kept, act, subject, Typed({"of": id_of(subject)}, wrong))
    fields = fields_shown(act, state, subject)
    if not visit.query.get("try"):
        values = {DAY: visit.asked.on.isoformat(), **suggested(fields)}
        return _sheet(visit, state, kept, act, subject, Typed(values))
    values = {
        name: visit.query.get(name, "").strip() for name in (DAY, *(field.name for field in act.fields))
    }
    wrong = wrong_in(act, subject, values)
    new = ActTried(act, subject, {name: value for name, value in values.items() if value})
    if not wrong:
        try:
            _tried(visit, (*kept, new), (visit.asked.on,))
            return Redirect(_address(visit, (*kept, new)))
        except (UsageError, BadFact) as fault:
            wrong = {field_at_fault(act, fault): fault.says}
    return _sheet(visit, state, kept, act, subject, Typed(values, wrong))


def _kept(texts: Sequence[str]) -> tuple[ActTried, ...]:
    """The acts that an address carries; what is none is left out."""
    found = []
    for text in texts[:MOST]:
        told = dict(parse_qsl(text[:_LONGEST]))
        act = BY_NAME.get(told.pop("act", ""))
        subject = told.pop("of", "")
        if act is not None and kind_of(subject) == act.about and not wrong_in(act, subject, told):
            names = {DAY, *(field.name for field in act.fields)}
            found.append(ActTried(act, subject, {name: told[name] for name in told if name in names}))
    return tuple(found)


def _tried(visit: Visit, kept: Sequence[ActTried], days: Sequence[date]) -> WhatIf:
    desk, report = visit.desk, visit.desk.standing(visit.asked).report
    basis = Basis(report.problems, report.sources, desk.house().rules)
    held = held_now(desk)
    with desk.judging:
        return judged(lambda: whatif(held, [one.thought for one in kept], days, report.known_at, basis))


def _sheet(
    visit: Visit,
    state: State,
    kept: Sequence[ActTried],
    act: Act | None = None,
    subject: str = "",
    form: Typed | None = None,
) -> PageSheet:
    then = visit.query.get("then", "")
    notes, futures, found = [], tuple[FuturePage, ...](), None
    days = [visit.asked.on]
    if then:
        try:
            later = parse_day(then)
            days += [later] if later > visit.asked.on else []
            notes += [] if later > visit.asked.on else ["the later date has to come after this one"]
        except ValueError:
            notes.append(f"{then[:40]!r} isn't a date. Write it like 2026-05-31")
    if kept:
        try:
            found = _tried(visit, kept, days)
            futures = tuple(
                _future(day, effects, kept) for day, effects in zip(days, found.futures, strict=True)
            )
            notes += [f"{id_of(c.subject)} would have two values for {c.key}" for c in found.contradictions]
        except (UsageError, BadFact) as fault:
            notes.append(fault.says)
    fields = (
        () if act is None or (form is not None and "of" in form.wrong) else fields_shown(act, state, subject)
    )
    view = WhatIfPage(
        tuple(_line(visit, kept, number) for number in range(len(kept))),
        tuple(one.text for one in kept),
        _acts(),
        tuple(_subjects(state)),
        "" if act is None else act.name,
        "" if act is None else act.meaning,
        subject,
        tuple(field_shown(one) for one in fields),
        form or Typed(),
        then,
        futures,
        tuple(notes),
    )
    twin: dict[str, object] = {"question": "whatif"}
    return view.form.sheet(
        "what_if.html", "What if", view, lambda: twin if found is None else whatif_json(found)
    )


def _future(day: date, effects: Effects, kept: Sequence[ActTried]) -> FuturePage:
    """One day in both futures."""
    same = sum(side.without is side.with_it for side in sides(effects))
    return FuturePage(day, side_by_side(effects, [one.subject for one in kept]), same)


def _acts() -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    found: dict[str, list[tuple[str, str]]] = {}
    for act in ACTS:
        found.setdefault(act.about, []).append((act.name, act.meaning))
    return tuple((about, tuple(acts)) for about, acts in found.items())


def _subjects(state: State) -> list[str]:
    names = [id_of(one) for kind in dict.fromkeys(act.about for act in ACTS) for one in state.subjects(kind)]
    return list(dict.fromkeys(names))[:_LISTED]


def _line(visit: Visit, kept: Sequence[ActTried], number: int) -> Tried:
    one = kept[number]
    rest = [other for place, other in enumerate(kept) if place != number]
    told = tuple((name.replace("_", " "), value) for name, value in one.values.items() if name != DAY)
    write = f"/record-change/{one.act.name}/{quote(one.subject)}?{urlencode(one.values)}"
    return Tried(one.act.name, one.subject, one.values.get(DAY, ""), told, _address(visit, rest), write)


def _address(visit: Visit, kept: Sequence[ActTried]) -> str:
    then = visit.query.get("then", "")
    pairs = [
        *visit.asked.carried().items(),
        *(("t", one.text) for one in kept),
        *([("then", then)] if then else []),
    ]
    return "/what-if" + (f"?{urlencode(pairs)}" if pairs else "")
