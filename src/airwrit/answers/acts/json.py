"""Acts, what they put on record, what they cause, and two futures side by side, as JSON documents."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from airwrit.answers.acts.act import Act
from airwrit.answers.acts.catalog import ActPlanned
from airwrit.answers.acts.changes import change_json, change_of, changed_in, code_of
from airwrit.answers.acts.plan import Effects, HeadlineChange, Shift, double_text
from airwrit.answers.acts.whatif import WhatIf, sides
from airwrit.answers.acts.withdrawal import TakenBack
from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.due.deadlines import deadline_json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.registration.fees import Fee
from airwrit.answers.sheets.difference import TAKE_BACK
from airwrit.answers.sheets.json import contradiction_json, said_json, taking_json
from airwrit.answers.standing.json import report_json
from airwrit.answers.standing.report import Report


def act_json(act: Act) -> Json:
    """An act with its fields, as a form is made of them."""
    return {
        "act": act.name,
        "about": act.about,
        "meaning": act.meaning,
        "subject_may_be_new": act.may_be_new,
        "fields": [
            {
                "name": field.name,
                "question": field.asks,
                "kind": "choice" if field.words and field.kind is not bool else _KINDS[field.kind],
                "unit": field.unit or None,
                "names": field.names or None,
                "choices": list(field.words),
                "required": field.required,
                "may_be_new": field.may_be_new,
            }
            for field in act.fields
        ],
    }


_KINDS = {str: "text", bool: "yes or no", date: "day", Decimal: "number"}


def deed_json(deed: ActPlanned) -> Json:
    """An act as it would be kept."""
    return {
        "act": deed.act.name,
        "subject": deed.subject,
        "on": deed.on.isoformat(),
        "told": dict(deed.told),
        "statements": [said_json(one) for one in deed.statements],
        "new_subjects": list(deed.new),
    }


def taken_back_json(found: TakenBack, effects: Effects) -> Json:
    """An entry taken back: what that writes and what it changes."""
    return {
        **taking_json(found.taking),
        "question": "record",
        "act": TAKE_BACK,
        "entry": found.entry,
        "entry_act": found.act,
        "replaced": found.replaced,
        "effects": effects_json(effects, changed_in(found.taking)),
        **ON_PAPERS,
    }


def effects_json(effects: Effects, about: Sequence[str] = ()) -> Json:
    """What a change causes on one day: told for people as `change`, then all that differs."""
    before, after = effects.usd
    return {
        "on": effects.on.isoformat(),
        **reading_json(effects.on),
        "change": change_json(change_of(effects, about)),
        "duties": [deadline_json(one) for one in effects.appear],
        "duties_gone": [deadline_json(one) for one in effects.go],
        "duties_moved": [
            {**deadline_json(one.after), "day_before": one.before.day.isoformat()} for one in effects.moved
        ],
        "headlines": [_turn(one) for one in effects.turns],
        "verdicts": [_shift(one) for one in effects.shifts],
        "at_once": [
            {
                "key": one.key.name,
                "value": one.value,
                "subjects": list(one.subjects),
                "says": double_text(one),
            }
            for one in effects.doubles
        ],
        "fees": {
            "before_usd": format(before, "f"),
            "after_usd": format(after, "f"),
            "added": [_fee(fee) for fee in effects.fees],
            "gone": [_fee(fee) for fee in effects.fees_gone],
        },
    }


def _turn(one: HeadlineChange) -> Json:
    return {
        "subject": one.subject,
        "before": code_of(one.before),
        "after": code_of(one.after),
        "because": one.because or None,
        "do_first": one.do or None,
    }


def _shift(one: Shift) -> Json:
    return {
        "subject": one.subject,
        "rule": one.rule,
        "use": one.use or None,
        "before": None if one.before is None else one.before.value,
        "after": None if one.after is None else one.after.value,
        "says": one.says,
        "do": one.do or None,
        "cites": "; ".join(one.cites),
    }


def _fee(fee: Fee) -> Json:
    return {
        "kind": fee.kind.value,
        "subjects": list(fee.subjects),
        "act": fee.act.value,
        "by": None if fee.by is None else fee.by.isoformat(),
        "usd": format(fee.usd, "f"),
    }


def whatif_json(found: WhatIf) -> Json:
    """Two futures side by side on each day asked about."""
    report = found.futures[0].after.report
    told = report_json(Report("whatif", report.state, (), (), report.problems, report.sources))
    return {
        "question": "whatif",
        "on": told["on"],
        "known_at": told["known_at"],
        "verdict": found.verdict.value,
        "acts": [deed_json(deed) for deed in found.deeds],
        "contradictions": [contradiction_json(one) for one in found.contradictions],
        "futures": [
            {
                **effects_json(future, [deed.subject for deed in found.deeds]),
                "verdict_before": future.before.report.verdict.value,
                "verdict_after": future.after.report.verdict.value,
                "rows": [
                    {
                        "subject": side.subject,
                        "before": code_of(side.without),
                        "after": code_of(side.with_it),
                    }
                    for side in sides(future)
                ],
            }
            for future in found.futures
        ],
        "problems": told["problems"],
        "sources": told["sources"],
        **ON_PAPERS,
    }
