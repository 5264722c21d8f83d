"""Make requirements.lock and requirements-dev.lock anew from pyproject.toml: names, versions and hashes only.

Needs uv on the PATH. Versions already locked are kept; `--upgrade` or `--upgrade-package NAME` moves them.
"""

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
RUN_LOCK = "requirements.lock"
DEV_LOCK = "requirements-dev.lock"
COMPILE = (
    "pip",
    "compile",
    "--universal",
    "--python-version=3.11",
    "--generate-hashes",
    "--only-binary=:all:",
    "--no-annotate",
    "--no-header",
    "--no-emit-index-url",
    "--no-emit-find-links",
    "--quiet",
    "pyproject.toml",
)


def lock_commands(uv: str, extra: list[str]) -> list[list[str]]:
    """The two uv commands; the second takes its versions of the run-time packages from the first."""
    run = [uv, *COMPILE, "--output-file", RUN_LOCK, *extra]
    dev = [uv, *COMPILE, "--output-file", DEV_LOCK, "--group", "dev", "--constraints", RUN_LOCK, *extra]
    return [run, dev]


def main(extra: list[str]) -> int:
    """The exit code: 0 when both locks were written, uv's own when it failed, 2 when there is no uv."""
    uv = shutil.which("uv")
    if uv is None:
        print(
            "tools/lock.py: uv is not on the PATH; install it (pip install uv) and try again", file=sys.stderr
        )
        return 2
    for command in lock_commands(uv, extra):
        code = subprocess.call(command, cwd=ROOT)
        if code != 0:
            return code
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
