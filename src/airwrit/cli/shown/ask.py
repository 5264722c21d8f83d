"""The answer of `airwrit which-registration` on the terminal: the way, why no other, the steps, and what would change it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.asking.aircraft import AircraftAnswer
from airwrit.answers.asking.ask import AskAnswer
from airwrit.answers.asking.events import EventAnswer, UseFindings, event_words, groups_of, in_a_line
from airwrit.answers.asking.idle_facts import Idle
from airwrit.answers.asking.steps import AnswerLine, decision_text
from airwrit.answers.document import SCOPE_OF_ANSWERS, SCOPE_OF_LAW
from airwrit.answers.registration.penalties import UNKNOWN, WARNING, Exposure, amount
from airwrit.answers.registration.whose_name import Option, WhoseName
from airwrit.base.sentences import counted, day_words, sentence
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, longest_word, print_rows, print_title, said, show_caution
from airwrit.cli.shared.law_reading import show_late
from airwrit.cli.shown.standing import show_every
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law import wording
from airwrit.law.holder.ways import RegistrationWay
from airwrit.law.parameters import Had, LawReading, hearsay, read_as
from airwrit.law.rule import Finding

_NEEDLESS = "We didn't check this one, because you don't need it."


def show_answer(answer: AskAnswer, out: Console, *, every: bool = False) -> None:
    """Print the answer for every flight, incident and aircraft, then what is wrong in the input.

    With a flight or an incident the aircraft is told of in short. `every` adds each finding of each subject.
    """
    show_late(answer.report.on, out)
    out.print(SCOPE_OF_ANSWERS)
    for event in answer.events:
        show_event(event, answer.report.state, out)
    for one in answer.aircraft:
        _show_one(one, answer, out, short=bool(answer.events) and not every)
    _others_judged(answer, out)
    if every or not (answer.events or answer.aircraft):
        show_every(answer.report, out)
    show_idle(answer.idle, out)
    problems = answer.report.problems
    if problems:
        print_title("Facts we couldn't use", out)
        for problem in problems:
            out.print(clean(f"  {problem.where}: {sentence(problem.what)} {sentence(problem.do)}"))
    out.print()
    for event in answer.events:
        for column in event.columns:
            out.print(
                Text(f"SUMMARY for {clean(id_of(event.subject))}: {in_a_line(event, column)}", style="bold")
            )
    for one in answer.aircraft:
        out.print(Text(_in_short(one, alone=len(answer.aircraft) == 1), style="bold"))
    show_caution(out)


def _in_short(one: AircraftAnswer, *, alone: bool) -> str:
    """The answer in one line, for whoever reads from the end."""
    name = "" if alone else f" for {clean(id_of(one.ways.subject))}"
    more = [f"{len(one.steps)} steps"] if one.steps else []
    if one.missing:
        more.append(f"{len(one.missing)} thing{'s' if len(one.missing) > 1 else ''} we need to know")
    return f"IN SHORT{name}: {one.title}" + (f" ({', '.join(more)})" if more else "")


def _show_one(one: AircraftAnswer, answer: AskAnswer, out: Console, *, short: bool) -> None:
    state = answer.report.state
    name = clean(id_of(one.ways.subject))
    out.print()
    head = "HOW TO REGISTER IT" if one.gone is None else "WHAT TO DO"
    head = head if len(answer.aircraft) == 1 else f"{head} for {name}"
    out.print(
        Text(f"{head}: {one.title}", style="bold"),
        Text(f"   on {said(wording.shown(state.on))}", style="dim"),
    )
    out.print(f"{SIGNS[one.verdict]} {said(one.because)}")
    if one.sure is not None:
        out.print(f"     This works either way: {one.sure.words}. The steps below are for that.")
    if one.registered_well:
        out.print(f"{SIGNS[Verdict.MET]} It has that registration already. {said(one.term)}")
    _against(one, state, out)
    if short:
        return
    _other_ways(one, out)
    _steps(one, out)
    _ready(one, out)
    _cost(one, out)
    _whose(one, out)
    _lines("PAPER REGISTRATION, as far as we have read the rules", one.guidance, out)
    _lines("PAPERS TO CARRY", one.carry, out)
    _changes(one, out)
    _missing(one, out)
    _lines("Watch out", one.cautions, out)


def _against(one: AircraftAnswer, state: State, out: Console) -> None:
    if not one.against:
        return
    print_title("Today", out)
    rows: dict[tuple[str, str], tuple[str, ...]] = {}
    for finding in one.against:
        told = wording.worded(finding, state)
        cites = "; ".join(wording.cites(finding)[-2:])
        row = (SIGNS[finding.verdict], said(told.says), said(told.do), cites)
        rows.setdefault((told.says, told.do), row)
    print_rows(rows.values(), (-4, 44, 44, 24), out)


def _other_ways(one: AircraftAnswer, out: Console) -> None:
    if not one.others:
        return
    print_title("OTHER OPTIONS" if one.way is not None else "YOUR OPTIONS", out)
    rows = []
    free = one.way is RegistrationWay.NONE
    for other in one.others:
        says = other.says
        if free and other.verdict is not Verdict.NOT_MET:
            rows.append((" -- ", other.way.words, _NEEDLESS, ""))
            continue
        if other.verdict is Verdict.MET:
            says = (
                "You may also choose this."
                if other.way is RegistrationWay.PART_47 or one.way is None
                else "You could use this too."
            )
        rows.append(
            (
                SIGNS[other.verdict],
                other.way.words,
                said(says),
                other.cites if other.verdict is not Verdict.UNKNOWN else "",
            )
        )
    print_rows(rows, (-4, 40, 44, 28), out)


def _steps(one: AircraftAnswer, out: Console) -> None:
    if not one.steps:
        return
    print_title("STEPS, in order", out)
    rows = []
    for step in one.steps:
        after = "after " + ", ".join(map(str, step.after)) if step.after else ""
        rows.append((f"{step.number:>2}", step.do, after, step.cites))
    print_rows(rows, (-2, 66, 16, 30), out)


def _ready(one: AircraftAnswer, out: Console) -> None:
    if not one.ready:
        return
    print_title(f"HAVE READY  [{one.ready_cites}]", out)
    for item in one.ready:
        held = f": {clean(item.held)}" if item.held else ""
        out.print(f"  {item.item.words}{held}")


def _cost(one: AircraftAnswer, out: Console) -> None:
    if one.cost is None:
        return
    print_title("COST AND TERM", out)
    cost, dates = one.cost, one.dates
    each = (
        "once for all of this owner's recreational aircraft"
        if one.way is RegistrationWay.RECREATIONAL
        else "for this aircraft"
    )
    heard = f", {cost.hearsay}" if cost.hearsay else ""
    out.print(
        f"  ${cost.usd} {each}, for {cost.years} years  [{cost.cites}; confidence {cost.confidence}{heard}]"
    )
    if dates is None:
        return
    if dates.renew_from is None:
        out.print(
            f"  If issued {day_words(dates.issued)}, it expires {day_words(dates.ends)}. Renew before then."
        )
    else:
        out.print(
            f"  If issued {day_words(dates.issued)}, it expires {day_words(dates.ends)}. Renew between"
            f" {day_words(dates.renew_from)} and {day_words(dates.renew_to)}. The new term starts when the old one ends."
        )


def _lines(title: str, lines: Iterable[AnswerLine], out: Console) -> None:
    told = list(lines)
    if not told:
        return
    print_title(title, out)
    rows = []
    for line in told:
        weak = f" ({line.hearsay})" if line.hearsay else ""
        rows.append((" ", said(line.says), clean(line.cites) + weak))
    print_rows(rows, (-1, 76, 34), out)


def _whose(one: AircraftAnswer, out: Console) -> None:
    """The short comparison at the end of an organization's answer."""
    if one.whose is None:
        return
    whose = one.whose
    print_title(
        f"WHOSE NAME, if the lead leaves {whose.leavings} times in {whose.years} years"
        " (`airwrit whose-name` for your numbers)",
        out,
    )
    rows = (
        (
            " ",
            option.title,
            f"${option.fees_usd}" + (" (not sure)" if option.fee_confidence == "low" else ""),
            _available(option),
            "common practice, no source" if option.practice else option.cites,
        )
        for option in whose.options
    )
    print_rows(rows, (-1, 34, 14, 34, 28), out)


def _available(option: Option) -> str:
    """Whether a way fits, or why it is not available to the aircraft asked about."""
    return f"Not available. {option.shut}" if option.shut else option.fits


def _changes(one: AircraftAnswer, out: Console) -> None:
    if not one.changes:
        return
    print_title("WHAT WOULD CHANGE THIS", out)
    print_rows(
        ((" ", change.what, decision_text(change.decision)) for change in one.changes), (-1, 50, 60), out
    )


def _missing(one: AircraftAnswer, out: Console) -> None:
    if one.missing:
        print_title("What we need from you", out)
        rows = []
        for question in one.missing:
            key = question.settles[0][1]
            rows.append((" ", question.text, question.why, f"[{key.table}] {key.name}"))
        print_rows(rows, (-1, 44, 44, -longest_word(row[3] for row in rows)), out)
    if one.silent:
        names = "; ".join(dict.fromkeys(used.key.meaning for used in one.silent))
        print_title('Assumed "no" (nothing on file)', out)
        out.print(f"  {names}")


def _others_judged(answer: AskAnswer, out: Console) -> None:
    """What the same law finds of the people, flights and papers told of."""
    state = answer.report.state
    aircraft = {one.ways.subject for one in answer.aircraft}
    found = [
        f
        for f in answer.report.counted
        if f.subject not in aircraft and f.rule.about not in ("owner", "registration")
    ]
    told = [f for f in found if f.verdict is not Verdict.NOT_APPLICABLE]
    if not told:
        return
    print_title("PEOPLE, FLIGHTS AND PAPERS", out)
    rows = []
    for finding in told:
        words = wording.worded(finding, state)
        rows.append((SIGNS[finding.verdict], clean(id_of(finding.subject)), said(words.says), said(words.do)))
    print_rows(rows, (-4, 16, 44, 44), out)


def show_whose_name(found: WhoseName, out: Console) -> None:
    """The ways to hold an organization's aircraft side by side."""
    out.print(SCOPE_OF_ANSWERS)
    out.print(Text("WHOSE NAME SHOULD THEY BE IN?", style="bold"))
    out.print(
        f"{found.aircraft} aircraft over {found.years} years. The lead leaves {found.turnover} times a year,"
        f" {found.leavings} times in all."
    )
    table = Table(box=None, pad_edge=False, padding=(0, 2, 1, 0), header_style="dim", expand=True)
    for heading, ratio in (
        ("WAY", 28),
        ("FEES", 13),
        ("FILINGS", 24),
        ("DAYS GROUNDED", 26),
        ("IN LAW", 36),
    ):
        table.add_column(heading, ratio=ratio)
    for option in found.options:
        source = "common practice, no source" if option.practice else option.cites
        doubt = f" [{option.cites}]" if option.practice else ""
        table.add_row(
            f"{option.title}\n({source})",
            f"${option.fees_usd} (confidence {option.fee_confidence})",
            f"{counted(option.certificates, 'certificate')}; {option.filings} because people leave. {option.at_leaving}",
            option.grounded,
            f"{_available(option)} {option.law_says}{doubt}",
        )
    out.print()
    out.print(table)
    for had in (Had.SECONDARY, Had.MEMORY):
        titles = sorted({r.param.title for r in found.law if r.span.had is had})
        if titles:
            out.print(Text(f"{hearsay(had)}: {'; '.join(titles)}", style="dim"))
    out.print(Text("We don't estimate work hours, because we found no source for them.", style="dim"))
    show_caution(out)


def show_exposure(found: Exposure, out: Console) -> None:
    """What the law allows at most, and what the regulator says of enforcing."""
    show_late(found.day, out)
    out.print(SCOPE_OF_LAW)
    out.print(Text(f"MAXIMUM PENALTIES, on {day_words(found.day)}", style="bold"))
    out.print(WARNING)
    out.print()
    unknown = (
        (param.title, UNKNOWN, f"We haven't read the law for that day. Look up {param.spans[-1].cites}")
        for param in found.not_read
    )
    print_rows((*(_reading_row(reading) for reading in found.penalties), *unknown), (44, 22, 46), out)
    if found.enforced:
        print_title("WHAT THE FAA SAYS ABOUT ENFORCEMENT", out)
        print_rows((_reading_row(reading) for reading in found.enforced), (44, 30, 38), out)


def _reading_row(reading: LawReading) -> tuple[str, str, str]:
    span = reading.span
    edge = "; the text isn't clear" if span.open_edge else ""
    return (
        reading.param.title,
        amount(reading),
        f"{span.cites}; {read_as(span)}; confidence {span.confidence}{edge}",
    )


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
            _missing_of_column(column, out)
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
        wording.section(finding),
    )


def _missing_of_column(column: UseFindings, out: Console) -> None:
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
