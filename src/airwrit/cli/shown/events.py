"""A flight or an incident on the terminal: the whole in a line, then every rule about it and what is missing."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from airwrit.answers.asking.events import EventAnswer, UseFindings, event_words, groups_of, in_a_line
from airwrit.answers.asking.idle_facts import Idle
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, said
from airwrit.cli.shared.sections import longest_word, print_rows, print_title
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law import wording
from airwrit.law.rule import Finding

_SHARES = (-4, 26, 62, 22)


def show_event(event: EventAnswer, state: State, out: Console) -> None:
    """Print one event: for each use it may be for, the whole in a line, then the rules in the order of their weight."""
    words, kind = event_words(), kind_of(event.subject)
    for column in event.columns:
        out.print()
        use = f" for {words['uses'][column.use.value]}" if kind == "flight" or len(event.columns) > 1 else ""
        head = f"{_name(event)}{use}: {in_a_line(event, column)}"
        out.print(Text(head, style="bold"), Text(f"   on {said(wording.shown(state.on))}", style="dim"))
        out.print(Text(words[kind]["not_checked"], style="dim"))
        _show_column(column, state, out)


def _name(event: EventAnswer) -> str:
    """What kind of event it is, with its name where it has one of its own."""
    kind, name = kind_of(event.subject), id_of(event.subject)
    return kind.upper() if name == kind else f"{kind.upper()} {clean(name)}"


def _show_column(column: UseFindings, state: State, out: Console) -> None:
    names = event_words()["groups"]
    for group, findings in groups_of(column):
        if group == "missing":
            _missing(column, out)
        else:
            _findings(names[group], findings, state, out)


def _findings(heading: str, findings: Sequence[Finding], state: State, out: Console) -> None:
    if not findings:
        return
    print_title(heading, out)
    print_rows((_row(finding, state) for finding in findings), _SHARES, out)


def _row(finding: Finding, state: State) -> tuple[str, ...]:
    told = wording.worded(finding, state)
    acts = finding.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN) and told.do
    says = f"{told.says} {told.do}" if acts else told.says
    return (
        SIGNS[finding.verdict],
        finding.rule.name.replace("_", " "),
        said(says),
        "".join(wording.cites(finding)[-1:]),
    )


def _missing(column: UseFindings, out: Console) -> None:
    names = event_words()["groups"]
    if column.missing:
        print_title(names["missing"], out)
        found = []
        for need in column.missing:
            key = need.question.settles[0][1]
            rules = ", ".join(name.replace("_", " ") for name in need.rules)
            found.append((SIGNS[Verdict.UNKNOWN], need.question.text, rules, f"[{key.table}] {key.name}"))
        print_rows(found, (-4, 50, 40, -longest_word(row[3] for row in found)), out)
    if column.later:
        print_title(names["later"], out)
        out.print(
            "  " + ", ".join(dict.fromkeys(f"[{used.key.table}] {used.key.name}" for used in column.later))
        )


def show_idle(idle: Sequence[Idle], out: Console) -> None:
    """Print the facts that changed nothing, each with why."""
    if not idle:
        return
    words = event_words()["idle"]
    print_title(words["title"], out)
    for one in idle:
        rules = ", ".join(name.replace("_", " ") for name in one.rules)
        why = words["unreached"].format(rules=rules) if rules else words["unused"]
        out.print(f"  {clean(id_of(one.subject))} [{one.key.table}] {one.key.name}: {why}")
