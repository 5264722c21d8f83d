"""Every page that a browser opens in the tests. A new page joins by a line here."""

from __future__ import annotations

from typing import NamedTuple


class Shown(NamedTuple):
    """A page: the name of its test, its address, and the words its heading begins with.

    `again` tells that it is a page above in another state, which is looked at wide and not narrow too.
    """

    name: str
    path: str
    heading: str
    again: bool = False


PAGES: tuple[Shown, ...] = (
    Shown("standing", "/today", "Today"),
    Shown("standing_past", "/today?on=2025-03-14", "Status", again=True),
    Shown("find", "/find?find=alder", "Find"),
    Shown("aircraft", "/aircraft", "Aircraft"),
    Shown("aircraft_found", "/aircraft?find=korrin&standing=grounded", "Aircraft", again=True),
    Shown("aircraft_sheet", "/aircraft/Larch", "Larch"),
    Shown("aircraft_past", "/aircraft/Alder%202?on=2025-03-14&known=2026-11-25", "Alder 2", again=True),
    Shown("aircraft_heavy_with_doubt", "/aircraft/Fescue", "Fescue", again=True),
    Shown("no_such_aircraft", "/aircraft/larsh", "No such aircraft"),
    Shown("people", "/people", "People"),
    Shown("person_sheet", "/people/Maris%20Tolland", "Maris Tolland"),
    Shown("person_lapsed", "/people/Ivo%20Brask", "Ivo Brask", again=True),
    Shown("due", "/deadlines", "Deadlines"),
    Shown("due_in_90_days", "/deadlines?days=90", "Deadlines"),
    Shown("ask", "/which-registration", "Which registration"),
    Shown("ask_several", "/which-registration?a=paid:yes", "Which registration", again=True),
    Shown("ask_answer", "/which-registration?a=paid:yes&stop=yes", "Which registration"),
    Shown("ask_of_aircraft", "/which-registration/aircraft/Fescue", "Which registration"),
    Shown("whose_name", "/whose-name?weight=26+kg", "Whose name"),
    Shown("ask_facts", "/check-scenario", "Check a scenario"),
    Shown("ask_flight", "/check-scenario?start=flight", "Check a scenario", again=True),
    Shown(
        "ask_incident",
        "/check-scenario?facts=[incident]%0Ahappened_on=2026-03-05%0Aserious_injury=true",
        "Check a scenario",
    ),
    Shown("incident", "/incident", "Incident"),
    Shown(
        "incident_told",
        "/incident?happened_on=2026-11-25&happened_time=09:10&incident_zone=America/Denver&incident_under=Part+107"
        "&anyone_hurt=nobody&damaged_property=property+apart+from+the+aircraft&repair_cost_usd=1150&total_loss=no"
        "&flew_away=yes&airworthiness_certificate=no",
        "Incident",
    ),
    Shown("reports", "/reports", "Reports"),
    Shown("report_of_a_month", "/reports/month?month=2026-11", "Monthly flight report"),
    Shown("report_of_a_job", "/reports/client?aircraft=Alder+1&person=Maris+Tolland", "For the client"),
    Shown("before_flight", "/before-flight", "Before a flight"),
    Shown("after_flight", "/after-flight", "After a flight"),
    Shown("after_flights", "/after-flights", "Many flight logs"),
    Shown(
        "way_home",
        "/way-home?airspeed=12+m/s&wind=15&farthest=2500&battery=22&reserve=30%25",
        "Way home",
    ),
    Shown("batteries", "/batteries", "Batteries"),
    Shown("battery", "/batteries?of=TF-B3", "Batteries", again=True),
    Shown("maintenance", "/maintenance", "Maintenance", again=True),
    Shown("training", "/training", "Training", again=True),
    Shown("light", "/daylight", "Daylight"),
    Shown("light_of_a_place", "/daylight?place=40.015,-105.27&time=16:36&year=yes", "Daylight"),
    Shown("airspace", "/airspace", "Airspace"),
    Shown(
        "airspace_of_a_place",
        "/airspace?place=36.0542,-79.9792&height=200&radius=500&start=14:00",
        "Airspace",
    ),
    Shown("weather", "/weather", "Weather"),
    Shown(
        "weather_of_a_report",
        "/weather?report=METAR+KABC+251655Z+22015G25KT+2SM+FOO+OVC007+10/12+A2992&wind_limit=20",
        "Weather",
    ),
    Shown("authority", "/check-authorization", "Check an authorization"),
    Shown(
        "authority_told",
        "/check-authorization?flight_area=36.0542,-79.9792+within+300+m&height_agl_ft=200&airspace_class=D",
        "Check an authorization",
    ),
    Shown("terrain", "/terrain", "Terrain"),
    Shown("terrain_of_a_place", "/terrain?place=40.5,-105.5&height=300", "Terrain"),
    Shown("structure", "/height-near-tower", "Height near a tower"),
    Shown(
        "structure_told",
        "/height-near-tower?place=40.5,-105.5&top=1200&area=40.5,-105.5+within+350+ft&height=1600&controlled=no",
        "Height near a tower",
        again=True,
    ),
    Shown("line_of_sight", "/line-of-sight", "Line of sight"),
    Shown(
        "line_of_sight_told",
        "/line-of-sight?pilot=40.5,-105.5&area=40.51,-105.5+within+500+ft&height=300&size=35+cm&visibility=3+sm",
        "Line of sight",
        again=True,
    ),
    Shown("over_people", "/over-people", "Over people"),
    Shown(
        "over_people_told",
        "/over-people?people_below=people+who+take+no+part+and+are+not+sheltered&takeoff_weight_g=240+g"
        "&cutting_parts=no&ground_speed_kt=15+m/s",
        "Over people",
    ),
    Shown("what_if", "/what-if", "What if"),
    Shown("what_if_fields", "/what-if?act=mark&of=Elm%201", "What if", again=True),
    Shown(
        "what_if_sold",
        "/what-if?t=act%3Dsell%26of%3Daircraft/Alder+1%26day%3D2026-11-25&then=2027-02-01",
        "What if",
    ),
    Shown("exposure", "/penalties", "Penalties"),
    Shown("proof", "/proof", "Proof"),
    Shown("proof_past", "/proof?of=aircraft/Alder%202&on=2025-03-14", "Proof", again=True),
    Shown("verify", "/check-proof", "Check a proof"),
    Shown("checkpoint", "/seal-records", "Seal the records"),
    Shown("enter", "/log-flight", "Log a flight"),
    Shown(
        "enter_filled",
        "/log-flight?aircraft=Alder%203&pilot=Maris%20Tolland&minutes=14",
        "Log a flight",
        again=True,
    ),
    Shown("enter_past", "/log-flight?on=2025-03-14", "Log a flight", again=True),
    Shown("carry", "/pilot-papers", "Pilot papers"),
    Shown("carry_chosen", "/pilot-papers?pilot=Maris%20Tolland&aircraft=Alder%203", "Pilot papers"),
    Shown("import", "/import", "Import"),
    Shown("attach", "/attach-file/aircraft/Alder%202", "Attach a file"),
    Shown("act_with_effects", "/record-change/leave/person/Maris%20Tolland", "Leave"),
    Shown("act_to_fill_in", "/record-change/mark/aircraft/Elm%201", "Mark"),
    Shown("act_on_new", "/record-change/buy", "Buy", again=True),
    Shown("new_aircraft", "/new-aircraft", "New aircraft"),
    Shown("new_aircraft_known", "/new-aircraft?of=aircraft/Gorse", "New aircraft"),
    Shown("renew", "/renew?of=registration/FA00TEST03", "Renew"),
    Shown("file_changes", "/filed-with-faa", "Filed with the FAA"),
    Shown("join", "/new-person", "New person"),
    Shown("leave", "/person-leaves?of=person/Maris%20Tolland", "Person leaves"),
    Shown("record_field", "/record-change?of=aircraft/Gorse&fact=mark_place", "Record a change", again=True),
    Shown("record_facts", "/record-change?of=aircraft/Larch", "Record a change"),
    Shown("record_new", "/record-change", "Record a change"),
    Shown("take_out", "/erase-personal-data/Maris%20Tolland", "Erase personal data"),
    Shown("holds", "/legal-hold?of=aircraft/Larch", "Legal hold"),
    Shown("clock", "/fix-entry-dates", "Fix entry dates"),
    Shown("take_back", "/take-back/1", "Take back"),
    Shown("law", "/rules", "Rules"),
    Shown("rule", "/rules/marked_outside", "Marked outside"),
    Shown("rule_of_a_flight", "/rules/height_limit", "Height limit", again=True),
    Shown("no_such_page", "/no-such-page", "No such page"),
)
