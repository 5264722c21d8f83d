"""The way home in sentences and as a JSON document."""

from __future__ import annotations

from airwrit.answers.before_flight.view import words
from airwrit.answers.document import CAUTION, SCOPE_OF_HOME, Json
from airwrit.answers.site.way_home import HomeFound, WayHome


def home_lines(told: WayHome, found: HomeFound) -> list[str]:
    """What the way home comes to, then the figures."""
    said = words()["home"]
    lines = [said[found.code.value].format(usable=f"{found.usable_min:.1f}", reserve=f"{told.reserve:.0%}")]
    if found.back_kt is not None and found.out_kt is not None and found.out_min is not None:
        total = found.out_min + (found.back_min or 0)
        lines.append(
            said["figures"].format(
                out_kt=f"{found.out_kt:.1f}",
                back_kt=f"{found.back_kt:.1f}",
                out=f"{found.out_min:.1f}",
                back=f"{found.back_min or 0:.1f}",
                total=f"{total:.1f}",
            )
        )
    if told.wind_from_deg is None or told.home_deg is None:
        lines.append(said["worst"])
    return lines


def home_json(told: WayHome, found: HomeFound) -> Json:
    """The document: what was told, the verdict, speeds and minutes."""
    return {
        "question": "way_home",
        "scope": SCOPE_OF_HOME,
        "told": told._asdict(),
        "verdict": found.verdict.value,
        **found._asdict(),
        "code": found.code.value,
        "says": home_lines(told, found),
        "problems": [],
        "caution": CAUTION,
    }
