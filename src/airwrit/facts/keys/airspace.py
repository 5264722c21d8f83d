"""Keys of where a flight is: airspace, notices, rings, land; and of what an authorization or a waiver grants it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.flight_choices import AirspaceClass, GivenBy, LandBelow, WaiverSection
from airwrit.facts.key import Key

AIRSPACE_CLASS = Key(
    "airspace_class",
    AirspaceClass,
    "site",
    "class of airspace at the place and height",
    "Which class is the airspace at the place and height?",
    ("airspace class", "airspace"),
)
FLIGHT_AUTHORIZATION = Key(
    "flight_authorization",
    str,
    "flight",
    "the airspace authorization it relies on",
    "Which airspace authorization does it rely on?",
    ("authorization",),
    links_to="paper",
)
FLIGHT_PLACE = Key(
    "flight_place",
    str,
    "site",
    "the place it is flown at, by the name its authorization has for it",
    "Where is it flown, by the name the authorization has for the place?",
    ("flight place", "place of flight"),
)
FLIGHT_WAIVER = Key(
    "flight_waiver",
    str,
    "flight",
    "the waiver it relies on",
    "Which waiver does it rely on?",
    ("waiver",),
    links_to="paper",
)
WAIVER_TERMS_KEPT = Key(
    "waiver_terms_kept",
    bool,
    "flight",
    "every term of the waiver is kept",
    "Is every term of the waiver kept?",
    ("waiver terms kept",),
)
WAIVER_WANTED = Key(
    "waiver_wanted",
    WaiverSection,
    "flight",
    "the section a waiver is asked for",
    "For which section is a waiver asked?",
    ("waiver wanted",),
)
NOTICE_COVERS = Key(
    "notice_covers",
    bool,
    "site",
    "a temporary restriction or security notice covers place and time, as looked up for this flight",
    "By a look for this very flight, does a temporary restriction or security notice cover place and time?",
    ("notice covers", "tfr"),
)
NOTICE_AUTHORIZED = Key(
    "notice_authorized",
    bool,
    "site",
    "air traffic control or a COA authorizes it inside the restriction",
    "Does air traffic control or a COA authorize it inside the restriction?",
    ("notice authorized",),
)
RESTRICTED_AREA = Key(
    "restricted_area",
    bool,
    "site",
    "inside a prohibited or restricted area",
    "Is it inside a prohibited or restricted area?",
    ("restricted area",),
)
AREA_PERMISSION = Key(
    "area_permission",
    bool,
    "site",
    "permission of the agency that uses or controls the area",
    "Does the agency that uses or controls the area permit it?",
    ("area permission",),
)
STADIUM_SEATS = Key(
    "stadium_seats",
    Decimal,
    "site",
    "seats of the stadium nearby",
    "How many seats has the stadium?",
    ("seats",),
)
STADIUM_DISTANCE = Key(
    "stadium_distance_nm",
    Decimal,
    "site",
    "least distance to the stadium",
    "How near to the stadium, at least?",
    ("distance to stadium",),
    unit="nm",
)
LISTED_EVENT = Key(
    "listed_event",
    bool,
    "site",
    "a game or race of the leagues and series the notice names",
    "Is it a game or race of the leagues and series the notice names?",
    ("listed event",),
)
EVENT_STARTS = Key(
    "event_starts_on",
    date,
    "site",
    "start of the event",
    "When does the event start?",
    ("event starts",),
    instants=True,
)
EVENT_ENDS = Key(
    "event_ends_on",
    date,
    "site",
    "end of the event",
    "When does the event end?",
    ("event ends",),
    instants=True,
)
WASHINGTON_DISTANCE = Key(
    "washington_distance_mi",
    Decimal,
    "site",
    "least distance to the center point of the Washington rings",
    "How near to the center point of the Washington rings, at least?",
    ("distance to washington",),
    unit="mi",
)
WASHINGTON_AUTHORIZED = Key(
    "washington_authorized",
    bool,
    "site",
    "the FAA authorized this flight inside the inner ring",
    "Did the FAA authorize this flight inside the inner ring?",
    ("washington authorized",),
)
CLEAR_WEATHER = Key(
    "clear_weather",
    bool,
    "weather",
    "clear weather",
    "Is the weather clear?",
    ("clear weather",),
)
ASSET_DISTANCE = Key(
    "asset_distance_ft",
    Decimal,
    "site",
    "distance, on the level, to a site or moving convoy or vessel of the departments the notice names",
    "How far, on the level, from any site, convoy or vessel of the departments the notice names?",
    ("distance to asset",),
    unit="ft",
)
ABOVE_ASSET = Key(
    "above_asset_ft",
    Decimal,
    "site",
    "height above that site, convoy or vessel",
    "How high above that site, convoy or vessel?",
    ("above asset",),
    unit="ft",
)
FROM_PARK_LAND = Key(
    "from_park_land",
    bool,
    "site",
    "launched, landed or operated from or on National Park Service land",
    "Is it launched, landed or operated from or on National Park Service land?",
    ("from park land",),
)
PARK_PERMISSION = Key(
    "park_permission",
    bool,
    "site",
    "written permission of the park's superintendent",
    "Does the park's superintendent permit it in writing?",
    ("park permission",),
)
LAND_BELOW = Key(
    "land_below",
    LandBelow,
    "site",
    "whose land it is flown over or from",
    "Whose land is it flown over or from?",
    ("land",),
)
CELL_OF = Key(
    "cell_of",
    str,
    "map_cell",
    "the flight that touches the cell",
    "Which flight touches the cell?",
    ("flight",),
    links_to="flight",
)
CELL_NUMBER = Key(
    "cell_number_ft",
    Decimal,
    "map_cell",
    "the number in the cell of the facility map in force that day",
    "Which number is in the cell of the facility map in force that day?",
    ("cell number", "number"),
    unit="ft",
)
WAIVES = Key(
    "waives",
    WaiverSection,
    "paper",
    "the section a waiver waives",
    "Which section does the waiver waive?",
    ("waives", "section waived"),
)
AUTHORIZES_FROM = Key(
    "authorizes_from_on",
    date,
    "paper",
    "first day or moment an airspace authorization covers",
    "From when does the authorization cover the flight?",
    ("authorizes from",),
    instants=True,
)
AUTHORIZES_UNTIL = Key(
    "authorizes_until_on",
    date,
    "paper",
    "last day or moment an airspace authorization covers",
    "Until when does the authorization cover the flight?",
    ("authorizes until",),
    instants=True,
)
AUTHORIZED_PLACE = Key(
    "authorized_place",
    str,
    "paper",
    "the place an airspace authorization covers; several with semicolons between",
    "Which place does the authorization cover?",
    ("authorized place", "place authorized"),
)
AUTHORIZED_HEIGHT = Key(
    "authorized_height_ft",
    Decimal,
    "paper",
    "greatest height above ground an airspace authorization covers",
    "Up to which height above ground does the authorization go?",
    ("authorized height",),
    unit="ft",
)
GIVEN_BY = Key(
    "given_by",
    GivenBy,
    "paper",
    "how an airspace authorization was given",
    "How was the authorization given?",
    ("given by", "given how"),
)

FLIGHT_AIRSPACE_KEYS = (
    AIRSPACE_CLASS,
    FLIGHT_AUTHORIZATION,
    FLIGHT_PLACE,
    FLIGHT_WAIVER,
    WAIVER_TERMS_KEPT,
    WAIVER_WANTED,
    NOTICE_COVERS,
    NOTICE_AUTHORIZED,
    RESTRICTED_AREA,
    AREA_PERMISSION,
    STADIUM_SEATS,
    STADIUM_DISTANCE,
    LISTED_EVENT,
    EVENT_STARTS,
    EVENT_ENDS,
    WASHINGTON_DISTANCE,
    WASHINGTON_AUTHORIZED,
    CLEAR_WEATHER,
    ASSET_DISTANCE,
    ABOVE_ASSET,
    FROM_PARK_LAND,
    PARK_PERMISSION,
    LAND_BELOW,
    CELL_OF,
    CELL_NUMBER,
    WAIVES,
    AUTHORIZES_FROM,
    AUTHORIZES_UNTIL,
    AUTHORIZED_PLACE,
    AUTHORIZED_HEIGHT,
    GIVEN_BY,
)
