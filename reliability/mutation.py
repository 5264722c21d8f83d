"""Change one small thing in the law or in the fold, as a slip would, and see whether a test fails: again and again.

python reliability/mutation.py [MUTANTS [SEED [STATE]]]

The mutants are drawn from all there are of `src/airwrit/law/` and of the fold, by what they are: a change of a line leaves
the rest of the draw as it is. Each is run in a fork of one process in which the tests of the law are collected, against the
tests of its module alone: those in a file of its name, and the lines of tables and stories about a rule that stands in it; of
a module in which no rule stands, those that come through it. Those that come through the changed function are first. What
runs while modules are loaded is run in a process of its own, against the files of those tests. STATE is a file that keeps
what was found: a run that was stopped goes on from there, and so does one of a later commit, whose new lines alone are run;
what survived is run again once its lines are taken out of the file. `excused.toml` names the mutants that change nothing,
with the reason.

The harness is tried first, on some functions: as it stands one has to survive, and one that only raises has to be killed.
"""

from __future__ import annotations

import contextlib
import functools
import gc
import hashlib
import importlib.machinery
import json
import os
import pickle
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from types import CodeType, FrameType
from typing import Any, NamedTuple

import pytest
from _pytest.runner import runtestprotocol

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(Path(__file__).parent))

from mutants import RAISES, UNCHANGED, Mutant, mutants_of, mutated  # noqa: E402

MUTANTS = 2000
SEED = 20270601
CONTROLS, CONTROLS_APART = 30, 2
"""How many functions the harness is tried with before, and how many that run while modules are loaded."""
EXCUSED = Path(__file__).with_name("excused.toml")
TARGETS = (
    "src/airwrit/law",
    "src/airwrit/facts/fold.py",
    "src/airwrit/facts/state.py",
    "src/airwrit/answers/history/from_ledger.py",
)
"""What is changed: the law, the fold, and how a ledger is read into it."""
TESTS = (
    "tests/unit/law",
    "tests/unit/facts",
    "tests/stories",
    "tests/unit/answers/history",
    "tests/unit/house",
    "tests/properties/test_fold.py",
    "tests/properties/test_review.py",
)
KILLED, SURVIVED = "killed", "survived"
_LONGEST_S = 60
"""Processor time after which a mutant counts as killed: it goes round for ever."""


Place = tuple[str, str]
"""A file and a function of it."""


class Coverage(NamedTuple):
    """Which tests come through a function, by number, quickest first; the functions that run while modules are loaded; whose
    tests the tests are.
    """

    tests: Mapping[Place, Sequence[int]]
    at_load: frozenset[Place]
    of_module: Mapping[str, frozenset[int]]

    def chosen(self, mutant: Mutant) -> list[int]:
        """The tests that a mutant is run against: those of its function, then those of the rest of its module."""
        through = self.tests.get((mutant.path, mutant.function), ())
        near = (at for (path, _), ones in self.tests.items() if path == mutant.path for at in ones)
        own = self.of_module.get(mutant.path)
        return [at for at in dict.fromkeys((*through, *near)) if own is None or at in own]


def rule_files() -> Mapping[str, str]:
    """The file in which each rule stands, by the rule's name; the law is loaded already."""
    rulebook = sys.modules["airwrit.law.rulebook"]
    return {name: path_of(rule.judge.__module__) for name, rule in rulebook.BY_NAME.items()}


def modules_of(item: pytest.Item, files: Mapping[str, str]) -> set[str]:
    """The files that a test is a test of: the one that its own file is named for, and those of the rules it is about."""
    folder, _, name = item.nodeid.partition("::")[0].removeprefix("tests/unit/").rpartition("/")
    parts = name.removeprefix("test_").removesuffix(".py").split("_")
    found = {f"src/airwrit/{folder}/{'_'.join(parts[:many])}.py" for many in range(1, len(parts) + 1)}
    for value in item.callspec.params.values() if hasattr(item, "callspec") else ():
        rules = [getattr(value, "rule", None), *(one.rule for one in getattr(value, "answers", ()))]
        found.update(files[rule] for rule in rules if rule in files)
    return {path for path in found if (ROOT / path).exists()}


def path_of(module: str) -> str:
    """The file of a module of the source tree."""
    return f"src/{module.replace('.', '/')}.py"


class Session:
    """A pytest plugin that runs mutants in the place of tests."""

    def __init__(self, mutants: Sequence[Mutant], found: Callable[[Mutant, str], None]) -> None:
        """`found` is told how each mutant ended."""
        self._mutants, self._found = mutants, found
        self._loading = Calls()
        self._loading.begin()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Every mutant in a fork of this process."""
        at_load = self._loading.end()
        covered = in_fork(lambda: coverage_of(session.items, at_load))
        caches = [one for one in gc.get_objects() if isinstance(one, functools._lru_cache_wrapper)]  # noqa: SLF001
        kept = [one for one in caches if str(one.__module__).startswith("airwrit.")]
        for control, wanted in controls(self._mutants, covered):
            if self._ended(control, covered, session.items, kept) != wanted:
                raise RuntimeError(f"the harness fails: {control.name} is not {wanted}")
        for mutant in self._mutants:
            self._found(mutant, self._ended(mutant, covered, session.items, kept))
        return True

    def _ended(
        self, mutant: Mutant, covered: Coverage, items: Sequence[pytest.Item], caches: Sequence[Any]
    ) -> str:
        chosen = [items[at] for at in covered.chosen(mutant)]
        if not mutant.function or (mutant.path, mutant.function) in covered.at_load:
            return ended_apart(mutant, dict.fromkeys(item.nodeid.partition("::")[0] for item in chosen))
        return SURVIVED if in_fork(lambda: survives(mutant, chosen, caches)) is True else KILLED


class Calls:
    """The functions of the targets that are called while it looks."""

    def __init__(self) -> None:
        """Not looking yet."""
        self._seen: set[CodeType] = set()

    def begin(self) -> None:
        """Look."""
        sys.settrace(self._called)

    def _called(self, frame: FrameType, *_: Any) -> None:
        self._seen.add(frame.f_code)

    def end(self) -> frozenset[Place]:
        """What was called; look no longer."""
        sys.settrace(None)
        root = f"{ROOT}/"
        ours = [code for code in self._seen if code.co_filename.startswith(root)]
        places = [(code.co_filename.removeprefix(root), code.co_qualname) for code in ours]
        return frozenset((path, name.partition(".<")[0]) for path, name in places if path.startswith(TARGETS))


def coverage_of(items: Sequence[pytest.Item], at_load: frozenset[Place]) -> Coverage:
    """What each test comes through; one that fails as it is does not count, and is told on standard error."""
    took: dict[int, float] = {}
    tests: dict[Place, list[int]] = defaultdict(list)
    for at, item in enumerate(items):
        begun, calls = time.process_time(), Calls()
        calls.begin()
        passes = passes_all(items[at : at + 1], items[at + 1 : at + 2])
        places = calls.end()
        took[at] = time.process_time() - begun
        if not passes:
            sys.stderr.write(f"{item.nodeid} fails as it is\n")
            continue
        for place in places:
            tests[place].append(at)
    files = rule_files()
    own: dict[str, set[int]] = {path: set() for path in files.values()}
    for at, item in enumerate(items):
        for path in modules_of(item, files) & own.keys():
            own[path].add(at)
    return Coverage(
        {place: sorted(ones, key=took.__getitem__) for place, ones in tests.items()},
        at_load,
        {path: frozenset(ones) for path, ones in own.items()},
    )


def controls(mutants: Sequence[Mutant], covered: Coverage) -> list[tuple[Mutant, str]]:
    """Functions of some mutants as they are, and raising; each with how it has to end."""
    firsts = {
        (one.path, one.function): one
        for one in mutants
        if one.function
        and set(covered.tests.get((one.path, one.function), ())).intersection(covered.chosen(one))
    }
    at_load = [one for place, one in firsts.items() if place in covered.at_load][:CONTROLS_APART]
    some = [one for place, one in firsts.items() if place not in covered.at_load][:CONTROLS] + at_load
    as_is = [(one._replace(number=UNCHANGED, what="as it is"), SURVIVED) for one in some]
    return as_is + [(one._replace(number=RAISES, what="only raises"), KILLED) for one in some]


def passes_all(items: Sequence[pytest.Item], after: Sequence[pytest.Item] = ()) -> bool:
    """Whether all of some tests pass; the first that does not ends it."""
    for item, follows in zip(items, (*items[1:], *(after or (None,))), strict=False):
        if any(report.failed for report in runtestprotocol(item, log=False, nextitem=follows)):
            return False
    return True


def survives(mutant: Mutant, items: Sequence[pytest.Item], caches: Sequence[Any]) -> bool:
    """Whether no test notices that a function is another, in this process."""
    signal.setitimer(signal.ITIMER_PROF, _LONGEST_S)
    put_in(mutant)
    for cache in caches:
        cache.cache_clear()
    return passes_all(items)


def put_in(mutant: Mutant) -> None:
    """Give the function around the change the changed code, wherever it is known already."""
    module = sys.modules[module_of(mutant.path)]
    code = compile(mutated(ROOT, mutant), str(ROOT / mutant.path), "exec")
    found: Any = module
    for name in mutant.function.split("."):
        found = vars(found)[name]
    _function(found).__code__ = _inner(code, mutant.function.split("."))


def _function(found: Any) -> Any:
    """The plain function in a property, a class's own or a wrapped one."""
    while True:
        inner = getattr(found, "fget", None) or getattr(found, "__wrapped__", None)
        inner = inner or (found.__func__ if isinstance(found, staticmethod | classmethod) else None)
        if inner is None:
            return found
        found = inner


def _inner(code: CodeType, names: Sequence[str]) -> CodeType:
    """The code of a function or a class's function in that of its module."""
    for name in names:
        code = next(one for one in code.co_consts if isinstance(one, CodeType) and one.co_name == name)
    return code


def module_of(path: str) -> str:
    """The dotted name of a file of the source tree."""
    return path.removeprefix("src/").removesuffix(".py").replace("/", ".").removesuffix(".__init__")


def in_fork(work: Callable[[], Any]) -> Any:
    """What some work gives in a fork of this process, None where it ends in another way."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        code = 1
        try:
            os.close(out)
            told = work()
            with os.fdopen(into, "wb") as pipe:
                pickle.dump(told, pipe)
            code = 0
        finally:
            os._exit(code)
    os.close(into)
    with os.fdopen(out, "rb") as pipe:
        told = pipe.read()
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return pickle.loads(told) if code == 0 else None


def ended_apart(mutant: Mutant, files: Iterable[str]) -> str:
    """How a mutant ends that has to be there while modules are loaded: in a process of its own, against files of tests."""
    command = [sys.executable, __file__, "--apart", json.dumps(mutant), *files]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, check=False, timeout=600)
    return SURVIVED if done.returncode == 0 else KILLED


def run_apart(mutant: Mutant, files: Sequence[str]) -> int:
    """The process itself: pytest's exit code."""
    place, tree = str(ROOT / mutant.path), mutated(ROOT, mutant)
    plain = importlib.machinery.SourceFileLoader.get_code

    def get_code(loader: Any, fullname: str) -> CodeType | None:
        if loader.get_filename(fullname) == place:
            return compile(tree, place, "exec")
        return plain(loader, fullname)

    importlib.machinery.SourceFileLoader.get_code = get_code  # type: ignore[method-assign]
    signal.setitimer(signal.ITIMER_PROF, 2 * _LONGEST_S)
    return int(pytest.main(["-q", "-x", "-p", "no:cacheprovider", *(files or TESTS)]))


def drawn(count: int, seed: int) -> list[Mutant]:
    """So many of all mutants, as the hash of seed and key has it: the first of the more that the same seed draws."""
    paths = {
        path.relative_to(ROOT).as_posix()
        for target in TARGETS
        for path in ([ROOT / target] if target.endswith(".py") else (ROOT / target).rglob("*.py"))
    }
    every = [mutant for path in paths for mutant in mutants_of(ROOT, path)]
    return sorted(every, key=lambda one: hashlib.sha256(f"{seed} {one.key}".encode()).digest())[:count]


def is_excused(mutant: Mutant) -> bool:
    """Whether it is known to change nothing."""
    told = tomllib.loads(EXCUSED.read_text(encoding="utf-8"))["excused"]
    return any(
        (one["path"], one["line"], one["what"]) == (mutant.path, mutant.text, mutant.what)
        and one.get("function", mutant.function) == mutant.function
        for one in told
    )


def run(count: int, seed: int, state: Path) -> Counter[str]:
    """How so many mutants ended, told in `state` as well: one a line."""
    ended: dict[str, str] = {}
    if state.exists():
        ended = dict(json.loads(line) for line in state.read_text(encoding="utf-8").splitlines())
    mutants = drawn(count, seed)
    left = [mutant for mutant in mutants if mutant.key not in ended]

    def found(mutant: Mutant, how: str) -> None:
        ended[mutant.key] = how
        with state.open("a", encoding="utf-8") as file:
            file.write(json.dumps([mutant.key, how]) + "\n")
        if how == SURVIVED and not is_excused(mutant):
            sys.stderr.write(f"{mutant.name} survives\n")

    if left:
        with contextlib.redirect_stdout(sys.stderr):
            code = pytest.main(["-q", "-p", "no:cacheprovider", *TESTS], [Session(left, found)])
        if code not in (0, pytest.ExitCode.NO_TESTS_COLLECTED):
            raise RuntimeError(f"pytest ended with {code}")
    return Counter(
        "excused" if ended[one.key] == SURVIVED and is_excused(one) else ended[one.key] for one in mutants
    )


def main() -> None:
    """Run, and say in one line how it went; a mutant that survives and is not excused is told on standard error."""
    if sys.argv[1:2] == ["--apart"]:
        sys.exit(run_apart(Mutant(*json.loads(sys.argv[2])), sys.argv[3:]))
    count, seed = (int(sys.argv[at]) if len(sys.argv) > at else n for at, n in ((1, MUTANTS), (2, SEED)))
    begun = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        state = Path(sys.argv[3]) if len(sys.argv) > 3 else Path(folder) / "state"
        ended = run(count, seed, state)
    share = 100 * ended[KILLED] / sum(ended.values())
    sys.stdout.write(
        f"seed {seed}: {sum(ended.values())} mutants, {ended[KILLED]} noticed by a test ({share:.1f} %), "
        f"{ended['excused']} change nothing, {ended[SURVIVED]} noticed by none, in {time.monotonic() - begun:.0f} s\n"
    )


if __name__ == "__main__":
    main()
