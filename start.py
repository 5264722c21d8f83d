#!/usr/bin/env python3
"""Set airwrit up in .venv and run it. Needs Python 3.11 or newer and nothing else.

python3 start.py [OPTIONS]             set up, then run `airwrit demo OPTIONS`
python3 start.py airwrit ARGUMENTS     set up, then run `airwrit ARGUMENTS`
python3 start.py test [PYTEST OPTIONS] set up with the test tools, then run every check and test

Some tests use programs of the system (Chromium, tidy, poppler). `test`, run by root on Debian, installs them, unless
AIRWRIT_INSTALL=0; elsewhere its last lines say which are missing, so what was not tested, and how to get them.
The packages come from requirements.lock (requirements-dev.lock for the tests), each held to its hash; nothing is
built. A set-up is made once and kept until a lock, pyproject.toml, this file or the Python changes. Then a new one is made
beside it and takes its place once it stands; where the package index cannot be reached, the old one goes on working.
The file keeps to the syntax of Python 3.6, so that an older Python reads it far enough to be refused in words.
"""

import hashlib
import importlib.util
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Callable, Iterable, Mapping, NamedTuple, NoReturn, Optional, Sequence

OLDEST = (3, 11)


def refusal(version: Iterable[int], executable: str) -> str:
    """The line for a Python older than `OLDEST`."""
    found, needed = ".".join(map(str, version)), ".".join(map(str, OLDEST))
    return (
        f"start.py: airwrit needs Python {needed} or newer, and {executable} is Python {found}; "
        f"install a newer one and use it here, as in: python{needed} start.py"
    )


if sys.version_info < OLDEST:
    print(refusal(sys.version_info[:3], sys.executable), file=sys.stderr)
    sys.exit(2)

ROOT = Path(__file__).resolve().parent
# names of one length, so that the paths inside can be put right sign for sign
VENV, NEW, OLD = ROOT / ".venv", ROOT / ".vnew", ROOT / ".vold"
STAMP = "airwrit.stamp"
RUN_LOCK = "requirements.lock"
DEV_LOCK = "requirements-dev.lock"
CHECKS = (
    ("ruff check", ("ruff", "check", ".")),
    ("ruff format", ("ruff", "format", "--check", ".")),
    ("mypy", ("mypy", "--strict")),
)
IN_PROCESSES = (
    "-n",
    "auto",
    "--dist",
    "loadfile",
    "--no-loadscope-reorder",
)  # tests/conftest.py makes the order
SYSTEM_PROGRAMS = (
    (("chromium", "chromium-browser", "google-chrome"), "chromium"),
    (("tidy",), "tidy"),
    (("pdftotext",), "poppler-utils"),
)
OFFLINE_WORDS = ("connection", "name resolution", "dns error", "failed to fetch", "timed out", "network is")
LAUNCHER = """\
import sys

from airwrit.cli.main import main

if __name__ == "__main__":
    sys.argv[0] = "airwrit"
    sys.exit(main())
"""


class SetupError(Exception):
    """The environment cannot be made; the message says what, where and what to do. `offline`: the network was missing."""

    def __init__(self, message: str, offline: bool = False) -> None:
        super().__init__(message)
        self.offline = offline


class Layout(NamedTuple):
    """Where things lie in a virtual environment."""

    python: Path
    site_packages: Path
    launcher: Path
    command: Path


def layout_of(venv: Path, windows: bool, version: "tuple[int, int]") -> Layout:
    """The places in `venv`. The launcher is a Python file; the command is what a person types to reach it."""
    if windows:
        scripts = venv / "Scripts"
        site_packages = venv / "Lib" / "site-packages"
        return Layout(
            scripts / "python.exe", site_packages, scripts / "airwrit-script.py", scripts / "airwrit.cmd"
        )
    site_packages = venv / "lib" / f"python{version[0]}.{version[1]}" / "site-packages"
    return Layout(venv / "bin" / "python", site_packages, venv / "bin" / "airwrit", venv / "bin" / "airwrit")


def stamp_of(parts: Iterable[bytes]) -> str:
    """The SHA-256, in hex, of all that a set-up depends on; where one part ends and the next begins counts."""
    total = hashlib.sha256()
    for part in parts:
        total.update(len(part).to_bytes(8, "big") + part)
    return total.hexdigest()


def wanted_stamp(root: Path, lock: str, version: str = sys.version) -> str:
    """The stamp of a set-up of `root` from `lock` by the Python that calls itself `version`."""
    files = [(root / name).read_bytes() for name in (lock, "pyproject.toml", "start.py")]
    return stamp_of([*files, version.encode(), os.fsencode(root)])


def installer(python: Path, uv: Optional[str]) -> "list[str]":
    """The beginning of an install command: uv where there is one, else the environment's own pip."""
    if uv is not None:
        return [uv, "pip", "install", "--python", str(python)]
    return [str(python), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]


def is_other_package(output: str) -> bool:
    """Whether an install failed because a package was not the one that was locked."""
    said = output.lower()
    return "hash" in said and "match" in said


def is_offline(output: str) -> bool:
    """Whether an install failed because the package index could not be reached, not because of what came from it."""
    return not is_other_package(output) and any(words in output.lower() for words in OFFLINE_WORDS)


def advice(output: str) -> str:
    """What to do about an install that failed with these words."""
    if is_other_package(output):
        return "a package is not the one that was locked: do not use it, and tell the maintainers which it is"
    if is_offline(output):
        return "the package index cannot be reached from here: connect, or name a mirror, then run this again"
    return "mend what the lines above name, then run this again"


def run_quietly(command: Sequence[str], doing: str) -> None:
    """Run one step of the set-up; its words are shown where it fails, but for want of a network. Raises SetupError."""
    try:
        done = subprocess.run(
            command,
            check=False,
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
        )
    except OSError as error:
        raise SetupError(f"could not {doing}: {error}") from error
    if done.returncode != 0:
        offline = is_offline(done.stdout)
        if not offline:
            print("\n".join(done.stdout.splitlines()[-12:]), file=sys.stderr)
        what = f"could not {doing} (code {done.returncode}): {advice(done.stdout)}"
        raise SetupError(what, offline)


def make_venv(with_pip: bool) -> None:
    """Make an empty environment beside the old one. Raises SetupError."""
    if Path(sys.prefix).resolve() == VENV:
        raise SetupError(f"{VENV} has to be made anew but is in use: run start.py with a Python outside it")
    needed = ("venv", "ensurepip") if with_pip else ("venv",)
    missing = [name for name in needed if importlib.util.find_spec(name) is None]
    if missing:
        raise SetupError(
            f"{sys.executable} lacks {' and '.join(missing)}, so no packages can be installed: "
            "on Debian or Ubuntu run `apt-get install python3-venv`, elsewhere use a full Python; then run this again"
        )
    options = ["--clear"] if with_pip else ["--clear", "--without-pip"]
    run_quietly([sys.executable, "-m", "venv", *options, str(NEW)], f"make {NEW}")


def link(layout: Layout, windows: bool) -> None:
    """Let the environment find src/ and give it the `airwrit` command; no build step."""
    # a relative path holds no letter that a .pth file cannot hold
    source = os.path.relpath(ROOT / "src", layout.site_packages)
    (layout.site_packages / "airwrit.pth").write_text(source + "\n", encoding="utf-8")
    if windows:
        layout.launcher.write_text(LAUNCHER, encoding="utf-8")
        layout.command.write_text(f'@"%~dp0python.exe" "%~dp0{layout.launcher.name}" %*\n', encoding="utf-8")
        return
    # a shell reads the second line as a command, Python as part of a string: a path may hold spaces
    start = f"#!/bin/sh\n'''exec' {shlex.quote(str(layout.python))} \"$0\" \"$@\"\n' '''\n"
    layout.launcher.write_text(start + LAUNCHER, encoding="utf-8")
    layout.launcher.chmod(0o755)


def set_up(lock: str) -> Layout:
    """The environment with the packages of `lock` in it, made or completed only where it is not so yet.

    The packages of the test lock hold those of the run lock. Raises SetupError; what worked before still does then.
    """
    put_back()
    layout = layout_of(VENV, os.name == "nt", sys.version_info[:2])
    run_stamp, dev_stamp = (wanted_stamp(ROOT, name) for name in (RUN_LOCK, DEV_LOCK))
    stamp = VENV / STAMP
    found = stamp.read_text(encoding="utf-8") if layout.python.is_file() and stamp.is_file() else ""
    if found == dev_stamp or (found == run_stamp and lock == RUN_LOCK):
        return layout
    wanted = dev_stamp if lock == DEV_LOCK else run_stamp
    print(f"start.py: setting up {VENV} from {lock} (once; about a minute)", file=sys.stderr, flush=True)
    uv = shutil.which("uv")
    try:
        if found == run_stamp and (uv is not None or (layout.site_packages / "pip").is_dir()):
            install(layout, lock, uv)
            stamp.write_text(wanted, encoding="utf-8")
        else:
            make_beside(lock, wanted, uv)
    except SetupError as failure:
        if not (failure.offline and found and lock == RUN_LOCK and has_packages(layout, lock)):
            raise
        print(f"start.py: {failure}; going on with the set-up of before", file=sys.stderr, flush=True)
    return layout


def install(layout: Layout, lock: str, uv: Optional[str]) -> None:
    """Put the packages of a lock into an environment. Raises SetupError."""
    locked = ["--require-hashes", "--only-binary", ":all:", "-r", str(ROOT / lock)]
    run_quietly([*installer(layout.python, uv), *locked], f"install the packages of {lock}")


def make_beside(lock: str, stamp: str, uv: Optional[str]) -> None:
    """Make the environment beside the old one, which it takes the place of once it stands. Raises SetupError."""
    windows = os.name == "nt"
    layout = layout_of(NEW, windows, sys.version_info[:2])
    try:
        make_venv(with_pip=uv is None)
        install(layout, lock, uv)
        link(layout, windows)
        run_quietly([str(layout.python), "-c", "import airwrit.cli.main"], "start airwrit in what was set up")
        (NEW / STAMP).write_text(stamp, encoding="utf-8")
        rename_inside(layout)
        take_the_place()
    finally:
        shutil.rmtree(NEW, ignore_errors=True)


def rename_inside(layout: Layout) -> None:
    """Have the scripts and settings of the new environment name the place where it will be."""
    scripts = [path for path in layout.python.parent.iterdir() if path.is_file() and not path.is_symlink()]
    for path in [NEW / "pyvenv.cfg", *scripts]:
        data = path.read_bytes()
        if os.fsencode(NEW) in data:
            path.write_bytes(data.replace(os.fsencode(NEW), os.fsencode(VENV)))


def take_the_place() -> None:
    """Put the new environment where the old one is; the old one comes back where that fails. Raises SetupError."""
    shutil.rmtree(OLD, ignore_errors=True)
    try:
        if VENV.exists():
            VENV.rename(OLD)
        NEW.rename(VENV)
    except OSError as error:
        put_back()
        raise SetupError(
            f"{VENV} is in use ({error}): close what runs from it, then run this again"
        ) from error
    shutil.rmtree(OLD, ignore_errors=True)


def put_back() -> None:
    """Put the old environment back where it was moved away and nothing took its place, as when the power went."""
    if OLD.exists() and not VENV.exists():
        OLD.rename(VENV)


def has_packages(layout: Layout, lock: str) -> bool:
    """Whether an environment has every package of a lock in some version; those for some systems alone are left out."""
    lines = (ROOT / lock).read_text(encoding="utf-8").splitlines()
    names = [line.partition("==")[0] for line in lines if line[:1].isalnum() and ";" not in line]
    asks = "import sys; from importlib.metadata import version; [version(name) for name in sys.argv[1:]]"
    done = subprocess.run([str(layout.python), "-c", asks, *names], check=False, stderr=subprocess.DEVNULL)
    return done.returncode == 0


def missing_packages(found: "Callable[[str], Optional[str]]" = shutil.which) -> "list[str]":
    """The Debian packages of the programs that tests use and that are not here."""
    return [package for names, package in SYSTEM_PROGRAMS if not any(found(name) for name in names)]


def may_install(environment: "Mapping[str, str]", is_root: bool, has_apt: bool) -> bool:
    """Whether system packages may be installed: on Debian, by root, where AIRWRIT_INSTALL=0 does not forbid it."""
    return is_root and has_apt and environment.get("AIRWRIT_INSTALL") != "0"


def have_programs() -> "list[str]":
    """Install the programs that tests use where that is allowed; the packages that are missing all the same."""
    missing = missing_packages()
    if not missing:
        return []
    is_root = os.name == "posix" and os.geteuid() == 0
    if may_install(os.environ, is_root, shutil.which("apt-get") is not None):
        print(f"start.py: installing {', '.join(missing)}", file=sys.stderr, flush=True)
        os.environ["DEBIAN_FRONTEND"] = "noninteractive"
        try:
            run_quietly(["apt-get", "update", "-q"], "ask for Debian's list of packages")
            wanted = ["apt-get", "install", "-q", "-y", "--no-install-recommends", *missing]
            run_quietly(wanted, f"install {', '.join(missing)}")
        except SetupError as failure:
            print(f"start.py: {failure}", file=sys.stderr)
    return missing_packages()


def not_tested(missing: "Sequence[str]") -> str:
    """What to say after the tests where programs were missing."""
    return (
        f"start.py: not here: {', '.join(missing)}; the tests that use them were skipped (they fail where CI=true). "
        f"On Debian, as root: apt-get install {' '.join(missing)}, then run it again"
    )


def worst(codes: Iterable[int]) -> int:
    """The greatest exit code, a signal counting as a shell counts it."""
    return max(code if code >= 0 else 128 - code for code in codes)


def run_tests(python: Path, options: Sequence[str]) -> int:
    """Run every check, then pytest, whose closing line comes last. The worst exit code."""
    codes = {}
    for name, command in CHECKS:
        print(f"-- {name}", flush=True)
        codes[name] = subprocess.call([str(python), "-m", *command], cwd=ROOT)
    failed = [name for name, code in codes.items() if code != 0]
    print("-- pytest" + (f" (already failed: {', '.join(failed)})" if failed else ""), flush=True)
    codes["pytest"] = subprocess.call([str(python), "-m", "pytest", *IN_PROCESSES, *options], cwd=ROOT)
    return worst(codes.values())


def hand_over(command: "list[str]") -> NoReturn:
    """Become `command`; where a process cannot, wait for it and end with its code."""
    sys.stdout.flush()
    if os.name == "posix":
        os.execv(command[0], command)
    sys.exit(subprocess.call(command))


def main(arguments: Sequence[str]) -> int:
    """The exit code of the tests, or 2 when the set-up failed; an airwrit command takes over this process."""
    try:
        if arguments[:1] == ["test"]:
            python = set_up(DEV_LOCK).python
            missing = have_programs()
            code = run_tests(python, arguments[1:])
            if missing:
                print(not_tested(missing), file=sys.stderr, flush=True)
            return code
        layout = set_up(RUN_LOCK)
    except SetupError as failure:
        print(f"start.py: {failure}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    os.environ["AIRWRIT_TYPED"] = "python3 start.py airwrit"  # how a person calls it, told in what to do next
    wanted = arguments[1:] if arguments[:1] == ["airwrit"] else ["demo", *arguments]
    hand_over([str(layout.python), str(layout.launcher), *wanted])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
