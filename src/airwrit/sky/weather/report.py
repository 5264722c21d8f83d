"""A METAR or SPECI: its head, its groups, its trend and its remarks. Nothing is guessed; what isn't understood is listed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from airwrit.sky.weather.air import read_altimeter, read_temperatures
from airwrit.sky.weather.clouds import read_clouds, read_weather
from airwrit.sky.weather.draft import Reader, ReportDraft, read_groups, said, words
from airwrit.sky.weather.remarks import read_remarks
from airwrit.sky.weather.texts import TextPiece
from airwrit.sky.weather.times import DayTime, day_time
from airwrit.sky.weather.values import Conditions, Group, Seen, Unread
from airwrit.sky.weather.visibility import read_runway, read_visibility
from airwrit.sky.weather.wind import read_spread, read_wind

_SEA = re.compile(r"WM?\d{2}/(?:S\d|H\d{1,3})|W//?/(?:S/|H///)")
_COLOR = re.compile(r"(?:BLACK)?(?:BLU|WHT|GRN|YLO[12]?|AMB|RED)\+?")
_RUNWAY = re.compile(r"R(?:WY)?\d{2}[LCR]?")


def read_other(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """Wind shear (WS R24, WS ALL RWY), sea (W15/S2), color state (GRN), or slashes where a group is missing."""
    sign = signs[at]
    behind = tuple(signs[at + 1 : at + 3])
    if sign == "WS" and behind and _RUNWAY.fullmatch(behind[0]):
        draft.read(f"{sign} {behind[0]}", said("runway_shear"))
        return 2
    if sign == "WS" and behind == ("ALL", "RWY"):
        draft.read(f"{sign} ALL RWY", said("runway_shear"))
        return 3
    if set(sign) == {"/"}:
        draft.refuse(sign, "missing")
        return 1
    for form, name in ((_SEA, "sea"), (_COLOR, "color")):
        if form.fullmatch(sign):
            draft.read(sign, said(name))
            return 1
    return 0


_KINDS = ("METAR", "SPECI")
_TRENDS = ("NOSIG", "TEMPO", "BECMG", "INTER")
_STATION = re.compile(r"[A-Z][A-Z0-9]{3}")
_TIME = re.compile(r"\d{6}Z")
_TREND_TIME = re.compile(r"(?:FM|TL|AT)\d{4}")
SKY_AND_WIND: tuple[Reader, ...] = (
    read_wind,
    read_spread,
    read_runway,
    read_visibility,
    read_clouds,
    read_weather,
    read_other,
)
"""What reports and forecasts have in common."""


@dataclass(frozen=True, slots=True)
class Trend:
    """What a report expects of the next two hours: the word, and the conditions named."""

    word: str
    text: str
    conditions: Conditions


@dataclass(frozen=True, slots=True)
class WeatherReport:
    """A report as it was read. Values are None where they are missing or were not understood."""

    text: str
    kind: str
    station: str
    issued: DayTime | None
    is_auto: bool
    is_corrected: bool
    is_missing: bool
    conditions: Conditions
    toward: tuple[tuple[str, Seen], ...]
    temperature_degc: Seen | None
    dew_point_degc: Seen | None
    exact_temperature_degc: Seen | None
    exact_dew_point_degc: Seen | None
    altimeter_inhg: Seen | None
    peak_wind_kt: int | None
    varying_visibility: tuple[Seen, Seen] | None
    varying_ceiling_ft: tuple[int, int] | None
    sensors_out: tuple[str, ...]
    trends: tuple[Trend, ...]
    groups: tuple[Group, ...]
    unread: tuple[Unread, ...]
    plain_remarks: str

    @property
    def lowest_visibility(self) -> Seen | None:
        """The least that any part of the report leaves of the visibility: varying and toward any direction counted."""
        seen = self.conditions.visibility
        if seen is None:
            return None
        others = [one for _, one in self.toward] + (
            [self.varying_visibility[0]] if self.varying_visibility else []
        )
        return min([seen.miles, *others], key=lambda one: one.low)


def read_report(piece: TextPiece) -> WeatherReport:
    """The report of a piece of text."""
    draft = ReportDraft()
    kind, station, issued, rest = read_head(piece.signs, draft, _KINDS)
    body, remarks = _parted(rest)
    trend_at = next((at for at, sign in enumerate(body) if sign in _TRENDS), len(body))
    draft.by_station = "AUTO" in piece.signs or bool({"AO1", "AO2", "A01", "A02"} & set(remarks))
    for sign in read_groups(
        body[:trend_at], draft, (_state, read_temperatures, read_altimeter, *SKY_AND_WIND)
    ):
        draft.refuse(sign, "unknown")
    read_remarks(remarks, draft)
    trends = _trends(body[trend_at:], draft)
    return _finished(piece, draft, kind, station, issued, trends)


def read_head(
    signs: Sequence[str], draft: ReportDraft, kinds: Sequence[str]
) -> tuple[str, str, DayTime | None, list[str]]:
    """Word, station, time of issue, and the signs behind them."""
    rest, kind, station, issued = list(signs), "", "", None
    while rest and rest[0] in (*kinds, "COR", "AMD", "AUTO", "RTD"):
        sign = rest.pop(0)
        kind = sign if sign in kinds else kind
        _note_state(sign, draft)
    behind = rest[1] if len(rest) > 1 else ""
    if (
        rest
        and _STATION.fullmatch(rest[0])
        and (kind or _TIME.fullmatch(behind) or behind in ("NIL", "AUTO"))
    ):
        station = rest.pop(0)
    if rest and _TIME.fullmatch(rest[0]):
        text = rest.pop(0)
        issued = day_time(text.removesuffix("Z"))
        if issued is None or issued.hour == 24:
            issued = None
            draft.refuse(text, "time")
        else:
            draft.read(
                text, said("issued", day=issued.day, hour=f"{issued.hour:02}", minute=f"{issued.minute:02}")
            )
    return kind, station, issued, rest


def _note_state(sign: str, draft: ReportDraft) -> None:
    if sign == "AUTO":
        draft.is_auto = True
        draft.read(sign, said("auto"))
    elif sign in ("COR", "RTD"):
        draft.is_corrected = True
        draft.read(sign, said("corrected"))
    elif sign == "AMD":
        draft.is_amended = True
        draft.read(sign, said("amended"))


def _state(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """AUTO, COR, NIL and the maintenance sign inside the report; CCA, CCB are corrections too."""
    sign = signs[at]
    if sign in ("AUTO", "COR", "RTD"):
        _note_state(sign, draft)
    elif re.fullmatch(r"CC[A-Z]", sign):
        _note_state("COR", draft)
    elif sign == "NIL":
        draft.is_missing = True
        draft.read(sign, said("nil"))
    elif sign == "$":
        draft.sensors.append(sign)
        draft.read(sign, words()["sensor"][sign])
    else:
        return 0
    return 1


def _parted(signs: list[str]) -> tuple[list[str], list[str]]:
    """The body, and the remarks behind RMK."""
    place = signs.index("RMK") if "RMK" in signs else len(signs)
    return signs[:place], signs[place + 1 :]


def _trends(signs: list[str], draft: ReportDraft) -> tuple[Trend, ...]:
    """The trends at the end of a report, each with its own conditions; what they leave unread joins the report's."""
    starts = [at for at, sign in enumerate(signs) if sign in _TRENDS]
    found = []
    for start, end in zip(starts, [*starts[1:], len(signs)], strict=False):
        word, part = signs[start], ReportDraft(by_station=draft.by_station)
        behind = [sign for sign in signs[start + 1 : end] if not _TREND_TIME.fullmatch(sign)]
        for sign in read_groups(behind, part, SKY_AND_WIND):
            part.refuse(sign, "unknown")
        draft.read(
            " ".join(signs[start:end]),
            " ".join((words()["trend"][word], *(group.means for group in part.groups))),
        )
        draft.unread += part.unread
        found.append(Trend(word, " ".join(signs[start:end]), part.conditions()))
    return tuple(found)


def _finished(
    piece: TextPiece,
    draft: ReportDraft,
    kind: str,
    station: str,
    issued: DayTime | None,
    trends: tuple[Trend, ...],
) -> WeatherReport:
    return WeatherReport(
        piece.text,
        kind,
        station,
        issued,
        draft.is_auto,
        draft.is_corrected,
        draft.is_missing,
        draft.conditions(),
        tuple(draft.toward),
        draft.temperature_degc,
        draft.dew_point_degc,
        draft.exact_temperature_degc,
        draft.exact_dew_point_degc,
        draft.altimeter_inhg,
        draft.peak_wind_kt,
        draft.varying_visibility,
        draft.varying_ceiling_ft,
        tuple(draft.sensors),
        trends,
        tuple(draft.groups),
        tuple(draft.unread),
        " ".join(draft.plain),
    )
