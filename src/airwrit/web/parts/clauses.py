"""Clauses as a record sheet shows them: verdict, sentence, the facts used and what is missing, the margin, the sections."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, NamedTuple

from airwrit.answers.history.shown import PRIVATE
from airwrit.answers.standing.report import counts
from airwrit.base.verdict import Margin, Verdict, Why
from airwrit.facts.key import Key
from airwrit.facts.looks import Used
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording
from airwrit.law.rule import Bears, Finding
from airwrit.web.draw.words import spoken

_WHY = {
    Why.MISSING: "not on file",
    Why.CONFLICT: "contradicted",
    Why.DAMAGED: "cannot be read",
    Why.WITHIN_DOUBT: "in doubt that day",
}
_BEARS = {
    Bears.FLIGHT: "",
    Bears.NIGHT: "for flight at night",
    Bears.PAPERS: "a filing or a record, so it doesn't ground anything",
    Bears.ANSWER: "other rules depend on this",
}


class FactUsed(NamedTuple):
    """A fact that a clause looked at: whose, its label, its value in words, whether it is wanting, where its history stands."""

    whose: str
    label: str
    value: str
    missing: bool
    anchor: str


class ClauseShown(NamedTuple):
    """One finding in words. `house` is the document of a house rule; `counts` whether the headline may hang on it.

    `silent` are the meanings of the facts of which nothing is on file, and nothing had to be.
    """

    rule: str
    about: str
    use: str
    verdict: Verdict
    says: str
    do: str
    margin: str
    facts: tuple[FactUsed, ...]
    silent: tuple[str, ...]
    cites: tuple[str, ...]
    house: str
    bears: str
    counts: bool


def clauses_of(findings: Iterable[Finding], state: State, subject: str) -> tuple[ClauseShown, ...]:
    """The findings as clauses, in the order given."""
    return tuple(clause_of(finding, state, subject) for finding in findings)


def clause_of(finding: Finding, state: State, subject: str) -> ClauseShown:
    """One finding as a clause of a subject's sheet."""
    words, looked = wording.worded(finding, state), tuple(_once(finding.used))
    return ClauseShown(
        finding.rule.name,
        "" if finding.subject == subject else id_of(finding.subject),
        "" if finding.use is None else f"for {finding.use.value}",
        finding.verdict,
        words.says,
        words.do,
        margin_words(finding.outcome.margin),
        tuple(_fact(used, state, subject) for used in looked if not _is_silent(used, state)),
        tuple(dict.fromkeys(used.key.meaning for used in looked if _is_silent(used, state))),
        wording.cites(finding),
        finding.rule.document,
        _BEARS[finding.rule.bears],
        counts(finding, state),
    )


def _once(used: Iterable[Used]) -> Iterable[Used]:
    return {(one.subject, one.key): one for one in used}.values()


def _is_silent(used: Used, state: State) -> bool:
    return used.closed and used.key not in state.held.get(used.subject, {})


def label_of(key: Key[Any]) -> str:
    """The short name of a fact: the heading it first goes by."""
    return spoken(key.headings[0]) if key.headings else key.meaning


def _fact(used: Used, state: State, subject: str) -> FactUsed:
    held = state.held.get(used.subject, {}).get(used.key)
    if held is None:
        value = "nothing on file"
    elif held.why is not None:
        value = _WHY.get(held.why, held.why.value)
    else:
        value = PRIVATE if used.key.private else wording.shown(held.value)
        value += f" {used.key.unit}" if used.key.unit and not used.key.private else ""
    missing = held is None or held.why is not None
    whose = "" if used.subject == subject else id_of(used.subject)
    return FactUsed(
        whose, label_of(used.key), value, missing, f"f-{used.key.name}" if held and not whose else ""
    )


def margin_words(margin: Margin | None) -> str:
    """The room left to a limit, in words; empty where there is none."""
    if margin is None:
        return ""
    if margin.unit == "day":
        days = int(margin.value)
        many = "1 day" if abs(days) == 1 else f"{abs(days):,} days"
        return "the last day" if days == 0 else f"{many} left" if days > 0 else f"{many} past"
    if margin.unit != "lb":
        unit = margin.unit.removesuffix("s") if abs(margin.value) == 1 else margin.unit
        return f"{_plain(margin.value)} {unit} {'to spare' if margin.value >= 0 else 'short'}"
    told = f"{_plain(margin.value)} lb {'inside' if margin.value >= 0 else 'over'} the limit"
    if margin.worst != margin.best:
        told += f", {_between(margin.worst, margin.best)} with the scale's error"
    return told


def _plain(value: Decimal) -> str:
    return format(abs(value).quantize(Decimal("0.001")).normalize(), "f")


def _between(worst: Decimal, best: Decimal) -> str:
    if (worst >= 0) is (best >= 0):
        low, high = sorted((abs(worst), abs(best)))
        return f"{_plain(low)} to {_plain(high)}"
    return f"from {_signed(worst)} to {_signed(best)}"


def _signed(value: Decimal) -> str:
    return f"{_plain(value)} {'inside' if value >= 0 else 'over'}"
