"""What taking out on request would do and did, as JSON; private values are null unless they were asked for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from airwrit.answers.removal.holds import hold_json
from airwrit.answers.removal.removal import Beyond, RemovalPlan, RemovalResult
from airwrit.answers.sheets.json import said_json
from airwrit.ledger.sqlite.blanking import Request

Json = dict[str, Any]


def taking_out_json(
    plan: RemovalPlan, request: Request, done: RemovalResult | None, *, private: bool = False
) -> Json:
    """What goes and stays, what is in the way or out of reach, whose request it was, and what was done."""
    return {
        "question": "blank",
        "about": plan.about,
        "request": {"asked_by": request.asked_by, "approved_by": request.approved_by, "why": request.why},
        "lines": [
            {
                "entry": line.entry.seq,
                "because": line.why,
                "statements": [
                    said_json(said, private=private)
                    for place, said in enumerate(line.entry.statements)
                    if place in line.places
                ],
                "stays": [
                    said_json(said, private=private)
                    for place, said in enumerate(line.entry.statements)
                    if place not in line.places
                ],
            }
            for line in plan.lines
        ],
        "files": [
            {
                "sha256": file.digest,
                "name": None if file.is_unnamed else file.name,
                "on": file.on.date().isoformat(),
                "because": file.why,
            }
            for file in plan.files
        ],
        "other_lines": [entry.seq for entry in plan.others],
        "not_searched": _beyond(plan.unread),
        "not_reached": _beyond(plan.beyond),
        "held_by": [{**hold_json(one.hold), "holds": one.what} for one in plan.blocked],
        "blanked": [line.entry.seq for line in plan.lines] if done else [],
        "kept": [entry.seq for entry in done.entries] if done else [],
        "found_in_bytes": done.is_found if done else None,
        "not_cleared": (done.trouble or None) if done else None,
    }


def _beyond(found: Iterable[Beyond]) -> list[Json]:
    return [
        {
            "what": one.what,
            "name": one.name,
            "on": one.on and one.on.date().isoformat(),
            "sha256": one.digest or None,
        }
        for one in found
    ]
