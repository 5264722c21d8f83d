"""Names of subjects whose rows have none: made of what the row says, so that they stay when rows move.

A test is named by its person, kind and day; a part by its aircraft and what it is; a flight by its pilot, day and aircraft.
Neither row numbers nor the names of sheets or files are part of a name: the same event in two files is one event. Rows that
are alike in all of this are counted, in the order of the rest of what they say, which does not hang on where they stand.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence


def made_subjects(
    kind: str, marks: Sequence[Sequence[str | None]], rests: Sequence[Sequence[str]]
) -> list[str]:
    """A subject for each row; "" where the row does not say whose it is.

    `marks` are whose it is and what else names it, None for what is not said; `rests` what else the row says.
    """
    places: dict[str, list[int]] = defaultdict(list)
    for place, (whose, *more) in enumerate(marks):
        if whose:
            places[", ".join((whose, *(part for part in more if part)))].append(place)
    made = [""] * len(marks)
    for name, mine in places.items():
        for nth, place in enumerate(sorted(mine, key=lambda place: tuple(rests[place])), start=1):
            made[place] = f"{kind}/{name}" + (f", {nth}" if nth > 1 else "")
    return made
