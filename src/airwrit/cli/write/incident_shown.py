"""An incident on the terminal: the whole, first things, whom to notify by when or why not, the NTSB's list, what to keep."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from airwrit.answers.document import SCOPE_OF_INCIDENT
from airwrit.answers.incident.decision import IncidentAnswer, Must, words
from airwrit.answers.incident.keeping import IncidentOnFile, NearMisses, close_text
from airwrit.answers.incident.questions import open_questions
from airwrit.answers.incident.told import Row, headline, item_word, rows_of, title_of, watch
from airwrit.base.days import day_of
from airwrit.base.sentences import day_words
from airwrit.cli.console import clean, print_rows, print_title, said, show_caution
from airwrit.cli.shared.law_reading import show_late

_SIGNS = {
    Must.LATE: "|//|",
    Must.YES: "--| ",
    Must.CALL: "|..|",
    Must.READ: "|..|",
    Must.CANT_TELL: "|..|",
    Must.CHOICE: " -- ",
    Must.DONE: "|--|",
    Must.NO: " -- ",
}


def show_incident(answer: IncidentAnswer, out: Console) -> None:
    """The answer; what is due or open first."""
    show_late(day_of(answer.state.on), out)
    out.print(Text(clean(f"Incident {title_of(answer)}".strip())))
    for sentence in headline(answer):
        out.print(Text(clean(sentence), style="bold"))
    out.print(Text(SCOPE_OF_INCIDENT, style="dim"))
    for problem in answer.moment.problems:
        out.print(
            Text(
                said(
                    f"{problem.what[:1].upper()}{problem.what[1:]}. {problem.do[:1].upper()}{problem.do[1:]}."
                )
            )
        )
    print_title("First things first", out)
    for number, text in enumerate(words()["first"], 1):
        out.print(Text(f"{number}  {text}"))
    print_title("Whom to notify, and by when", out)
    print_rows((_cells(row) for row in rows_of(answer)), (-4, -14, -24, (2, 18), (4, 30)), out)
    print_title("The NTSB's list, item by item (49 CFR 830.5)", out)
    rows = ((item_word(item), item.says, item.cites) for item in answer.items)
    print_rows(rows, (-13, 5, (2, 20)), out)
    asked = [key.question for key in open_questions(answer.state, answer.incident)]
    if asked:
        print_title("Questions that are open", out)
        for question in asked:
            out.print(Text(question))
    for title, texts in (("Keep these", words()["keep"]), ("Watch out", watch(answer))):
        print_title(title, out)
        for text in texts:
            out.print(Text(text))
    show_caution(out)


def _cells(row: Row) -> tuple[str, str, str, str, str]:
    who = f"{clean(row.who)}\n{row.actor}"
    by_when = "\n".join(part for part in (row.by_when, row.left) if part)
    cites = f" ({row.cites})" if row.cites else ""
    why = " ".join(part for part in (row.says, row.do) if part)
    return _SIGNS[row.must], row.word, who, by_when, said(f"{why}{cites}")


def show_incidents(incidents: Sequence[IncidentOnFile], close: Sequence[NearMisses], out: Console) -> None:
    """Every incident on record, near misses named, and where these came close together."""
    for one in close:
        out.print(Text(close_text(one), style="bold"))
    rows = (
        (
            "" if one.day is None else day_words(one.day),
            clean(one.subject.partition("/")[2]),
            "near miss" if one.near_miss else "incident",
            clean(one.says),
        )
        for one in incidents
    )
    print_rows(rows, (-12, (2, 16), -9, 5), out)
    if not incidents:
        out.print(Text("No incident is on record."))
