"""Where a registration number goes and how it must read: a side view in outline, and the number on its plate.

Numbers to stick on have plain zeros: 14 CFR 45.21(c) allows no ornamentation on an N-number, and neither kind of number has
the letter O, so that nothing is mistaken.
"""

from __future__ import annotations

from markupsafe import Markup

_LONG = 18
"""A number with more characters is none, and is cut where the plate ends."""


def number_plate(number: str) -> Markup:
    """The drawing: a fixed outline, the place for the number, the place where it may not be, and the number itself."""
    shown = number[:_LONG]
    return Markup(
        '<svg class="plate" viewBox="0 0 430 180" role="img" aria-label="{label}">'
        '<path class="outline" d="M20 44h60M180 44h60M50 44v22M210 44v22"/>'
        '<path class="outline" d="M34 66h56l18 16h44l18-16h56v12h-46l-22 40h-56l-22-40h-46z"/>'
        '<path class="outline" d="M108 118l-12 34h-12M152 118l12 34h12"/>'
        '<rect class="here" x="98" y="88" width="46" height="18"/>'
        '<rect class="not-here" x="148" y="88" width="14" height="18" fill="url(#hatch)"/>'
        '<path class="leader" d="M121 106v52M155 88l14-58"/>'
        '<text class="words" x="121" y="172">here, outside</text>'
        '<text class="words no" x="169" y="22">not in the battery bay</text>'
        '<rect class="frame" x="262" y="70" width="164" height="44"/>'
        '<text class="number" x="344" y="102" textLength="140" lengthAdjust="spacingAndGlyphs">{number}</text>'
        "</svg>"
    ).format(
        label=f"Where {shown} goes: on an outside surface of the body, not in the battery bay", number=shown
    )
