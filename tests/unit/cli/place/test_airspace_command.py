"""`airwrit airspace`: files in, editions kept, what applies at a place, and what is unknown."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.unit.airspace.features import SIDE, cell, restriction, security, stadium, volume, written
from tests.unit.cli.command import Ran, run

AT = f"{36 + SIDE / 2:.6f}, {-80 + SIDE / 2:.6f}"
WORDING = (
    "ft above ground here without further coordination. "
    "That isn't an approval. You may ask to fly higher, but the FAA takes longer to decide."
)


def put(
    folder: Path, name: str, *features: dict[str, Any], edition: str = "2026-10-29", more: Any = ()
) -> Ran:
    """A file of features put on file."""
    return run(
        folder, "airspace", "import", str(written(folder / name, *features)), "--edition", edition, *more
    )


def special() -> dict[str, Any]:
    """A restricted area far away."""
    far = volume(NAME="R-INVENTED", TYPE_CODE="R", LOCAL_TYPE=None)
    far["geometry"]["coordinates"] = [[[x + 5, y] for x, y in far["geometry"]["coordinates"][0]]]
    return far


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A map of three cells, class D and a restricted area on file."""
    cells = [cell(200, 0, 0), cell(100, 0, 1), cell(0, 0, 2)]
    assert put(tmp_path, "map.geojson", *cells).returncode == 0
    assert put(tmp_path, "class.geojson", volume(), edition="2026-11-12").returncode == 0
    assert put(tmp_path, "special.geojson", special(), edition="2026-11-12").returncode == 0
    far = security()
    far["geometry"]["coordinates"] = [[[x + 7, y] for x, y in far["geometry"]["coordinates"][0]]]
    assert put(tmp_path, "security.geojson", far, edition="2026-11-12").returncode == 0
    assert put(tmp_path, "stadiums.geojson", stadium(-85), edition="2026-11-12").returncode == 0
    shape = "<Avx><codeType>CIR</codeType><geoLat>46.0N</geoLat><geoLong>080.0W</geoLong>"
    shape += "<valRadiusArc>5</valRadiusArc><uomRadiusArc>NM</uomRadiusArc></Avx>"
    tfr = restriction(tmp_path / "tfr.xml", shape=shape)
    assert run(tmp_path, "airspace", "import", str(tfr), "--edition", "2026-11-25").returncode == 0
    return tmp_path


def asked(folder: Path, place: str = AT, on: str = "2026-11-25", *more: str) -> tuple[int, dict[str, Any]]:
    """The exit code and the document of a question."""
    done = run(folder, "airspace", "at", place, "--on", on, "--height", "150", "--json", *more)
    document: dict[str, Any] = json.loads(done.stdout)
    return done.returncode, document


def test_the_number_of_a_point_with_its_wording(folder: Path) -> None:
    code, found = asked(folder)
    assert (code, found["verdict"], found["map"]["answer"], found["map"]["lowest_ft"]) == (
        0,
        "met",
        "highest",
        200,
    )
    assert found["map"]["says"] == [f"The FAA can approve up to 200 {WORDING}"]
    assert (found["airspace_class"], [one["name"] for one in found["volumes"]]) == ("D", ["INVENTED CLASS D"])


def test_an_edge_counts_for_both_and_a_circle_for_all_it_touches(folder: Path) -> None:
    _, edge = asked(folder, f"36.004, {-80 + SIDE:.8f}")
    assert (edge["map"]["numbers_ft"], edge["map"]["lowest_ft"]) == ([100, 200], 100)
    assert edge["map"]["says"][1] == "You asked about 150 ft, which is higher than that."
    _, circle = asked(folder, AT, "2026-11-25", "--radius", "5000")
    assert (circle["map"]["answer"], circle["map"]["lowest_ft"]) == ("zero", 0)
    assert "shows 0 ft here, so any approval needs further coordination" in circle["map"]["says"][0]


def test_no_cell_is_not_zero(folder: Path) -> None:
    code, found = asked(folder, "36.02, -80.02")
    assert (found["map"]["answer"], found["map"]["lowest_ft"]) == ("no_cell", None)
    assert (code, found["airspace_class"]) == (0, "D")
    code, found = asked(folder, "36.5, -80.02")
    assert (code, found["verdict"], found["airspace_class"]) == (3, "unknown", None)
    assert "The files may not cover this place, so don't take that as a yes." in found["notes"][0]


def test_nothing_on_file_is_unknown_and_says_where_it_is_published(tmp_path: Path) -> None:
    code, found = asked(tmp_path)
    assert (code, found["verdict"], found["map"]["answer"]) == (3, "unknown", "unknown")
    assert [layer["state"] for layer in found["layers"]] == ["missing"] * 6
    assert all("https://" in said for said in found["says"])


@pytest.mark.parametrize(
    ("on", "state"),
    [("2026-10-28", "missing"), ("2026-10-29", "current"), ("2026-12-23", "current"), ("2026-12-24", "old")],
)
def test_an_edition_is_good_for_its_cycle(folder: Path, on: str, state: str) -> None:
    code, found = asked(folder, AT, on)
    assert found["layers"][0]["state"] == state
    assert found["map"]["answer"] == ("highest" if state == "current" else "unknown")
    assert code == 3 or on == "2026-11-25"


def test_a_past_day_is_answered_by_its_own_edition(folder: Path) -> None:
    assert put(folder, "new.geojson", cell(50, 0, 0), edition="2026-11-20").returncode == 0
    assert asked(folder)[1]["map"]["lowest_ft"] == 50
    assert asked(folder, AT, "2026-11-19")[1]["map"]["lowest_ft"] == 200


def test_an_edition_never_changes(folder: Path) -> None:
    assert (
        "was already on file"
        in put(folder, "map.geojson", cell(200, 0, 0), cell(100, 0, 1), cell(0, 0, 2)).stdout
    )
    refused = put(folder, "other.geojson", cell(50, 0, 0))
    assert (refused.returncode, "an edition can't be changed" in refused.stderr) == (2, True)
    assert put(folder, "other.geojson", cell(50, 0, 0), more=("--layer", "map-east")).returncode == 0
    assert asked(folder)[1]["map"]["numbers_ft"] == [50, 200]


def test_a_damaged_cell_makes_zero_and_unknown(folder: Path) -> None:
    assert put(folder, "odd.geojson", cell(None, 0, 0), more=("--layer", "odd")).returncode == 3
    code, found = asked(folder)
    assert (code, found["map"]["lowest_ft"]) == (3, 0)
    assert [one["code"] for one in found["problems"]] == ["number"]


def test_the_facts_are_those_that_rules_ask_for(folder: Path) -> None:
    place = f"36.004, {-80 + SIDE:.8f}"
    told = run(folder, "airspace", "at", place, "--on", "2026-11-25", "--height", "90", "--facts")
    facts = tomllib.loads(told.stdout)
    assert facts == {
        "site": {"airspace_class": "D"},
        "map_cell": [{"cell_number_ft": 100}, {"cell_number_ft": 200}],
    }
    (folder / "facts.toml").write_text(f'{told.stdout}\n[flight]\nheight_agl_ft = "90"\n', encoding="utf-8")
    ruled = run(folder, "check-scenario", "facts.toml", "--on", "2026-11-25", "--json")
    told_of = json.loads(ruled.stdout)["findings"]
    findings = [one for one in told_of if one["rule"] == "facility_map_lowest"]
    assert [(one["verdict"], one["code"], one["value"]) for one in findings] == [
        ("not_applicable", "lowest", "100")
    ]


def test_a_restricted_area_is_a_fact_only_where_it_is_reached(folder: Path) -> None:
    at_the_area = run(
        folder, "airspace", "at", "36.0, -75.0", "--on", "2026-11-25", "--height", "90", "--facts"
    )
    assert tomllib.loads(at_the_area.stdout) == {"site": {"restricted_area": True}}
    above = special()
    above["properties"] |= {"LOWER_VAL": "1200", "LOWER_CODE": "AGL", "NAME": "R-HIGH"}
    above["geometry"]["coordinates"] = [[[x - 5, y] for x, y in above["geometry"]["coordinates"][0]]]
    assert put(folder, "high.geojson", above, more=("--layer", "high")).returncode == 0
    code, found = asked(folder)
    assert [one["reach"] for one in found["volumes"]] == ["in", "below_floor"]
    assert (code, found["restricted_area"]) == (0, None)


def test_areas_of_your_own_never_get_old(folder: Path) -> None:
    own = volume(NAME="No-fly strip", TYPE_CODE="OWN", LOCAL_TYPE=None)
    assert put(folder, "own.geojson", own, edition="2020-01-01", more=("--kind", "own")).returncode == 0
    code, found = asked(folder)
    assert (code, found["airspace_class"]) == (0, "D")
    assert [(one["kind"], one["name"]) for one in found["volumes"]][1] == ("own", "No-fly strip")


def test_facts_of_a_place_without_data_are_comments_alone(tmp_path: Path) -> None:
    told = run(tmp_path, "airspace", "at", AT, "--on", "2026-11-25", "--height", "90", "--facts")
    assert (told.returncode, tomllib.loads(told.stdout)) == (3, {"site": {}})


def test_the_list_tells_editions_and_the_day(folder: Path) -> None:
    done = run(folder, "airspace", "list", "--on", "2026-12-20")
    assert done.returncode == 3
    assert "UAS facility map: Oct 29, 2026" in done.stdout
    assert "the edition dated Nov 12, 2026 expired Dec 10, 2026" in done.stdout.replace("\n", " ")
    assert run(folder, "airspace", "list", "--on", "2026-11-25").returncode == 0


def test_the_list_tells_an_edition_that_is_unsure(folder: Path) -> None:
    lost = special() | {"geometry": None}
    assert put(folder, "lost.geojson", lost, more=("--layer", "lost")).returncode == 3
    done = run(folder, "airspace", "list", "--on", "2026-11-25")
    assert done.returncode == 3
    assert "Special use airspace (lost): 1 feature without a usable place." in done.stdout.replace("\n", " ")
    code, found = asked(folder)
    assert (code, found["verdict"], found["restricted_area"]) == (3, "unknown", None)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("at", "100, 200", "--height", "100"), "impossible. Write it"),
        (("at", AT, "--height", "100", "--radius", "90000"), "Choose 0 to 50000 ft."),
        (("at", "85, -100", "--height", "100", "--radius", "90"), "pole"),
        (("at", AT, "--hight", "100"), "--height"),
        (("import", "nothing.geojson", "--edition", "2026-11-12"), "nothing.geojson"),
    ],
)
def test_wrong_use_is_one_line(folder: Path, words: tuple[str, ...], why: str) -> None:
    done = run(folder, "airspace", *words)
    assert done.returncode == 2
    assert why in done.stderr
    assert done.stderr.count("\n") == 1


def add(folder: Path, *words: str) -> Ran:
    """An area typed in."""
    return run(folder, "airspace", "add", *words, "--edition", "2026-11-20")


def test_a_typed_notice_counts_in_its_hours_and_until_it_is_ended(folder: Path) -> None:
    times = (
        "--begins",
        "2026-11-25 10:00",
        "--ends",
        "2026-11-25 17:00",
        "--text",
        "!FDC\x1b 6/0001 INVENTED",
    )
    assert add(folder, "notice", "Air show", "36.0, -80.0", "--radius", "18000", *times).returncode == 0
    _, at_noon = asked(folder, AT, "2026-11-25", "--from", "12:00", "--until", "1:00 PM")
    notice = next(one for one in at_noon["volumes"] if one["kind"] == "notice")
    assert (at_noon["notice_covers"], notice["active"], notice["text"]) == (
        True,
        "always",
        "!FDC 6/0001 INVENTED",
    )
    assert at_noon["headlines"][0] == "A restriction on file covers you: Air show."
    assert notice["active_spans"][0]["utc"][0] == "2026-11-25T17:00:00+00:00"
    _, evening = asked(folder, AT, "2026-11-25", "--from", "17:01", "--until", "18:00")
    assert evening["notice_covers"] is None
    assert [one["active"] for one in evening["volumes"] if one["kind"] == "notice"] == ["not"]
    assert run(folder, "airspace", "end", "air-show", "--edition", "2026-11-25").returncode == 0
    assert asked(folder)[1]["notice_covers"] is None
    before = asked(folder, AT, "2026-11-19")[1]
    assert [one["layer"] for one in before["layers"] if one["kind"] == "notice"] == []


def test_a_typed_area_has_its_corners_and_heights(folder: Path) -> None:
    corners = "36.0, -80.0; 36.02, -80.0; 36.02, -79.98; 36.0, -79.98"
    more = ("--area", "--floor", "100 ft AGL", "--ceiling", "900 ft MSL", "--hours", "0700-1600 MON-FRI")
    assert add(folder, "own", "Keep off", corners, *more).returncode == 0
    _, found = asked(folder, AT, "2026-11-25", "--ground", "500-600", "--from", "9:00")
    own = next(one for one in found["volumes"] if one["kind"] == "own")
    assert (own["reach"], own["overlap_ft"], own["active"]) == ("in", 50, "always")
    assert own["reaches_in_ft"] == own["inside_by_ft"] > 1000
    _, line = asked(folder, "35.99, -79.99; 36.03, -79.99", "2026-11-25", "--radius", "100")
    crossed = next(one for one in line["volumes"] if one["kind"] == "own")
    assert (crossed["inside_by_ft"], crossed["apart_ft"]) == (None, 0)
    _, near = asked(folder, "36.025, -79.99", "2026-11-25")
    assert [(one["name"], round(one["apart_ft"], -2)) for one in near["close_by"]] == [("Keep off", 1800)]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("notice", "x", AT, "--floor", "400"), "isn't a height we can use"),
        (
            ("notice", "x", AT, "--floor", "400 ft AGL", "--ceiling", "300 ft AGL"),
            "floor is above the ceiling",
        ),
        (("notice", "x", AT, "--hours", "mornings"), "aren't hours we can use"),
        (("notice", "x", AT, "--begins", "noon"), "isn't a time"),
        (
            ("notice", "x", AT, "--begins", "2026-11-25 10:00", "--ends", "2026-11-25 10:00"),
            "end is before the start",
        ),
        (("notice", "x", AT, "--area"), "don't make an area"),
        (("notice", " ", AT), "we can't use that name"),
        (("notice", "Ö", AT), "can't be made into a layer name"),
        (("tfr", "x", AT), "tfr"),
    ],
)
def test_what_cant_be_meant_is_refused(folder: Path, words: tuple[str, ...], why: str) -> None:
    done = add(folder, *words)
    assert done.returncode == 2
    assert why.lower() in done.stderr.lower()


def test_published_data_never_ends_by_hand(folder: Path) -> None:
    for words, why in ((("grid", "2026-12-01"), "end by hand"), (("nothing", "2026-12-01"), "no layer")):
        done = run(folder, "airspace", "end", words[0], "--edition", words[1])
        assert (done.returncode, why in done.stderr.lower()) == (2, True)


def test_a_stadium_asks_for_its_event_and_leaves_the_answer_open(folder: Path) -> None:
    ring = stadium(-79.97)
    assert put(folder, "near.geojson", ring, edition="2026-11-12", more=("--layer", "near")).returncode == 0
    code, found = asked(folder)
    assert (code, [one["code"] for one in found["questions"]]) == (3, ["stadium_event", "moving_asset"])
    assert "INVENTED PARK" in found["questions"][0]["asks"]
    assert "60 minutes before" in found["questions"][0]["asks"]
    high = asked(folder, AT, "2026-11-25", "--low", "3001", "--height", "3100")[1]
    assert [one["code"] for one in high["questions"]] == ["moving_asset"]


def test_a_flight_over_midnight_needs_the_editions_of_both_days(folder: Path) -> None:
    code, found = asked(folder, AT, "2026-11-25", "--from", "23:00", "--until", "1:00")
    days = [(one["on"], one["state"]) for one in found["layers"] if one["kind"] == "tfr"]
    assert (code, days) == (3, [("2026-11-25", "current"), ("2026-11-26", "old")])
    assert asked(folder, AT, "2026-11-25", "--from", "22:00", "--until", "24:00")[0] == 0


def test_the_terminal_tells_how_far_how_high_and_when(folder: Path) -> None:
    told = run(
        folder, "airspace", "at", AT, "--on", "2026-11-25", "--height", "150", "--from", "14:00"
    ).stdout
    said = " ".join(told.split())
    assert "Nov 25, 2026, 2:00 PM EST (19:00 UTC)" in said
    assert "INVENTED CLASS D (CLASS_D) You would be inside, at least " in said
    assert (
        "From the ground to 2,500 ft above sea level. That overlaps 150 ft of the heights you asked about."
        in said
    )
    assert "Does the moving asset notice cover a convoy or vessel within 3,000 ft of you?" in said


def test_a_list_of_sites_is_asked_at_once(folder: Path) -> None:
    lines = ["Site,Lat,Lon", f"Barn,{AT}", "Field,36.02,-80.02", "Range,36.0,-75.0"]
    (folder / "sites.csv").write_text("\n".join(lines), encoding="utf-8")
    done = run(folder, "airspace", "sites", "sites.csv", "--height", "150", "--on", "2026-11-25", "--json")
    found = json.loads(done.stdout)
    assert (done.returncode, found["verdict"]) == (0, "met")
    assert [(one["name"], one["map"], one["lowest_ft"]) for one in found["sites"]] == [
        ("Barn", "highest", 200),
        ("Field", "no_cell", None),
        ("Range", "no_cell", None),
    ]
    assert [one["volumes"][0]["name"] for one in found["sites"]] == ["INVENTED CLASS D"] * 2 + ["R-INVENTED"]
    shown = run(folder, "airspace", "sites", "sites.csv", "--height", "150", "--on", "2026-12-30")
    assert shown.returncode == 3
    assert "unknown" in shown.stdout
    for text, why in (("a,b\n1,2", "no columns"), ("lat,lon\n95,2", "line 2")):
        (folder / "sites.csv").write_text(text, encoding="utf-8")
        refused = run(folder, "airspace", "sites", "sites.csv", "--height", "150")
        assert (refused.returncode, why in refused.stderr) == (2, True)


def test_the_ground_of_terrain_on_file_is_taken_with_what_it_may_be_off(folder: Path) -> None:
    tile = folder / "terrain" / "N36W080.hgt"
    tile.parent.mkdir()
    tile.write_bytes((250).to_bytes(2, "big") * 1201 * 1201)
    _, found = asked(folder, "36.004, -79.996", "2026-11-25", "--radius", "100")
    assert [round(feet) for feet in found["ground_ft"]] == [768, 873]  # 250 m give or take 16 m
    assert "We used 768 to 873 ft above sea level as the ground elevation." in found["notes"]
    assert asked(folder, "36.004, -79.996", "2026-11-25", "--ground", "800")[1]["ground_ft"] == [800, 800]
    assert asked(folder, "37.004, -79.996", "2026-11-25")[1]["ground_ft"] is None


def damage(folder: Path, name: str) -> None:
    """Turn one bit near the end of an edition's file."""
    (path,) = (folder / "airspace").glob(f"{name}_*.airspace")
    held = bytearray(path.read_bytes())
    place = max(at for at, byte in enumerate(held) if byte)
    held[place] ^= 1
    path.write_bytes(held)


def test_a_damaged_file_is_named_and_the_others_are_listed(folder: Path) -> None:
    damage(folder, "class")
    for more in ((), ("--check",)):
        done = run(folder, "airspace", "list", "--on", "2026-11-25", *more)
        assert done.returncode == 3
        assert "Class airspace: Nov 12, 2026, damaged" in done.stdout
        assert "UAS facility map: Oct 29, 2026, checksum" in done.stdout
        assert "Delete class_class_2026-11-12.airspace and import it again" in " ".join(done.stdout.split())
        assert "as it was written" not in done.stdout
    document = json.loads(run(folder, "airspace", "list", "--on", "2026-11-25", "--json").stdout)
    assert document["damaged"] == ["class_class_2026-11-12.airspace"]
    code, answer = asked(folder)
    assert (code, answer["verdict"]) == (3, "unknown")
    assert [one["state"] for one in answer["layers"] if one["kind"] == "class"] == ["damaged"]


def test_a_damaged_file_that_only_informs_leaves_it_open_too(folder: Path) -> None:
    assert asked(folder)[0] == 0
    typed = run(
        folder,
        "airspace",
        "add",
        "fria",
        "Club field",
        "37, -81",
        "--radius",
        "900",
        "--edition",
        "2026-11-01",
    )
    assert typed.returncode == 0
    assert asked(folder)[0] == 0
    damage(folder, "club-field")
    assert asked(folder)[0] == 3


def test_large_tables_are_checked_before_many_places_are_looked_up(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("airwrit.airspace.store._CHECKED_AT_ONCE", 0)
    (folder / "sites.csv").write_text(
        f"name,latitude,longitude\nPond,{AT.replace(', ', ',')}\n", encoding="utf-8"
    )
    command = ("airspace", "sites", "sites.csv", "--on", "2026-11-25", "--height", "200")
    assert run(folder, *command).returncode == 0
    damage(folder, "grid")
    done = run(folder, *command)
    assert done.returncode == 3
    assert "is damaged" in done.stdout


@pytest.mark.parametrize(
    ("fields", "height", "says"),
    [
        (
            {},
            "150",
            "You are in controlled airspace: INVENTED CLASS D. Get authorization before you fly there.",
        ),
        ({"LOWER_VAL": "700", "LOWER_CODE": "AGL"}, "699", ""),
        ({"LOWER_VAL": "700", "LOWER_CODE": "AGL"}, "700", "You are in controlled airspace"),
        ({"LOCAL_TYPE": "CLASS_E2"}, "150", "You are in controlled airspace"),
        ({"LOCAL_TYPE": "CLASS_E4"}, "150", "You are in a Class E surface area extension"),
        ({"LOCAL_TYPE": "CLASS_E5"}, "150", ""),
    ],
)
def test_controlled_airspace_is_said_first(
    tmp_path: Path, fields: dict[str, str], height: str, says: str
) -> None:
    assert put(tmp_path, "class.geojson", volume(**fields), edition="2026-11-12").returncode == 0
    done = run(tmp_path, "airspace", "at", AT, "--on", "2026-11-25", "--height", height)
    text = " ".join(done.stdout.split())
    assert (says in text) if says else ("You are in" not in text)
