"""How the styles of an .xlsx workbook look, by the number that cells name them by; and its texts struck out in part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial

from airwrit.intake.markup.colors import (
    BLACK,
    WHITE,
    blended,
    hex_color,
    indexed_colors,
    ink_of,
    patterns,
    theme_colors,
    themed,
    tinted,
)
from airwrit.intake.markup.rich import Part, RichText, is_on
from airwrit.intake.markup.walk import Attributes, Start, Walk
from airwrit.intake.reader.looks import PLAIN, CellLook

_THEME = ("dk1", "lt1", "dk2", "lt2", *(f"accent{n}" for n in range(1, 7)), "hlink", "folHlink")
_SECTIONS = ("fonts", "fills", "cellXfs", "cellStyleXfs", "dxfs", "indexedColors", "cellStyles")


def theme_of(xml: bytes) -> tuple[str, ...]:
    """The colors of a theme in its order, "" for one it lacks. ExpatError when it is damaged."""
    found = dict.fromkeys(_THEME, "")
    name = ""

    def enter(this: str, _: Attributes) -> None:
        nonlocal name
        name = this

    def color(attributes: Attributes) -> None:
        if name and not found[name]:
            found[name] = hex_color(attributes.get("lastClr") or attributes.get("val", ""))

    def leave(_: Attributes) -> None:
        nonlocal name
        name = ""

    starts = {this: partial(enter, this) for this in _THEME}
    Walk({**starts, "srgbClr": color, "sysClr": color, "fontScheme": leave}).over(xml)
    return tuple(found.values())


def looks_of_styles(xml: bytes, theme: Sequence[str] = ()) -> dict[str, CellLook]:
    """The look of every style that is not plain. ExpatError or ValueError when the styles are damaged."""
    styles = _Styles()
    Walk(styles.starts()).over(xml)
    colors = styles.own_colors or list(indexed_colors())
    fills = [fill.seen(theme or theme_colors(), colors) for fill in styles.fills]
    looks = {}
    inks = [ink_of(_color(named, theme or theme_colors(), colors)) for named in styles.inks]
    for number, (font, fill) in enumerate(styles.uses):
        is_font = 0 <= font < len(styles.struck)
        struck, ink = (styles.struck[font], inks[font]) if is_font else (False, "")
        look = CellLook(struck, fills[fill] if 0 <= fill < len(fills) else "", ink=ink)
        if look != PLAIN:
            looks[str(number)] = look
    return looks


@dataclass(slots=True)
class _Fill:
    pattern: str = "none"
    front: Attributes = field(default_factory=dict)
    back: Attributes = field(default_factory=dict)

    def seen(self, theme: Sequence[str], indexed: Sequence[str]) -> str:
        """The color it looks like; "" for none."""
        share = patterns().get(self.pattern, 1.0)
        if not share:
            return ""
        front = _color(self.front, theme, indexed) or BLACK
        return blended(front, _color(self.back, theme, indexed) or WHITE, share)


def _color(named: Attributes, theme: Sequence[str], indexed: Sequence[str]) -> str:
    """The color that attributes name; "" when they leave it to the system."""
    color = ""
    if "rgb" in named:
        color = hex_color(named["rgb"])
    elif "theme" in named:
        color = themed(int(named["theme"]), theme)
    elif "indexed" in named:
        number = int(named["indexed"])
        color = indexed[number] if 0 <= number < len(indexed) else ""
    return tinted(color, float(named.get("tint", 0)))


class _Styles:
    """What a walk over the styles gathers: fonts, fills and own colors, then the pairs of them that cells use."""

    def __init__(self) -> None:
        self.struck: list[bool] = []
        self.inks: list[Attributes] = []
        self.fills: list[_Fill] = []
        self.uses: list[tuple[int, int]] = []
        self.own_colors: list[str] = []
        self._section = ""

    def starts(self) -> dict[str, Start]:
        return {
            "font": self._font,
            "strike": self._strike,
            "fill": self._fill,
            "patternFill": self._pattern,
            "fgColor": partial(self._paint, 0),
            "bgColor": partial(self._paint, 1),
            "color": self._letters,
            "xf": self._use,
            "rgbColor": self._own,
            **{name: partial(self._enter, name) for name in _SECTIONS},
        }

    def _enter(self, section: str, _: Attributes) -> None:
        self._section = section

    def _font(self, _: Attributes) -> None:
        if self._section == "fonts":
            self.struck.append(False)
            self.inks.append({})

    def _strike(self, attributes: Attributes) -> None:
        if self._section == "fonts" and self.struck:
            self.struck[-1] = is_on(attributes)

    def _fill(self, _: Attributes) -> None:
        if self._section == "fills":
            self.fills.append(_Fill())

    def _pattern(self, attributes: Attributes) -> None:
        if self._section == "fills" and self.fills:
            self.fills[-1].pattern = attributes.get("patternType", "none")

    def _paint(self, side: int, attributes: Attributes) -> None:
        if self._section == "fills" and self.fills:
            setattr(self.fills[-1], ("front", "back")[side], attributes)

    def _letters(self, attributes: Attributes) -> None:
        """The color of a font's letters; a fill that runs from one color to another shows the first."""
        if self._section == "fonts" and self.inks:
            self.inks[-1] = attributes
        elif self._section == "fills" and self.fills and not self.fills[-1].front:
            self.fills[-1] = _Fill("solid", attributes)

    def _use(self, attributes: Attributes) -> None:
        if self._section == "cellXfs":
            self.uses.append((int(attributes.get("fontId", 0)), int(attributes.get("fillId", 0))))

    def _own(self, attributes: Attributes) -> None:
        if self._section == "indexedColors":
            self.own_colors.append(hex_color(attributes.get("rgb", "")))


def may_strike(xml: bytes) -> bool:
    """Whether an XML text may hold a struck-out part; one in another encoding than usual always may."""
    return b"strike" in xml or b"\0" in xml[:100]


def rich_texts(xml: bytes) -> dict[str, list[Part]]:
    """The parts of every shared text that has fonts of its own, by its number. ExpatError when they are damaged."""
    found: dict[str, list[Part]] = {}
    rich, number = RichText(), -1

    def item(_: Attributes) -> None:
        nonlocal number
        number += 1
        rich.clear()

    def done() -> None:
        if rich.is_rich:
            found[str(number)] = rich.parts

    walk = Walk({**rich.starts(), "si": item}, {**rich.ends(), "si": done})
    walk.want_text(rich.add)
    walk.over(xml)
    return found
