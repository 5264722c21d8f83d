"""Write docs/map.md: every module of the program in a line, out of its own first sentence.

`PYTHONPATH=src:. .venv/bin/python tools/map_page.py` prints the page; `tests/shape/test_map_page.py` keeps it.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

SRC = Path(__file__).resolve().parent.parent / "src" / "airwrit"

LAYERS = (
    *("base", "facts", "law", "house", "ledger", "intake", "geo", "airspace", "sky", "tracks", "remoteid"),
    *("answers", "papers", "demo", "web", "cli"),
)
"""The layers from the ground up."""

HEAD = """# Map

Every module in one line, from the bottom layer up. `tools/map_page.py` makes this page from the modules themselves.
[development.md](development.md) says which may import which, and how to add to them.

"""


def page() -> str:
    """The whole page."""
    return HEAD + "\n".join(line for layer in LAYERS if (SRC / layer).is_dir() for line in _room(SRC / layer))


def _room(folder: Path) -> Iterator[str]:
    """A heading for a folder with what it holds, a line for each of its modules, then its inner rooms."""
    place = folder.relative_to(SRC)
    yield f"{'#' * (1 + len(place.parts))} {place.as_posix()}"
    yield f"\n{first_sentence(folder / '__init__.py')}\n"
    modules = [path for path in sorted(folder.glob("*.py")) if path.name != "__init__.py"]
    yield from (f"- **{path.stem}** {first_sentence(path)}" for path in modules)
    if modules:
        yield ""
    for inner in sorted(path for path in folder.iterdir() if (path / "__init__.py").exists()):
        yield from _room(inner)


def first_sentence(path: Path) -> str:
    """The first paragraph of a module's docstring in one line. ValueError where it has none."""
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    if not text:
        raise ValueError(f"{path.relative_to(SRC)} does not say what it holds")
    return " ".join(text.partition("\n\n")[0].split())


if __name__ == "__main__":
    print(page(), end="")
