"""A next step as a button: its words and the address of the form, with what is known filled in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple
from urllib.parse import quote, urlencode

from airwrit.answers.acts.step import NextStep, step_for
from airwrit.answers.standing.today import Expiry
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law.rule import Finding
from airwrit.web.server.site import JOB_NAMES

_FLIGHT = {"aircraft": "aircraft", "person": "pilot"}


class StepButton(NamedTuple):
    """A button: what it says and where it leads."""

    says: str
    path: str


def button_for(finding: Finding, state: State) -> StepButton | None:
    """The button of what a finding asks for; None where nothing that can be entered puts it right."""
    step = step_for(finding, state)
    return None if step is None else StepButton(step.says, path_of_step(step))


class ExpiryLine(NamedTuple):
    """One line of what expires, with its button and who does it."""

    expiry: Expiry
    button: StepButton | None
    who: str


def expiry_line(expiry: Expiry) -> ExpiryLine:
    """The line of what expires on a day."""
    return ExpiryLine(expiry, button_of(expiry.step, expiry.subjects), whose(expiry.who))


def button_of(step: NextStep | None, subjects: Sequence[str]) -> StepButton | None:
    """The button of a line: its step, or where it is told of several the first of them."""
    if step is None:
        return None
    takes_all = len(subjects) == 1 or step.page in JOB_NAMES
    return StepButton(step.says if takes_all else f"Start with {id_of(subjects[0])}", path_of_step(step))


def whose(names: Sequence[str]) -> str:
    """Who does something, in a few words; empty where nobody is named."""
    return names[0] if len(names) == 1 else "Each of them" if names else ""


def path_of_step(step: NextStep) -> str:
    """The address of the form that a step leads to."""
    kind, name = kind_of(step.subject), id_of(step.subject)
    at = f"{kind}/{quote(name, safe='')}"
    if step.act:
        return _with(f"/record-change/{step.act}/{at}", step.fills)
    if step.fact:
        return _with("/record-change", {"of": step.subject, "fact": step.fact})
    if "which" in step.fills:
        return f"/{step.page}?{urlencode([('which', one) for one in step.fills['which'].split()])}"
    if step.page == "incident":
        sent = f"/notice-sent/{quote(name, safe='')}"
        return _with(sent, step.fills) if step.fills else _with("/incident", {"of": name})
    if step.page == "release":
        return f"/release/{quote(name, safe='')}"
    if step.page == "flight":
        return _with("/log-flight", {_FLIGHT[kind]: name} if kind in _FLIGHT else {})
    return _with(f"/{step.page}", {"of": step.subject})


def _with(path: str, query: Mapping[str, str]) -> str:
    return f"{path}?{urlencode(query)}" if query else path
