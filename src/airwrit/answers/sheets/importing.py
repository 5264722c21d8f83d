"""Importing files: bytes in, what it would do out, nothing kept before it was looked at; then kept, all of it or nothing.

`read_files` reads bytes, `preview_of` holds what they say against the ledger, `keep` writes it. A face shows the preview
between the two: its columns, its problems, what would be added, changed, corrected, contradicted, and what is gone.
"""

from __future__ import annotations

import shlex
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from types import MappingProxyType
from typing import NamedTuple

from airwrit.answers.acts.changes import WhatChanges, change_of
from airwrit.answers.acts.plan import difference
from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.sheets.answered import FormFilled, read_with
from airwrit.answers.sheets.difference import (
    EVER,
    ChangeKind,
    Difference,
    FactChange,
    OnRecord,
    Pair,
    contradictions,
    is_withdrawal,
    seq_of,
    taken_back,
)
from airwrit.answers.sheets.models_kept import with_models
from airwrit.answers.sheets.reimport import Compared, Terms, compared
from airwrit.answers.sheets.same_person import joined, names_told, problems_joined
from airwrit.answers.standing.standing import Standing, numbers_shared, standing
from airwrit.base.days import EARLIEST, When
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.person import ALSO_CALLED
from airwrit.facts.keys.program import ROWS_UNREAD, file_subject
from airwrit.facts.statement import FilePlace, ForModel, Known, Problem, Source, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS, folded, id_of, kind_of
from airwrit.intake.rows.rows import MADE_IDS
from airwrit.intake.sheets import NO_ANSWERS, Answers, Intake, read_given
from airwrit.law.rule import Rule
from airwrit.ledger.checking.evidence import NOT_KEPT
from airwrit.ledger.entry import Entry, name_of_source, source_text
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.rows_read import IMPORT, reading_draft
from airwrit.ledger.sqlite.store import Clock, Ledger

_MOST_JUDGED = 60_000
"""The most statements of which it is worked out at once what they change and leave open."""

_NAMED = ("aircraft", "person", "owner", "registration", "paper")


@dataclass(frozen=True, slots=True)
class ImportOptions:
    """Who imports, on which day, and what is told with it.

    `use` and `owner` are told for all rows that say none. `start` is the day from which undated values hold; `corrects` that
    changed values were wrong before; `takes_back` that what the file says no longer never was so; `replaces` names earlier
    files whose place these take; `note` is a word on why.
    """

    by: str
    day: date
    use: UsedFor | None = None
    owner: str | None = None
    start: date | None = None
    corrects: bool = False
    takes_back: bool = False
    replaces: tuple[str, ...] = ()
    note: str = ""


class FilesRead(NamedTuple):
    """Files as they were read: what they say, and their bytes as they are to be kept."""

    intake: Intake
    files: tuple[KeptFile, ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """What importing files would do, with what was read and the files that would be kept with it."""

    intake: Intake
    taking: Difference
    files: tuple[KeptFile, ...]

    @property
    def is_open(self) -> bool:
        """Whether something stays undecided: a contradiction, a cell or a row that could not be read, an answer not used."""
        problems = self.intake.problems
        return bool(self.taking.contradictions) or any(p.spoils or p.unread or p.is_answer for p in problems)


def plain_name(name: str) -> str:
    """A file's name without folders, without signs that cannot be seen, and without what tells names apart in a source."""
    last = name.replace("\\", "/").rstrip("/").rpartition("/")[2].replace(" sha256:", " sha256 ")
    return "".join(sign for sign in last if sign.isprintable()).strip() or "sheet"


def read_files(
    files: Iterable[tuple[str, bytes]],
    answers: Answers = NO_ANSWERS,
    form: FormFilled | None = None,
    kept: Mapping[str, str] = MappingProxyType({}),
) -> FilesRead:
    """Files, given as name and bytes, as they were read, with a form of answers. UnreadableFile when one cannot be read.

    UsageError when two have one name: what a file said the last time is found by its name.
    """
    given = [(plain_name(name), data) for name, data in files]
    names = [name for name, _ in given]
    twice = next((name for name in names if names.count(name) > 1), "")
    if twice:
        raise UsageError("two files have this name", where=twice, do="rename one, or import them separately")
    if not given:
        raise UnreadableFile("you didn't name a sheet", where="import", do="enter the name of a file")
    intake = read_with(lambda told: read_given(given, told), answers, form, kept)
    return FilesRead(intake, tuple(KeptFile(name, data) for name, data in given))


def preview_of(read: FilesRead, held: OnRecord, wish: ImportOptions) -> Preview:
    """What importing would do, held against what is on record."""
    intake = with_models(_by_known_names(read.intake, held), held)
    known = with_damage(intake.known, intake.problems, intake.sources[0].name)
    known = list(told_for_all(known, wish.use, wish.owner))
    taking = taking_in(held, known, intake.sources, wish, intake.problems)
    barred = {_file_of(item.origin, intake.sources).name for item in taking.left_out}
    taking = replace(taking, drafts=tuple(_named_as_kept(draft, barred) for draft in taking.drafts))
    intake = replace(intake, problems=(*intake.problems, *_perhaps_next(held, taking, intake, wish)))
    return Preview(intake, taking, tuple(file for file in read.files if file.name not in barred))


def standing_after(
    held: OnRecord,
    preview: Preview,
    at: datetime,
    house: Sequence[Rule] = (),
    like: Standing | None = None,
) -> Standing:
    """How everything stands once the preview is kept: what it leaves open is what there is to ask.

    `like` is how things stand without it.
    """
    known, intake = known_after(held, preview.taking), preview.intake
    return standing(known, at.date(), EVER, intake.problems, intake.sources, house, like=like)


class Imported(NamedTuple):
    """How everything stands once a preview is kept, and what that changes for people; None where nothing was on record."""

    after: Standing
    change: WhatChanges | None


def imported(held: OnRecord, preview: Preview, at: datetime, house: Sequence[Rule] = ()) -> Imported | None:
    """What keeping the preview comes to; None where there is too much of it to be judged at once."""
    if len(preview.intake.known) > _MOST_JUDGED:
        return None
    if not held.groups or preview.taking.is_empty:
        return Imported(standing_after(held, preview, at, house), None)
    now = standing(known_now(held), at.date(), EVER, house=house)
    after = standing_after(held, preview, at, house, now)
    return Imported(after, change_of(difference(now, after)))


def known_now(held: OnRecord) -> list[Known]:
    """All that is on record and was not answered since."""
    alive = (item for pair in held.groups for item in held.alive(pair))
    return [item._replace(answers=()) for item in alive if not is_withdrawal(item.statement)]


def known_after(held: OnRecord, taking: Difference) -> list[Known]:
    """All that is said once the taking is kept: what is on record and not answered by it, and what it says."""
    gone = {old.number for change in taking.changes for old in change.was}
    said = [
        Known(change.statement, change.origin)
        for change in taking.changes
        if change.kind is not ChangeKind.TAKEN_BACK
    ]
    return [item for item in known_now(held) if item.number not in gone] + said


def _by_known_names(intake: Intake, held: OnRecord) -> Intake:
    """What was read, with people under the names by which the record knows them."""
    kept = [item for pair in held.groups if pair[1] == ALSO_CALLED.name for item in held.alive(pair)]
    others = names_told(kept)
    if not others:
        return intake
    return replace(
        intake,
        known=tuple(joined(intake.known, others)),
        problems=tuple(problems_joined(intake.problems, others)),
    )


def _named_as_kept(draft: Draft, barred: Iterable[str]) -> Draft:
    """The draft; where the file it came from is not kept, since it says again what was taken out, its source says so."""
    if name_of_source(draft.source) not in barred:
        return draft
    return draft._replace(source=draft.source + NOT_KEPT)


def _perhaps_next(
    held: OnRecord, taking: Difference, intake: Intake, wish: ImportOptions
) -> Iterable[Problem]:
    """A remark where files that are new here contradict an earlier one, whose place they may be meant to take."""
    files = {seq: name_of_source(source) for seq, (act, source) in held.acts.items() if act == IMPORT}
    names = [source.name for source in intake.sources]
    if wish.replaces or set(names) & set(files.values()):
        return
    against: dict[str, int] = defaultdict(int)
    for one in taking.contradictions:
        if one.new:
            said = {files.get(seq_of(item), "") for item in held.alive((one.subject, one.key))}
            for name in said - {""}:
                against[name] += 1
    for name, count in against.items():
        told = "1 fact" if count == 1 else f"{count} facts"
        what = f"it is a new file, and it changes {told} from {name}"
        do = f"if it replaces that file, import it with --replaces {shlex.quote(name)}"
        yield Problem(", ".join(names), what, do)


def keep(ledger: Ledger, preview: Preview, clock: Clock) -> tuple[Entry, ...]:
    """Keep what was shown. LedgerMoved when others wrote meanwhile: hold it against the ledger again."""
    taking = preview.taking
    return ledger.append(taking.drafts, clock, after=taking.after, files=preview.files)


def with_damage(known: Iterable[Known], problems: Iterable[Problem], origin: str) -> list[Known]:
    """The statements, and for each fact whose cell could not be read one that says so from wherever others begin.

    The damaged cell may have meant any of their days, so that none of them can be told.
    """
    given = list(known)
    spoiled: dict[Pair, str] = {}
    for problem in problems:
        for pair in problem.spoils:
            spoiled.setdefault(pair, problem.where or origin)
    starts: dict[Pair, dict[When, None]] = {pair: {EARLIEST: None} for pair in spoiled}
    for item in given:
        pair = item.statement.subject, item.statement.key
        if pair in starts:
            starts[pair][item.statement.valid_from] = None
    for (subject, key), begins in starts.items():
        where = spoiled[subject, key]
        given += [Known(Statement(subject, key, Unreadable(""), start), where) for start in begins]
    return given


def taking_in(
    held: OnRecord,
    known: Sequence[Known],
    sources: Sequence[Source],
    wish: ImportOptions,
    problems: Sequence[Problem] = (),
) -> Difference:
    """What taking in the statements of files would do."""
    names = (*(source.name for source in sources), *wish.replaces)
    groups: dict[Pair, dict[Statement, Known]] = defaultdict(dict)
    for item in known:
        groups[item.statement.subject, item.statement.key].setdefault(item.statement, item)
    left_out = [item for pair in groups if held.is_blanked(pair) for item in groups[pair].values()]
    terms = Terms(wish.day, wish.start, wish.corrects)
    found: dict[Pair, Compared] = {}
    for pair, fresh in groups.items():
        if not held.is_blanked(pair):
            found[pair] = compared(held, pair, list(fresh.values()), held.claims(pair, names), terms)
    changes = [change for one in found.values() for change in one.changes]
    same = sum(
        len(groups[pair])
        - len(one.behind)
        - sum(change.kind is not ChangeKind.TAKEN_BACK for change in one.changes)
        for pair, one in found.items()
    )
    silent = [item for one in found.values() for item in one.silent] + _silent(held, names, groups)
    gone, silent = _apart(silent, groups, every=wish.takes_back)
    changes += [
        FactChange(ChangeKind.TAKEN_BACK, _withdrawal(item), sources[0].name, (item,)) for item in gone
    ]
    taking = Difference(
        held.after,
        tuple(changes),
        tuple(_drafts(changes, sources, wish)),
        (*contradictions(held, changes), *numbers_shared(held, changes, wish.day)),
        tuple(silent),
        same,
        tuple(item for one in found.values() for item in one.behind),
        tuple(_alike(held, groups)),
        tuple(left_out),
    )
    return _with_readings(taking, held, sources, wish, problems)


def _withdrawal(item: Known) -> Statement:
    return taken_back(item.statement.subject, item.statement.key)


def _silent(held: OnRecord, names: Sequence[str], groups: Iterable[Pair]) -> list[Known]:
    """What files of these names said and say no longer, as far as nobody answered it."""
    said = set(groups)
    return [
        item
        for pair in held.pairs_of(names)
        if pair not in said
        for item in held.claims(pair, names)
        if item.number not in held.answered
    ]


def _apart(
    silent: Sequence[Known], groups: Iterable[Pair], *, every: bool
) -> tuple[list[Known], list[Known]]:
    """What goes with this import, and what stays on record though the file says it no longer.

    A cell that could not be read goes once it is mended or emptied; with it the test, flight or part that could not be named
    for it.
    """
    spoken = {subject for subject, _ in groups}
    broken = {
        item.statement.subject
        for item in silent
        if isinstance(item.statement.value, Unreadable)
        and kind_of(item.statement.subject) in MADE_IDS
        and item.statement.subject not in spoken
    }
    gone = [
        item
        for item in silent
        if every or isinstance(item.statement.value, Unreadable) or item.statement.subject in broken
    ]
    numbers = {item.number for item in gone}
    return gone, [item for item in silent if item.number not in numbers]


def _alike(held: OnRecord, groups: Iterable[Pair]) -> list[Pair]:
    """New names beside names on record that differ in case and spaces alone: perhaps the same."""
    on_record = dict.fromkeys(subject for subject, _ in held.groups)
    by_form: dict[Pair, str] = {}
    for subject in on_record:
        if kind_of(subject) in _NAMED:
            by_form.setdefault((kind_of(subject), folded(id_of(subject))), subject)
    new = dict.fromkeys(subject for subject, _ in groups if subject not in on_record)
    pairs = [(subject, by_form.get((kind_of(subject), folded(id_of(subject))), "")) for subject in new]
    return [(subject, other) for subject, other in pairs if other]


def _drafts(changes: Sequence[FactChange], sources: Sequence[Source], wish: ImportOptions) -> list[Draft]:
    """One entry for each file and subject, and one apart for what is private, so that it can be blanked alone.

    What was confirmed for a model has an entry of its own, whose note says for which, by whom and when.
    """
    parts: dict[tuple[Source, str, bool, str], list[FactChange]] = defaultdict(list)
    for change in changes:
        private = KEYS[change.statement.key].private
        note = change.origin if isinstance(change.origin, ForModel) else wish.note
        parts[_file_of(change.origin, sources), change.statement.subject, private, note].append(change)
    drafts = []
    for (source, _, _, note), mine in parts.items():
        answers = tuple(dict.fromkeys(old.number for change in mine for old in change.was))
        statements = tuple(change.statement for change in mine)
        drafts.append(Draft(wish.by, IMPORT, statements, answers, source_text(source), note))
    return drafts


def _with_readings(
    taking: Difference,
    held: OnRecord,
    sources: Sequence[Source],
    wish: ImportOptions,
    problems: Sequence[Problem],
) -> Difference:
    """The same, and an entry for each file that keeps how many of its rows could not be read.

    Of a file of which nothing else is kept there is one only where that number has changed.
    """
    kept = {draft.source for draft in taking.drafts}
    drafts, again = list(taking.drafts), []
    for source in sources:
        count = unread_of(source, sources, problems)
        if source_text(source) not in kept:
            if not held.pairs_of([source.name]) or count == held.unread.get(source.name, 0):
                continue
            again.append(source.name)
        pair = file_subject(source.sha256), ROWS_UNREAD.name
        answers = tuple(item.number for item in held.alive(pair))
        drafts.append(reading_draft(wish.by, source, count, answers, wish.note))
    return replace(taking, drafts=tuple(drafts), read_again=tuple(again))


def unread_of(source: Source, sources: Sequence[Source], problems: Iterable[Problem]) -> int:
    """How many problems tell of something unread in this file."""
    return sum(problem.unread and _file_of(problem.where, sources) == source for problem in problems)


def _file_of(origin: str, sources: Sequence[Source]) -> Source:
    """The file that something was read from; the first for told facts."""
    file = origin.file if isinstance(origin, FilePlace) else origin
    return next((source for source in sources if source.name == file), sources[0])
