"""Cut the faces of the page to the signs of Latin text, so that a page stays light, and write them beside its style.

Needs the test tools: `.venv/bin/python tools/cut_fonts.py`. The cut files are kept in the project; this is run again when
a face or the kept signs change. A variable face becomes its default style. The SIL Open Font License 1.1 lets a changed font be
given on under another name: a cut file has its own, keeps its copyright line, and `OFL.txt` lies beside it.
"""

from __future__ import annotations

import io
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import OverlapMode, instantiateVariableFont

FOLDER = Path(__file__).resolve().parent.parent / "src" / "airwrit" / "web" / "static"

KEPT_SIGNS = frozenset(
    (*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x2010, 0x2027), 0x2032, 0x2033, 0x20AC, 0x2212)
)
"""ASCII, Latin-1, Latin Extended-A, and the dashes, quotes and primes of running text; others come from the system's fonts."""


_ALL_NAMES = range(26)
_STAYING = (0, 2, 5, 13, 14)
"""Copyright, style, version, license and its address, by the numbers of the name table."""


class Face(NamedTuple):
    """A face: the package it comes in, its file, the family name of the cut file, and the layout features it keeps."""

    package: str
    file: str
    family: str
    features: tuple[str, ...] = ("kern", "mark", "mkmk", "ccmp", "locl", "tnum")


FACES = {
    "text.ttf": Face("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Regular.ttf", "Sheet Text"),
    "text-bold.ttf": Face("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Bold.ttf", "Sheet Text"),
    "title.ttf": Face("fontpkg_literata", "Literata[opsz,wght].ttf", "Sheet Title", ()),
}
"""The faces by the names under which they are served."""


def original(face: Face) -> bytes:
    """The face as its package has it."""
    return (files(face.package) / "files" / face.file).read_bytes()


def licenses() -> str:
    """The licenses of the faces, each once, with their copyright lines."""
    texts = (files(package) / "LICENSE" for package in dict.fromkeys(face.package for face in FACES.values()))
    return "\n\n".join(text.read_text(encoding="utf-8").strip() for text in texts) + "\n"


def cut(face: Face) -> bytes:
    """The face with the outlines of the kept signs alone; the same bytes each time."""
    font = TTFont(io.BytesIO(original(face)), recalcTimestamp=False)
    if "fvar" in font:
        default = dict.fromkeys((axis.axisTag for axis in font["fvar"].axes), None)
        font = instantiateVariableFont(font, default, overlap=OverlapMode.KEEP_AND_DONT_SET_FLAGS)
    options = Options(
        layout_features=list(face.features), notdef_outline=True, hinting=True, name_IDs=list(_ALL_NAMES)
    )
    options.recalc_timestamp = False
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=KEPT_SIGNS)
    subsetter.subset(font)
    _renamed(font, face.family)
    made = io.BytesIO()
    font.save(made, reorderTables=True)
    return made.getvalue()


def _renamed(font: TTFont, family: str) -> None:
    """Give the font a family name of its own; its copyright, license and version stay."""
    names = font["name"]
    style = names.getDebugName(2)
    names.names = [name for name in names.names if name.nameID in _STAYING]
    plain = f"{family}-{style}".replace(" ", "")
    for number, text in ((1, family), (3, f"{family} {style}"), (4, f"{family} {style}"), (6, plain)):
        names.setName(text, number, 3, 1, 0x409)


def main() -> None:
    """Write every cut face."""
    for name, face in FACES.items():
        data = cut(face)
        (FOLDER / name).write_bytes(data)
        print(f"{name}: {len(data):,} bytes")
    (FOLDER / "OFL.txt").write_text(licenses(), encoding="utf-8")


if __name__ == "__main__":
    main()
