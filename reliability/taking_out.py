"""Put a person's private values wherever they can stand, take them out on request, and look for them in every byte.

python reliability/taking_out.py [ROUNDS [SEED]]

Each round makes a ledger by chance: values in sheets of several names and forms, in files brought in for others, in notes, in
documents, among the facts of many others; some of it is changed later. A hold blocks the first try. After the second no byte of
the file and of what lies beside it may hold a value, `check` finds it whole, and what others said is as it was.
"""

from __future__ import annotations

import io
import random
import sys
import tempfile
import time
import zipfile
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.removal.holds import release, set_hold
from airwrit.answers.removal.removal import plan_for_person, taken
from airwrit.base.errors import UsageError
from airwrit.facts.keys.document import document_subject
from airwrit.facts.keys.program import HoldKind
from airwrit.facts.statement import Statement
from airwrit.ledger.checking.check import check
from airwrit.ledger.copies import exported
from airwrit.ledger.given_out import noted
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.blanking import Request
from airwrit.ledger.sqlite.store import Ledger

ROUNDS = 100
_START = datetime(2026, 1, 1, tzinfo=UTC)
_WHO, _OTHERS = "Jo Test", ("Al Test", "Bo Test", "Cy Test")


class Result(NamedTuple):
    """Of one run: ledgers, places in which values stood, kept files that went and that stayed, seconds."""

    ledgers: int
    places: int
    files_gone: int
    files_kept: int
    seconds: float


class Private(NamedTuple):
    """What is private of a person: a birthday and a certificate number."""

    born: date
    number: str

    @property
    def forms(self) -> list[str]:
        """Forms in which the two are written."""
        born = self.born
        return [self.number, born.isoformat(), f"{born:%m/%d/%Y}", f"{born:%B} {born.day}, {born.year}"]


class _Maker:
    """Makes one ledger, and remembers where it put values and what it kept."""

    def __init__(self, book: Ledger, chance: random.Random) -> None:
        self.book, self.chance, self.places, self.now = book, chance, 0, _START
        self.clean = set[str]()
        numbers = chance.sample(range(10_000, 99_999), 1 + len(_OTHERS))
        days = chance.sample(range(12_000), 1 + len(_OTHERS))
        self.own = [
            Private(date(1960, 1, 1) + timedelta(days=day), f"00{number}")
            for day, number in zip(days, numbers, strict=True)
        ]

    def clock(self) -> datetime:
        self.now += timedelta(minutes=self.chance.randint(1, 90))
        return self.now

    def file(self, name: str, data: bytes, said: Statement, act: str = "import", note: str = "") -> None:
        source = f"{name} sha256:{sha256(data).hexdigest()}"
        self.book.append(
            [Draft("ada", act, (said,), (), source, note)], self.clock, files=[KeptFile(name, data)]
        )

    def sheet(self, number: int) -> None:
        """A sheet of people, with their private facts in lines of their own; the person is not always among them."""
        with_person = self.chance.random() < 0.6
        rows = list(zip((_WHO, *_OTHERS), self.own, strict=True))[0 if with_person else 1 :]
        cells = [
            (name, mine.number, str(mine.born) if self.chance.random() < 0.5 else f"{mine.born:%m/%d/%Y}")
            for name, mine in rows
        ]
        text = "Name,Certificate number,Born\n" + "".join(f"{','.join(row)}\n" for row in cells)
        data = self._packed(text + f"{number},,\n")
        name = f"crew {number}.csv"
        for who, mine in rows:
            said = Statement(f"person/{who}", "certificate_number", mine.number)
            born = Statement(f"person/{who}", "born_on", mine.born.isoformat())
            self.file(name, data, self.chance.choice([said, born]))
        self.places += 2 * with_person
        self.clean |= set() if with_person else {sha256(data).hexdigest()}

    def _packed(self, text: str) -> bytes:
        how = self.chance.randrange(4)
        if how == 0:
            return text.encode("utf-16")
        if how == 1:
            out = io.BytesIO()
            with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
                archive.writestr("content.xml", "".join(f"<p>{line}</p>" for line in text.splitlines()))
            return out.getvalue()
        return text.encode()

    def fleet(self, number: int) -> None:
        """A sheet of aircraft, in a cell of which a value may stand."""
        form = self.chance.choice(self.own[0].forms) if self.chance.random() < 0.5 else "none"
        data = f"Aircraft,Model,Remarks\nT-{number},One,pilot {form} flies\n".encode()
        self.file(f"fleet {number}.csv", data, Statement(f"aircraft/T-{number}", "model", "One"))
        self.places += form != "none"
        self.clean |= {sha256(data).hexdigest()} if form == "none" else set()

    def note(self, number: int) -> None:
        """A fact by hand, in whose note a value stands."""
        form = self.chance.choice(self.own[0].forms)
        said = Statement(f"aircraft/N-{number}", "model", f"m{number}")
        self.book.append([Draft("ada", "record", (said,), (), "", f"asked {form} about it")], self.clock)
        self.places += 1

    def document(self, number: int) -> None:
        """A paper of the person, or of an aircraft with a value in its name."""
        data = b"\xff\xd8\xff" + self.chance.randbytes(300)
        digest = sha256(data).hexdigest()
        mine = self.chance.random() < 0.5
        subject = document_subject(digest, f"person/{_WHO}" if mine else "aircraft/T-0")
        name = f"card {number}.jpg" if mine else f"card {self.own[0].number} {number}.jpg"
        self.file(name, data, Statement(subject, "document_sha256", digest), "attach")
        self.places += 1

    def corrected(self) -> None:
        """The birthday is said otherwise, and put right again."""
        subject, born = f"person/{_WHO}", self.own[0].born
        for value in (born + timedelta(days=1), born):
            said = Statement(subject, "born_on", value.isoformat())
            self.book.append([Draft("ada", "record", (said,))], self.clock)
        self.places += 2


def _made(maker: _Maker) -> None:
    makers = (maker.sheet, maker.fleet, maker.note, maker.document)
    own, subject = maker.own[0], f"person/{_WHO}"
    born = Statement(subject, "born_on", own.born.isoformat())
    number = Statement(subject, "certificate_number", own.number)
    maker.book.append([Draft("ada", "record", (born, number))], maker.clock)
    maker.fleet(0)
    for count in range(1, maker.chance.randint(8, 24)):
        maker.chance.choice(makers)(count)
    maker.corrected()
    noted(maker.book, "backup", "b.airwrit", maker.clock)


def _others_say(book: Ledger) -> list[tuple[str, str, str]]:
    """What is known of others and of aircraft."""
    known = book.known(book.last_moment())
    return sorted(
        {
            (i.statement.subject, i.statement.key, str(i.statement.value))
            for i in known
            if _WHO not in i.statement.subject
        }
    )


def _once(path: Path, chance: random.Random) -> tuple[int, int, int]:
    """One ledger: places, files gone, files kept. RuntimeError when anything is left, lost, or not whole."""
    with Ledger.begin(path) as book:
        book.database.execute("PRAGMA synchronous = OFF")
        maker = _Maker(book, chance)
        _made(maker)
        before = [
            one
            for one in _others_say(book)
            if one[0].split("/")[0] not in ("document", "request", "file", "hold")
        ]
        request = Request(f"person/{_WHO}", _WHO, "Dana Reyes", "request 1")
        hold = set_hold(
            book, f"person/{_WHO}", HoldKind.LITIGATION, "Dana Reyes", "a claim", maker.clock, "ada"
        )
        _refused(book, maker, request)
        release(book, hold.seq, "Dana Reyes", "settled", maker.clock, "ada")
        plan = plan_for_person(book, _WHO)
        if not any(one.name == "b.airwrit" for one in plan.beyond):
            raise RuntimeError("a backup that was made is not listed")
        done = taken(book, plan, request, maker.clock, "ada")
        if done.is_found or done.trouble:
            raise RuntimeError(f"it was left or could not be cleared: {done}")
        _look(book, maker, before)
        kept = {row[0] for row in book.database.execute("SELECT sha256 FROM file WHERE bytes IS NOT NULL")}
    for one in path.parent.glob(f"{path.name}*"):
        _nothing_in(one.read_bytes(), maker.own[0], one.name)
    return maker.places, len(plan.files), len(kept)


def _refused(book: Ledger, maker: _Maker, request: Request) -> None:
    try:
        taken(book, plan_for_person(book, _WHO), request, maker.clock, "ada")
    except UsageError:
        return
    raise RuntimeError("a hold did not stop it")


def _look(book: Ledger, maker: _Maker, before: list[tuple[str, str, str]]) -> None:
    """The log is whole, nothing is in it, others say what they said, and files without a value are still kept."""
    if check(book).faults:
        raise RuntimeError(f"it is not whole: {check(book).faults[:3]}")
    _nothing_in("\n".join(exported(book)).encode(), maker.own[0], "the lines")
    lost = set(before) - set(_others_say(book))
    if lost:
        raise RuntimeError(f"what others said was lost: {sorted(lost)[:3]}")
    for digest in maker.clean:
        file = book.file(digest)
        if file is None or file.data is None:
            raise RuntimeError(f"the file {file} holds nothing of the person and is gone")
    for digest, name, data in book.database.execute(
        "SELECT sha256, name, bytes FROM file WHERE bytes IS NOT NULL"
    ):
        _nothing_in(_unpacked(data), maker.own[0], f"{name} {digest[:8]}")


def _unpacked(data: bytes) -> bytes:
    if not data.startswith(b"PK"):
        return data
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return b"".join(archive.read(part) for part in archive.namelist())


def _nothing_in(data: bytes, private: Private, where: str) -> None:
    for form in private.forms:
        for encoding in ("utf-8", "utf-16-le", "utf-16-be"):
            if form.encode(encoding) in data:
                at = data.index(form.encode(encoding))
                raise RuntimeError(f"{form!r} still stands in {where}: {data[max(at - 60, 0) : at + 60]!r}")


def run(rounds: int, seed: int, folder: Path) -> Result:
    """Make so many ledgers and take a person out of each. RuntimeError names what was left or lost."""
    begun, chance = time.monotonic(), random.Random(seed)
    counts = [_once(folder / f"{number}.airwrit", chance) for number in range(rounds)]
    places, gone, kept = (sum(column) for column in zip(*counts, strict=True))
    return Result(rounds, places, gone, kept, time.monotonic() - begun)


def main() -> None:
    """Run as long as asked, and print what came of it."""
    numbers = [int(text) for text in sys.argv[1:]]
    rounds, seed = (numbers + [ROUNDS, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        found = run(rounds, seed, Path(folder))
    sys.stdout.write(
        f"seed {seed}: {found.ledgers} ledgers, a person's private values put in {found.places} places, taken out in "
        f"{found.seconds:.0f} s; a hold stopped every first try; no byte of a file holds one, {found.files_gone} kept files "
        f"emptied, {found.files_kept} without one still kept, every log whole\n"
    )


if __name__ == "__main__":
    main()
