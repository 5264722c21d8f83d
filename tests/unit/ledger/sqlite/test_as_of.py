"""How things stood: the lookup against the fold and against a model in memory, over random histories."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.sheets.difference import NOTHING_HELD, OnRecord, before
from airwrit.base.days import EARLIEST, When
from airwrit.base.verdict import Why
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement, Unreadable
from airwrit.facts.vocabulary import KEYS, kind_of
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import START, Clock, draft, said

FIRST = date(2026, 1, 1)
SUBJECTS = ("aircraft/A", "flight/B")
VALUES: dict[str, tuple[Raw, ...]] = {
    "owner": ("ann", "bob", None, Unreadable("1.2E+9")),
    "is_registered": (True, False, None),
    "takeoff_weight_g": ("200", "250.5", Unreadable("heavy")),
    "registration": ("FA00TEST01", "FA00TEST02", None),
    "sold_on": ("2026-01-04", "2026-01-06"),
}


@contextmanager
def ledger() -> Iterator[Ledger]:
    """A ledger whose journal is not on the disk."""
    with tempfile.TemporaryDirectory() as folder, Ledger.begin(Path(folder) / "l.airwrit") as opened:
        opened.database.execute("PRAGMA journal_mode = MEMORY")
        yield opened


class Act(NamedTuple):
    """One act of a random history: what it states, and which of the earlier statements of the same facts it answers."""

    statements: tuple[Statement, ...]
    picks: tuple[int, ...]


days = st.integers(0, 8).map(lambda n: FIRST + timedelta(days=n))
instants = st.integers(0, 8 * 24).map(lambda n: datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=n))


def statements(moments: st.SearchStrategy[When]) -> st.SearchStrategy[Statement]:
    """Statements of two subjects and five keys; spans may end before they start."""
    pairs = st.sampled_from([(key, value) for key, values in VALUES.items() for value in values])
    starts = st.one_of(st.just(EARLIEST), moments)
    return st.builds(
        lambda subject, pair, start, until: Statement(subject, pair[0], pair[1], start, until),
        st.sampled_from(SUBJECTS),
        pairs,
        starts,
        st.one_of(st.none(), st.none(), moments),
    )


def histories(moments: st.SearchStrategy[When]) -> st.SearchStrategy[list[Act]]:
    """Up to eight acts."""
    one = st.builds(
        Act,
        st.lists(statements(moments), min_size=1, max_size=3).map(tuple),
        st.lists(st.integers(0, 5), max_size=2).map(tuple),
    )
    return st.lists(one, max_size=8)


def kept(
    book: Ledger, acts: list[Act], look: Callable[[int], object] = lambda _: None
) -> list[tuple[Draft, datetime]]:
    """Put the acts on record, an hour apart; `look` is called before each of them with how many there are."""
    clock, done = Clock(), list[tuple[Draft, datetime]]()
    numbers: list[tuple[str, Statement]] = []
    for seq, act in enumerate(acts, 1):
        look(seq - 1)
        spoken = {(one.subject, one.key) for one in act.statements}
        mine = [number for number, one in numbers if (one.subject, one.key) in spoken]
        answers = sorted({mine[pick % len(mine)] for pick in act.picks}) if mine else []
        made = draft(*act.statements, answers=answers)
        book.append([made], clock)
        done.append((made, clock.at))
        numbers += [(f"{seq}.{place}", one) for place, one in enumerate(act.statements)]
        clock.on()
    return done


def ask(seq: int, half: bool) -> datetime:
    """A moment just after the act of that number was recorded, or half an hour later."""
    return START + timedelta(hours=seq - 1, minutes=30 if half else 0)


moments_asked = st.tuples(st.integers(0, 9), st.booleans())


@given(histories(days), st.one_of(days, instants), moments_asked)
def test_the_lookup_is_the_fold(acts: list[Act], on: When, asked: tuple[int, bool]) -> None:
    with ledger() as book:
        kept(book, acts)
        at = ask(*asked)
        assert book.state(on, at).held == state_of(book.known(at), on, at).held


@given(histories(st.one_of(days, instants)), st.one_of(days, instants), moments_asked)
def test_the_lookup_is_the_fold_where_instants_are_said(
    acts: list[Act], on: When, asked: tuple[int, bool]
) -> None:
    with ledger() as book:
        kept(book, acts)
        at = ask(*asked)
        assert book.state(on, at).held == state_of(book.known(at), on, at).held
        for subject in SUBJECTS:
            alone = state_of(book.known(at, [subject]), on, at).held
            assert book.state(on, at, [subject]).held == alone
            assert alone.get(subject) == book.state(on, at).held.get(subject)


@given(histories(days), st.one_of(days, instants), st.integers(0, 8), st.integers(0, 8))
def test_a_state_grows_into_the_one_that_is_read_anew(
    acts: list[Act], on: When, one: int, other: int
) -> None:
    """By any number of entries, from any number; subjects stand in the same order too."""
    since, until = sorted((min(one, len(acts)), min(other, len(acts))))
    with ledger() as book:
        kept(book, acts)
        grown = book.state_grown(book.state(on, ask(since, half=True)), since, ask(until, half=True))
        anew = book.state(on, ask(until, half=True))
        assert grown.held == anew.held
        assert list(grown.held) == list(anew.held)
        assert grown.known_at == anew.known_at


@given(histories(st.one_of(days, instants)), days, st.one_of(days, instants), moments_asked)
def test_the_state_of_another_day_is_the_one_that_is_read_anew(
    acts: list[Act], on: date, whole: When, asked: tuple[int, bool]
) -> None:
    """Forward and back, and out of the state of an instant; subjects stand in the same order too."""
    with ledger() as book:
        kept(book, acts)
        at = ask(*asked)
        other, anew = book.state_of_day(book.state(whole, at), on), book.state(on, at)
        assert (other.on, other.known_at, other.held) == (anew.on, anew.known_at, anew.held)
        assert list(other.held) == list(anew.held)


@given(histories(st.one_of(days, instants)), st.one_of(days, instants), moments_asked)
def test_of_some_kinds_is_what_the_whole_holds_of_them(
    acts: list[Act], on: When, asked: tuple[int, bool]
) -> None:
    with ledger() as book:
        kept(book, acts)
        at = ask(*asked)
        for kinds in (("aircraft",), ("battery", "flight")):
            whole = book.state(on, at).held
            some = book.state(on, at, kinds=kinds).held
            assert some == {name: facts for name, facts in whole.items() if kind_of(name) in kinds}


@given(histories(st.one_of(days, instants)), st.integers(0, 8), st.booleans())
def test_what_is_held_grows_into_what_is_read_anew(acts: list[Act], since: int, blanks: bool) -> None:
    with ledger() as book:
        seen: dict[int, OnRecord] = {}
        kept(book, acts, lambda size: seen.setdefault(size, before(book)))
        if blanks and acts:
            blank(book, [1], Clock(START + timedelta(days=1)), "ada", "a request")
        assert before(book, seen.get(since, NOTHING_HELD)) == before(book)


def model(done: list[tuple[Draft, datetime]], on: date, at: datetime) -> dict[tuple[str, str], object]:
    """What holds on a day, painted day by day from the acts alone: the same answer with no ledger and no fold."""
    alive: dict[str, Statement] = {}
    gone: set[str] = set()
    for seq, (act, moment) in enumerate(done, 1):
        if moment <= at:
            alive |= {f"{seq}.{place}": one for place, one in enumerate(act.statements)}
            gone |= set(act.answers)
    groups: dict[tuple[str, str], list[Statement]] = {}
    for number, one in alive.items():
        if number not in gone:
            groups.setdefault((one.subject, one.key), []).append(one)
    found: dict[tuple[str, str], object] = {}
    for pair, group in groups.items():
        newest = max((one.valid_from for one in group if one.valid_from <= on), default=None)
        values = {
            (type(one.value), one.value)
            for one in group
            if one.valid_from <= on
            and (one.valid_from == newest if one.valid_until is None else on < one.valid_until)
        }
        if len(values) > 1:
            found[pair] = Why.CONFLICT
        elif values and (value := values.pop()[1]) is not None:
            found[pair] = Why.DAMAGED if isinstance(value, Unreadable) else value
    return found


@given(histories(days), days, moments_asked)
def test_the_ledger_is_the_model(acts: list[Act], on: date, asked: tuple[int, bool]) -> None:
    with ledger() as book:
        done = kept(book, acts)
        at = ask(*asked)
        state = book.state(on, at)
        told = {
            (subject, key.name): held.why or (str(held.value) if key.kind is not bool else held.value)
            for subject, facts in state.held.items()
            for key, held in facts.items()
        }
        assert told == model(done, on, at)


@given(histories(st.one_of(days, instants)))
def test_what_is_made_anew_is_what_was_kept(acts: list[Act]) -> None:
    with ledger() as book:
        kept(book, acts)
        before = [
            book.database.execute(f"SELECT * FROM {t}").fetchall() for t in ("said", "answered", "held")
        ]
        with book.writing():
            book.rebuild()
        after = [book.database.execute(f"SELECT * FROM {t}").fetchall() for t in ("said", "answered", "held")]
        assert after == before


def test_a_past_moment_knows_only_what_was_known_then(tmp_path: Path) -> None:
    clock = Clock()
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        book.append([draft(said("aircraft/A", "owner", "ann"))], clock)
        then = clock.on()
        book.append([draft(said("aircraft/A", "owner", "bob"), answers=["1.0"])], clock)
        owner = KEYS["owner"]
        assert book.state(FIRST, then - timedelta(minutes=1)).held["aircraft/A"][owner].value == "ann"
        assert book.state(FIRST, then).held["aircraft/A"][owner].value == "bob"
        assert book.state(FIRST, START - timedelta(seconds=1)).held == {}


def test_two_owners_at_once_stay_open_whichever_came_last(tmp_path: Path) -> None:
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        book.append([draft(said("aircraft/A", "owner", name)) for name in ("ann", "bob")], Clock())
        assert (
            book.state(FIRST, START + timedelta(days=1)).held["aircraft/A"][KEYS["owner"]].why is Why.CONFLICT
        )


def test_a_moment_without_a_zone_is_refused(tmp_path: Path) -> None:
    with Ledger.begin(tmp_path / "l.airwrit") as book, pytest.raises(ValueError, match="no time zone"):
        book.known(datetime(2026, 1, 1))  # noqa: DTZ001 - the point of it
