"""Draws sentences from errors, help, README and papers, their places filled from the demo: for readers to mark.

    python tools/sentence_draw.py SEED [COUNT] [errors,help,readme,papers]

The same seed draws the same sentences from the same checkout. A reader who knows nothing of the code marks each as natural,
awkward or confusing, and says why.
"""

from __future__ import annotations

import ast
import random
import re
import sys
import tempfile
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from airwrit.base.sentences import sentence
from airwrit.cli.main import COMMANDS, cli
from airwrit.papers import typeset

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "airwrit"
DEMO_DAY = date(2026, 11, 25)
FILLED: dict[str, str] = tomllib.loads(
    (Path(__file__).parent / "sentence_places.toml").read_text(encoding="utf-8")
)
"""What stands in the places of an error, where the place is known by name; else a number."""
_END = re.compile(r"(?<=[.?!]) (?=[A-Z0-9'\"`])")
_LEAST_WORDS = 3
_QUOTING = ("quoted(", "_quoted(", "_told(", "shown(")
"""Calls in a place that put quotes around what they show."""


def texts_of_errors() -> Iterator[str]:
    """What an error says and what to do, of every place in the code that raises one of ours, its own places filled."""
    for path in sorted(SOURCE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and _is_ours(node.exc):
                said = [*node.exc.args, *(word.value for word in node.exc.keywords if word.arg == "do")]
                yield " ".join(sentence(text) for text in (_filled(one, path.stem) for one in said) if text)


def _is_ours(call: ast.Call) -> bool:
    name = ast.unparse(call.func)
    return name not in (
        "ValueError",
        "TypeError",
        "KeyError",
        "IndexError",
        "Undecided",
        "BadLawFile",
        "RuntimeError",
    )


def _filled(node: ast.expr, module: str) -> str:
    """A text of a module with its places filled; empty where it is no text, or the bare name of a field."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) and " " in node.value else ""
    if not isinstance(node, ast.JoinedStr):
        return ""
    parts = []
    for one in node.values:
        if isinstance(one, ast.FormattedValue):
            parts.append(_place(one, module))
        else:
            parts.append(str(ast.literal_eval(one)))
    text = "".join(parts)
    return text if " " in text else ""


def _place(place: ast.FormattedValue, module: str) -> str:
    """What stands in one place: by its name in its module, by its name, by a name in it, else a number that is no 1."""
    written = ast.unparse(place.value)
    inner = re.sub(r"\[[^]]*\]", "", written)
    names = [written, inner, inner.partition("(")[0], *re.findall(r"[\w.]+", inner)[::-1]]
    if place.format_spec:
        names.insert(0, f"{written}:{ast.unparse(place.format_spec)[2:-1]}")
    names = [*(f"{module}/{name}" for name in names), *names]
    text = next((FILLED[name] for name in names if name in FILLED), None)
    if text is None:
        return "aircraft, person" if "join" in written else "50"
    quoted = place.conversion == ord("r") or written.startswith(_QUOTING)
    return f"'{text}'" if quoted else text


def texts_of_help() -> Iterator[str]:
    """Every paragraph of every command's help."""
    for name in COMMANDS:
        shown = CliRunner().invoke(cli, [name, "--help"], terminal_width=4000, max_content_width=4000).output
        for line in shown.splitlines():
            if not line.startswith("Usage:"):
                yield re.sub(r"^ *(?:-\S+,? ?)*(?:\[[^]]*\]|[A-Z_=|.-]+(?= {2}))? *", "", line).strip()


def texts_of_readme() -> Iterator[str]:
    """The prose of the README: no tables, commands or output."""
    body = re.sub(
        r"```.*?```|<!--.*?-->", "", (ROOT / "README.md").read_text(encoding="utf-8"), flags=re.DOTALL
    )
    for block in body.split("\n\n"):
        if not block.lstrip().startswith(("|", "#", "![", "<")):
            yield from (" ".join(part.split()) for part in re.split(r"^- ", block, flags=re.MULTILINE))


def texts_of_papers() -> Iterator[str]:
    """What the demo's papers say: the carry pack, the worksheet, the labels, the proof and the tamper seal.

    Each text as it is handed to Typst, and the lines of the templates that are no code; no citations.
    """
    said: list[Any] = []
    plain = typeset.in_days

    def kept(data: Any) -> Any:
        said.append(plain(data))
        return said[-1]

    with tempfile.TemporaryDirectory() as folder:
        typeset.in_days = kept
        try:
            _made_papers(Path(folder))
        finally:
            typeset.in_days = plain
    for text in _texts_in(said):
        if not re.search(r"\b(?:CFR|USC|FR|Pub)\b", text):
            yield text
    for template in sorted(typeset.FOLDER.glob("*.typ")):
        lines = (line.strip(" +-") for line in template.read_text(encoding="utf-8").splitlines())
        yield from (line for line in lines if line.endswith(".") and not re.search(r"[#{}()\[\]/]", line))


def _texts_in(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list | tuple):
        for one in value:
            yield from _texts_in(one)
    elif isinstance(value, str):
        yield value


def _made_papers(folder: Path) -> None:
    day, book = ["--on", DEMO_DAY.isoformat()], ["--ledger", str(folder / "p.airwrit")]
    for arguments in (
        ["demo", "--no-page", "--out", str(folder), *day],
        ["import", str(folder / "tarn-and-fell.xlsx"), "--use", "work", "--yes", *book],
        [
            "pilot-papers",
            "Ivo Brask",
            "--out",
            str(folder / "p.html"),
            "--pdf",
            str(folder / "papers.pdf"),
            *day,
            *book,
        ],
        ["registration-sheets", "--out", str(folder / "sheets.pdf"), *day, *book],
        ["number-labels", "--out", str(folder / "labels.pdf"), *day, *book],
        ["proof", "aircraft/Birch 1", "--out", str(folder / "proof.pdf"), *day, *book],
        ["seal-records", "--print", str(folder / "seal.pdf"), *book],
    ):
        CliRunner().invoke(cli, arguments)


FACES = {
    "errors": texts_of_errors,
    "help": texts_of_help,
    "readme": texts_of_readme,
    "papers": texts_of_papers,
}


def drawn(seed: int, count: int, faces: list[str]) -> list[tuple[str, str]]:
    """Sentences with the face each is from, as many from each face as there are of them or an even share."""
    chance = random.Random(seed)
    found: list[tuple[str, str]] = []
    for place, face in enumerate(faces):
        every = [one.strip() for text in FACES[face]() for one in _END.split(text)]
        fit = sorted({one for one in every if len(one.split()) > _LEAST_WORDS and one[:1].isprintable()})
        share = count // len(faces) + (place < count % len(faces))
        found += [(face, one) for one in chance.sample(fit, min(share, len(fit)))]
    chance.shuffle(found)
    return found


def main() -> None:
    """Print the sentences, numbered."""
    seed = int(sys.argv[1])
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 120
    faces = sys.argv[3].split(",") if len(sys.argv) > 3 else list(FACES)
    for number, (face, text) in enumerate(drawn(seed, count, faces), 1):
        print(f"{number:3} [{face}] {text}")


if __name__ == "__main__":
    main()
