"""How well sheets are read, against the truth beside each: columns, subjects, headlines, and every wrong yes, before answers.

    python tools/score_sheets.py FOLDER [--columns N] [--answers N] [--drop SHARE --seed N] [--quiet]

A truth is NAME.truth.json beside its sheet. Nothing is kept, and no process is started but the one that reads cells.
`--columns` answers at most N questions about columns of each sheet, as the truth says what they hold, and `--answers` at most N
about facts, as the truth says an honest person would who knows the sheet alone; both as a file for `import --answers` would.
`--drop` leaves a random share of the lexicon out, to see what is asked and what is silently wrong without those words.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.sheets.answered import FormFilled, read_with
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.errors import AirwritError, BadFact
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.vocabulary import TABLES as FACT_TABLES
from airwrit.facts.vocabulary import kind_of
from airwrit.intake.columns import TABLES, Column, meanings_of
from airwrit.intake.meaning.lexicon import Lexicon, whole_lexicon
from airwrit.intake.reader.cells import Book, read_book
from airwrit.intake.sheets import Answers, Intake, intake_of
from airwrit.intake.typed.answers_file import AnswersFile, ColumnAnswer, FactAnswer, answer_value

YES, PARTLY, GONE, UNJUDGED = "may fly for work", "recreation only", "not in fleet", "no verdict"
_CODES = {
    "may_fly_work": YES,
    "recreation_only": PARTLY,
    "grounded": "grounded",
    "cant_tell": "can't say",
    "not_in_fleet": GONE,
    "not_judged": UNJUDGED,
}
_LIKE = {
    "status": {
        "service_status",
        "person_status",
        "has_left",
        "left_on",
        "sold_on",
        "destroyed_on",
        "lost_on",
    },
    "notes": {"remarks"},
    "recency_end": {"recurrent_due_on"},
    "completed_on": {
        "event: recurrent test or training",
        "event: recurrent test",
        "event: recurrent training",
    },
    "initial": {"event: initial test"},
}
Truth = Mapping[str, Any]


def truths_in(folder: Path) -> Iterable[tuple[Path, Truth]]:
    """Each sheet of a folder that has a truth beside it, with the truth."""
    for path in sorted(folder.glob("*.truth.json")):
        truth = json.loads(path.read_text(encoding="utf-8"))
        yield folder / truth["file"], truth


class Given(NamedTuple):
    """How many questions about columns and about facts of a sheet are answered at most."""

    columns: int = 0
    facts: int = 0


NOTHING_GIVEN = Given()


def scored(
    book: Book | None, truth: Truth, lexicon: Lexicon, lines: list[str], given: Given = NOTHING_GIVEN
) -> Counter[str]:
    """What one sheet counts; what went wrong is added to `lines`."""
    counts: Counter[str] = Counter()
    intake = None
    if book is not None:
        try:
            intake = _read(book, truth, lexicon, given, counts)
        except AirwritError as refusal:
            lines.append(f"  refused: {refusal}")
    if truth.get("refuse"):
        refused = intake is None or not intake.known
        counts["refused"] += refused
        counts["to refuse"] += 1
        return counts
    if intake is None:
        lines.append("  REFUSED though it is about drones")
        counts["lost"] += len(truth["subjects"])
        return counts
    _columns(intake.columns, truth, counts, lines)
    _subjects(intake, truth, counts, lines)
    return counts


def _read(book: Book, truth: Truth, lexicon: Lexicon, given: Given, counts: Counter[str]) -> Intake:
    """The sheet as read, with the answers of an honest person to the first questions."""
    day = date.fromisoformat(truth["on"])
    told = Answers(owner=truth["options"].get("owner"), read_on=day)
    form = AnswersFile("answers")

    def read() -> Intake:
        return read_with(lambda one: intake_of([book], one, lexicon), told, FormFilled(form, "scorer", day))

    intake = read()
    if truth.get("refuse"):
        return intake
    columns = tuple(_column_answers(intake.columns, truth))[: given.columns]
    if columns:
        form = replace(form, columns=columns)
        intake = read()
    counts["columns answered"] += len(columns)
    while counts["facts answered"] < given.facts:
        own = Counter((fact.key.name, fact.names) for fact in form.facts)
        more = list(_fact_answers(intake, truth, own))[: given.facts - counts["facts answered"]]
        if not more:
            break
        counts["facts answered"] += len(more)
        form = replace(form, facts=(*form.facts, *(fact for answer in more for fact in answer)))
        intake = read()
    return intake


_SAID: Mapping[str, tuple[str, ...]] = {
    "status": ("service_status", "person_status", "remarks"),
    "notes": ("remarks",),
    "recency_end": ("recurrent_due_on",),
    "completed_on": ("event: recurrent test or training",),
    "initial": ("event: initial test",),
}
"""What a person would call what a column holds, where the truth has a word of its own."""


def _column_answers(columns: Sequence[Column], truth: Truth) -> Iterator[ColumnAnswer]:
    """What the truth says of each column that is asked about, in the order of the sheet."""
    taken: set[int] = set()
    for key, meaning in truth["columns"].items():
        sheet, heading = key.split("!", 1)
        found = _column(columns, sheet, heading, truth["places"].get(key), taken)
        if found is None or not found.why or found.table not in TABLES:
            continue
        words = [one for word in meaning.split("|") for one in _SAID.get(word, (word,))]
        known = meanings_of(found.table)
        means = next((word for word in words if word in known), "")
        if means:
            yield ColumnAnswer(found.name, found.heading, means)


def _fact_answers(
    intake: Intake, truth: Truth, given: Mapping[tuple[str, tuple[str, ...] | None], int]
) -> Iterator[list[FactAnswer]]:
    """For each thing missing that the truth can answer, the answers for its subjects."""
    places = _places(intake)
    under = {
        str(item.statement.value): item.statement.subject
        for item in intake.known
        if item.statement.key == REGISTRATION.name
    }
    for gap in _standing_of(intake, truth).gaps:
        if gap.word or gap.key.table not in FACT_TABLES:
            continue
        found = []
        for subject in gap.subjects:
            name = subject.partition("/")[2]
            value = _honest(subject, gap.key.name, truth, places, under)
            if gap.key.unit == "g" and isinstance(value, float):
                value = round(value)
            if (
                value is None
                or given.get((gap.key.name, (name,)))
                or FACT_TABLES[gap.key.table] != kind_of(subject)
            ):
                continue
            with suppress(BadFact):
                told = answer_value(gap.key, value, "answers")
                found.append(FactAnswer(gap.key, told, (name,), (), "", "", "answers"))
        if found:
            yield found


def _honest(
    subject: str, fact: str, truth: Truth, places: Mapping[str, set[str]], under: Mapping[str, str]
) -> Any:
    """What an honest person says of a fact of a subject; None where nothing is known."""
    kind, _, name = subject.partition("/")
    if kind == "owner":
        told = truth.get("owner_told") or {}
        same = _norm(told.get("owner", "")) == _norm(name)
        return told.get(fact) if same else {"owner_kind": "person", "citizenship": "citizen"}.get(fact)
    whose = under.get(name, "") if kind == "registration" else subject
    for one in truth["subjects"]:
        if whose and _mine(one, {whose: ""}, places) is not None:
            return one.get("answers", {}).get(fact)
    return None


def _norm(text: object) -> str:
    return re.sub(r"\s+", " ", str(text).strip().casefold().rstrip(":").replace("\u2019", "'"))


def _columns(columns: Sequence[Column], truth: Truth, counts: Counter[str], lines: list[str]) -> None:
    taken: set[int] = set()
    for key, meaning in truth["columns"].items():
        sheet, heading = key.split("!", 1)
        bare = re.sub(r" #\d+$", "", heading)
        if bare != heading and f"{sheet}!{bare}" in truth["columns"]:
            heading = bare
        found = _column(columns, sheet, heading, truth["places"].get(key), taken)
        what = _counted(found, meaning)
        counts[what] += 1
        if what not in ("right", "left alone"):
            read = "" if found is None else f"read as {found.meaning or found.key or found.how} ({found.why})"
            lines.append(f"  column {what}: {key!r} means {meaning}; {read or 'not seen'}")
    for index, column in enumerate(columns):
        if index not in taken and column.key:
            counts["invented column"] += 1
            lines.append(f"  column invented: {column.sheet} {column.heading!r} read as {column.meaning}")


def _column(
    columns: Sequence[Column], sheet: str, heading: str, place: str | None, taken: set[int]
) -> Column | None:
    best: tuple[int, int] | None = None
    wanted = _norm(heading)
    for index, column in enumerate(columns):
        if index in taken or column.name != sheet:
            continue
        own = _norm(column.heading)
        if own == wanted or own.endswith(wanted) or (own and wanted.endswith(own)):
            rank = 2 * (own == wanted) + (column.place == place)
            if best is None or rank > best[0]:
                best = (rank, index)
    if best is None:
        return None
    taken.add(best[1])
    return columns[best[1]]


def _counted(column: Column | None, meaning: str) -> str:
    wanted = meaning.split("|")
    if column is None or not column.key:
        if "ignore" in wanted or "ask" in wanted:
            return "left alone"
        if column is None:
            return "not seen"
        return "asked" if column.why else "silently wrong"
    allowed = set(wanted).union(*(_LIKE.get(one, set()) for one in wanted))
    return "right" if allowed & {column.key, column.meaning} else "silently wrong"


def _subjects(intake: Intake, truth: Truth, counts: Counter[str], lines: list[str]) -> None:
    answer = _standing_of(intake, truth)
    told = {row.subject: _CODES[row.headline.code] for row in answer.rows}
    told |= {subject: GONE for subject, _ in answer.left}
    told |= {subject: UNJUDGED for subject in _unjudged(intake) if subject not in told}
    places = _places(intake)
    free = dict(told)
    for subject in truth["subjects"]:
        mine = _mine(subject, free, places)
        want = subject["headline"]
        if mine is None:
            counts["found" if want == UNJUDGED else "lost"] += 1
            counts["judged"] += want != UNJUDGED
            if want != UNJUDGED:
                lines.append(f"  LOST {subject['kind']} {subject['name']!r} ({subject['row']})")
            continue
        counts["found"] += 1
        _headline(subject, free.pop(mine), _because(answer, mine), counts, lines)
    for name, said in free.items():
        counts["invented"] += 1
        counts["wrong yes"] += said in (YES, PARTLY)
        lines.append(f"  INVENTED {name} ({said})")


def _standing_of(intake: Intake, truth: Truth) -> Standing:
    options = truth["options"]
    use = UsedFor(options["use"]) if "use" in options else None
    on = date.fromisoformat(truth["on"])
    known = told_for_all(intake.known, use, options.get("owner"))
    return standing(known, on, datetime.combine(on, time(), UTC), intake.problems)


def _unjudged(intake: Intake) -> set[str]:
    return {
        item.statement.subject
        for item in intake.known
        if item.statement.subject.startswith(("aircraft/", "person/"))
    }


def _because(answer: Standing, subject: str) -> str:
    row = next((row for row in answer.rows if row.subject == subject), None)
    return (
        ""
        if row is None or row.deciding is None
        else f"{row.deciding.rule.name}: {row.deciding.outcome.code}"
    )


def _places(intake: Intake) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for item in intake.known:
        cell = re.search(r"cell ([A-Z]{1,3})(\d+)", item.origin)
        if cell:
            sheet = re.search(r"sheet '(.*)' cell", item.origin)
            name = sheet[1] if sheet else re.sub(r"\.\w+ cell.*", "", item.origin)
            found.setdefault(item.statement.subject, set()).update((f"{name}!{cell[2]}", f"{name}!{cell[1]}"))
    return found


def _mine(subject: Truth, free: Mapping[str, str], places: Mapping[str, set[str]]) -> str | None:
    names = {_norm(name) for name in (subject["name"], *subject.get("aka", ()))}
    facts = subject["facts"]
    names |= {_norm(facts[key]) for key in ("registration", "remote_id_serial") if facts.get(key)}
    kind = subject["kind"]
    for name in free:
        if name.startswith(f"{kind}/") and _norm(name.partition("/")[2]) in names:
            return name
    where = subject["row"]
    return next(
        (name for name in free if name.startswith(f"{kind}/") and where in places.get(name, ())), None
    )


def _headline(subject: Truth, said: str, why: str, counts: Counter[str], lines: list[str]) -> None:
    want = subject["headline"]
    accepted = {want, *(subject.get("accept") or ())}
    if want == UNJUDGED:
        wrong = said in (YES, PARTLY) and said not in accepted
        counts["wrong yes"] += wrong
    else:
        counts["judged"] += 1
        counts["headline right"] += said in accepted
        wrong = said not in accepted and (said == YES or (said == PARTLY and want != YES))
        counts["wrong yes"] += wrong
    if said not in accepted or wrong:
        mark = "WRONG YES" if wrong else "headline"
        lines.append(
            f"  {mark} {subject['name']!r} ({subject['row']}): {said}, truth {want}: {subject['why']} [{why}]"
        )


def summary(counts: Counter[str]) -> str:
    """One line of counts."""
    meaningful = sum(counts[name] for name in ("right", "asked", "silently wrong", "not seen"))
    return (
        f"columns {counts['right']} right, {counts['asked']} asked, {counts['silently wrong']} silently wrong, "
        f"{counts['not seen']} not seen of {meaningful}, {counts['invented column']} invented; "
        f"subjects {counts['found']} found, {counts['lost']} lost, {counts['invented']} invented; "
        f"headlines {counts['headline right']} of {counts['judged']}; wrong yes {counts['wrong yes']}; "
        f"refused {counts['refused']} of {counts['to refuse']}; "
        f"answered {counts['columns answered']} columns, {counts['facts answered']} facts"
    )


def books_in(folder: Path) -> list[tuple[Book | None, Truth]]:
    """The sheets of a folder, read once, with their truths; None for a file that cannot be read."""
    found: list[tuple[Book | None, Truth]] = []
    for path, truth in truths_in(folder):
        try:
            found.append((read_book(path), truth))
        except AirwritError:
            found.append((None, truth))
    return found


def main(arguments: Sequence[str]) -> int:
    """The exit code: always 0."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--columns", type=int, default=0)
    parser.add_argument("--answers", type=int, default=0)
    parser.add_argument("--drop", type=float, default=0.0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--quiet", action="store_true")
    told = parser.parse_args(arguments)
    lexicon = whole_lexicon().without(told.drop, told.seed) if told.drop else whole_lexicon()
    total: Counter[str] = Counter()
    for book, truth in books_in(told.folder):
        lines: list[str] = []
        counts = scored(book, truth, lexicon, lines, Given(told.columns, told.answers))
        total += counts
        print(f"\n== {truth['file']}\n   {summary(counts)}")
        if not told.quiet:
            print("\n".join(lines))
    print(f"\n== IN SUM\n   {summary(total)}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
