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
    "What class is the airspace at that place and height?",
    ("airspace class", "airspace"),
)
FLIGHT_AUTHORIZATION = Key(
    "flight_authorization",
    str,
    "flight",
    "airspace authorization used",
    "Which airspace authorization do you use?",
    ("authorization",),
    links_to="paper",
)
FLIGHT_PLACE = Key(
    "flight_place",
    str,
    "site",
    "place of the flight, by the name in the authorization",
    "Where is it flown? Use the name in the authorization.",
    ("flight place", "place of flight"),
)
FLIGHT_WAIVER = Key(
    "flight_waiver",
    str,
    "flight",
    "waiver used",
    "Which waiver do you use?",
    ("waiver",),
    links_to="paper",
)
WAIVER_TERMS_KEPT = Key(
    "waiver_terms_kept",
    bool,
    "flight",
    "whether every term of the waiver is kept",
    "Is every term of the waiver kept?",
    ("waiver terms kept",),
)
WAIVER_WANTED = Key(
    "waiver_wanted",
    WaiverSection,
    "flight",
    "rule to be waived",
    "Which section do you want waived?",
    ("waiver wanted",),
)
NOTICE_COVERS = Key(
    "notice_covers",
    bool,
    "site",
    "restriction or security notice for the place and time, as looked up",
    "Does a temporary restriction or security notice cover the place and time? Look it up for this flight.",
    ("notice covers", "tfr"),
)
NOTICE_AUTHORIZED = Key(
    "notice_authorized",
    bool,
    "site",
    "authorization inside the restriction",
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
    "permission from the agency that uses or controls the area",
    "Does the agency that uses or controls the area allow it?",
    ("area permission",),
)
STADIUM_SEATS = Key(
    "stadium_seats",
    Decimal,
    "site",
    "seats in the nearby stadium",
    "How many seats does the stadium have?",
    ("seats",),
)
STADIUM_DISTANCE = Key(
    "stadium_distance_nm",
    Decimal,
    "site",
    "smallest distance to the stadium",
    "How close to the stadium does it get?",
    ("distance to stadium",),
    unit="nm",
)
LISTED_EVENT = Key(
    "listed_event",
    bool,
    "site",
    "game or race the notice lists",
    "Is it a game or race in a league or series the notice lists?",
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
    "smallest distance to the center of the Washington rings",
    "How close to the center point of the Washington rings does it get?",
    ("distance to washington",),
    unit="mi",
)
WASHINGTON_AUTHORIZED = Key(
    "washington_authorized",
    bool,
    "site",
    "FAA authorization for this flight inside the inner ring",
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
    "horizontal distance to a site, convoy or vessel the notice covers",
    "How far away, horizontally, is any site, convoy or vessel the notice covers?",
    ("distance to asset",),
    unit="ft",
)
ABOVE_ASSET = Key(
    "above_asset_ft",
    Decimal,
    "site",
    "height above that site, convoy or vessel",
    "How high above that site, convoy or vessel does it fly?",
    ("above asset",),
    unit="ft",
)
FROM_PARK_LAND = Key(
    "from_park_land",
    bool,
    "site",
    "launched, landed or operated on National Park Service land",
    "Is it launched, landed or operated on National Park Service land?",
    ("from park land",),
)
PARK_PERMISSION = Key(
    "park_permission",
    bool,
    "site",
    "written permission from the park superintendent",
    "Did the park superintendent allow it in writing?",
    ("park permission",),
)
LAND_BELOW = Key(
    "land_below",
    LandBelow,
    "site",
    "whose land it flies over or from",
    "Whose land does it fly over or from?",
    ("land",),
)
CELL_OF = Key(
    "cell_of",
    str,
    "map_cell",
    "flight that touches the grid cell",
    "Which flight touches the grid cell?",
    ("flight",),
    links_to="flight",
)
CELL_NUMBER = Key(
    "cell_number_ft",
    Decimal,
    "map_cell",
    "number in the facility map grid cell that day",
    "What number is in the facility map grid cell that day?",
    ("cell number", "number"),
    unit="ft",
)
WAIVES = Key(
    "waives",
    WaiverSection,
    "paper",
    "section the waiver covers",
    "Which section does the waiver cover?",
    ("waives", "section waived"),
)
AUTHORIZES_FROM = Key(
    "authorizes_from_on",
    date,
    "paper",
    "start of the airspace authorization",
    "When does the authorization start?",
    ("authorizes from",),
    instants=True,
)
AUTHORIZES_UNTIL = Key(
    "authorizes_until_on",
    date,
    "paper",
    "end of the airspace authorization",
    "When does the authorization end?",
    ("authorizes until",),
    instants=True,
)
AUTHORIZED_PLACE = Key(
    "authorized_place",
    str,
    "paper",
    "place the authorization covers; semicolons between several",
    "Which place does the authorization cover?",
    ("authorized place", "place authorized"),
)
AUTHORIZED_HEIGHT = Key(
    "authorized_height_ft",
    Decimal,
    "paper",
    "height limit in the authorization, above ground",
    "What height above ground does the authorization allow?",
    ("authorized height",),
    unit="ft",
)
GIVEN_BY = Key(
    "given_by",
    GivenBy,
    "paper",
    "how the authorization was given",
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
