"""Your own rules, areas and an area somebody asks about over a flown track, and the ring of a stadium."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.after_flight.flown import ClauseFrom, FlownAnswer
from airwrit.answers.after_flight.question import FlownFolders, area_asked
from airwrit.answers.after_flight.view import cites_of, clause_text, how_much_text, when_text, whole_lines
from airwrit.answers.airspace.typed_area import TypedArea, edition_typed
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.geo.earth import m_per_degree
from airwrit.house.rules import house_rules
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.track import TrackProblem
from tests.unit.airspace.features import point, written
from tests.unit.answers.after_flight.asking import ASKED, answered, clause
from tests.unit.tracks.made import bump, chosen, made

FT = 0.3048
MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN


def ruled(row: str, **flown: object) -> FlownAnswer:
    """The answer for a flight under one rule of a manual."""
    told: Mapping[str, object] = {"peak_ft": 100.0, "doubt_m": 0.0, "east_m": 0.0, **flown}
    text = f'document = "Manual"\n[[rule]]\nname = "own"\nabout = "flight"\nclause = "5"\n{row}\n'
    track = made(
        bump(60, 500, float(str(told["peak_ft"])) * FT, 60),
        vertical_m=float(str(told["doubt_m"])),
        east_m=bump(150, 400, float(str(told["east_m"])), 40),
        starts=told.get("starts", datetime(2026, 6, 10, 15, tzinfo=UTC)),  # type: ignore[arg-type]
    )
    return answered(track, house=house_rules(text, "rules.toml"))


@pytest.mark.parametrize(
    ("peak_ft", "doubt_m", "verdict"),
    [(200.0, 0.0, MET), (200.2, 0.0, NOT_MET), (199.0, 2.0, UNKNOWN), (230.0, 2.0, NOT_MET)],
)
def test_a_height_of_your_own(peak_ft: float, doubt_m: float, verdict: Verdict) -> None:
    found = ruled('kind = "at_most"\nkey = "height_agl_ft"\nlimit = 200', peak_ft=peak_ft, doubt_m=doubt_m)
    own = clause(found, "house own")
    assert (own.verdict, own.source, cites_of(own)) == (verdict, ClauseFrom.YOURS, "Manual 5")
    assert bool(own.past) == (verdict is NOT_MET)
    assert clause(found, "height_limit").verdict is MET
    if verdict is NOT_MET:
        assert "Your rule 'own' allows 200 ft (61 m)." in " ".join(whole_lines(found))


def test_what_could_not_be_read_keeps_no_rule_of_your_own() -> None:
    """Part of the log is damaged: what is left is under the limit, and nobody knows the rest."""
    text = 'document = "Manual"\n[[rule]]\nname = "own"\nabout = "flight"\nclause = "5"\nkind = "at_most"\n'
    rules = house_rules(f'{text}key = "height_agl_ft"\nlimit = 200\n', "rules.toml")
    damaged = replace(made(bump(60, 500, 30.0, 60)), problems=(TrackProblem(TrackFault.DAMAGED),))
    own = clause(answered(damaged, house=rules), "house own")
    assert (own.verdict, own.code) == (UNKNOWN, "hidden")


def test_a_speed_and_a_box_of_your_own() -> None:
    """Out 150 m within 40 s is 3.75 m/s, 7.3 knots; the box ends 87.24 m to the east."""
    fast = clause(ruled('kind = "at_most"\nkey = "ground_speed_kt"\nlimit = 5', east_m=150.0), "house own")
    assert fast.verdict is NOT_MET
    box = 'kind = "inside_box"\nsouth = 38.0\nnorth = 39.0\nwest = -99\neast = -98.499'
    outside = clause(ruled(box, east_m=150.0), "house own")
    assert outside.verdict is NOT_MET
    assert how_much_text(outside.past[0]).startswith("205.9 ft (62.8 m) outside")
    assert clause(ruled(box), "house own").verdict is MET
    area = 'kind = "inside_area"\narea = "38, -99; 38, -98.499; 39, -98.499; 39, -99"'
    outside = clause(ruled(area, east_m=150.0), "house own")
    assert (outside.verdict, outside.code) == (NOT_MET, "house_outside")
    assert how_much_text(outside.past[0]).startswith("205.9 ft (62.8 m) outside")
    assert clause(ruled(area), "house own").verdict is MET


@pytest.mark.parametrize(
    ("limit", "verdict"), [(487, NOT_MET), (488, UNKNOWN), (493, UNKNOWN), (496, UNKNOWN), (497, MET)]
)
def test_a_distance_of_your_own(limit: int, verdict: Verdict) -> None:
    """150 m from the takeoff is 492.1 ft, give or take 1 m at both ends: 1.41 m, 4.6 ft. So it is 487.5 to 496.8 ft."""
    found = ruled(f'kind = "at_most"\nkey = "farthest_out_ft"\nlimit = {limit}', east_m=150.0)
    own = clause(found, "house own")
    assert (own.verdict, own.source, cites_of(own)) == (verdict, ClauseFrom.YOURS, "Manual 5")
    assert (len(own.past), len(own.in_doubt)) == (int(verdict is NOT_MET), int(verdict is UNKNOWN))
    if verdict is NOT_MET:
        assert how_much_text(own.past[0]) == "5.1 ft (1.6 m) over, at least 0.5 ft"


def test_no_distance_from_a_takeoff_the_log_does_not_show() -> None:
    """The log starts 60 m up, on the way out: where it took off is not known, so the distance is not either."""
    text = 'document = "Manual"\n[[rule]]\nname = "own"\nabout = "flight"\nclause = "5"\nkind = "at_most"\n'
    rules = house_rules(f'{text}key = "farthest_out_ft"\nlimit = 9000\n', "rules.toml")
    track = made(bump(60, 500, 60.0, 60), east_m=bump(150, 400, 150.0, 40))
    late = chosen(track, track.mono_us >= track.mono_us[0] + 165_000_000)
    own = clause(answered(late, house=rules), "house own")
    assert (own.verdict, own.code) == (UNKNOWN, "not_in_this_log")


@pytest.mark.parametrize(
    ("limit", "verdict"), [(159, NOT_MET), (160, UNKNOWN), (164, UNKNOWN), (168, UNKNOWN), (169, MET)]
)
def test_a_distance_from_the_pilot(limit: int, verdict: Verdict) -> None:
    """The pilot stands 100 m east: 150 m east is 50 m away, 164.0 ft, give or take 1.41 m (4.6 ft)."""
    track = made(bump(60, 500, 30.0, 60), east_m=bump(150, 400, 150.0, 40))
    text = 'document = "Manual"\n[[rule]]\nname = "own"\nabout = "flight"\nclause = "5"\nkind = "at_most"\n'
    rules = house_rules(f'{text}key = "farthest_from_pilot_ft"\nlimit = {limit}\n', "rules.toml")
    after = chosen(track, track.mono_us >= track.mono_us[0] + 200_000_000)
    after = chosen(after, after.mono_us <= after.mono_us[0] + 130_000_000)
    _, across = m_per_degree(38.5)
    stood = Place(38.5, -98.5 + 100.0 / across)
    own = clause(answered(after, ASKED._replace(pilot_at=stood), house=rules), "house own")
    assert (own.verdict, len(own.past), len(own.in_doubt)) == (
        verdict,
        int(verdict is NOT_MET),
        int(verdict is UNKNOWN),
    )


@pytest.mark.parametrize(("stood", "verdict"), [(100.0, NOT_MET), (30.0, MET)])
def test_the_pilot_stands_where_the_log_says(stood: float, verdict: Verdict) -> None:
    """The limit is 450 ft (137 m). From 30 m east it is 120 m at most; from 100 m east, 250 m."""
    west = -150.0 if stood == 100.0 else 150.0
    track = made(bump(60, 500, 30.0, 60), east_m=bump(150, 400, west, 40))
    _, across = m_per_degree(38.5)
    count = len(track.mono_us)
    placed = replace(
        track,
        pilot_lat_e7=np.full(count, 385000000, dtype=np.int32),
        pilot_lon_e7=np.full(count, round((-98.5 + stood / across) * 1e7), dtype=np.int32),
        pilot_placed=np.ones(count, dtype=bool),
    )
    text = 'document = "Manual"\n[[rule]]\nname = "own"\nabout = "flight"\nclause = "5"\nkind = "at_most"\n'
    rules = house_rules(f'{text}key = "farthest_from_pilot_ft"\nlimit = 450\n', "rules.toml")
    assert clause(answered(placed, house=rules), "house own").verdict is verdict


@pytest.mark.parametrize("limit", [100, 9000])
def test_a_distance_from_a_pilot_nobody_placed_is_never_told(limit: int) -> None:
    """From the takeoff point it is 492.1 ft, which is said, but neither past the limit nor inside it."""
    found = ruled(f'kind = "at_most"\nkey = "farthest_from_pilot_ft"\nlimit = {limit}', east_m=150.0)
    own = clause(found, "house own")
    assert (own.verdict, own.code, own.past) == (UNKNOWN, "house_from_takeoff", ())
    assert "The aircraft got 492.1 ft (150 m) from the takeoff point." in clause_text(own, found)


def test_by_day_and_other_rules_of_your_own() -> None:
    night = clause(ruled('kind = "by_day"', starts=datetime(2026, 6, 11, 4, tzinfo=UTC)), "house own")
    assert night.verdict is NOT_MET
    assert len(night.past) == 1
    assert clause(ruled('kind = "by_day"'), "house own").verdict is MET
    named = 'kind = "one_of"\nkey = "flight_pilot"\nvalues = ["{}"]'
    assert clause(ruled(named.format("Ansel Wray")), "house own").verdict is MET
    assert clause(ruled(named.format("Nela Quist")), "house own").verdict is NOT_MET
    waits = 'kind = "at_most"\nkey = "height_agl_ft"\nlimit = 50\nscope = { observer_used = true }'
    assert clause(ruled(waits), "house own").verdict is UNKNOWN


def test_the_place_somebody_asks_about() -> None:
    """150 m east from 190 to 360 s: the middle of the yard there is under it, and one 500 m off isn't."""
    track = made(bump(60, 500, 60.0, 60), east_m=bump(150, 400, 150.0, 40))

    def near(text: str) -> tuple[FlownAnswer, str, str]:
        found = answered(track, ASKED._replace(near=area_asked(text)))
        one = clause(found, "near_area")
        assert one.verdict is Verdict.NOT_APPLICABLE
        return found, one.code, clause_text(one, found)

    found, code, says = near("38.5, -98.49828 within 60 ft")
    assert code == "near_over"
    assert "196.9 ft (60 m) above ground" in says
    (interval,) = clause(found, "near_area").intervals
    assert interval.verdict is Verdict.NOT_APPLICABLE
    assert when_text(found, interval).startswith("10:03:05 to 10:06:0")
    _, code, says = near("38.5, -98.5058 within 60 ft")
    assert code == "near_missed"
    assert says.startswith("This log doesn't show the aircraft over the place you asked about. Closest: 1,59")
    assert near("38.5, -98.49827 within 1 ft")[1] == "near_maybe"


def typed(folder: Path, kind: AreaKind, where: str) -> FlownFolders:
    shelve(folder, edition_typed(TypedArea(kind, "School yard", where, date(2026, 6, 1), 100.0)))
    return FlownFolders(folder)


def test_over_people_asks_who_was_there(tmp_path: Path) -> None:
    track = made(bump(60, 500, 60.0, 60), east_m=bump(150, 400, 150.0, 40))
    over = answered(track, folders=typed(tmp_path / "over", AreaKind.PEOPLE, "38.5, -98.49828"))
    assert clause(over, "people_area School yard").verdict is UNKNOWN
    assert len(clause(over, "people_area School yard").in_doubt) == 1
    beside = answered(track, folders=typed(tmp_path / "beside", AreaKind.PEOPLE, "38.504, -98.5"))
    missed = clause(beside, "people_area School yard")
    assert (missed.verdict, missed.code) == (Verdict.NOT_APPLICABLE, "area_missed")
    assert "Closest: 1,3" in clause_text(missed, beside)
    own = answered(track, folders=typed(tmp_path / "own", AreaKind.OWN, "38.5, -98.49828"))
    assert clause(own, "own_area School yard").code == "own_area"


@pytest.mark.parametrize(
    ("radius_ft", "remote_id", "code"),
    [
        (600.0, 0, "off_inside_fria"),
        (600.0, None, "remote_id_none"),
        (497.0, 0, "off_inside_fria"),
        (487.0, 0, "off"),
        (400.0, 0, "off"),
        (492.0, 0, "off"),
    ],
)
def test_inside_an_identification_area_the_whole_time(
    tmp_path: Path, radius_ft: float, remote_id: int | None, code: str
) -> None:
    """150 m out is 492.1 ft, give or take 3.3 ft. Only a flight that surely never left a FRIA was inside it."""
    area = TypedArea(AreaKind.FRIA, "Club field", "38.5, -98.5", date(2026, 6, 1), radius_ft)
    shelve(tmp_path, edition_typed(area))
    track = made(bump(60, 500, 60.0, 60), east_m=bump(150, 400, 150.0, 40))
    if remote_id is not None:
        track = replace(track, remote_id=np.full(len(track.mono_us), remote_id, dtype=np.int8))
    own = clause(answered(track, folders=FlownFolders(tmp_path)), "standard_remote_id_not_disabled")
    assert own.code == code
    assert own.verdict is (NOT_MET if code == "off" else UNKNOWN)


def test_the_ring_of_a_stadium(tmp_path: Path) -> None:
    """Three nautical miles around a stadium: inside it asks for the event, and with one on it is past."""
    file = written(
        tmp_path / "stadiums.geojson",
        point(-98.5, 38.54, NAME="OAKFORD BOWL", STATUS_CODE="OPEN", OPENING_ON="2001-01-01"),
    )
    shelve(tmp_path / "airspace", read_edition((file,), None, None, date(2026, 6, 1)))
    folders, track = FlownFolders(tmp_path / "airspace"), made(bump(60, 500, 60.0, 60))
    asked = clause(answered(track, folders=folders), "event_ring")
    assert (asked.verdict, asked.code) == (UNKNOWN, "in_ring")
    event: dict[str, Raw] = {
        "stadium_seats": "40000",
        "listed_event": True,
        "event_starts_on": "2026-06-10T10:30:00-05:00",
        "event_ends_on": "2026-06-10T13:00:00-05:00",
        "notice_authorized": False,
    }
    found = answered(track, folders=folders, told=event)
    assert clause(found, "event_ring").verdict is NOT_MET
    assert clause(found, "event_ring").past[0].about == "OAKFORD BOWL"
    far: dict[str, Raw] = {
        **event,
        "event_starts_on": "2026-06-10T19:00:00-05:00",
        "event_ends_on": "2026-06-10T22:00:00-05:00",
    }
    assert clause(answered(track, folders=folders, told=far), "event_ring").verdict is Verdict.NOT_APPLICABLE
    high = made(bump(60, 500, 60.0, 60), home=Place(38.7, -98.5))
    assert clause(answered(high, folders=folders), "event_ring").code == "no_ring_on_file"
