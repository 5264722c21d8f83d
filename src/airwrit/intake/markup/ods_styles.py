"""How the styles of an .ods file look, each made of its own properties and those of the styles it is based on."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.intake.markup.colors import WHITE, hex_color, ink_of
from airwrit.intake.markup.walk import Attributes, Start
from airwrit.intake.reader.looks import CellLook

_DEEPEST = 50
_OF_NUMBERS = ("number", "currency", "date", "percentage", "time", "text", "boolean")
"""Kinds of styles that say how a number is written; their properties are no cell's."""


@dataclass(slots=True)
class _Style:
    family: str
    name: str
    parent: str
    struck: bool | None = None
    fill: str | None = None
    ink: str | None = None


class OdsStyles:
    """The styles of cells and of pieces of text, gathered on a walk over one or more parts of a file.

    `conditional` are the styles of cells that give way to others on a condition.
    """

    def __init__(self) -> None:
        """None yet."""
        self.conditional: set[str] = set()
        self._styles: dict[tuple[str, str], _Style] = {}
        self._now: _Style | None = None
        self._looks: dict[str, CellLook] = {}

    def starts(self) -> dict[str, Start]:
        """What to do at tags."""
        return {
            "style": self._style,
            "default-style": self._style,
            "text-properties": self._text,
            "table-cell-properties": self._cell,
            "map": self._map,
            **{f"{kind}-style": self._no_style for kind in _OF_NUMBERS},
        }

    def look(self, name: str) -> CellLook:
        """The look of cells of a style; of the default one where there is none of this name."""
        if name not in self._looks:
            chain = self._chain("table-cell", name)
            struck = next((style.struck for style in chain if style.struck is not None), False)
            fill = next((style.fill for style in chain if style.fill is not None), "")
            ink = next((style.ink for style in chain if style.ink is not None), "")
            self._looks[name] = CellLook(struck, fill, ink=ink)
        return self._looks[name]

    def struck(self, name: str) -> bool | None:
        """Whether a style of text strikes it out; None when it leaves that to the cell."""
        chain = self._chain("text", name)
        return next((style.struck for style in chain if style.struck is not None), None)

    def any_text_struck(self) -> bool:
        """Whether any style of text says something of striking out."""
        return any(style.family == "text" and style.struck is not None for style in self._styles.values())

    def _chain(self, family: str, name: str) -> list[_Style]:
        chain: list[_Style] = []
        style = self._styles.get((family, name))
        while style is not None and len(chain) < _DEEPEST:
            chain.append(style)
            style = self._styles.get((family, style.parent)) if style.name else None
        default = self._styles.get((family, ""))
        return chain if default is None else [*chain, default]

    def _style(self, attributes: Attributes) -> None:
        family, name = attributes.get("style:family", ""), attributes.get("style:name", "")
        self._now = _Style(family, name, attributes.get("style:parent-style-name", ""))
        self._styles[family, name] = self._now
        self._looks.clear()

    def _no_style(self, _: Attributes) -> None:
        self._now = None

    def _text(self, attributes: Attributes) -> None:
        line = attributes.get("style:text-line-through-style") or attributes.get(
            "style:text-line-through-type"
        )
        if self._now is not None and line is not None:
            self._now.struck = line != "none"
        color = attributes.get("fo:color")
        if self._now is not None and color is not None:
            self._now.ink = ink_of(hex_color(color))

    def _cell(self, attributes: Attributes) -> None:
        color = attributes.get("fo:background-color")
        if self._now is not None and color is not None:
            found = hex_color(color)
            self._now.fill = "" if found == WHITE else found

    def _map(self, _: Attributes) -> None:
        if self._now is not None and self._now.family == "table-cell":
            self.conditional.add(self._now.name)
